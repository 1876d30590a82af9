package grade

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// coverTakes is how many takes are made up for each coverage: the share that a
// 95 % interval covers then strays by about half a percent.
const coverTakes = 2000

// A coverage counts how many intervals hold the truth.
type coverage struct{ held, told int }

func (c *coverage) add(f Figure, truth float64) {
	if !f.OK {
		return
	}
	c.told++
	if f.Low <= truth && truth <= f.High {
		c.held++
	}
}

func (c coverage) share() float64 { return float64(c.held) / float64(max(c.told, 1)) }

// within reports a coverage outside least to most.
func (c coverage) within(t *testing.T, what string, least, most float64) {
	t.Helper()
	if s := c.share(); s < least || s > most || c.told < coverTakes/2 {
		t.Errorf("%s: %.1f %% of %d intervals hold the truth, want %g to %g", what, 100*s, c.told, 100*least, 100*most)
	}
}

// errorsOf makes up errors in seconds: a share of each error is left to the
// next after correction, with a clock and a motor that vary (Vorberg and Wing
// 1996; Vorberg and Schulze 2002): A' = (1-alpha) A + clock + motor' - motor.
func errorsOf(n int, alpha, clock, motor float64, rng *rand.Rand) []float64 {
	const settle = 64 // strokes before the first that counts
	out := make([]float64, n)
	a, last := 0.0, motor*rng.NormFloat64()
	for i := -settle; i < n; i++ {
		next := motor * rng.NormFloat64()
		a = (1-alpha)*a + clock*rng.NormFloat64() + next - last
		last = next
		if i >= 0 {
			out[i] = a
		}
	}
	return out
}

// asOneLane is a take of n strokes on one key, all matched, with such errors.
func asOneLane(errors []float64) (*grader, []sample) {
	g := &grader{oneKey: true}
	g.expected.Positions = []Position{{Voices: 1 << 7}}
	l := &g.byLane[0]
	var samples []sample
	for i, e := range errors {
		at := float64(i) / 2
		g.expected.Onsets = append(g.expected.Onsets, Onset{Pass: 1, Seconds: at})
		l.onsets = append(l.onsets, i)
		samples = append(samples, sample{i, i, at, e})
	}
	return g, samples
}

// TestIntervalsCover: the 95 % intervals of leaning, spread, drift and lag-1
// correlation hold the truth in 93 to 97 of 100 takes, where errors are
// independent and where they follow from each other.
//
// SD and lag-1 correlation of the errors of phase correction follow from
//
//	Var = (clock² + 2 alpha motor²) / (1 - (1-alpha)²)
//	Cov(1) = (1-alpha) Var - motor²
//
// for clock 20 and motor 10 ms: alpha .25 SD 32.071 and .6528, .5 25.820 and
// .3500, .75 24.221 and .0795, 1 24.495 and -.1667 (Vorberg and Wing 1996;
// Vorberg and Schulze 2002). Where half of each error is corrected, that holds
// from some 30 strokes on; where a quarter is, from some 64, and the interval of
// the spread is too narrow throughout, for the correlation of the errors is
// itself only an estimate. These cells say so by their bounds.
func TestIntervalsCover(t *testing.T) {
	const lean, slope, bpm = -.008, .0004, 100
	type bounds map[string][2]float64
	quarter := func(leaning, spread, lag float64) bounds {
		return bounds{"leaning": {leaning, .97}, "drift": {leaning, .97}, "spread": {spread, .97}, "lag 1": {lag, .97}}
	}
	for _, tt := range []struct {
		alpha, sd, rho float64 // alpha 0: independent errors
		n              int
		but            bounds // instead of .93 to .97
	}{
		{0, 12, 0, 8, nil}, {0, 12, 0, 30, nil}, {0, 12, 0, 200, nil}, {1, 24.495, -.1667, 64, nil}, {.75, 24.221, .0795, 30, nil},
		{.5, 25.820, .35, 30, bounds{"leaning": {.92, .97}}}, {.5, 25.820, .35, 64, nil}, {.5, 25.820, .35, 200, nil},
		{.25, 32.071, .6528, 30, quarter(.84, .80, .86)}, {.25, 32.071, .6528, 64, quarter(.91, .86, .91)}, {.25, 32.071, .6528, 200, quarter(.92, .90, .93)},
	} {
		t.Run(fmt.Sprintf("alpha %g of %d", tt.alpha, tt.n), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(uint64(tt.n), uint64(100*tt.alpha)))
			covered := map[string]*coverage{"leaning": {}, "spread": {}, "drift": {}, "lag 1": {}}
			for range coverTakes {
				errors := make([]float64, tt.n)
				if tt.alpha == 0 {
					for i := range errors {
						errors[i] = tt.sd / 1000 * rng.NormFloat64()
					}
				} else {
					errors = errorsOf(tt.n, tt.alpha, .020, .010, rng)
				}
				middle := float64(tt.n-1) / 4 // seconds
				for i := range errors {
					errors[i] += lean + slope*(float64(i)/2-middle)
				}
				g, samples := asOneLane(errors)
				s := newSteady(samples)
				lag := g.lag1(samples, s.residuals)
				covered["leaning"].add(s.leaning(), 1000*lean)
				covered["spread"].add(spread(s.residuals, s.drift.lost(), lag.correlation()), tt.sd)
				covered["drift"].add(s.drift.drift(bpm, tt.n), bpm/(1+slope)-bpm)
				covered["lag 1"].add(lag.figure(), tt.rho)
			}
			for name, c := range covered {
				b, ok := tt.but[name]
				if !ok {
					b = [2]float64{.93, .97}
				}
				if name != "lag 1" || tt.n >= minLag1 {
					c.within(t, name, b[0], b[1])
				}
			}
		})
	}
}

