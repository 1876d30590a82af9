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

// TestDifferencesAreRare: of takes in which nothing differs, at most one in
// twenty is told that something does, however much there is to compare (a 95 %
// interval for all of it together), and one in twenty, give or take three
// standard errors, that the tempo drifts. Where one stroke strays five times
// as far as the others, or errors follow from each other, it may be one in ten.
func TestDifferencesAreRare(t *testing.T) {
	const takes = 400
	for _, tt := range []struct {
		name   string
		text   string
		passes int
		wide   int     // the stroke that strays more, from 1
		carry  float64 // share of each error in the next
		most   float64
	}{
		{"sixteen bars once", "kick |" + strings.Repeat(" x x x x |", 16), 1, 0, 0, .05},
		{"two bars of two voices four times", "snare | . X . X | . X . X |\nkick | xx.x x.x. xxxx x..x | x.xx x.x. ..x. x.xx |", 4, 0, 0, .05},
		{"one stroke strays more", "kick | xx.x x.x. xxxx x..x | x.xx x.x. ..x. x.xx |", 4, 5, 0, .10},
		{"one bar, few strokes", "kick | x.x. .x.. x..x .x.x |", 4, 0, 0, .05},
		{"a tempo that wavers", "kick | xx.x x.x. xxxx x..x | x.xx x.x. ..x. x.xx |", 6, 0, .8, .10},
	} {
		p := step(t, "title: T\ntempo: 120\nmetre: 4/4\n\nstep: S\n"+tt.text+"\n")
		said, drifts := 0, 0
		for seed := range uint64(takes) {
			rng := rand.New(rand.NewPCG(seed, 3))
			last := 0.0
			v := mustGrade(t, p, takeOf(t, p, Take{Tempo: 120, Passes: tt.passes}, func(_ int, o Onset, _ Position) float64 {
				if o.Position == tt.wide-1 {
					return 40 * rng.NormFloat64()
				}
				last = tt.carry*last + 8*math.Sqrt(1-tt.carry*tt.carry)*rng.NormFloat64()
				return last
			}))
			if text := strings.Join(v.Sentences, " "); strings.Contains(text, " come") || strings.Contains(text, "You speed") || strings.Contains(text, "You slow") {
				said++
			} else if strings.Contains(text, "You run") {
				drifts++
			}
		}
		t.Logf("%s: a difference said in %d of %d, a drift in %d", tt.name, said, takes, drifts)
		if float64(said) > tt.most*takes || float64(drifts) > takes*(.05+3*math.Sqrt(.05*.95/takes)) {
			t.Errorf("%s: a difference said in %d, a drift in %d of %d", tt.name, said, drifts, takes)
		}
	}
}
