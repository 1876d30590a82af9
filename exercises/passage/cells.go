package passage

import (
	"slices"

	"stampmill/exercises/meter"
)

// A Cell is one cell of a voice as it is written: what takes one character of
// text, or one letter with its details. Cells are comparable with ==.
type Cell struct {
	Voice     Voice
	At        meter.Rat // quarter notes from the first downbeat
	Length    meter.Rat // quarter notes
	Index, Of int       // which cell of its group, from 0, and how many that has
}

// End returns the place at which the cell ends.
func (c Cell) End() meter.Rat { return c.At.Add(c.Length) }

// Span returns the time and voice of the cell.
func (c Cell) Span() Span { return Span{c.At, c.End(), []Voice{c.Voice}} }

// Cells returns the cells of a voice in a bar (from 1), in order of time. They
// fill the bar without gaps, as [Passage.Regroup] writes it; a bar whose
// strokes no cells can hold has one cell a beat. A voice without a line has
// empty cells. Only that bar of that line is looked at; nil for no bar.
func (p Passage) Cells(v Voice, bar int) []Cell {
	return p.cellsOf(v, p.barBeats(bar))
}

func (p Passage) cellsOf(v Voice, beats []Beat) []Cell {
	if len(beats) == 0 {
		return nil
	}
	var all []Cell
	for _, n := range p.written(v, beats) {
		all = n.cells(all, v)
	}
	if n := len(all); n > 0 && all[n-1].End() == beats[len(beats)-1].At.Add(beats[len(beats)-1].Length) {
		return all
	}
	all = all[:0]
	for _, b := range beats {
		all = append(all, Cell{v, b.At, b.Length, 0, 1})
	}
	return all
}

// written returns the groups of a voice in the beats of a bar.
func (p Passage) written(v Voice, beats []Beat) []node {
	l, _ := p.Line(v)
	nodes, _ := l.bar(beats)
	return nodes
}

// cells adds the cells of a group that are not cut again.
func (n node) cells(dst []Cell, v Voice) []Cell {
	at, cell, inner := n.At, n.Cell(), n.inner
	for i := range n.Cells {
		if len(inner) > 0 && inner[0].At == at {
			dst, inner = inner[0].cells(dst, v), inner[1:]
		} else {
			dst = append(dst, Cell{v, at, cell, i, n.Cells})
		}
		at = at.Add(cell)
	}
	return dst
}

// CellAt returns the cell of a voice in which a place lies; false outside the
// passage.
func (p Passage) CellAt(v Voice, at meter.Rat) (Cell, bool) {
	cells := p.cellsOf(v, p.barBeats(p.barAt(at)))
	i := cellAt(cells, at)
	if i < 0 || !at.Less(cells[i].End()) {
		return Cell{}, false
	}
	return cells[i], true
}

// cellAt returns the index of the last cell that begins at a place or before,
// -1 for none.
func cellAt(cells []Cell, at meter.Rat) int {
	i, found := slices.BinarySearchFunc(cells, at, func(c Cell, at meter.Rat) int { return c.At.Cmp(at) })
	if !found {
		i--
	}
	return i
}

// NextCell returns the cell after one, over beats and bar lines; false at the
// end. It goes by the cell's place, so the passage may have changed since.
func (p Passage) NextCell(c Cell) (Cell, bool) {
	now, ok := p.CellAt(c.Voice, c.At)
	if !ok {
		return Cell{}, false
	}
	return p.CellAt(c.Voice, now.End())
}

// PrevCell returns the cell before one, over beats and bar lines; false at the
// start. It goes by the cell's place, so the passage may have changed since.
func (p Passage) PrevCell(c Cell) (Cell, bool) {
	bar := p.barAt(c.At)
	cells := p.Cells(c.Voice, bar)
	if i := cellAt(cells, c.At); i > 0 {
		return cells[i-1], true
	}
	cells = p.Cells(c.Voice, bar-1)
	if len(cells) == 0 {
		return Cell{}, false
	}
	return cells[len(cells)-1], true
}

// CellBeside returns the cell so many lines down (up, where below zero) in
// which a cell begins; false where there is no such line.
func (p Passage) CellBeside(c Cell, lines int) (Cell, bool) {
	i := slices.IndexFunc(p.Lines, func(l Line) bool { return l.Voice == c.Voice })
	if i < 0 || i+lines < 0 || i+lines >= len(p.Lines) {
		return Cell{}, false
	}
	return p.CellAt(p.Lines[i+lines].Voice, c.At)
}

// GroupsAt returns the groups of a voice in which a place lies: that of its
// beat first, each further one cutting a cell of the one before. Nil outside
// the passage and where no cells hold the strokes.
func (p Passage) GroupsAt(v Voice, at meter.Rat) []Group {
	var all []Group
	beats := p.barBeats(p.barAt(at))
	if len(beats) == 0 {
		return nil
	}
	nodes := p.written(v, beats)
	for i := 0; i < len(nodes); i++ {
		if n := nodes[i]; !at.Less(n.At) && at.Less(n.End()) {
			all = append(all, n.Group)
			nodes, i = n.inner, -1
		}
	}
	return all
}

// Letter returns what stands in a cell in text: the stroke that begins there,
// "-" while one sounds, "." for nothing.
func (p Passage) Letter(c Cell) string {
	l, _ := p.Line(c.Voice)
	i := startingAt(l.Strokes, c.At)
	switch {
	case i < len(l.Strokes) && l.Strokes[i].At.Less(c.End()):
		return l.Strokes[i].Text()
	case i > 0 && l.Strokes[i-1].Sounds() && c.At.Less(l.Strokes[i-1].End()):
		return "-"
	}
	return "."
}

// barAt returns the bar (from 1) in which a place lies, 0 for none.
func (p Passage) barAt(at meter.Rat) int {
	if at.Sign() < 0 || !at.Valid() {
		return 0
	}
	var end meter.Rat
	for i, b := range p.Bars {
		if end = end.Add(b.Metre.Length()); at.Less(end) {
			return i + 1
		}
	}
	return 0
}

// barBeats returns the beats of a bar (from 1), nil for none.
func (p Passage) barBeats(bar int) []Beat {
	if bar < 1 || bar > len(p.Bars) {
		return nil
	}
	return p.grid(bar, bar)[0]
}
