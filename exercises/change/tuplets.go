package change

import (
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// tuplets are the changes of how time is divided.
func tuplets() []Entry {
	return []Entry{
		{
			Form:     "retime {voices} at {range} as {count}",
			About:    "The range becomes so many even strokes. The first ones are played as the strokes that stood there, further ones are plain hits.",
			Example:  "retime guitar kick at 2.4 as 3",
			effect:   retime,
			sentence: retimed,
			inverse:  retimeBack,
		},
		{
			Form:     "even {voices} [at {ranges}]",
			About:    "Tuplets become straight: each stroke goes to the nearest place of the coarsest straight division of its beat that keeps the strokes apart.",
			Example:  "even kick at 2.4",
			effect:   even,
			sentence: evened,
			inverse:  retimeBack,
		},
		{
			Form:     "swing {voices} [at {ranges}]",
			About:    "The second of each two halves of a beat comes late, as the third of a triplet; where the beat has strokes on sixteenths, the second of each two of these.",
			Example:  "swing kick at 1",
			effect:   swing,
			sentence: swung,
			inverse:  by("even"),
		},
		{
			Form:     "squeeze {voices} at {range} by {factor}",
			About:    "The strokes move together: distances from the start of the range are divided by the factor, and the rest of it is silent.",
			Example:  "squeeze kick at 2 by 2",
			effect:   squeeze,
			sentence: squeezed,
			inverse:  by("stretch"),
		},
		{
			Form:     "stretch {voices} at {range} by {factor}",
			About:    "The strokes move apart: distances from the start of the range are multiplied by the factor. What leaves the range is left out.",
			Example:  "stretch guitar at 2 by 3/2",
			effect:   stretchOut,
			sentence: stretched,
			inverse:  by("squeeze"),
		},
	}
}

func retime(p *passage.Passage, a Args) error {
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l, err := lineOf(p, v)
		if err != nil {
			return err
		}
		for _, s := range all {
			put(l, s, evenly(s, onsetsIn(*l, s), a.Count))
			writeAs(*p, l, s, a.Count)
		}
	}
	return nil
}

// evenly fills a stretch with n even strokes played like some old ones.
func evenly(s stretch, old []passage.Stroke, n int) []passage.Stroke {
	cell := s.length().Div(meter.Int(int64(n)))
	out := make([]passage.Stroke, n)
	at := s.from
	for i := range out {
		out[i].Kind = passage.Hit
		if i < len(old) {
			out[i] = old[i]
		}
		out[i].At, out[i].Length = at, cell
		at = at.Add(cell)
	}
	return out
}

func retimed(p passage.Passage, a Args) string {
	strokes := numberWord(a.Count) + " even strokes"
	if a.Count == 1 {
		strokes = "one stroke"
	}
	return said(subject(a.Voices), agree(a.Voices, "plays", "play"), strokes, a.where(p))
}

// retimeBack suggests as many even strokes as there were in the one range.
func retimeBack(p passage.Passage, a Args) []Change {
	all, err := a.stretches(p)
	l, _ := p.Line(a.Voices[0])
	if err != nil || len(a.At) != 1 {
		return nil
	}
	a.Count = len(onsetsIn(l, all[0]))
	return []Change{with("retime", a)}
}

// straight are the numbers of cells into which a beat is divided without a
// tuplet, coarsest first: by twos, or a dotted beat into three by twos.
var straight = map[bool][]int64{false: {2, 4, 8, 16}, true: {3, 6, 12}}

// dotted reports whether a beat of some quarter notes divides into three.
func dotted(beat meter.Rat) bool { return beat.Num()%3 == 0 }

func even(p *passage.Passage, a Args) error {
	beats := p.Beats()
	changed := map[passage.Voice]bool{}
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l, err := lineOf(p, v)
		if err != nil {
			return err
		}
		for _, b := range beats {
			beat := stretch{b.At, b.At.Add(b.Length)}
			i := slices.IndexFunc(all, func(s stretch) bool { return s.from.Less(beat.to) && beat.from.Less(s.to) })
			if i >= 0 && evenBeat(l, beat, all[i]) {
				changed[v] = true
			}
		}
		if !changed[v] {
			return refuse("leave it out, or choose another place", "the %s is straight already%s, or too dense to be", v, a.there(*p))
		}
	}
	return nil
}

