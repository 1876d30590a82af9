package grade

import (
	"fmt"
	"slices"
	"sort"

	"stampmill/exercises/passage"
)

// Grade returns the verdict of a take of the passage p. The passage is whole
// and at its written tempo; tempo, bars and passes are those of the take. The
// errors are for people: the part is not in the passage, the bars are not, or
// a number of the take is outside its limits.
//
// A take in which no tap names a voice is graded on one key: strokes of
// several voices at one place are one stroke. Otherwise each voice is graded
// with its own taps, and taps without a voice or with one outside the part
// are extra; where the part is a single voice, taps without a voice are taken
// as that voice's.
//
// Where the player stopped early, only strokes before that are expected, and
// one whose window was still open is not missed.
func Grade(p passage.Passage, t Take, o Options) (Verdict, error) {
	g, err := matched(p, t, o)
	if err != nil {
		return Verdict{}, err
	}
	v := g.verdict(p, o)
	if o.NoSearch || !searched {
		return v, nil
	}
	s := newSearch(g, p, o)
	s.Next(allWork)
	if m := s.Misreading(); m != nil {
		v = v.With(m)
	}
	return v, nil
}

// matched returns a grader that has matched the taps of a take.
func matched(p passage.Passage, t Take, o Options) (*grader, error) {
	if o.LatencyMS.OK {
		t.LatencyMS = o.LatencyMS.Value
	}
	if err := bounded(t); err != nil {
		return nil, err
	}
	e, err := Expect(p, t, t.OneKey())
	if err != nil {
		return nil, err
	}
	g := newGrader(e, t)
	g.shareOut()
	for k := range g.byLane {
		g.matchLane(&g.byLane[k])
	}
	return g, nil
}

// bounded returns an error where a number of the take is not finite or beyond
// its limit; what Expect reads is checked there.
func bounded(t Take) error {
	if !(t.LatencyMS >= -MaxLatencyMS && t.LatencyMS <= MaxLatencyMS) {
		return fmt.Errorf("a latency of %g ms is outside ±%g; measure it again", t.LatencyMS, MaxLatencyMS)
	}
	if s := t.Stopped.Value; t.Stopped.OK && !(s >= -MaxSeconds && s <= MaxSeconds) {
		return fmt.Errorf("stopped at %g s is outside ±%g; leave it out", s, MaxSeconds)
	}
	if len(t.Taps) > MaxTaps {
		return fmt.Errorf("%d taps are more than %d; split the take", len(t.Taps), MaxTaps)
	}
	for i, tap := range t.Taps {
		if !(tap.Seconds >= -MaxSeconds && tap.Seconds <= MaxSeconds) {
			return fmt.Errorf("taps[%d].seconds: %g is outside ±%g; leave the tap out", i, tap.Seconds, MaxSeconds)
		}
	}
	return nil
}

// A grader holds a take against what was expected.
type grader struct {
	expected Expected
	take     Take
	oneKey   bool
	taps     []float64 // seconds, latency taken off, as indexed in the take
	order    []int     // indices of the taps in order of time
	tapOf    []int     // for each onset its tap, or -1
	alongOf  []int     // the same with the course of the take taken off
	graceOf  []played  // for each onset its grace strokes; nil where none are written
	open     []bool    // for each onset: still to come when the player stopped
	used     []bool    // for each tap: matched
	byLane   [32]lane  // by voice; all in that of NoVoice on a single key
	within25 int       // hits of the F-measures
	within50 int
}

func newGrader(e Expected, t Take) *grader {
	g := &grader{
		expected: e, take: t, oneKey: t.OneKey(),
		taps: make([]float64, len(t.Taps)), order: make([]int, len(t.Taps)),
		tapOf: make([]int, len(e.Onsets)), open: make([]bool, len(e.Onsets)),
		used: make([]bool, len(t.Taps)),
	}
	for i, tap := range t.Taps {
		g.taps[i], g.order[i] = tap.Seconds-t.LatencyMS/1000, i
	}
	slices.SortStableFunc(g.order, func(a, b int) int {
		switch {
		case g.taps[a] < g.taps[b]:
			return -1
		case g.taps[a] > g.taps[b]:
			return 1
		}
		return 0
	})
	for i := range g.tapOf {
		g.tapOf[i] = -1
	}
	return g
}

