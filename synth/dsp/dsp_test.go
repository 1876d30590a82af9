package dsp

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

func near(t testing.TB, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s: %g, want %g within %g", what, got, want, by)
	}
}

func db(x float64) float64 { return 20 * math.Log10(x) }

// Evenly spread over -1 to 1: mean 0, variance 1/3.
func TestNoise(t *testing.T) {
	a, b := NewNoise(1), NewNoise(2)
	const n = 200_000
	sum, squares, both := 0.0, 0.0, 0.0
	for range n {
		x, y := a.Next(), b.Next()
		if x < -1 || x >= 1 {
			t.Fatalf("noise of %g", x)
		}
		sum += x
		squares += x * x
		both += x * y
	}
	near(t, "mean", sum/n, 0, .01)
	near(t, "variance", squares/n, 1./3, .01)
	near(t, "covariance of two seeds", both/n, 0, .01)
	if NewNoise(0).Next() == 0 {
		t.Error("seed 0 is silent")
	}
}

// What the cookbook's filters are defined by: -3.01 dB at the corner of a flat
// low-pass or high-pass, the gain of a bell, 0 dB of an all-pass.
func TestFilterGains(t *testing.T) {
	const rate = 48000
	tests := []struct {
		name  string
		f     Biquad
		hertz float64
		want  float64 // dB
	}{
		{"low-pass at its corner", LowPass(1000, math.Sqrt2/2, rate), 1000, -3.01},
		{"low-pass below", LowPass(1000, math.Sqrt2/2, rate), 20, 0},
		{"high-pass at its corner", HighPass(1000, math.Sqrt2/2, rate), 1000, -3.01},
		{"high-pass an octave and more below", HighPass(1000, math.Sqrt2/2, rate), 100, -40},
		{"bell", Peak(700, 1, 6, rate), 700, 6},
		{"bell far away", Peak(700, 1, 6, rate), 20000, 0},
		{"all-pass", AllPass(300, 1, rate), 300, 0},
		{"all-pass elsewhere", AllPass(300, 1, rate), 431, 0},
	}
	for _, test := range tests {
		near(t, test.name+", by its formula", db(test.f.Gain(test.hertz, rate)), test.want, .1)
		near(t, test.name+", measured", db(response(&test.f, test.hertz, rate)), test.want, .1)
	}
}

// response is the gain of a running filter for a sine.
func response(f *Biquad, hertz float64, rate int) float64 {
	top := 0.0
	for i := range rate {
		y := f.Filter(math.Sin(2 * math.Pi * hertz * float64(i) / float64(rate)))
		if i > rate/2 {
			top = max(top, math.Abs(y))
		}
	}
	return top
}

func TestDecayFallsBySixtyDecibels(t *testing.T) {
	d := NewDecay(.5, .2, 48000)
	near(t, "at 0", d.Next(), .5, 0)
	for range 9599 {
		d.Next()
	}
	near(t, "after .2 s", d.Next(), .0005, 1e-9)
	s := NewSwell(1, .05, 2, 48000)
	near(t, "a swell begins", s.Next(), 0, 0)
	for range 2400 {
		s.Next()
	}
	near(t, "a swell is up", s.Next(), .83, .02) // 10^(-3*.05/2) = .841, less .001
}

// A mode is level sin(w t) that falls by 60 dB in its time, within -100 dB of it
// where it is reckoned at a lower rate.
func TestModes(t *testing.T) {
	for _, test := range []struct {
		hertz, t60 float64
		octave     int
		by         float64
	}{{9000, .1, 0, 1e-9}, {40, .01, 0, 1e-9}, {7790, .1, 1, 1e-5}, {4100, 4, 1, 1e-5}, {3890, .06, 2, 1e-5}, {440, .1, 2, 1e-5}, {40, 4, 2, 1e-5}} {
		var m Modes
		m.Add(test.hertz, .5, test.t60, 48000)
		m.Add(30_000, 1, 1, 48000) // above what the rate can hold
		if len(m.octaves[test.octave].modes) != 1 {
			t.Errorf("%g Hz: not in octave %d", test.hertz, test.octave)
		}
		var x Block
		worst := 0.0
		for i := range 4801 {
			if i%BlockSize == 0 {
				x = Block{}
				m.AddTo(&x)
			}
			s := float64(i+1) / 48000
			want := .5 * math.Pow(10, -3*(s-1./48000)/test.t60) * math.Sin(2*math.Pi*test.hertz*s)
			worst = max(worst, math.Abs(x[i%BlockSize]-want)/.5)
		}
		t.Logf("%g Hz: %.0f dB", test.hertz, db(worst))
		if worst > test.by {
			t.Errorf("%g Hz is off by %g, want %g", test.hertz, worst, test.by)
		}
	}
}

