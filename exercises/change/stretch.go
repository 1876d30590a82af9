package change

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// lineOf returns the line of a voice in p, for changing it.
func lineOf(p *passage.Passage, v passage.Voice) (*passage.Line, error) {
	for i := range p.Lines {
		if p.Lines[i].Voice == v {
			return &p.Lines[i], nil
		}
	}
	return nil, refuse("name one of "+voiceNames(*p), "the passage has no %s", v)
}

// addedLine returns the line of a voice, a new one in printing order where the
// passage has none.
func addedLine(p *passage.Passage, v passage.Voice) *passage.Line {
	if l, err := lineOf(p, v); err == nil {
		return l
	}
	i := slices.IndexFunc(p.Lines, func(l passage.Line) bool { return v < l.Voice })
	if i < 0 {
		i = len(p.Lines)
	}
	p.Lines = slices.Insert(p.Lines, i, passage.Line{Voice: v})
	return &p.Lines[i]
}

// leaveOutEmpty takes the lines of voices out of p that have no strokes any more.
func leaveOutEmpty(p *passage.Passage, voices ...passage.Voice) {
	p.Lines = slices.DeleteFunc(p.Lines, func(l passage.Line) bool {
		return slices.Contains(voices, l.Voice) && len(l.Strokes) == 0
	})
}

// strokeAt returns the stroke of a line that begins at a place.
func strokeAt(l passage.Line, at meter.Rat) (passage.Stroke, bool) {
	if i, ok := indexAt(l, at); ok {
		return l.Strokes[i], true
	}
	return passage.Stroke{}, false
}

// indexAt returns the index of the first stroke of a line at or after a place,
// and whether one begins there.
func indexAt(l passage.Line, at meter.Rat) (int, bool) {
	return slices.BinarySearchFunc(l.Strokes, at, func(s passage.Stroke, at meter.Rat) int { return s.At.Cmp(at) })
}

// soundingAt returns the stroke of a line that still sounds at a place where
// it does not begin, as written: what a hand would have to stop.
func soundingAt(l passage.Line, at meter.Rat) (passage.Stroke, bool) {
	i, begins := indexAt(l, at)
	if begins || i == 0 || !at.Less(l.Strokes[i-1].End()) {
		return passage.Stroke{}, false
	}
	return l.Strokes[i-1], true
}

// strokesIn returns the strokes of a line that begin in a stretch; they are
// the line's own.
func strokesIn(l passage.Line, s stretch) []passage.Stroke {
	i, _ := indexAt(l, s.from)
	j, _ := indexAt(l, s.to)
	return l.Strokes[i:j]
}

// onsetsIn returns the strokes that begin in a stretch and make a sound of
// their own, as a new slice.
func onsetsIn(l passage.Line, s stretch) []passage.Stroke {
	var all []passage.Stroke
	for _, stroke := range strokesIn(l, s) {
		if stroke.Sounds() {
			all = append(all, stroke)
		}
	}
	return all
}

// put replaces the strokes that begin in a stretch by others. Those that would
// begin outside are left out. A new stroke ends at the latest where the next
// begins, and where the stretch ends or what stood in it did. What is held into
// the stretch is cut where something begins. Strokes outside stay as they are.
// In a voice that does not sound as long as it is written, new strokes last one
// cell; putLong leaves them as long as they are. Two new strokes at one place are both put; [Change.Apply] refuses them.
func put(l *passage.Line, s stretch, strokes []passage.Stroke) {
	strokes = slices.Clone(strokes)
	for i, n := range strokes {
		if old, ok := strokeAt(*l, n.At); !l.Voice.Sustained() && !(ok && old == n) {
			strokes[i].Length = meter.Rat{}
		}
	}
	putLong(l, s, strokes)
}

