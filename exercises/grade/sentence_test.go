package grade

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// wobble is a spread of about 6 ms whose mean is 0 over four passes of each
// stroke.
func wobble(o Onset) float64 { return []float64{-6, 6, 5, -5}[(o.Pass+o.Position)%4] }

// TestDifferencesAreRare: of takes in which no bar differs, at most one in
// twenty is told that one does, however many bars there are (a 95 % interval
// for all of them together), and one in twenty, give or take three standard
// errors, that the tempo drifts.
func TestDifferencesAreRare(t *testing.T) {
	p := step(t, "title: T\ntempo: 120\nmetre: 4/4\n\nstep: S\nkick |"+strings.Repeat(" x x x x |", 16)+"\n")
	const takes = 400
	said, drifts := 0, 0
	for seed := range uint64(takes) {
		rng := rand.New(rand.NewPCG(seed, 3))
		v := mustGrade(t, p, takeOf(t, p, Take{Tempo: 120, Passes: 1}, func(int, Onset, Position) float64 { return 15 * rng.NormFloat64() }))
		if text := strings.Join(v.Sentences, " "); strings.Contains(text, "comes") {
			said++
		} else if strings.Contains(text, "You run") {
			drifts++
		}
	}
	if said > takes/20 || float64(drifts) > takes*(.05+3*math.Sqrt(.05*.95/takes)) {
		t.Errorf("a bar said in %d, a drift in %d of %d", said, drifts, takes)
	}
}