// A mode that nobody hears any more is left out: at -100 dB, five thirds of its
// time; others go on.
func TestDeadModesAreLeftOut(t *testing.T) {
	var m Modes
	m.Add(440, 1, .1, 48000)
	m.Add(100, 1, 10, 48000)
	for range 48000/6/BlockSize + 2*lookAfter {
		m.AddTo(&Block{})
	}
	if n := len(m.octaves[2].modes); n != 1 {
		t.Errorf("%d modes are reckoned, want the one that rings", n)
	}
}

// A swept sine keeps its height and arrives at its end.
func TestSwept(t *testing.T) {
	s := NewSwept(500, 100, .05, 48000)
	var x []float64
	for range 48000 {
		x = append(x, s.Next())
	}
	crossings, top := 0, 0.0
	for i := 24000; i < 48000; i++ {
		if x[i-1] < 0 && x[i] >= 0 {
			crossings++
		}
		top = max(top, x[i])
	}
	near(t, "periods in half a second", float64(crossings), 50, 1)
	near(t, "height", top, 1, 1e-3)
}

// The string sounds at its pitch within a tenth of a cent, from the lowest
// bass to the highest lead, however it is damped, and its fundamental falls by
// 60 dB in the time it was given. The phase of the fundamental over a second
// tells both.
func TestWaveguidePitchAndDecay(t *testing.T) {
	for _, rate := range []int{44100, 48000, 96000} {
		for _, hertz := range []float64{27.5, 41.2, 55, 110.3, 440, 1318.5} {
			for _, share := range []float64{.1, .8} {
				damping := min(.6, share*MaxDamping(hertz, 3, rate))
				w := NewWaveguide(hertz, hertz, 3, damping, rate)
				x := make([]float64, rate+rate/2)
				for i := range x {
					e := 0.0
					if i == 0 {
						e = 1
					}
					x[i] = w.Next(e)
				}
				n := int(math.Round(float64(rate) * math.Round(hertz/4) / hertz)) // about a quarter second of whole periods
				a := partial(x[rate/10:rate/10+n], hertz, rate)
				b := partial(x[rate:rate+n], hertz, rate)
				seconds := float64(rate-rate/10) / float64(rate)
				turn := cmplx.Phase(b / a * cmplx.Rect(1, -2*math.Pi*hertz*seconds))
				cents := 1200 / math.Ln2 * turn / (2 * math.Pi * seconds * hertz)
				if math.Abs(cents) > .1 {
					t.Errorf("%d Hz, string of %g Hz, damping %g: %.3f cents off", rate, hertz, damping, cents)
				}
				if t60 := -3 * seconds / math.Log10(cmplx.Abs(b/a)); math.Abs(t60-3) > .1 {
					t.Errorf("%d Hz, string of %g Hz, damping %g: falls by 60 dB in %.2f s, want 3", rate, hertz, damping, t60)
				}
			}
		}
	}
}

// partial is the amplitude and phase of x at hertz, through a Hann window.
func partial(x []float64, hertz float64, rate int) complex128 {
	var sum complex128
	for i, v := range x {
		w := .5 - .5*math.Cos(2*math.Pi*float64(i)/float64(len(x)))
		sum += complex(v*w, 0) * cmplx.Rect(1, -2*math.Pi*hertz*float64(i)/float64(rate))
	}
	return sum
}

func TestCombSubtractsWhatWas(t *testing.T) {
	c := NewComb(3, .5)
	var got []float64
	for _, x := range []float64{1, 0, 0, 0, 2} {
		got = append(got, c.Filter(x))
	}
	for i, want := range []float64{1, 0, 0, -.5, 2} {
		near(t, "comb", got[i], want, 0)
	}
}

