package browser

import "math"

// Our choices: peaks under -2 dB pass untouched; up to 12 dB over full scale
// bend, and more is cut.
const (
	ceilingKnee  = 0.8
	ceilingRange = 4
	// ceilingSteps is the number of straight pieces of the curve; an even number,
	// so that zero stays zero, and a multiple of ceilingRange, so that the knee
	// falls between pieces.
	ceilingSteps = 8000
)

// ceilingCurve returns the curve of the ceiling from -ceilingRange to
// +ceilingRange.
func ceilingCurve() []float32 {
	curve := make([]float32, ceilingSteps+1)
	for i := range curve {
		curve[i] = float32(bend(ceilingRange * (2*float64(i)/ceilingSteps - 1)))
	}
	return curve
}

// bend returns x below the knee and approaches full scale above it.
func bend(x float64) float64 {
	if over := math.Abs(x) - ceilingKnee; over > 0 {
		return math.Copysign(ceilingKnee+(1-ceilingKnee)*math.Tanh(over/(1-ceilingKnee)), x)
	}
	return x
}
