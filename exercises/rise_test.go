package exercises

import (
	"testing"

	"stampmill/exercises/complexity"
	"stampmill/exercises/passage"
)

// most is how far the load of a step may lie below that of the step before, as
// a share of it.
const most = 0.1

// Climbs climb: syncopation plus speed never falls by more than a tenth from a
// step to the next.
func TestClimbsRise(t *testing.T) {
	for _, e := range Library() {
		var before *passage.Passage
		last := complexity.Rating{}
		for i, s := range e.Climb.Steps {
			r := complexity.Rate(before, s.Passage)
			if r.Load() < (1-most)*last.Load() {
				t.Errorf("%s, step %d, %s: load %.1f (syncopation %d in bar %d of %v, %.1f strokes a second of the %s) after %.1f (syncopation %d in bar %d of %v, %.1f strokes a second of the %s)",
					e.Name, i+1, s.Title, r.Load(), r.Syncopation, r.Hardest, r.Bars, r.PeakRate, r.Fastest,
					last.Load(), last.Syncopation, last.Hardest, last.Bars, last.PeakRate, last.Fastest)
			}
			before, last = &s.Passage, r
		}
	}
}
