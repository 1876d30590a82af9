package synth

import (
	"math"

	"stampmill/synth/dsp"
)

// The end of the desk, in the browser as in the renderer: all voices go through
// [Glue] at the level they are mixed at, then the master gain, then what holds
// peaks: the look-ahead limiter of the renderer, [Ceiling] in the browser,
// where a limiter that looks ahead would delay every stroke.
//
// Our choices: up to -6 dB all passes untouched, and what is above is rounded
// off to at most -1.5 dB, as tape does, so that strokes of several voices that
// meet become one. As mixed that is below where Ceiling and limiter begin, so
// both outputs are the same.
const (
	glueKnee    = .5
	glueTop     = .84
	ceilingKnee = .85
	ceilingTop  = .89 // -1 dB
)

// Glue returns a sample of the sum of all voices as it leaves the desk: no
// delay, no memory, so it changes nothing but the tops of loud strokes.
func Glue(x float64) float64 { return rounded(x, glueKnee, glueTop) }

// Ceiling holds a sample after the master gain under -1 dB.
func Ceiling(x float64) float64 { return rounded(x, ceilingKnee, ceilingTop) }

// rounded returns x below the knee and comes up to the top above it, with no
// corner between.
func rounded(x, knee, top float64) float64 {
	if over := math.Abs(x) - knee; over > 0 {
		return math.Copysign(knee+(top-knee)*dsp.Saturate(over/(top-knee)), x)
	}
	return x
}

// glue rounds samples in place and gives them the master gain.
func glue(pcm []float32, master float32) {
	for i, x := range pcm {
		if x > glueKnee || x < -glueKnee {
			x = float32(Glue(float64(x)))
		}
		pcm[i] = x * master
	}
}
