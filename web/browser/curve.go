package browser

// Our choices for the curves of shapers: up to 12 dB over full scale is
// shaped, and more is cut.
const (
	curveRange = 4
	// curveSteps is the number of straight pieces of a curve; an even number, so
	// that zero stays zero, and so many that they differ from the function by less
	// than 1e-6.
	curveSteps = 16000
)

// curveOf returns the values of f from -curveRange to +curveRange, as a shaper
// takes them.
func curveOf(f func(float64) float64) []float32 {
	curve := make([]float32, curveSteps+1)
	for i := range curve {
		curve[i] = float32(f(curveRange * (2*float64(i)/curveSteps - 1)))
	}
	return curve
}
