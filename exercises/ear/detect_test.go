package ear

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/grade"
)

// Yes/no: d' = z(H)-z(F), c = -(z(H)+z(F))/2 (derived).
func TestYesNo(t *testing.T) {
	for _, test := range []struct{ h, f, d, c float64 }{
		{.8, .4, 1.0950, -.2941},
		{.8, .2, 1.6832, 0},
		{.9, .1, 2.5631, 0},
	} {
		if d, c := DPrime(test.h, test.f), Criterion(test.h, test.f); math.Abs(d-test.d) > 5e-5 || math.Abs(c-test.c) > 5e-5 {
			t.Errorf("H %g F %g: d' %.4f, c %.4f, want %.4f, %.4f", test.h, test.f, d, c, test.d, test.c)
		}
		n := 20
		y := YesNo{Hits: int(test.h * 20), FalseAlarms: int(test.f * 20)}
		y.Misses, y.Rejections = n-y.Hits, n-y.FalseAlarms
		if d, c := y.DPrime(), y.Criterion(); !d.OK || d.N != 40 || math.Abs(d.Value-test.d) > 5e-5 || math.Abs(c.Value-test.c) > 5e-5 {
			t.Errorf("counts %+v: d' %+v, c %+v", y, d, c)
		}
	}
}

// Rates of 0 and 1 become (k+.5)/(n+1) (Hautus 1995, from memory).
func TestPerfectYesNo(t *testing.T) {
	y := YesNo{Hits: 10, Rejections: 10}
	if got, want := y.DPrime(), 2*z(10.5/11); !got.OK || math.Abs(got.Value-want) > 1e-12 || math.IsInf(got.High, 0) {
		t.Errorf("all right: %+v, want %.4f", got, want)
	}
	for _, few := range []YesNo{{}, {Hits: 9, Rejections: 100}, {Hits: 100, Rejections: 9}, {Hits: 20, Misses: -10, Rejections: 20}} {
		if got := few.DPrime(); got.OK {
			t.Errorf("%+v: %+v, want not enough", few, got)
		}
	}
}

// Tables of m alternatives: Green & Dai 1991, derived; 2AFC is sqrt2 z(Pc).
// The first is read in the tests of sensR: the area under the curve of d' 1
// is the share right of two alternatives.
func TestAlternatives(t *testing.T) {
	for _, test := range []struct{ d, pc float64 }{{1, 0.760249938906523}, {-1, 0.2397501}} {
		if got := Correct(2, test.d); math.Abs(got-test.pc) > 5e-8 {
			t.Errorf("2 alternatives at %g: %.15f, want %.15f", test.d, got, test.pc)
		}
	}
	if got := Correct(2, 1); math.Abs(got-0.760249938906523) > 1e-14 {
		t.Errorf("anchor %.16f", got)
	}
	shares := []float64{.6, .7071, .75, .7937, .8, .9}
	for m, wants := range map[int][]float64{
		2: {.3583, .7707, .9539, 1.1587, 1.1902, 1.8124},
		3: {.8852, 1.2647, 1.4338, 1.6232, 1.6524, 2.2302},
		4: {1.1532, 1.5191, 1.6822, 1.8650, 1.8932, 2.4516},
	} {
		for i, want := range wants {
			if got := OfCorrect(m, shares[i]); math.Abs(got-want) > 5e-5 {
				t.Errorf("%d alternatives, %g right: d' %.5f, want %.4f", m, shares[i], got, want)
			}
		}
	}
}

// The error that the integral states: two alternatives have a closed form,
// and a finer, wider rule changes nothing.
func TestIntegral(t *testing.T) {
	for d := -8.0; d <= 8; d += .37 {
		if got, want := Correct(2, d), cdf(d/math.Sqrt2); math.Abs(got-want) > 1e-13 {
			t.Errorf("2 alternatives at %g: off by %g", d, got-want)
		}
		for _, m := range []int{3, 8, MaxAlternatives} {
			if got, want := Correct(m, d), correct(m, d, 2*integralReach, integralStep/4); math.Abs(got-want) > 1e-12 {
				t.Errorf("%d alternatives at %g: off by %g", m, d, got-want)
			}
		}
	}
	for m := 2; m <= MaxAlternatives; m++ {
		if got := Correct(m, 0); math.Abs(got-1/float64(m)) > 1e-13 {
			t.Errorf("%d alternatives, guessing: %g", m, got)
		}
	}
}