// A lane is a list of onsets and the taps that may play them, both in order of
// time.
type lane struct {
	onsets, taps []int     // indices in Expected.Onsets and Take.Taps
	target                 // seconds of the onsets, and their windows
	tapped       []float64 // seconds of the taps
	plain        []float64 // those of them that are no grace strokes
	due          int       // onsets up to the last that was to be played
}

// shareOut fills the lanes: one for a single key, else one for each voice. Taps
// that belong to no lane are left out.
func (g *grader) shareOut() {
	voices := 0
	for i, o := range g.expected.Onsets {
		l := &g.byLane[g.laneOf(g.expected.Positions[o.Position].Voices)]
		if len(l.onsets) == 0 {
			voices++
		}
		l.onsets = append(l.onsets, i)
	}
	for _, i := range g.order {
		k := int(passage.NoVoice)
		if v := g.take.Taps[i].Voice; v.Valid() {
			k = int(v)
		} else if voices == 1 {
			k = g.laneOf(g.expected.Positions[0].Voices)
		}
		g.byLane[k].taps = append(g.byLane[k].taps, i)
	}
}

// laneOf returns the number of the lane of strokes of these voices.
func (g *grader) laneOf(s VoiceSet) int {
	if g.oneKey {
		return int(passage.NoVoice)
	}
	return int(s.first())
}

// matchLane matches the taps of a lane with its onsets.
func (g *grader) matchLane(l *lane) {
	for _, i := range l.onsets {
		l.at = append(l.at, g.expected.Onsets[i].Seconds)
	}
	for _, i := range l.taps {
		l.tapped = append(l.tapped, g.taps[i])
	}
	l.window, l.graces = windows(l.at), g.gracesOf(l)
	of, graces := l.match(l.tapped)
	tapped := g.takeGraces(l, of, graces)
	l.plain = tapped
	var due []float64 // onsets that were to be played
	for k, tap := range of {
		i := l.onsets[k]
		g.open[i] = tap < 0 && g.take.Stopped.OK && l.at[k]+l.window[k] > g.take.Stopped.Value-g.take.LatencyMS/1000
		if tap >= 0 {
			g.tapOf[i] = l.taps[tap]
			g.used[l.taps[tap]] = true
		}
		if !g.open[i] {
			due = append(due, l.at[k])
			l.due = k + 1
		}
	}
	g.within25 += within(due, tapped, 0.025)
	g.within50 += within(due, tapped, 0.050)
}

// first returns the first voice of the set; NoVoice if it is empty.
func (s VoiceSet) first() passage.Voice {
	if all := s.Voices(); len(all) > 0 {
		return all[0]
	}
	return passage.NoVoice
}

// Nearest returns the onset nearest to a tap at the given seconds, latency
// taken off, and the tap's error in seconds; false where none is within 100
// ms. With a voice only its onsets count; with NoVoice all. It serves to show
// a tap at once: the verdict matches the take as a whole.
func (e Expected) Nearest(seconds float64, v passage.Voice) (onset int, err float64, ok bool) {
	i := sort.Search(len(e.Onsets), func(i int) bool { return e.Onsets[i].Seconds >= seconds-maxWindow })
	for ; i < len(e.Onsets) && e.Onsets[i].Seconds <= seconds+maxWindow; i++ {
		if v.Valid() && !e.Positions[e.Onsets[i].Position].Voices.Has(v) {
			continue
		}
		d := seconds - e.Onsets[i].Seconds
		if !ok || d*d < err*err {
			onset, err, ok = i, d, true
		}
	}
	return onset, err, ok
}
