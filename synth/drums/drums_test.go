package drums

import (
	"math"
	"testing"

	"stampmill/synth/dsp"
)

func play(s Struck, f Force, seconds float64, rate int, seed uint64) []float64 {
	src := s.Strike(f, rate, seed)
	x := make([]float64, int(seconds*float64(rate)))
	var part dsp.Block
	for n := 0; n < len(x); {
		src.Fill(&part)
		n += copy(x[n:], part[:])
	}
	return x
}

func rms(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(x)))
}

// A force tilts the spectrum around the pivot: 3 dB an octave is 3 dB more an
// octave above and 3 dB less below, as far as two octaves.
func TestForceTilts(t *testing.T) {
	s := Struck{Pivot: 1000, Tilt: 1}
	f := force{level: 1, tilt: 3}
	for hertz, want := range map[float64]float64{1000: 0, 2000: 3, 500: -3, 4000: 6, 16000: 6} {
		if db := 20 * math.Log10(s.gain(f, hertz)); math.Abs(db-want) > 1e-9 {
			t.Errorf("%g Hz: %.2f dB, want %g", hertz, db, want)
		}
	}
}

// Level of a band or a crowd is its root mean square, whatever the rate and
// the width, within 1.5 dB; saturation is kept out by a low level.
func TestLevelIsRootMeanSquare(t *testing.T) {
	flat := Force{Level: 1, Drive: 1, Ring: 1}
	for _, rate := range []int{44100, 96000} {
		for _, s := range []Struck{
			{Bands: []Band{{2000, 6000, .05, 0, 1e9}}},
			{Bands: []Band{{300, 900, .05, 0, 1e9}}},
			{Crowds: []Crowd{{80, 500, 9000, .05, 0, 1e9, 1e9}}},
		} {
			s.Pivot, s.Level = 1000, 1
			if db := 20 * math.Log10(rms(play(s, flat, 1, rate, 5))/.05); math.Abs(db) > 1.5 {
				t.Errorf("%d Hz, %+v: %.1f dB off", rate, s, db)
			}
		}
	}
}

// A glide starts sharp and falls to the mode. By hand: 100 (1 + 10^(-3t/.3)) Hz
// over the first 50 ms are 5 + 2.97 periods, so 7 whole ones.
func TestGlideFalls(t *testing.T) {
	s := Struck{Modes: []Mode{{100, .5, 1e9}}, Glide: 1, GlideSeconds: .3, Pivot: 100, Level: 1}
	x := play(s, Force{Level: 1, Drive: 1, Glide: 1, Ring: 1}, 2, 48000, 1)
	periods := func(x []float64) (n int) {
		for i := 1; i < len(x); i++ {
			if x[i-1] < 0 && x[i] >= 0 {
				n++
			}
		}
		return n
	}
	early, late := periods(x[:2400]), periods(x[48000:])
	if early != 7 || late < 99 || late > 101 {
		t.Errorf("%d periods in the first 50 ms, want 7; %d in the last second, want 100", early, late)
	}
}

// What lies above the range of a rate is left out, not folded down.
func TestHighBandsAreLeftOut(t *testing.T) {
	s := Struck{Bands: []Band{{21000, 22000, 1, 0, 1}}, Modes: nil, Pivot: 1000, Level: 1}
	if r := rms(play(s, Force{Level: 1, Drive: 1}, .1, 44100, 1)); r != 0 {
		t.Errorf("level %g of a band above the range", r)
	}
}

// BenchmarkCrash makes four seconds of the dearest sound.
func BenchmarkCrash(b *testing.B) {
	for b.Loop() {
		play(CrashLeft, Plain, CrashLeft.Seconds, 48000, 1)
	}
}
