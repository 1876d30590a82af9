package draft

import (
	"slices"
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// The functions of this file edit the strokes of one line, which they own: from
// and to are where the cells edited begin and end.

// from returns the index of the first stroke at a place or after it.
func strokeFrom(l passage.Line, at meter.Rat) int {
	return sort.Search(len(l.Strokes), func(i int) bool { return !l.Strokes[i].At.Less(at) })
}

// cut ends what sounds into a place there, and returns where it would have
// ended; the place itself when nothing did.
func cut(l *passage.Line, at meter.Rat) meter.Rat {
	i := strokeFrom(*l, at) - 1
	if i < 0 || !at.Less(l.Strokes[i].End()) {
		return at
	}
	end := l.Strokes[i].End()
	l.Strokes[i].Length = at.Sub(l.Strokes[i].At)
	return end
}

// strike puts a stroke into a cell, as a letter in place of the one there: a
// stroke that is there changes its kind, what was held through the cell goes
// on as the new stroke.
func strike(l *passage.Line, c passage.Cell, k passage.Kind) {
	i := strokeFrom(*l, c.At)
	if i < len(l.Strokes) && l.Strokes[i].At.Less(c.End()) {
		l.Strokes[i] = as(l.Strokes[i], k, c)
		return
	}
	s := passage.Stroke{At: c.At, Length: c.Length}
	if end := cut(l, c.At); c.At.Less(end) {
		s.Length = end.Sub(c.At)
	}
	l.Strokes = slices.Insert(l.Strokes, i, as(s, k, c))
}

// as returns a stroke as one of another kind. A choke lasts one cell, and a
// stroke that is no bend has no semitones.
func as(s passage.Stroke, k passage.Kind, c passage.Cell) passage.Stroke {
	if k == passage.Choke {
		s.Length, s.Fret = c.End().Sub(s.At), 0
	}
	switch {
	case k != passage.Bend:
		s.Bend = 0
	case s.Bend == 0:
		s.Bend = passage.DefaultBend
	}
	s.Kind = k
	return s
}

// silence leaves out the strokes that begin in a stretch, and ends there what is
// held into it.
func silence(l *passage.Line, from, to meter.Rat) {
	cut(l, from)
	l.Strokes = slices.Delete(l.Strokes, strokeFrom(*l, from), strokeFrom(*l, to))
}

// hold lengthens the stroke before a stretch to its end, and to that of the
// last stroke that began in it, which it takes the place of. It says why where there is nothing
// to hold: since the given place, the beginning of the bar, nothing sounded.
func hold(l *passage.Line, from, to, since meter.Rat) error {
	i := strokeFrom(*l, from) - 1
	if i < 0 || l.Strokes[i].End().Less(since) {
		return refuse("put a stroke there first", "nothing sounds before this place that could be held")
	}
	if l.Strokes[i].Kind == passage.Choke {
		return refuse("put a stroke after it first", "the choke before this place ended what rang")
	}
	end := most(to, l.Strokes[i].End())
	last := strokeFrom(*l, to)
	if last > i+1 && l.Strokes[last-1].Kind != passage.Choke {
		end = most(end, l.Strokes[last-1].End())
	}
	l.Strokes = slices.Delete(l.Strokes, i+1, last)
	l.Strokes[i].Length = end.Sub(l.Strokes[i].At)
	return nil
}
