package strip

import (
	"math"

	"stampmill/exercises/passage"
)

// Quarters returns the place that stands at x, in quarter notes from the first
// downbeat of the passage, kept inside the shown bars: [Layout.X] the other way
// round.
func (l Layout) Quarters(x float64) float64 {
	from, to := l.From.Float(), l.To.Float()
	if !(l.scale.unit > 0) {
		return from
	}
	return inside(l.scale.quarters(l.scale.from+(x-l.scale.left)/l.scale.unit), from, to)
}

// At returns the voice in whose row a point lies, and the place in quarter
// notes; false beside the rows. Left of the first downbeat, up to the names, is
// the first downbeat.
func (l Layout) At(x, y float64) (v passage.Voice, quarters float64, ok bool) {
	if !(x >= l.m.lines && x <= l.Width) {
		return passage.NoVoice, 0, false
	}
	for _, r := range l.Rows {
		if math.Abs(y-r.Y) <= l.RowHeight/2 {
			return r.Voice, l.Quarters(x), true
		}
	}
	return passage.NoVoice, 0, false
}

// CellAt returns the cell of the passage at which a point lies; false beside
// the rows. As marks stand at the start of their cells, a cell reaches as far
// to the left as its frame: a finger on a mark, or a little before it, means
// the mark's own cell.
func (l Layout) CellAt(p passage.Passage, x, y float64) (passage.Cell, bool) {
	v, quarters, ok := l.At(x, y)
	if !ok {
		return passage.Cell{}, false
	}
	cells := p.Cells(v, l.barAt(p, quarters))
	for i, c := range cells {
		if c.End() == l.To {
			return c, true // nothing is shown after it
		}
		next := c
		if i+1 < len(cells) {
			next = cells[i+1]
		} else if n, ok := p.NextCell(c); ok {
			next = n
		}
		if x < l.rat(c.End())-l.shift(c, next) {
			return c, true
		}
		if i+1 == len(cells) {
			return next, true // of the next bar
		}
	}
	return passage.Cell{}, false
}

// barAt returns the bar (from 1) in which a place lies.
func (l Layout) barAt(p passage.Passage, quarters float64) int {
	end := 0.0
	for i, b := range p.Bars {
		if end += b.Metre.Length().Float(); quarters < end {
			return i + 1
		}
	}
	return len(p.Bars)
}

// shift is how far before its mark a cell begins for a finger, and so ends the
// one before: at most half of either, so that a mark is nearer to its own.
func (l Layout) shift(c, next passage.Cell) float64 {
	half := min(l.rat(c.End())-l.rat(c.At), l.rat(next.End())-l.rat(next.At)) / 2
	return min(bandLeft, half)
}
