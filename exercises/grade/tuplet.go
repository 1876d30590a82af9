package grade

import (
	"slices"
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A tuplet is a written tuplet of one voice with the positions of its strokes.
type tuplet struct {
	passage.Tuplet
	voice   passage.Voice
	strokes []int // indices of positions, at least two
	next    int   // position of the first stroke after it, of this pass or the next
	wraps   bool  // that stroke is in the next pass
	split   []int
}

// writtenTuplets returns the tuplets of the expected strokes with at least two
// strokes, in order of place. On a single key, tuplets of several voices with
// the same strokes are one.
func (g *grader) writtenTuplets(p passage.Passage) []tuplet {
	var all []tuplet
	for _, written := range p.Tuplets() {
		for _, v := range written.Voices {
			t := tuplet{Tuplet: written, voice: v}
			g.findStrokes(&t)
			if len(t.strokes) >= 2 && !(g.oneKey && slices.ContainsFunc(all, t.same)) {
				all = append(all, t)
			}
		}
	}
	return all
}

func (t tuplet) same(u tuplet) bool {
	return t.Group == u.Group && slices.Equal(t.strokes, u.strokes)
}

// findStrokes looks up the positions of the tuplet's strokes, the next stroke
// of the same lane, and the written split.
func (g *grader) findStrokes(t *tuplet) {
	t.next, t.wraps = -1, true
	for i, pos := range g.expected.Positions {
		switch {
		case !g.oneKey && !pos.Voices.Has(t.voice):
		case !pos.At.Less(t.End()):
			t.next, t.wraps = i, false
		case t.next < 0:
			t.next = i // the first of all: where the next pass begins
		}
		if !t.wraps {
			break
		}
		if pos.Voices.Has(t.voice) && !pos.At.Less(t.At) {
			t.strokes = append(t.strokes, i)
		}
	}
	var lengths []meter.Rat
	for k, i := range t.strokes {
		end := t.End()
		if k+1 < len(t.strokes) {
			end = g.expected.Positions[t.strokes[k+1]].At
		}
		lengths = append(lengths, end.Sub(g.expected.Positions[i].At))
	}
	t.split = split(lengths)
}

// tuplets returns how the written tuplets came out.
func (g *grader) tuplets(p passage.Passage) []TupletFigures {
	written := g.writtenTuplets(p)
	out := make([]TupletFigures, len(written))
	for i, t := range written {
		out[i] = TupletFigures{Voice: t.voice, At: t.At, End: t.End(), Place: p.Place(t.At), Written: t.Ratio, Split: t.split, SpanMS: 1000 * g.span(t)}
		g.measure(&out[i], t)
	}
	return out
}

// measure fills in what was played.
func (g *grader) measure(f *TupletFigures, t tuplet) {
	passes := len(g.expected.Onsets) / len(g.expected.Positions)
	sum := make([]float64, len(t.split))
	for pass := range passes {
		if shares := g.shares(t, pass); shares != nil {
			f.N++
			for i, s := range shares {
				sum[i] += s
			}
		}
	}
	if f.N == 0 {
		return
	}
	for i := range sum {
		sum[i] /= float64(f.N)
	}
	f.Played = sum
	f.Nearest = nearest(sum, t.split)
	f.AwayMS = f.SpanMS * distance(sum, t.split)
}

// span returns the written seconds from the tuplet's first stroke to its end.
func (g *grader) span(t tuplet) float64 {
	first := g.expected.Positions[t.strokes[0]]
	return g.expected.clock.seconds(t.End()) - first.Seconds
}

// shares returns how one pass (from 0) split the span from the tuplet's first
// stroke to its end; nil where a stroke was missed.
//
// The end is where the next stroke was played, less the written time between
// the end and that stroke; where none follows within the length of the
// tuplet, or it was missed, the span is taken to be as long as written.
func (g *grader) shares(t tuplet, pass int) []float64 {
	first := g.alongOf[pass*len(g.expected.Positions)+t.strokes[0]]
	if first < 0 {
		return nil
	}
	end, ok := g.playedEnd(t, pass)
	if !ok {
		end = g.taps[first] + g.span(t)
	}
	at := g.strokesPlayed(t, pass, end)
	if at == nil || !(end > at[len(at)-1]) {
		return nil
	}
	shares := make([]float64, len(at))
	for i := range at {
		to := end
		if i+1 < len(at) {
			to = at[i+1]
		}
		shares[i] = (to - at[i]) / (end - at[0])
	}
	return shares
}

// strokesPlayed returns when the tuplet's strokes were played in one pass:
// where their taps are or, since a stroke of a tuplet that came out otherwise
// may be too far off to match, where as many taps are from the first stroke's
// to the end. It is nil where there are not as many.
func (g *grader) strokesPlayed(t tuplet, pass int, end float64) []float64 {
	var at []float64
	for _, i := range t.strokes {
		if tap := g.alongOf[pass*len(g.expected.Positions)+i]; tap >= 0 {
			at = append(at, g.taps[tap])
		}
	}
	if len(at) == len(t.strokes) {
		return at
	}
	lane := g.byLane[g.laneOf(SetOf(t.voice))].taps
	from, to := g.firstFrom(lane, at[0]), g.firstFrom(lane, end-edgeSlack)
	if to-from != len(t.strokes) {
		return nil
	}
	at = at[:0]
	for _, tap := range lane[from:to] {
		at = append(at, g.taps[tap])
	}
	return at
}

// firstFrom returns the index of the first tap of a lane at or after seconds.
func (g *grader) firstFrom(lane []int, seconds float64) int {
	return sort.Search(len(lane), func(i int) bool { return g.taps[lane[i]] >= seconds })
}

// playedEnd returns the end of the tuplet by the stroke after it.
func (g *grader) playedEnd(t tuplet, pass int) (float64, bool) {
	onset := pass*len(g.expected.Positions) + t.next
	if t.wraps {
		onset += len(g.expected.Positions)
	}
	if t.next < 0 || onset >= len(g.expected.Onsets) || g.alongOf[onset] < 0 {
		return 0, false
	}
	after := g.expected.clock.seconds(t.End()) + float64(pass)*g.expected.PassSeconds
	gap := g.expected.Onsets[onset].Seconds - after
	long := g.expected.clock.seconds(t.End()) - g.expected.clock.seconds(t.At)
	return g.taps[g.alongOf[onset]] - gap, gap <= long
}