// TestLongRunIsStudents: of a few strokes the interval of a mean is Student's.
func TestLongRunIsStudents(t *testing.T) {
	xs := []float64{.010, -.004, .007, .001}
	f := leaning(xs)
	half := 3.182 * 1000 * deviation(xs, mean(xs), 3) / 2 // t of 3 degrees of freedom, from the usual tables
	if math.Abs(f.High-f.Value-half) > .01*half {
		t.Errorf("half is %g, want %g", f.High-f.Value, half)
	}
}

// TestDifferencesCover: so does the interval of what two voices differ by,
// when nothing else is tried beside it.
func TestDifferencesCover(t *testing.T) {
	const apart, sd = .009, .012
	for _, n := range [][2]int{{6, 6}, {8, 30}, {60, 60}, {20, 200}} {
		rng := rand.New(rand.NewPCG(uint64(n[0]), uint64(n[1])))
		var c coverage
		for range coverTakes {
			var a, b moments
			for range n[0] {
				a.add(apart + sd*rng.NormFloat64())
			}
			for range n[1] {
				b.add(sd * rng.NormFloat64())
			}
			c.add(comparison{p: confidence, waver: 1}.apart(group{}, a, b), 1000*apart)
		}
		c.within(t, fmt.Sprintf("difference of %v", n), .93, .975)
	}
}

// TestShareCovers: Wilson's interval of a share, which can only be near 95 %
// on average over shares, is so.
func TestShareCovers(t *testing.T) {
	for _, n := range []int{8, 30, 100} {
		rng := rand.New(rand.NewPCG(uint64(n), 2))
		var c coverage
		for range coverTakes {
			share, k := rng.Float64(), 0
			for range n {
				if rng.Float64() < share {
					k++
				}
			}
			c.add(proportion(k, n), share)
		}
		c.within(t, fmt.Sprintf("share of %d", n), .93, .97)
	}
}

// TestGraceAndStrengthCover: the means over passes of grace distances, of
// lengths held and of strengths, and how much louder accents are.
func TestGraceAndStrengthCover(t *testing.T) {
	for _, n := range []int{4, 12, 60} {
		rng := rand.New(rand.NewPCG(uint64(n), 3))
		var graces, strengths, louder coverage
		for range coverTakes {
			var before, soft, loud []float64
			for range n {
				before = append(before, .030+.006*rng.NormFloat64())
				soft = append(soft, .5+.08*rng.NormFloat64())
				loud = append(loud, .7+.08*rng.NormFloat64())
			}
			graces.add(leaning(before), 30)
			strengths.add(strength(soft), .5)
			var a apart
			a.add(loud, soft)
			a.add(loud[:n/2], loud[n/2:]) // another voice, whose accents are no louder
			louder.add(a.figure(), .2*float64(n)/2/(float64(n)/2+float64(n/2*(n-n/2))/float64(n)))
		}
		graces.within(t, fmt.Sprintf("grace distance of %d", n), .93, .97)
		strengths.within(t, fmt.Sprintf("strength of %d", n), .93, .97)
		louder.within(t, fmt.Sprintf("louder of %d", n), .93, .975)
	}
}

// TestTimekeeperIntervalsCover: among the takes in which clock and motor can be
// told, their intervals hold the truth in 93 to 98 of 100, a little more than
// they say where a run has some dozens of intervals.
func TestTimekeeperIntervalsCover(t *testing.T) {
	for _, tt := range []struct {
		clock, motor float64 // ms
	}{{20, 10}, {16, 9}, {20, 20}, {10, 20}} {
		for _, runs := range [][]int{{29}, {15, 15}, {60}, {200}, {16, 16, 16, 16, 16, 16}} {
			rng := rand.New(rand.NewPCG(uint64(runs[0]), uint64(tt.clock)))
			var clock, motor coverage
			for range coverTakes {
				var c covariances
				for _, n := range runs {
					c.add(continued(n, tt.clock, tt.motor, rng))
				}
				cf, mf, _ := c.figures()
				clock.add(cf, tt.clock)
				motor.add(mf, tt.motor)
			}
			what := fmt.Sprintf("of %g and %g in runs of %v", tt.clock, tt.motor, runs)
			clock.within(t, "clock "+what, .93, .98)
			motor.within(t, "motor "+what, .93, .98)
		}
	}
}

// continued makes up n intervals in seconds: one of a clock plus the
// difference of two motor delays, all in ms.
func continued(n int, clock, motor float64, rng *rand.Rand) []float64 {
	out := make([]float64, n)
	last := motor * rng.NormFloat64()
	for i := range out {
		next := motor * rng.NormFloat64()
		out[i] = .5 + (clock*rng.NormFloat64()+next-last)/1000
		last = next
	}
	return out
}