func putLong(l *passage.Line, s stretch, strokes []passage.Stroke) {
	old := strokesIn(*l, s)
	end := s.to
	if n := len(old); n > 0 && end.Less(old[n-1].End()) {
		end = old[n-1].End()
	}
	var in []passage.Stroke
	for _, n := range strokes {
		if n.At.Valid() && !s.holds(n.At) {
			continue
		}
		if end.Less(n.End()) {
			n.Length = end.Sub(n.At)
		}
		in = append(in, n)
	}
	slices.SortStableFunc(in, func(a, b passage.Stroke) int { return a.At.Cmp(b.At) })
	i, _ := indexAt(*l, s.from)
	l.Strokes = slices.Replace(slices.Clone(l.Strokes), i, i+len(old), in...)
	for j := max(i-1, 0); j < min(i+len(in), len(l.Strokes)-1); j++ {
		l.Strokes[j] = endBy(l.Strokes[j], l.Strokes[j+1].At)
	}
}

// endBy returns a stroke that ends at a place at the latest. A stroke that
// begins there, or later, stays as it is.
func endBy(s passage.Stroke, at meter.Rat) passage.Stroke {
	if s.At.Less(at) && at.Less(s.End()) {
		s.Length = at.Sub(s.At)
	}
	return s
}

// silence leaves out the strokes that begin in a stretch, and cuts what is held
// into it.
func silence(l *passage.Line, s stretch) {
	put(l, s, nil)
	if i, _ := indexAt(*l, s.from); i > 0 {
		l.Strokes[i-1] = endBy(l.Strokes[i-1], s.from)
	}
}

// ungroup forgets how a line is written in a stretch: groups that overlap it
// are left out, so that the fewest cells are found anew.
func ungroup(l *passage.Line, s stretch) {
	l.Groups = slices.DeleteFunc(slices.Clone(l.Groups), func(g passage.Group) bool {
		return g.At.Less(s.to) && s.from.Less(g.End())
	})
}

// writeAs says that a stretch of a line is written as so many equal cells. It
// holds where the stretch is whole beats of one bar, or one cell of an equal
// division of a beat.
func writeAs(p passage.Passage, l *passage.Line, s stretch, cells int) {
	beat := beatAt(p, s.from)
	ungroup(l, s)
	groups := []passage.Group{{At: s.from, Length: s.length(), Cells: cells}}
	parts := beat.length().Div(s.length())
	if whole := s.from == beat.from && !s.to.Less(beat.to); !whole && parts.Den() == 1 {
		groups = append([]passage.Group{{At: beat.from, Length: beat.length(), Cells: int(parts.Floor())}}, groups...)
	}
	i, _ := slices.BinarySearchFunc(l.Groups, s.from, func(g passage.Group, at meter.Rat) int { return g.At.Cmp(at) })
	l.Groups = slices.Insert(l.Groups, i, groups...)
}

// beatAt returns the beat in which a place of the passage lies.
func beatAt(p passage.Passage, at meter.Rat) stretch {
	for _, b := range p.Beats() {
		if beat := (stretch{b.At, b.At.Add(b.Length)}); beat.holds(at) {
			return beat
		}
	}
	return stretch{at, at}
}

// eachStretch works on the strokes of every named voice in every stretch: f
// gets them and returns those that take their place. It refuses where a voice
// has no strokes, or would have none left.
func eachStretch(p *passage.Passage, a Args, f func(s stretch, strokes []passage.Stroke) []passage.Stroke) error {
	return eachLine(p, a, func(l *passage.Line, s stretch, strokes []passage.Stroke) { put(l, s, f(s, strokes)) })
}

// eachLine is eachStretch for an f that puts the strokes into the line itself.
func eachLine(p *passage.Passage, a Args, f func(l *passage.Line, s stretch, strokes []passage.Stroke)) error {
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l, err := lineOf(p, v)
		if err != nil {
			return err
		}
		before, after := 0, 0
		for _, s := range all {
			was := slices.Clone(strokesIn(*l, s))
			before += len(was)
			f(l, s, was)
			after += len(strokesIn(*l, s))
		}
		switch {
		case before == 0:
			return refuse("name another voice or place", "the %s has no strokes%s", v, a.there(*p))
		case after == 0:
			return refuse("choose a smaller step or a longer part", "nothing of the %s would be left%s", v, a.there(*p))
		}
	}
	return nil
}
