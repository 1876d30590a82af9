package strip

// Sizes of the cursor's frame in user units. Our choice; the stroke is three
// wide, as that of every focus.
const (
	cursorWide = 12.0 // at least
	cursorIn   = 3.0  // from the row's edge
)

// cursor draws the frame of the cell with the cursor.
func (d *drawing) cursor() {
	for _, r := range d.Rows {
		from, to, ok := d.inShown(d.Cursor.From, d.Cursor.To)
		if r.Voice != d.Cursor.Voice || !ok {
			continue
		}
		x, w := d.rat(from)-d.shift(from, to), d.rat(to)-d.rat(from)
		if w < cursorWide {
			x, w = x-(cursorWide-w)/2, cursorWide
		}
		h := d.RowHeight - 2*cursorIn
		d.tag("g", "")
		d.attr("id", d.id+"-cursor")
		d.attr("data-at", from.String())
		d.attr("data-voice", r.Voice.String())
		d.raw(">\n")
		d.rect("sm-gap", x, r.Y-h/2, w, h)
		d.rect("sm-cursor", x, r.Y-h/2, w, h)
		d.close()
	}
}
