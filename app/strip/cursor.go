package strip

import "stampmill/exercises/passage"

// Sizes of the cursor's frame in user units. Our choice; its line is three
// wide, as that of every focus, and so is the gap around it two.
const (
	cursorWide = 13.0 // inside, at least: a mark has room
	cursorIn   = 5.0  // from the row's edge to the inside
	cursorLine = 3.0
	cursorGap  = 2.0
)

// cursor draws the frame of the cell with the cursor.
func (d *drawing) cursor() {
	for _, r := range d.Rows {
		from, to, ok := d.inShown(d.Cursor.From, d.Cursor.To)
		if r.Voice != d.Cursor.Voice || !ok {
			continue
		}
		left, right := d.edges([]passage.Voice{r.Voice}, from, to)
		w := max(right-left, cursorWide)
		x := (left+right)/2 - w/2
		y, h := r.Y-d.RowHeight/2+cursorIn, d.RowHeight-2*cursorIn
		d.tag("g", "")
		d.attr("id", d.id+"-cursor")
		d.attr("data-at", from.String())
		d.attr("data-voice", r.Voice.String())
		d.raw(">\n")
		d.around("sm-gap", x, y, w, h, cursorLine+cursorGap/2)
		d.around("sm-cursor", x, y, w, h, cursorLine/2)
		d.close()
	}
}

// around draws a rectangle so much outside of another.
func (d *drawing) around(class string, x, y, w, h, out float64) {
	d.rect(class, x-out, y-out, w+2*out, h+2*out)
}
