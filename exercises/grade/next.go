package grade

import (
	"fmt"
	"math"

	"stampmill/exercises/meter"
)

// A NextKind is a kind of suggestion that can be started with one key.
type NextKind uint8

// The kinds of suggestion.
const (
	Again        NextKind = iota // the same once more
	Slower                       // at BPM
	Faster                       // at BPM
	LoopBars                     // only bars First to Last
	WholeStep                    // all bars again
	NextStep                     // the next step of the climb
	MeasureDelay                 // measure the delay of device and input
)

// Next is what to do next.
type Next struct {
	Kind        NextKind
	BPM         float64 // Slower and Faster
	First, Last int     // LoopBars, from 1
}

// String returns the suggestion in words, such as "Only bar 2."
func (n Next) String() string {
	switch n.Kind {
	case Slower:
		return fmt.Sprintf("Slower, at %g BPM.", n.BPM)
	case Faster:
		return fmt.Sprintf("Faster, at %g BPM.", n.BPM)
	case LoopBars:
		if n.First == n.Last {
			return fmt.Sprintf("Only bar %d.", n.First)
		}
		return fmt.Sprintf("Only bars %d to %d.", n.First, n.Last)
	case WholeStep:
		return "All bars."
	case NextStep:
		return "The next step."
	case MeasureDelay:
		return "Measure the delay of this input."
	}
	return "The same again."
}

// When what is suggested. Our choice.
const (
	slowerBy  = 0.90 // of the tempo, after a take that did not pass
	muchBy    = 0.80 // after one with fewer hits than muchBelow
	muchBelow = 0.75
	fasterBy  = 1.05 // after one that passed below the written tempo
	delayMS   = 25.0 // a lean above this and above the spread, with no delay measured, is rather the device's
)

// next returns what to do next.
func (r report) next(found []finding) Next {
	written := r.p.Bars[0].Tempo.BPM.Float()
	section := r.g.take.Bars != [2]int{} && len(r.ByBar) < len(r.p.Bars)
	switch {
	case r.Expected == 0 || len(r.g.taps) == 0:
		return Next{Kind: Again}
	case r.delayed():
		return Next{Kind: MeasureDelay}
	case r.Passed && r.g.take.Tempo < written-0.5:
		return Next{Kind: Faster, BPM: min(written, math.Ceil(r.g.take.Tempo*fasterBy))}
	case r.Passed && section:
		return Next{Kind: WholeStep}
	case r.Passed:
		return Next{Kind: NextStep}
	case !r.Spread.OK && r.Missed == 0 && r.Extra == 0:
		return Next{Kind: Again} // only more strokes are wanting
	}
	if bar := r.weakBar(found); bar > 0 && len(r.ByBar) > 1 && !r.runs {
		return Next{Kind: LoopBars, First: bar, Last: bar}
	}
	return r.slower()
}

// delayed reports whether the lean is rather that of a device whose delay was
// not measured: it is large, and neither spread nor drift explain it.
func (r report) delayed() bool {
	lean := math.Abs(r.Leaning.Value)
	drift := 0.0 // seconds over half the take
	if r.drift.ok {
		drift = math.Abs(r.drift.slope) * (r.drift.at - r.whole[0].at)
	}
	return r.g.take.LatencyMS == 0 && r.Leaning.sure() && lean >= delayMS &&
		r.Spread.OK && r.Spread.Value < lean && 1000*drift < lean/2
}

// weakBar returns the bar that most faults are in, or that of a tuplet which
// weighs most; 0 for none.
func (r report) weakBar(found []finding) int {
	if len(found) > 0 && found[0].tuplet != nil {
		return found[0].bar
	}
	for _, b := range r.ByBar {
		if mostly(b.Missed+b.Extra, r.Missed+r.Extra) {
			return b.Bar
		}
	}
	return 0
}

// slower returns a lower tempo that every bar of the passage can have.
func (r report) slower() Next {
	by := slowerBy
	if share(r.Matched, r.Expected) < muchBelow {
		by = muchBy
	}
	bpm := math.Floor(r.g.take.Tempo * by)
	if _, err := r.p.AtTempo(meter.Int(int64(bpm))); err != nil {
		return Next{Kind: Again}
	}
	return Next{Kind: Slower, BPM: bpm}
}
