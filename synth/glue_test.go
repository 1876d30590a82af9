package synth

import (
	"math"
	"testing"
)

// Both ends of the desk pass what is below their knee as it is, rise
// everywhere, have no corner, and stay under their top.
func TestRoundedTops(t *testing.T) {
	for _, c := range []struct {
		name      string
		f         func(float64) float64
		knee, top float64
	}{{"glue", Glue, glueKnee, glueTop}, {"ceiling", Ceiling, ceilingKnee, ceilingTop}} {
		const step = 1e-3
		slope := 1.0
		for x := 0.0; x < 5; x += step {
			y := c.f(x)
			if y != -c.f(-x) || y > c.top+1e-12 || x <= c.knee && y != x {
				t.Fatalf("%s: %g comes out as %g, %g as %g", c.name, x, y, -x, c.f(-x))
			}
			next := (c.f(x+step) - y) / step
			if next < -1e-9 || math.Abs(next-slope) > .05 {
				t.Fatalf("%s: the slope goes from %g to %g at %g", c.name, slope, next, x)
			}
			slope = next
		}
	}
}
