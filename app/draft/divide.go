package draft

import (
	"fmt"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Divide cuts the beat of the cursor, or every beat that is selected, into so
// many cells, 1 to [passage.MaxCells], in every voice that is selected. Strokes
// stay where they are when a cell begins there and else go to the nearest cell,
// the sooner of two; their order stays, and when two would meet nothing is changed.
func (d Draft) Divide(cells int) (Draft, error) { return d.DivideOver(cells, 1) }

// DivideOver is [Draft.Divide] with the cells spread over some beats of one bar
// together, from the first that is selected.
func (d Draft) DivideOver(cells, beats int) (Draft, error) {
	if cells < 1 || beats < 1 || cells > passage.MaxCells*beats {
		return d, refuse(fmt.Sprintf("choose 1 to %d", passage.MaxCells*max(beats, 1)), "%s", plural(cells, "cell"))
	}
	if _, err := d.current(); err != nil {
		return d, err
	}
	s := d.Selection()
	spans, err := spansOf(d.Passage(), s, beats)
	if err != nil {
		return d, err
	}
	name := fmt.Sprintf("%s in %s at %s", plural(cells, "cell"), few(s.Voices), d.Passage().Place(spans[0].At))
	return d.editLines(s.Voices, name, func(p passage.Passage, l *passage.Line) error {
		for _, b := range spans {
			if err := divide(p, l, passage.Group{At: b.At, Length: b.Length, Cells: cells}); err != nil {
				return err
			}
		}
		return nil
	})
}

// spansOf returns the beats that are selected, taken so many together.
func spansOf(p passage.Passage, s passage.Span, beats int) ([]passage.Beat, error) {
	var out []passage.Beat
	all := p.Beats()
	for i := 0; i < len(all); {
		b := all[i]
		if !s.From.Less(b.At.Add(b.Length)) || !b.At.Less(s.To) {
			i++
			continue
		}
		for n := 1; n < beats; n++ {
			if i+n >= len(all) || all[i+n].Bar != b.Bar {
				return nil, refuse("begin at an earlier beat", "bar %d has not %d beats from beat %d on", b.Bar, beats, b.Number)
			}
			b.Length = b.Length.Add(all[i+n].Length)
		}
		out = append(out, b)
		i += beats
	}
	if len(out) == 0 {
		return nil, refuse("choose a place in the bars", "no beat is selected")
	}
	return out, nil
}

// divide writes a stretch of a line, which it owns, as one group, with its
// strokes in cells of the group; p is the passage before.
func divide(p passage.Passage, l *passage.Line, g passage.Group) error {
	cell := g.Cell()
	if !cell.Valid() {
		return refuse("choose fewer", "%s are too fine for exact time here", plural(g.Cells, "cell"))
	}
	nearest := func(at meter.Rat) meter.Rat { return g.At.Add(cell.Mul(nearestInt(at.Sub(g.At).Div(cell)))) }
	first, next := strokeFrom(*l, g.At), strokeFrom(*l, g.End())
	if first > 0 && g.At.Less(l.Strokes[first-1].End()) && l.Strokes[first-1].End().Less(g.End()) {
		s := &l.Strokes[first-1] // held into the group
		s.Length = nearest(s.End()).Sub(s.At)
	}
	free := g.At // where the next stroke may begin
	for i := first; i < next; i++ {
		s := &l.Strokes[i]
		at := least(nearest(s.At), g.End().Sub(cell))
		if at.Less(free) {
			return refuse("clear one of them, or choose another number of cells", "in %s two strokes of %s would meet at %s", plural(g.Cells, "cell"), l.Voice, p.Place(at))
		}
		if i == first && first > 0 && at.Less(l.Strokes[first-1].End()) {
			l.Strokes[first-1].Length = at.Sub(l.Strokes[first-1].At)
		}
		s.Length = lengthIn(p, *l, *s, at, g, nearest)
		s.At, free = at, at.Add(cell)
		if i > first && at.Less(l.Strokes[i-1].End()) {
			l.Strokes[i-1].Length = at.Sub(l.Strokes[i-1].At)
		}
	}
	l.Groups = regrouped(l.Groups, g)
	return nil
}

// lengthIn returns how long a stroke is that goes to a cell of a group: as long
// as it was, to the nearest cell; one cell for a drum that took one cell.
func lengthIn(p passage.Passage, l passage.Line, s passage.Stroke, at meter.Rat, g passage.Group, nearest func(meter.Rat) meter.Rat) meter.Rat {
	old, _ := p.CellAt(l.Voice, s.At)
	end := s.End()
	switch {
	case s.Kind == passage.Choke, !l.Voice.Sustained() && s.Length == old.Length:
		return g.Cell()
	case end.Less(g.End()):
		end = nearest(end)
	}
	return most(end, at.Add(g.Cell())).Sub(at)
}

// nearestInt returns the nearest whole number, the lower of two.
func nearestInt(x meter.Rat) meter.Rat {
	half := meter.R(1, 2)
	return meter.Int(-half.Sub(x).Floor())
}

// regrouped returns the groups of a line with one in place of all that overlap
// it.
func regrouped(groups []passage.Group, g passage.Group) []passage.Group {
	var out []passage.Group
	end, gone := meter.R(-1, 1), false // of the beat group before, and whether it is left out
	for _, old := range groups {
		if !old.At.Less(end) {
			end = old.End()
			gone = old.At.Less(g.End()) && g.At.Less(end)
		}
		if !gone {
			out = append(out, old)
		}
	}
	i, _ := slices.BinarySearchFunc(out, g.At, func(o passage.Group, at meter.Rat) int { return o.At.Cmp(at) })
	return slices.Insert(out, i, g)
}