// Saturate rises, is odd, stays within 1, and is a hyperbolic tangent within
// .03.
func TestSaturate(t *testing.T) {
	last := -2.0
	for x := -6.0; x <= 6; x += .01 {
		y := Saturate(x)
		if y < last || y > 1 || y < -1 {
			t.Fatalf("Saturate(%g) = %g after %g", x, y, last)
		}
		near(t, "odd", Saturate(-x), -y, 1e-12)
		near(t, "tanh", y, math.Tanh(x), .03)
		last = y
	}
}

// oversampled puts a signal through an oversampler.
func oversampled(n int, x func(i int) float64, shape func(float64) float64) []float64 {
	o := NewOversampler()
	var out []float64
	for len(out) < n {
		var b Block
		for i := range b {
			b[i] = x(len(out) + i)
		}
		o.Run(&b, func(high *High) {
			for i, x := range high {
				high[i] = shape(x)
			}
		})
		out = append(out, b[:]...)
	}
	return out[:n]
}

// Without a bend the oversampler only delays.
func TestOversamplerPassesSound(t *testing.T) {
	for _, hertz := range []float64{50, 1000, 10000} {
		w := 2 * math.Pi * hertz / 48000
		worst := 0.0
		for i, y := range oversampled(4800, func(i int) float64 { return math.Sin(w * float64(i)) }, func(x float64) float64 { return x }) {
			if i > 100 {
				worst = max(worst, math.Abs(y-math.Sin(w*(float64(i)-Latency))))
			}
		}
		if worst > .01 {
			t.Errorf("%g Hz: off by %g", hertz, worst)
		}
	}
}

// Hard bent sines at full gain keep their aliases down; the limits are those
// that were measured for four times oversampling with 64 taps, and three of
// these four are out of reach without it (-34 to -11 dB).
func TestOversamplerKeepsAliasesDown(t *testing.T) {
	for _, test := range []struct{ hertz, limit float64 }{{458, -53}, {1132, -51}, {2113, -46}, {5000, -29}} {
		f := math.Round(test.hertz/48000*16384) * 48000 / 16384 // whole periods
		sine := func(i int) float64 { return math.Sin(2 * math.Pi * f * float64(i) / 48000) }
		p := Power(oversampled(16384+200, sine, func(x float64) float64 { return Saturate(30 * x) })[200:])
		step := int(math.Round(f * 16384 / 48000))
		alias := 0.0
		for i, v := range p {
			if i%step != 0 && float64(i)*48000/16384 < 16000 {
				alias = max(alias, v)
			}
		}
		if got := 10 * math.Log10(alias/p[step]); got > test.limit {
			t.Errorf("%g Hz: aliases at %.1f dB, want below %g", test.hertz, got, test.limit)
		}
	}
}

// Values between samples of sines up to a quarter of the rate come out within
// 2 %.
func TestBetween(t *testing.T) {
	for _, shift := range []float64{0, .25, .5, .75, 1} {
		h := Between(12, shift)
		for _, w := range []float64{.01, .5, 1, math.Pi / 2} {
			for phase := 0.0; phase < 6; phase++ {
				sum := 0.0
				for i, c := range h {
					sum += c * math.Sin(w*float64(i)+phase)
				}
				near(t, "between", sum, math.Sin(w*(5+shift)+phase), .02)
			}
		}
	}
}

// The transform is the sum it is defined as.
func TestFourier(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := 1 << rapid.IntRange(0, 6).Draw(rt, "log")
		x := make([]complex128, n)
		for i := range x {
			x[i] = complex(rapid.Float64Range(-1, 1).Draw(rt, "re"), rapid.Float64Range(-1, 1).Draw(rt, "im"))
		}
		y := Fourier(x)
		for k := range y {
			var want complex128
			for i, v := range x {
				want += v * cmplx.Rect(1, -2*math.Pi*float64(k*i)/float64(n))
			}
			if cmplx.Abs(y[k]-want) > 1e-9 {
				rt.Fatalf("n %d: y[%d] is %v, want %v", n, k, y[k], want)
			}
		}
	})
}

func BenchmarkOversampler(b *testing.B) {
	o := NewOversampler()
	for b.Loop() {
		o.Run(&Block{}, func(*High) {})
	}
}
