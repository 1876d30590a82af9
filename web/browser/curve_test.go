package browser

import (
	"math"
	"testing"

	"stampmill/synth"
)

// A shaper draws straight lines between the values of its curve (Web Audio
// API, WaveShaperNode): what comes out is what the renderer makes, to -110 dB.
func TestCurvesAreWhatTheRendererMakes(t *testing.T) {
	for name, f := range map[string]func(float64) float64{"glue": synth.Glue, "ceiling": synth.Ceiling} {
		curve := curveOf(f)
		for x := -3.999; x < 4; x += .000737 {
			at := (x/curveRange + 1) / 2 * curveSteps
			k := int(at)
			got := float64(curve[k]) + (at-float64(k))*float64(curve[k+1]-curve[k])
			if math.Abs(got-f(x)) > 3e-6 {
				t.Fatalf("%s: %g comes out as %g, want %g", name, x, got, f(x))
			}
		}
		if curve[curveSteps/2] != 0 {
			t.Errorf("%s: silence comes out as %g", name, curve[curveSteps/2])
		}
	}
}
