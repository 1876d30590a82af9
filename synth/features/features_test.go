package features

import (
	"math"
	"testing"
)

const rate = 48000

// decaying is a sine that falls by 60 dB in t60 seconds.
func decaying(hertz, t60, seconds float64) []float32 {
	x := make([]float32, int(seconds*rate))
	for i := range x {
		t := float64(i) / rate
		x[i] = float32(.9 * math.Pow(10, -3*t/t60) * math.Cos(2*math.Pi*hertz*t))
	}
	return x
}

func near(t *testing.T, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s: %g, want %g within %g", what, got, want, by)
	}
}

// A sine that decays has one frequency, and every decay is its own: 60 dB in
// 1 s is 20 dB in 333 ms.
func TestMeasureOfASine(t *testing.T) {
	s := Measure(append(make([]float32, 500), decaying(1000, 1, 2)...), rate)
	near(t, "attack", s.Attack, 0, .1)
	near(t, "c1", s.C1, 1000, 20)
	near(t, "t20", s.T20, 333, 12)
	near(t, "t40", s.T40, 667, 12)
	near(t, "t60", s.T60, 1000, 10)
	near(t, "t60 of the middle", s.T60Mid, 1000, 15)
	near(t, "mid fraction", s.MidFraction, 0, .1)
	// The crest of a sine is 3 dB; the decay over 150 ms adds to it by hand:
	// mean of 10^(-6t) over .15 s is .4215, -3.75 dB.
	near(t, "crest", s.Crest, 3.01+3.75, .2)
}

// White noise is flat: the flatness of a periodogram of noise is e^-gamma,
// -2.5 dB (Euler's constant; the logarithm of an exponential variate).
func TestFlatnessOfNoise(t *testing.T) {
	x := make([]float32, rate)
	state := uint32(1)
	for i := range x {
		state = state*1664525 + 1013904223 // Numerical Recipes' generator
		x[i] = float32(int32(state)) / (1 << 31)
	}
	near(t, "flatness", Measure(x, rate).Flat, -2.5, .4)
}

func TestSilenceHasNoFeatures(t *testing.T) {
	if s := Measure(make([]float32, 100), rate); s != (Set{}) {
		t.Errorf("%+v", s)
	}
	if s := Measure(nil, rate); s != (Set{}) {
		t.Errorf("%+v", s)
	}
}

func TestPitch(t *testing.T) {
	for _, hertz := range []float64{55, 220.5, 1318.5} {
		x := Float(decaying(hertz, 3, 1))
		near(t, "autocorrelation, cents", Cents(Pitch(x, rate, hertz*1.004), hertz), 0, .2)
		near(t, "spectrum, cents", Cents(Strongest(x, rate, 20, 2000), hertz), 0, 1)
	}
	near(t, "an octave", Cents(880, 440), 1200, 1e-9)
}

// A copy is 1 however late; two different tones share next to nothing.
func TestLikeness(t *testing.T) {
	a := Float(decaying(200, 1, .5))
	late := append(make([]float64, 480), a...)
	near(t, "a late copy", Likeness(a, late, .04, rate), 1, .01)
	near(t, "another tone", Likeness(a, Float(decaying(331, 1, .5)), .04, rate), 0, .05)
}

func TestMiss(t *testing.T) {
	r := Range{10, 12, 20}
	for x, want := range map[float64]float64{10: 0, 15: 0, 20: 0, 5: .5, 30: 1} {
		near(t, "miss", r.Miss(x), want, 1e-12)
	}
	near(t, "no range", Range{}.Miss(99), 0, 0)
}
