package player_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"stampmill/exercises/player"
)

// moments returns mean, standard deviation and lag-1 autocorrelation.
func moments(xs []float64) (mean, sd, rho float64) {
	for _, x := range xs {
		mean += x / float64(len(xs))
	}
	var g0, g1 float64
	for i, x := range xs {
		g0 += (x - mean) * (x - mean)
		if i > 0 {
			g1 += (x - mean) * (xs[i-1] - mean)
		}
	}
	return mean, math.Sqrt(g0 / float64(len(xs))), g1 / g0
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.4f, want %.4f within %.4f", what, got, want, within)
	}
}

// TestSynchronise: standard deviation and lag-1 autocorrelation of the errors
// follow from the formulas of Vorberg and Wing 1996 and Vorberg and Schulze
// 2002 for clock 20 ms and motor 10 ms. Tolerances are about four standard
// errors of 200,000 strokes.
func TestSynchronise(t *testing.T) {
	onsets := make([]float64, 200_000)
	for i := range onsets {
		onsets[i] = .5 * float64(i)
	}
	for _, tt := range []struct{ alpha, sd, rho float64 }{
		{.25, 32.071, .6528}, {.5, 25.820, .3500}, {.75, 24.221, .0795}, {1, 24.495, -.1667}, {1.5, 30.551, -.6071},
	} {
		rng := rand.New(rand.NewPCG(7, uint64(100*tt.alpha)))
		errs := player.Synchronise(onsets, player.Phase{Alpha: tt.alpha, ClockMS: 20, MotorMS: 10, LeanMS: -15}, rng)
		for i := range errs {
			errs[i] = 1000 * (errs[i] - onsets[i])
		}
		mean, sd, rho := moments(errs)
		near(t, "mean", mean, -15, .8)
		near(t, "standard deviation", sd, tt.sd, .4)
		near(t, "lag-1 autocorrelation", rho, tt.rho, .01)
	}
}

// TestContinue: for clock 20 ms and motor 10 ms the intervals have variance
// 600, lag-1 covariance -100 and lag-1 correlation -1/6 (Wing and Kristofferson
// 1973, Percept. Psychophys. 14, 5-12).
func TestContinue(t *testing.T) {
	strokes := player.Continue(200_001, .5, 20, 10, rand.New(rand.NewPCG(1, 1)))
	intervals := make([]float64, len(strokes)-1)
	for i := range intervals {
		intervals[i] = 1000 * (strokes[i+1] - strokes[i])
	}
	mean, sd, rho := moments(intervals)
	near(t, "mean interval", mean, 500, .2)
	near(t, "variance", sd*sd, 600, 10)
	near(t, "lag-1 covariance", rho*sd*sd, -100, 6)
	near(t, "lag-1 correlation", rho, -1./6, .01)
}
