package guitar

import (
	"fmt"
	"math"
	"testing"

	"stampmill/synth/dsp"
)

// pitched are the amplifiers with the fundamentals that they get: from the
// lowest open string at the lowest tuning to fret 24 at the highest, in hertz.
var pitched = map[string]struct {
	amp    Amp
	lo, hi float64
}{
	"rhythm": {Rhythm.Amp, 43.65, 329.6}, "second": {Second.Amp, 43.65, 329.6},
	"bass": {Bass.Amp, 27.5, 164.8}, "lead": {Lead.Amp, 174.6, 1318.5},
}

// A sine of any fundamental, as loud as a hard stroke drives the amplifier,
// comes out with overtones alone: what is folded back from above half the rate
// is below -45 dB of the strongest. Without oversampling it would be -11 to
// -34 dB.
func TestAliases(t *testing.T) {
	for name, test := range pitched {
		for _, rate := range []int{44100, 48000} {
			for f := test.lo; f < 1.01*test.hi; f *= math.Exp2(.31) { // never a divisor of the rate
				if db := aliases(test.amp, f, rate); db > -45 {
					t.Errorf("%s, %d Hz: %.1f dB of aliases for %.1f Hz", name, rate, db, f)
				}
			}
		}
	}
}

// aliases returns the strongest partial of a sine through an amplifier that is
// none of its overtones, in dB of the strongest.
func aliases(a Amp, hertz float64, rate int) float64 {
	const size = 1 << 15
	a.Hiss = 0
	bin := float64(rate) / size
	k := math.Round(hertz/bin) + .5*math.Mod(math.Round(hertz/bin), 2) // overtones on whole or half bins
	s := newStage(a, rate, dsp.NewNoise(1))
	x := make([]float64, size)
	var block dsp.Block
	for i := -size / 4; i < size; i++ { // both are whole blocks
		at := (i + size) % dsp.BlockSize
		if at == 0 {
			for j := range block {
				block[j] = hardest * math.Sin(2*math.Pi*k*float64(i+j)/size)
			}
			s.run(&block)
		}
		if i >= 0 {
			x[i] = block[at] * (.35875 - .48829*math.Cos(2*math.Pi*float64(i)/size) +
				.14128*math.Cos(4*math.Pi*float64(i)/size) - .01168*math.Cos(6*math.Pi*float64(i)/size)) // Blackman-Harris
		}
	}
	top, alias := 0.0, 0.0
	for i, v := range dsp.Power(x) {
		top = max(top, v)
		if off := math.Abs(float64(i)/k - math.Round(float64(i)/k)); off*k > 6 && i > 6 {
			alias = max(alias, v)
		}
	}
	return 10 * math.Log10(alias/top)
}

// hardest is about the amplitude that a slammed string drives the amplifier
// with.
const hardest = 1.5

// A loudspeaker lets through what lies in its range, and falls by 24 dB an
// octave above it.
func TestLoudspeakerFallsOff(t *testing.T) {
	for name, test := range pitched {
		s := newStage(test.amp, 48000, dsp.NewNoise(1))
		gain := func(hertz float64) float64 {
			g := 1.0
			for i := range s.after {
				g *= s.after[i].Gain(hertz, 48000)
			}
			return 20 * math.Log10(g)
		}
		at := test.amp.High
		if fall := gain(2*at) - gain(3.6*at); fall < 18 {
			t.Errorf("%s: falls by %.1f dB from %s", name, fall, fmt.Sprintf("%.0f to %.0f Hz", 2*at, 3.6*at))
		}
		if gain(at/2) < -9 || gain(10) > -15 {
			t.Errorf("%s: %.1f dB at %.0f Hz, %.1f at 10", name, gain(at/2), at/2, gain(10))
		}
	}
}
