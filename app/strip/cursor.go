package strip

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

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
		left, right := d.frame(r.Voice, from, to)
		w := max(right-left, cursorWide)
		x := (left+right)/2 - w/2
		y, h := r.Y-d.RowHeight/2+cursorIn, d.RowHeight-2*cursorIn
		if d.m.signs > 0 {
			h += cursorIn // the sign lies inside
		}
		d.Tag("g", "")
		d.Attr("id", d.id+"-cursor")
		d.Attr("data-at", from.String())
		d.Attr("data-voice", r.Voice.String())
		d.Raw(">\n")
		d.around("sm-gap", x, y, w, h, cursorLine+cursorGap/2)
		d.around("sm-cursor", x, y, w, h, cursorLine/2)
		d.Close()
	}
}

// around draws a rectangle so much outside of another.
func (d *drawing) around(class string, x, y, w, h, out float64) {
	d.Rect(class, x-out, y-out, w+2*out, h+2*out)
}

// frame returns where the frame of the cursor begins and ends: where a finger
// enters and leaves the cell.
func (d *drawing) frame(v passage.Voice, from, to meter.Rat) (left, right float64) {
	c, ok := d.Passage.CellAt(v, from)
	if !ok || c.At != from || c.End() != to {
		return d.edges([]passage.Voice{v}, from, to)
	}
	prev, next := c, c
	if p, ok := d.Passage.PrevCell(c); ok && d.From.Less(from) {
		prev = p
	}
	if n, ok := d.Passage.NextCell(c); ok && to.Less(d.To) {
		next = n
	}
	return d.rat(from) - d.shift(prev, c), d.rat(to) - d.shift(c, next)
}