// evenBeat makes the strokes of one beat straight, those that lie in a
// stretch; false when they are already or no straight division keeps them
// apart.
func evenBeat(l *passage.Line, beat, within stretch) bool {
	all := straight[dotted(beat.length())]
	old := strokesIn(*l, beat)
	finest := beat.length().Div(meter.Int(all[len(all)-1]))
	if !slices.ContainsFunc(old, func(s passage.Stroke) bool {
		return within.holds(s.At) && !finest.Divides(s.At.Sub(beat.from))
	}) {
		return false
	}
	for _, n := range all {
		cell := beat.length().Div(meter.Int(n))
		if out, ok := snapped(old, beat, within, cell); ok {
			put(l, beat, out)
			ungroup(l, beat)
			return true
		}
	}
	return false
}

// snapped moves strokes to the nearest multiples of a cell within a beat; false
// when two meet. Those outside a stretch stay.
func snapped(old []passage.Stroke, beat, within stretch, cell meter.Rat) ([]passage.Stroke, bool) {
	last := beat.to.Sub(cell)
	out := slices.Clone(old)
	for i, s := range out {
		if !within.holds(s.At) {
			continue
		}
		at := nearest(s.At, beat.from, cell)
		if last.Less(at) {
			at = last
		}
		end := s.End()
		if !beat.to.Less(end) {
			end = nearest(end, beat.from, cell)
		}
		if !at.Less(end) {
			end = at.Add(cell)
		}
		out[i].At, out[i].Length = at, end.Sub(at)
		if !within.holds(at) || i > 0 && !out[i-1].At.Less(at) {
			return nil, false
		}
	}
	for i := 1; i < len(out); i++ {
		if !out[i-1].At.Less(out[i].At) {
			return nil, false
		}
	}
	return out, true
}

// nearest returns the multiple of a cell after a place that is nearest to at;
// of two, the earlier.
func nearest(at, from, cell meter.Rat) meter.Rat {
	n := at.Sub(from).Div(cell)
	// the whole number nearest to n, halves down: ceil(n - 1/2)
	whole := -n.Sub(meter.R(1, 2)).Neg().Floor()
	return from.Add(cell.Mul(meter.Int(whole)))
}

func evened(p passage.Passage, a Args) string {
	return said(subject(a.Voices), agree(a.Voices, "plays", "play"), "straight", a.where(p))
}

func squeeze(p *passage.Passage, a Args) error {
	return stretchBy(p, a, meter.Int(1).Div(a.Factor))
}

func stretchOut(p *passage.Passage, a Args) error { return stretchBy(p, a, a.Factor) }

func stretchBy(p *passage.Passage, a Args, factor meter.Rat) error {
	if !meter.Int(1).Less(a.Factor) {
		return refuse("choose one above 1, such as 3/2 or 2", "the factor is %s", a.Factor)
	}
	return scale(factor)(p, a)
}

func squeezed(p passage.Passage, a Args) string {
	plays := subject(a.Voices) + " " + agree(a.Voices, "plays", "play")
	time := partWords(meter.Int(1).Div(a.Factor))
	if span, ok := strings.CutPrefix(a.where(p), "in "); ok {
		return said(plays, span, "in", time+":", "the rest is left empty")
	}
	return said(plays, "in", time, a.where(p)+":", "the rest is left empty")
}

// partWords says what part of the time something takes: "half the time", "two
// thirds of the time".
func partWords(part meter.Rat) string {
	switch part {
	case meter.R(1, 2):
		return "half the time"
	case meter.R(1, 3):
		return "a third of the time"
	case meter.R(2, 3):
		return "two thirds of the time"
	case meter.R(3, 4):
		return "three quarters of the time"
	}
	return part.String() + " of the time"
}

func stretched(p passage.Passage, a Args) string { return apart(p, a, a.Factor) }
