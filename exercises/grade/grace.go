package grade

import (
	"math"
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// How far before its main stroke a grace stroke may be to be one: common
// practice plays a flam as one thick stroke and a drag as two light ones before
// it; the numbers are our choice. Where the stroke before is near, grace
// strokes are nearer to their own than to that one, or little less near.
const (
	gapReach  = 0.6   // of the time since the stroke before
	flamReach = 0.100 // seconds
	dragReach = 0.150 // the first of the two
)

// usualGraceMS is how long before the main stroke the first grace stroke
// usually comes: common practice, the numbers are our choice. Nearer a flam
// sounds as one stroke (two onsets are told apart in order from about 20 ms;
// Hirsh 1959), farther as two.
var usualGraceMS = map[passage.Kind][2]float64{
	passage.Flam: {15, 50},
	passage.Drag: {40, 110},
}

// UsualGraceMS returns between which distances in ms the first grace stroke of
// a flam or drag usually comes before its main stroke; common practice, the
// numbers are our choice.
func UsualGraceMS(k passage.Kind) (least, most float64) {
	u := usualGraceMS[k]
	return u[0], u[1]
}

// graceStrokes returns how many grace strokes a kind of stroke is written with.
func graceStrokes(k passage.Kind) int {
	switch k {
	case passage.Flam:
		return 1
	case passage.Drag:
		return 2
	}
	return 0
}

// A graced says how many grace strokes are written before an onset, and how
// many seconds before its tap the first of them may be.
type graced struct {
	strokes int
	reach   float64
}

// newGraced returns the grace strokes of an onset that comes gap seconds after
// the one before it in its lane.
func newGraced(strokes int, gap float64) graced {
	switch strokes {
	case 0:
		return graced{}
	case 1:
		return graced{1, min(flamReach, gapReach*gap)}
	}
	return graced{strokes, min(dragReach, gapReach*gap)}
}

// most returns how many of the taps just before tap j, none before lo, can be
// grace strokes of onset i.
func (t target) most(i int, taps []float64, j, lo int) int {
	if t.graces == nil {
		return 0
	}
	n := 0
	for n < t.graces[i].strokes && j-n > lo && taps[j]-taps[j-n-1] <= t.graces[i].reach {
		n++
	}
	return n
}

// firstReached returns for each onset the time from which on a tap may play it,
// its grace strokes, or those of a later onset: rows begin there, so that what
// comes before a grace stroke is still known where its onset is reached. It is
// nil where no grace strokes are written.
func (t target) firstReached() []float64 {
	if t.graces == nil {
		return nil
	}
	from := make([]float64, len(t.at))
	for i := len(from) - 1; i >= 0; i-- {
		from[i] = t.at[i] - 1.5*t.window[i] - t.graces[i].reach // 1.5 is a little more than sqrt(2), where a pair ends
		if i+1 < len(from) {
			from[i] = min(from[i], from[i+1])
		}
	}
	return from
}

// until returns the first n onsets as a target.
func (t target) until(n int) target {
	t.at, t.window = t.at[:n], t.window[:n]
	if t.graces != nil {
		t.graces = t.graces[:n]
	}
	return t
}

// gracesOf returns the grace strokes written before the onsets of a lane, nil
// where there are none.
func (g *grader) gracesOf(l *lane) []graced {
	var all []graced
	last := math.Inf(-1)
	for k, i := range l.onsets {
		if n := g.expected.Positions[g.expected.Onsets[i].Position].Graces; n > 0 {
			if all == nil {
				all = make([]graced, len(l.onsets))
			}
			all[k] = newGraced(n, l.at[k]-last)
		}
		last = l.at[k]
	}
	return all
}

// A played is the grace strokes that were played before an onset: how many
// there are, and the first of their taps.
type played struct{ strokes, first int }

// takeGraces marks the taps of a lane that play grace strokes as used and
// returns the times of the others. Of each onset the tap is given, or -1, and
// how many before it are grace strokes.
func (g *grader) takeGraces(l *lane, of []int, graces []byte) []float64 {
	if graces == nil {
		return l.tapped
	}
	if g.graceOf == nil {
		g.graceOf = make([]played, len(g.expected.Onsets))
	}
	var others []float64
	next := 0
	for k, n := range graces {
		if n == 0 {
			continue
		}
		first := of[k] - int(n)
		g.graceOf[l.onsets[k]] = played{int(n), l.taps[first]}
		for _, tap := range l.taps[first:of[k]] {
			g.used[tap] = true
		}
		others = append(others, l.tapped[next:first]...)
		next = of[k]
	}
	return append(others, l.tapped[next:]...)
}

// graceTaps returns how many taps play grace strokes.
func (g *grader) graceTaps() int {
	n := 0
	for _, p := range g.graceOf {
		n += p.strokes
	}
	return n
}

// graces returns how the grace strokes of the written flams and drags came
// out, in order of place.
func (g *grader) graces(p passage.Passage) []GraceFigures {
	var out []GraceFigures
	for i, pos := range g.expected.Positions {
		if pos.Graces > 0 {
			f := GraceFigures{At: pos.At, Place: pos.Place}
			f.Voice, f.Kind = graceVoice(p, pos)
			g.measureGraces(&f, i)
			out = append(out, f)
		}
	}
	return out
}

// measureGraces fills in what was played at a position.
func (g *grader) measureGraces(f *GraceFigures, position int) {
	var before []float64 // seconds
	for i := position; i < len(g.expected.Onsets); i += len(g.expected.Positions) {
		main := g.tapOf[i]
		if main < 0 {
			continue
		}
		f.N++
		var played played
		if g.graceOf != nil {
			played = g.graceOf[i]
		}
		if played.strokes < g.expected.Positions[position].Graces {
			f.Missing++
		}
		if played.strokes > 0 {
			before = append(before, g.taps[main]-g.taps[played.first])
		}
	}
	f.GraceMS = leaning(before)
}

// graceDistance returns how long before their main strokes the first grace
// strokes of all flams, or of all drags, came.
func (g *grader) graceDistance(k passage.Kind) Figure {
	var before []float64 // seconds
	for i, played := range g.graceOf {
		if played.strokes > 0 && g.expected.Positions[g.expected.Onsets[i].Position].Graces == graceStrokes(k) {
			before = append(before, g.taps[g.tapOf[i]]-g.taps[played.first])
		}
	}
	return leaning(before)
}

// graceVoice returns which voice of a position has a flam or drag, the first
// with the most grace strokes, and which of the two.
func graceVoice(p passage.Passage, pos Position) (passage.Voice, passage.Kind) {
	for _, v := range pos.Voices.Voices() {
		if s, ok := strokeAt(p, v, pos.At); ok && graceStrokes(s.Kind) == pos.Graces {
			return v, s.Kind
		}
	}
	return passage.NoVoice, passage.NoKind
}

// strokeAt returns the stroke of a voice that sounds from a place on.
func strokeAt(p passage.Passage, v passage.Voice, at meter.Rat) (passage.Stroke, bool) {
	l, _ := p.Line(v)
	i := sort.Search(len(l.Strokes), func(i int) bool { return !l.Strokes[i].At.Less(at) })
	for ; i < len(l.Strokes) && l.Strokes[i].At == at; i++ {
		if l.Strokes[i].Sounds() {
			return l.Strokes[i], true
		}
	}
	return passage.Stroke{}, false
}
