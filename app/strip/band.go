package strip

import (
	"sort"

	"stampmill/app/svg"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Words and room of the tags, in user units. Our choice.
const (
	newHere  = "new here"
	selected = "selected"
	tagWide  = 68
	tagHigh  = 16
	bandUp   = 19 // from the middle of the first row
	bandDown = 16 // from the middle of the last row
	bandLeft = 11 // a band starts before its first mark
	bandBack = 14 // and ends before the mark after it
)

// A band is the rectangle over cells in rows that stand together.
type band struct {
	left, right, top, bottom float64
	first, last              int // rows
	word                     string
}

// bandsOf returns the bands of spans inside the shown bars.
func (d *drawing) bandsOf(spans []passage.Span, word string) []band {
	var out []band
	for _, n := range spans {
		from, to, ok := d.inShown(n.From, n.To)
		if !ok {
			continue
		}
		left, right := d.edges(n.Voices, from, to)
		for _, r := range d.runs(n.Voices) {
			up, down := min(bandUp, d.RowHeight/2+1), min(bandDown, d.RowHeight/2-1)
			out = append(out, band{left, right, d.Rows[r[0]].Y - up, d.Rows[r[1]].Y + down, r[0], r[1], word})
		}
	}
	return out
}

// edges returns where the frame of a stretch in some voices begins and ends: a
// little before the marks there, but halfway to the nearest mark outside, and
// from the last one inside.
func (d *drawing) edges(voices []passage.Voice, from, to meter.Rat) (left, right float64) {
	x, end := d.rat(from), d.rat(to)
	shift, last := min(bandLeft, (end-x)/2), x
	for _, line := range d.Passage.Lines {
		if !has(voices, line.Voice) {
			continue
		}
		i, j := startsAt(line.Strokes, from), startsAt(line.Strokes, to)
		if i > 0 {
			shift = min(shift, (x-d.rat(line.Strokes[i-1].At))/2)
		}
		if j > i {
			last = max(last, d.rat(line.Strokes[j-1].At))
		}
	}
	return x - shift, end - min(bandBack, (end-last)/2)
}

// inShown returns what of a stretch of time lies in the shown bars, false for
// nothing.
func (l Layout) inShown(from, to meter.Rat) (meter.Rat, meter.Rat, bool) {
	if from.Less(l.From) {
		from = l.From
	}
	if l.To.Less(to) {
		to = l.To
	}
	return from, to, from.Less(to)
}

// runs returns the first and last row of each run of neighbouring rows whose
// voices are in the list.
func (d *drawing) runs(voices []passage.Voice) [][2]int {
	var out [][2]int
	for i, r := range d.Rows {
		switch n := len(out); {
		case !has(voices, r.Voice):
		case n > 0 && out[n-1][1] == i-1:
			out[n-1][1] = i
		default:
			out = append(out, [2]int{i, i})
		}
	}
	return out
}

// drawBands draws the hatched ground of cells, under everything.
func (d *drawing) drawBands() {
	for _, b := range d.bands {
		w, h := b.right-b.left, b.bottom-b.top
		d.Rect("sm-band", b.left, b.top, w, h)
		d.Tag("rect", "")
		d.Set("x y width height", b.left, b.top, w, h)
		d.Attr("fill", "url(#"+d.id+"-hatch)")
		d.End()
		foot := b.bottom
		if b.word == "" { // down to the words under the rows
			foot = d.lowest() + 1
		}
		d.Path("sm-edge", "M# #V#H#V#", b.left, foot, b.top, b.right, foot)
	}
}

// tags writes the word of bands, once for those that touch.
func (d *drawing) tags() {
	if d.Small {
		return
	}
	var last []band
	for i := len(d.bands) - 1; i >= 0; i-- {
		b := d.bands[i]
		if b.word != "" && !touches(b, last) {
			x, y := d.tagPlace(b)
			d.Rect("sm-tag", x, y, tagWide, tagHigh)
			d.Text("sm-word", svg.AtMiddle, x+tagWide/2, y+tagHigh-4, b.word)
		}
		last = append(last, b)
	}
}

// tagPlace returns the left upper corner of a band's tag: over the band, as far
// right as it hides no written mark; else under it; else over it and out to the
// right, as a flag; else over its right end.
func (d *drawing) tagPlace(b band) (x, y float64) {
	right, left := max(b.right-tagWide, d.m.lines), max(min(b.left, d.Layout.Width-tagWide), d.m.lines)
	for _, at := range []struct {
		row int
		y   float64
	}{{b.first - 1, b.top - tagHigh}, {b.last + 1, b.bottom}} {
		if x, ok := d.freePlace(at.row, right, left); ok {
			return x, at.y
		}
	}
	if x, ok := d.freePlace(b.first-1, max(min(b.right, d.Layout.Width)-tagWide/8, right), right); ok && x+tagWide <= d.Layout.Width {
		return x, b.top - tagHigh
	}
	return right, b.top - tagHigh
}

// freePlace returns the place nearest to the right between two in a row that
// has no mark where a tag would stand. The ruler above the first row has none.
func (d *drawing) freePlace(row int, right, left float64) (float64, bool) {
	if row >= len(d.Rows) {
		return 0, false
	}
	for x := right; ; x = max(x-tagWide/8, left) {
		if row < 0 || d.empty(row, x) {
			return x, true
		}
		if x <= left {
			return 0, false
		}
	}
}

// empty reports whether a row has no mark where a tag would stand.
func (d *drawing) empty(row int, left float64) bool {
	line := d.Passage.Lines[row]
	all := line.Strokes
	i := sort.Search(len(all), func(i int) bool { return left-arm < d.rat(d.endOf(line.Voice, all[i])) })
	return i == len(all) || d.rat(all[i].At) > left+tagWide+arm
}

// endOf returns where the mark of a stroke ends.
func (d *drawing) endOf(v passage.Voice, s passage.Stroke) meter.Rat {
	if v.Sustained() {
		return s.End()
	}
	return s.At
}

// touches reports whether a band meets one of the others, or stands so near
// that their tags would meet. The others come from right to left.
func touches(b band, others []band) bool {
	for i := len(others) - 1; i >= 0; i-- {
		o := others[i]
		if b.word == o.word && o.left-tagWide > b.right {
			return false // those before stand further right
		}
		if b.word == o.word && b.left <= o.right && b.top <= o.bottom+tagHigh && b.bottom >= o.top-tagHigh {
			return true
		}
	}
	return false
}
