package grade

import "fmt"

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