func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.IntRange(2, MaxAlternatives).Draw(t, "m")
		share := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "share")
		d := OfCorrect(m, share)
		if got := Correct(m, d); math.Abs(got-share) > 1e-12 {
			t.Fatalf("%d alternatives: %g gives d' %g and that %g", m, share, d, got)
		}
		if more := OfCorrect(m, share+(1-share)/2); more <= d {
			t.Fatalf("%d alternatives: more right, but d' goes from %g to %g", m, d, more)
		}
	})
}

// Same-different, with the example of psyphy after Macmillan & Creelman 1991
// (values derived, formulas read).
func TestSameDifferent(t *testing.T) {
	if got := SameDifferent(.642, .3); math.Abs(got-1.9506) > 5e-5 {
		t.Errorf("differencing: %.5f, want 1.9506", got)
	}
	if got := SameDifferentApart(.75, .3); math.Abs(got-1.9549) > 5e-5 {
		t.Errorf("independent observations: %.5f, want 1.9549", got)
	}
}

func TestNoSuchRates(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, p := range []float64{nan, inf, -inf, -.1, 1.1} {
		for name, got := range map[string]float64{
			"alternatives": OfCorrect(3, p), "hits": SameDifferent(p, .3), "false alarms": SameDifferent(.3, p),
			"apart": SameDifferentApart(p, .3), "yes/no": DPrime(p, .5), "one alternative": Correct(1, .5), "too many": Correct(MaxAlternatives+1, .5),
		} {
			if !math.IsNaN(got) && !(name == "yes/no" && math.IsInf(p, 0)) {
				t.Errorf("%s of %g: %g, want NaN", name, p, got)
			}
		}
	}
	if SameDifferent(.3, .4) != 0 || SameDifferentApart(.3, .4) != 0 {
		t.Error("below guessing there is nothing told apart")
	}
	if !math.IsInf(OfCorrect(2, 1), 1) || !math.IsInf(OfCorrect(2, 0), -1) {
		t.Error("all right and all wrong have no end")
	}
}

// binomial returns the probability of k of n.
func binomial(k, n int, p float64) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return math.Exp(a - b - c + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
}

// How often the 95 % intervals hold what is true, exactly: over all counts
// that can come out, by their probability. Intervals of few trials are rather
// too wide than too narrow; those of nearly perfect answers among few
// alternatives are not held to it.
func TestIntervalsOfDPrime(t *testing.T) {
	ns := []int{10, 20, 50}
	if testing.Short() {
		ns = ns[:2]
	}
	for _, n := range ns {
		for _, c := range []float64{0, .3, -.6} {
			for _, d := range []float64{0, 1, 2, 3} {
				h, f, covered, leaning := cdf(d/2-c), cdf(-d/2-c), 0.0, 0.0
				for i := range n + 1 {
					for j := range n + 1 {
						y := YesNo{i, n - i, j, n - j}
						p := binomial(i, n, h) * binomial(j, n, f)
						if got := y.DPrime(); got.Low <= d && d <= got.High {
							covered += p
						}
						if got := y.Criterion(); got.Low <= c && c <= got.High {
							leaning += p
						}
					}
				}
				if covered < .94 || covered > .99 || leaning < .94 {
					t.Errorf("%d trials of each kind, d' %g, c %g: held in %.3f, c in %.3f", n, d, c, covered, leaning)
				}
			}
		}
		for _, m := range []int{2, 4, 8} {
			var figures []grade.Figure // by right answers
			for k := range n + 1 {
				figures = append(figures, Chosen(m, k, n))
			}
			for _, d := range []float64{0, 1, 2} {
				p, covered := Correct(m, d), 0.0
				for k, f := range figures {
					if f.Low <= d && d <= f.High {
						covered += binomial(k, n, p)
					}
				}
				if covered < .93 || covered > .99 {
					t.Errorf("%d trials of %d alternatives, d' %g: held in %.3f", n, m, d, covered)
				}
			}
		}
	}
}

// What listeners of a known d' answer, by the two models, gives that d'.
func TestSameDifferentThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(.1, 4).Draw(t, "d'")
		k := rapid.Float64Range(.1, 4).Draw(t, "k")
		f := 2 * cdf(-k/math.Sqrt2)
		h := cdf((d-k)/math.Sqrt2) + cdf((-d-k)/math.Sqrt2)
		if got := SameDifferent(h, f); math.Abs(got-d) > 1e-6 {
			t.Fatalf("compared, distance %g: %g, want %g", k, got, d)
		}
		one := cdf(d / 2) // each sound judged rightly
		both := one*one + (1-one)*(1-one)
		if got := SameDifferentApart(both, 1-both); math.Abs(got-d) > 1e-6 {
			t.Fatalf("apart: %g, want %g", got, d)
		}
	})
}
