package grade

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestQuantiles holds the approximations against the usual tables (from
// memory: two-sided 95 % of Student's t; 2.5 % and 97.5 % of chi-square).
func TestQuantiles(t *testing.T) {
	for free, want := range map[int]float64{2: 4.303, 3: 3.182, 5: 2.571, 10: 2.228, 30: 2.042, 120: 1.980} {
		if got := tQuantile(.95, free); math.Abs(got-want) > .01*want {
			t.Errorf("t with %d degrees of freedom is %.3f, want %.3f", free, got, want)
		}
	}
	for free, want := range map[int][2]float64{3: {.216, 9.348}, 10: {3.247, 20.483}, 30: {16.791, 46.979}} {
		for i, p := range []float64{.025, .975} {
			if got := chiSquare(p, float64(free)); math.Abs(got-want[i]) > .01*want[i]+.04 {
				t.Errorf("chi-square with %d degrees of freedom at %g is %.3f, want %.3f", free, p, got, want[i])
			}
		}
	}
}

func TestFiguresUnderTheirMinimum(t *testing.T) {
	errs := []float64{.01, .02, .03, .04, .05, .06, .07, .08}
	for n := range len(errs) + 1 {
		if got := leaning(errs[:n]); got.OK != (n >= minLeaning) || got.N != n {
			t.Errorf("leaning of %d: %+v", n, got)
		}
		if got := spread(errs[:n], 1, 0); got.OK != (n >= minSpread) || got.N != n {
			t.Errorf("spread of %d: %+v", n, got)
		}
		if got := fit(errs[:n], errs[:n]); got.ok != (n >= minDrift) {
			t.Errorf("drift of %d: %+v", n, got)
		}
	}
}

// TestFit: the median of all slopes, by hand; it ignores one wild error, and
// gathering many strokes into runs keeps an exact line.
func TestFit(t *testing.T) {
	times := []float64{0, 1, 2, 3, 4, 5, 6, 7}
	errs := []float64{0, .001, .002, .003, .9, .005, .006, .007}
	if got := fit(times, errs).slope; math.Abs(got-.001) > 1e-12 {
		t.Errorf("slope %g, want 0.001", got)
	}
	times, errs = nil, nil
	for i := range 5000 {
		times = append(times, float64(i)/8)
		errs = append(errs, .02-.0001*float64(i)/8)
	}
	l := fit(times, errs)
	if math.Abs(l.slope+.0001) > 1e-9 {
		t.Errorf("slope %g, want -0.0001", l.slope)
	}
	// Each beat of 500 ms takes 0.9999 of it: 120/0.9999 BPM.
	if got := l.drift(120, 5000).Value; math.Abs(got-(120/.9999-120)) > 1e-6 {
		t.Errorf("drift %g BPM", got)
	}
	if got := fit([]float64{1, 1, 1, 1, 1, 1, 1, 1}, errs[:8]); got.ok {
		t.Errorf("strokes at one time have a slope: %+v", got)
	}
}

// TestMedian: the middle as sorting finds it.
func TestMedian(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xs := rapid.SliceOfN(rapid.Float64Range(-2, 2), 1, 30).Draw(t, "xs")
		in := slices.Clone(xs)
		slices.Sort(in)
		want := (in[(len(in)-1)/2] + in[len(in)/2]) / 2
		if got := median(xs); got != want {
			t.Fatalf("median of %v is %g, want %g", in, got, want)
		}
	})
}
