package loudness

import (
	"math"

	"stampmill/synth/dsp"
)

// The two filters of K-weighting as analogue prototypes. BS.1770-4 prints
// coefficients for 48 kHz only; these corner frequencies, gain and widths give
// them back through the bilinear transform (from memory; a test compares).
const (
	shelfHertz = 1681.974450955533
	shelfGain  = 3.999843853973347 // dB
	shelfQ     = 0.7071752369554196
	shelfSlope = 0.4996667741545416 // exponent of the gain in the middle term
	highHertz  = 38.13547087602444
	highQ      = 0.5003270373238773
)

// Weighting returns the K-weighting filters, at rest, for a sample rate.
func Weighting(rate int) [2]dsp.Biquad {
	return [2]dsp.Biquad{shelf(float64(rate)), highPass(float64(rate))}
}

// shelf stands for the head: about +4 dB above 2 kHz.
func shelf(rate float64) dsp.Biquad {
	k := math.Tan(math.Pi * shelfHertz / rate)
	v := math.Pow(10, shelfGain/20)
	m := math.Pow(v, shelfSlope)
	a0 := 1 + k/shelfQ + k*k
	return dsp.NewBiquad(
		(v+m*k/shelfQ+k*k)/a0, 2*(k*k-v)/a0, (v-m*k/shelfQ+k*k)/a0,
		2*(k*k-1)/a0, (1-k/shelfQ+k*k)/a0,
	)
}

// highPass takes away what is too low to be loud. Its numerator is 1 -2 1 as
// printed, whatever the rate.
func highPass(rate float64) dsp.Biquad {
	k := math.Tan(math.Pi * highHertz / rate)
	a0 := 1 + k/highQ + k*k
	return dsp.NewBiquad(1, -2, 1, 2*(k*k-1)/a0, (1-k/highQ+k*k)/a0)
}
