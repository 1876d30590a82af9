package browser

import (
	"math"
	"testing"
)

// The curve passes what is below its knee as it is, rises everywhere, has no
// corner, and stays within full scale.
func TestCeilingCurve(t *testing.T) {
	curve := ceilingCurve()
	const step = 2.0 * ceilingRange / ceilingSteps
	for i, y := range curve {
		x := ceilingRange * (2*float64(i)/ceilingSteps - 1)
		if math.Abs(x) <= ceilingKnee && math.Abs(float64(y)-x) > 1e-7 {
			t.Fatalf("%g comes out as %g", x, y)
		}
		if y > 1 || y < -1 {
			t.Fatalf("%g comes out as %g, over full scale", x, y)
		}
		if i == 0 {
			continue
		}
		slope := (float64(y) - float64(curve[i-1])) / step
		if slope < 0 || slope > 1+1e-3 {
			t.Fatalf("slope %g at %g", slope, x)
		}
		if i > 1 {
			before := (float64(curve[i-1]) - float64(curve[i-2])) / step
			if math.Abs(slope-before) > 0.01 {
				t.Fatalf("the slope goes from %g to %g at %g", before, slope, x)
			}
		}
	}
	if curve[ceilingSteps/2] != 0 {
		t.Errorf("silence comes out as %g", curve[ceilingSteps/2])
	}
}
