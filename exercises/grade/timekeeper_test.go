package grade

import (
	"math"
	"math/rand/v2"
	"testing"

	"stampmill/exercises/passage"
)

// biased returns variance and lag-1 covariance as text books estimate them:
// about the mean, divided by n.
func biased(xs []float64) (gamma0, gamma1 float64) {
	m, n := mean(xs), float64(len(xs))
	for i, x := range xs {
		gamma0 += (x - m) * (x - m) / n
		if i > 0 {
			gamma1 += (x - m) * (xs[i-1] - m) / n
		}
	}
	return gamma0, gamma1
}

// TestClockAndMotor holds the worked values of the model of Wing and
// Kristofferson 1973 (Percept. Psychophys. 14, 5-12; formulas from memory,
// checked by simulation): gamma0 = clock² + 2 motor², gamma1 = -motor².
func TestClockAndMotor(t *testing.T) {
	for _, tt := range []struct {
		gamma0, gamma1, clock, motor float64 // ms²; variances of clock and motor
		ok                           bool
	}{
		{600, -100, 400, 100, true},              // clock 20, motor 10 ms: lag-1 correlation -1/6
		{500, 0, 500, 0, true},                   // no motor delay at all
		{200, -100, 0, 100, true},                // nothing but motor delay: -1/2
		{56.01, -36.569, -17.128, 36.569, false}, // -0.65290
		{600, 1, 602, -1, false},                 // a correlation above 0
		{0, 0, 0, 0, false},                      // intervals that do not vary
	} {
		clock, motor, ok := clockAndMotor(tt.gamma0, tt.gamma1)
		if math.Abs(clock-tt.clock)+math.Abs(motor-tt.motor) > 1e-9 || ok != tt.ok {
			t.Errorf("%g, %g: clock² %g, motor² %g, %v", tt.gamma0, tt.gamma1, clock, motor, ok)
		}
	}
}

// violated are ten intervals in ms on which the model does not hold: mean
// 501.3, gamma0 56.01, gamma1 -36.569 (about the mean, divided by n), so that
// clock² would be -17.128.
var violated = []float64{500, 510, 495, 505, 490, 515, 500, 498, 507, 493}

func TestViolatedVector(t *testing.T) {
	g0, g1 := biased(violated)
	if math.Abs(mean(violated)-501.3)+math.Abs(g0-56.01)+math.Abs(g1+36.569) > 1e-9 {
		t.Errorf("mean %g, gamma0 %g, gamma1 %g", mean(violated), g0, g1)
	}
	if _, _, ok := clockAndMotor(g0, g1); ok {
		t.Error("the model holds")
	}
	var c covariances
	for range 3 { // as three runs, for one has too few intervals
		c.add(violated)
	}
	if clock, motor, broken := c.figures(); !broken || clock.OK || motor.OK || clock.Why() != "not estimable" || clock.N != 30 {
		t.Errorf("clock %+v, motor %+v", clock, motor)
	}
}

// TestAutocovariances: taking a line off biases nothing. Means over many short
// runs come to the variance 600 and covariance -100 ms² of a clock of 20 and a
// motor of 10 ms (Wing and Kristofferson 1973), each run with a drift of its own.
func TestAutocovariances(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 9))
	var c covariances
	for range 4000 {
		run := continued(12, 20, 10, rng)
		for i := range run {
			run[i] += float64(i) * .004
		}
		c.add(run)
	}
	g0, g1 := c.autocovariances()
	if math.Abs(1e6*g0-600) > 15 || math.Abs(1e6*g1+100) > 10 { // about four standard errors
		t.Errorf("gamma0 %.1f, gamma1 %.1f", 1e6*g0, 1e6*g1)
	}
	clock, motor, _ := c.figures()
	if clock.Low > 20 || clock.High < 20 || motor.Low > 10 || motor.High < 10 {
		t.Errorf("clock %+v, motor %+v", clock, motor)
	}
	// The variance that is foretold is the one over the single runs.
	var squares, sum float64
	var one covariances
	for range 4000 {
		one = covariances{}
		one.add(continued(12, 20, 10, rng))
		_, g := one.autocovariances()
		squares, sum = squares+g*g/4000, sum+g/4000
	}
	if got, want := one.strays(0, 1, 600e-6, -100e-6), squares-sum*sum; math.Abs(got/want-1) > .1 {
		t.Errorf("gamma1 strays by %g, simulated %g", got, want)
	}
}

// TestSteadyRuns: which intervals of a part are steady runs.
func TestSteadyRuns(t *testing.T) {
	// One pass: 16 sixteenths and two quarters.
	p := step(t, "title: T\ntempo: 120\nmetre: 4/4\n\nstep: S\nkick | xxxx xxxx xxxx xxxx | x . x . |\n")
	on := func(missed int) []int {
		tk := takeOf(t, p, Take{Tempo: 120, Passes: 2, Part: []passage.Voice{passage.Kick}}, func(i int, o Onset, _ Position) float64 {
			if i == missed {
				return math.NaN()
			}
			return wobble(o)
		})
		g := graded(t, p, tk)
		g.alongOf = g.tapOf
		var runs []int
		for k := range g.byLane {
			g.steadyRuns(&g.byLane[k], func(intervals []float64) {
				if len(intervals) > 0 {
					runs = append(runs, len(intervals))
				}
			})
		}
		return runs
	}
	for missed, want := range map[int][]int{
		-1: {16, 2, 16, 1}, // 17 strokes a sixteenth apart; half notes to the next pass
		5:  {4, 10, 2, 16, 1},
		17: {16, 16, 1},
	} {
		got := on(missed)
		if len(got) != len(want) {
			t.Errorf("missed %d: runs of %v, want %v", missed, got, want)
			continue
		}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("missed %d: runs of %v, want %v", missed, got, want)
			}
		}
	}
}
