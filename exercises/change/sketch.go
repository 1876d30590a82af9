package change

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// sketch makes a change without any of the checks of [Change.Apply]: only of
// the lines that it names, and with one-cell strokes left without a length. It
// is what a search can afford. The lines it does not name are left out.
func (c Change) sketch(p passage.Passage) (passage.Passage, bool) {
	out := p
	out.Bars = slices.Clone(p.Bars)
	out.Lines = make([]passage.Line, 0, len(p.Lines))
	for _, l := range p.Lines {
		if c.names(l.Voice) {
			l.Strokes = slices.Clone(l.Strokes)
			out.Lines = append(out.Lines, l)
		}
	}
	return out, c.Entry.effect(&out, c.Args) == nil
}

// names reports whether a change may touch, or has to look at, a voice: one
// that it names, or any if it names none.
func (c Change) names(v passage.Voice) bool {
	return len(c.Args.Voices) == 0 || slices.Contains(c.Args.Voices, v) || v == c.Args.To
}

// A gap is how far one passage is from another: strokes that differ, voice by
// voice, and bars that do. A bar that differs in metre weighs more than any
// stroke, as it moves them all.
type gap struct {
	voices [passage.Click + 1]int
	bars   int
}

// formWeight is the weight of a bar that differs in metre, or is one too many.
// Our choice: more than the strokes of a bar.
const formWeight = 1000

func (g gap) total() int {
	n := g.bars
	for _, d := range g.voices {
		n += d
	}
	return n
}

// lines counts the voices that differ.
func (g gap) lines() int {
	n := 0
	for _, d := range g.voices {
		if d > 0 {
			n++
		}
	}
	return n
}

// gapBetween returns how far a is from b.
func gapBetween(a, b passage.Passage) gap {
	g := gap{bars: barsApart(a.Bars, b.Bars)}
	for v := range g.voices {
		g.voices[v] = linesApart(a, b, passage.Voice(v))
	}
	return g
}

// after returns the gap when a sketch takes the place of what it names. A
// voice that the change named and left out of the sketch has no strokes in it.
func (g gap) after(c Change, sketch, b passage.Passage) gap {
	g.bars = barsApart(sketch.Bars, b.Bars)
	for v := range g.voices {
		if c.names(passage.Voice(v)) {
			g.voices[v] = linesApart(sketch, b, passage.Voice(v))
		}
	}
	return g
}

func linesApart(a, b passage.Passage, v passage.Voice) int {
	if !v.Valid() {
		return 0
	}
	x, _ := a.Line(v)
	y, _ := b.Line(v)
	return strokesApart(v, x.Strokes, y.Strokes)
}

// strokesApart counts the places where two lines of a voice differ.
func strokesApart(v passage.Voice, x, y []passage.Stroke) int {
	n := 0
	for len(x) > 0 && len(y) > 0 && x[len(x)-1] == y[len(y)-1] { // mostly many
		x, y = x[:len(x)-1], y[:len(y)-1]
	}
	for len(x) > 0 && len(y) > 0 {
		if x[0] == y[0] {
			x, y = x[1:], y[1:]
			continue
		}
		switch x[0].At.Cmp(y[0].At) {
		case -1:
			n, x = n+1, x[1:]
		case 1:
			n, y = n+1, y[1:]
		default:
			if !alike(v, x[0], y[0]) {
				n++
			}
			x, y = x[1:], y[1:]
		}
	}
	return n + len(x) + len(y)
}

// alike reports whether two strokes of a voice at one place sound alike, as
// far as their lengths are settled.
func alike(v passage.Voice, a, b passage.Stroke) bool {
	if !v.Sustained() || a.Kind == passage.Choke || unsettled(a) || unsettled(b) {
		a.Length = b.Length
	}
	return a == b
}

// barsApart weighs the bars that differ.
func barsApart(a, b []passage.Bar) int {
	n := min(len(a), len(b))
	apart := formWeight * (len(a) + len(b) - 2*n)
	for i := range n {
		switch {
		case a[i].Metre != b[i].Metre:
			apart += formWeight
		case a[i] != b[i]:
			apart++
		}
	}
	return apart
}

// sameForm reports whether two passages have bars of the same metres.
func sameForm(a, b passage.Passage) bool {
	return slices.EqualFunc(a.Bars, b.Bars, func(x, y passage.Bar) bool { return x.Metre == y.Metre })
}

// changes reports whether a sketch changes p, in every voice that the change
// names.
func (c Change) changes(p, sketch passage.Passage) bool {
	for _, v := range c.Args.Voices {
		if linesApart(p, sketch, v) == 0 {
			return false
		}
	}
	return len(c.Args.Voices) > 0 || (gap{}).after(c, sketch, p).total() > 0
}

// mark returns a number that is the same for sketches of p that come to the
// same, and hardly ever for others.
func (c Change) mark(p, sketch passage.Passage) uint64 {
	h := fnv(14695981039346656037)
	for v := passage.China; v <= passage.Click; v++ {
		if !c.names(v) || linesApart(p, sketch, v) == 0 {
			continue
		}
		l, _ := sketch.Line(v)
		h.add(uint64(v) << 56)
		for _, s := range l.Strokes {
			h.add(uint64(s.At.Num()))
			h.add(uint64(s.At.Den()))
			h.add(uint64(s.Kind)<<16 | uint64(s.Fret)<<8 | uint64(s.Bend))
			if v.Sustained() && s.Kind != passage.Choke {
				h.add(uint64(s.Length.Num()))
				h.add(uint64(s.Length.Den()))
			}
		}
	}
	for i, b := range sketch.Bars {
		if i < len(p.Bars) && b == p.Bars[i] {
			continue
		}
		h.add(uint64(i))
		h.add(uint64(b.Metre.Length().Num()))
		h.add(uint64(b.Tempo.BPM.Num()))
		h.add(uint64(b.Tempo.BPM.Den()))
	}
	h.add(uint64(len(sketch.Bars)))
	return uint64(h)
}

// textMark returns the mark of a change that is not sketched.
func textMark(text string) uint64 {
	h := fnv(14695981039346656037)
	for _, b := range []byte(text) {
		h.add(uint64(b))
	}
	return uint64(h)
}

// fnv is a Fowler-Noll-Vo hash (1991), taken a word at a time.
type fnv uint64

func (h *fnv) add(x uint64) {
	*h = fnv((uint64(*h) ^ x) * 1099511628211)
	*h ^= *h >> 29
}

// usable reports whether parameters are within the bounds of what can be
// written as text, as far as a proposal could leave them.
func (a Args) usable() bool {
	for _, g := range a.Groups {
		if g < 1 || g > maxGroup {
			return false
		}
	}
	factor := a.Factor.Sign() == 0 || !a.Factor.Less(meter.R(1, maxFactor)) && !meter.Int(maxFactor).Less(a.Factor)
	return a.By.Valid() && a.Factor.Valid() && factor && a.Count <= maxCount && len(a.Groups) <= maxGroups
}
