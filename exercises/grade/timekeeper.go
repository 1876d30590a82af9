package grade

import "math"

// What a steady run is that clock and motor are told from. The fewest
// intervals of a run and how far they may be from what is written are those
// with which published tapping is read (taps on a run of at least 12 intervals,
// all within half an interval); the fewest of all runs together are our choice,
// by TestTimekeeperIntervalsCover.
const (
	minRun       = 12
	minIntervals = 24
	steadyWithin = 0.5  // of the written interval
	sameInterval = 1e-6 // seconds by which intervals written alike may differ in rounding
)

// covariances sum up the intervals of steady runs, each run about its own
// straight line, and what a line takes off: with B the matrix that has ones
// beside its diagonal and M the one that takes the line off, the traces of
// 1 M, MB, (MB)², (MB)³ and (MB)⁴.
type covariances struct {
	squares, products float64 // seconds squared; of neighbours
	traces            [5]float64
	n                 int // intervals
}

// add adds the intervals of a run, in seconds.
func (c *covariances) add(intervals []float64) {
	n := len(intervals)
	level, slope := make([]float64, n), make([]float64, n) // unit vectors
	middle, sxx := float64(n-1)/2, float64(n)*(float64(n)*float64(n)-1)/12
	for i := range n {
		level[i], slope[i] = 1/math.Sqrt(float64(n)), (float64(i)-middle)/math.Sqrt(sxx)
	}
	onLevel, onSlope := dot(level, intervals), dot(slope, intervals)
	before := 0.0
	for i, x := range intervals {
		x -= onLevel*level[i] + onSlope*slope[i]
		c.squares += x * x
		c.products += x * before
		before = x
	}
	c.n += n
	c.trace(n, level, slope)
}

// trace adds the traces of a run of n. Level is even about the middle of the
// run and slope odd, so that M = 1 - uu' - vv' takes off each by itself; of B
// alone the traces are 0, 2(n-1), 0 and 6n-10.
func (c *covariances) trace(n int, lines ...[]float64) {
	add := [5]float64{float64(n), 0, 2 * float64(n-1), 0, 6*float64(n) - 10}
	for _, u := range lines {
		b := besides(u)
		bb := besides(b)
		h1, h2, h3, h4 := dot(u, b), dot(b, b), dot(b, bb), dot(bb, bb)
		add[0]--
		add[1] -= h1
		add[2] -= 2*h2 - h1*h1
		add[3] -= 3*h3 - 3*h2*h1 + h1*h1*h1
		add[4] -= 4*h4 - 4*h3*h1 - 2*h2*h2 + 4*h2*h1*h1 - h1*h1*h1*h1
	}
	for k, t := range add {
		c.traces[k] += t
	}
}

// besides returns Bx: the sum of the neighbours of each element.
func besides(x []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		if i > 0 {
			out[i] += x[i-1]
		}
		if i+1 < len(x) {
			out[i] += x[i+1]
		}
	}
	return out
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// autocovariances returns variance and lag-1 covariance of the intervals
// without bias: those for which sums of squares and products are what is
// expected of them, tr(M) gamma0 + tr(MB) gamma1 and half as much with one
// more MB.
func (c covariances) autocovariances() (gamma0, gamma1 float64) {
	t, det := c.traces, c.determinant()
	return (c.squares*t[2] - 2*t[1]*c.products) / det, (2*t[0]*c.products - c.squares*t[1]) / det
}

func (c covariances) determinant() float64 { return c.traces[0]*c.traces[2] - c.traces[1]*c.traces[1] }

// strays returns the variance of an estimate p gamma0 + q gamma1 for normal
// errors whose autocovariances are g0, g1 and no more: that of a sum of squares
// and products x'Qx is 2 tr(QSQS), with S = g0 + g1 B.
func (c covariances) strays(p, q, g0, g1 float64) float64 {
	t, det := c.traces, c.determinant()
	form := func(k int) float64 { return g0*g0*t[k] + 2*g0*g1*t[k+1] + g1*g1*t[k+2] }
	squares, products := (p*t[2]-q*t[1])/det, 2*(q*t[0]-p*t[1])/det // what the estimate takes of each
	return max(2*squares*squares*form(0)+2*squares*products*form(1)+products*products*form(2)/2, 0)
}

// clockAndMotor returns the variances of timekeeper and movement of a run whose
// intervals have such autocovariances, and whether the model holds: an interval
// is one of the timekeeper plus the difference of two motor delays, all
// independent, so that
//
//	gamma0 = clock² + 2 motor², gamma1 = -motor²
//
// and gamma1/gamma0 is between -1/2 and 0 (Wing and Kristofferson 1973,
// Percept. Psychophys. 14, 5-12). Outside that the model does not hold, and
// nothing is clamped.
func clockAndMotor(gamma0, gamma1 float64) (clock, motor float64, ok bool) {
	clock, motor = gamma0+2*gamma1, -gamma1
	return clock, motor, clock >= 0 && motor >= 0 && gamma0 > 0
}

// figures returns the standard deviations of timekeeper and movement, and
// whether the model is violated.
func (c covariances) figures() (clock, motor Figure, violated bool) {
	clock, motor = Figure{N: c.n}, Figure{N: c.n}
	if c.n < minIntervals {
		return clock, motor, false
	}
	g0, g1 := c.autocovariances()
	clock2, motor2, ok := clockAndMotor(g0, g1)
	if !ok {
		clock.Unfit, motor.Unfit = true, true
		return clock, motor, true
	}
	clock = rootFigure(clock2, c.n, func(v float64) float64 { return c.strays(1, 2, g0, (v-g0)/2) })
	motor = rootFigure(motor2, c.n, func(v float64) float64 { return c.strays(0, -1, g0, -v) })
	return clock, motor, false
}

// rootFigure makes a figure of the square root of an estimated variance, given
// by how much the estimate of a variance strays.
//
// That there is an estimate at all says that it came out above zero, so the
// interval holds those variances under which the estimate is not in either
// 2.5 % of a normal distribution cut off there. Without the cut it would hold
// too much in small samples.
func rootFigure(estimate float64, n int, strays func(v float64) float64) Figure {
	below := func(v float64) float64 { // chance of an estimate below this one, falling with v
		se := math.Sqrt(strays(v))
		cut := normalBelow(-v / se)
		return (normalBelow((estimate-v)/se) - cut) / (1 - cut)
	}
	tail := (1 - confidence) / 2
	most := estimate + math.Sqrt(strays(estimate))
	for range 20 { // doublings: of a million times the estimate nothing is told
		if below(most) < tail {
			break
		}
		most *= 2
	}
	f := inMS(math.Sqrt(estimate), math.Sqrt(falling(below, most, 1-tail)), math.Sqrt(falling(below, most, tail)), n)
	f.Low, f.High = min(f.Low, f.Value), max(f.High, f.Value)
	return f
}

// falling returns where a function that falls from 0 on comes down to y, 0 if
// it begins below and no more than most.
func falling(f func(float64) float64, most, y float64) float64 {
	if f(0) <= y {
		return 0
	}
	low, high := 0.0, most
	for range 60 { // halvings: float64 has no more to give
		if middle := (low + high) / 2; f(middle) > y {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// normalBelow returns the chance that a standard normal number is below z.
func normalBelow(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// timekeeping tells clock and motor from the steady runs of the take.
func (g *grader) timekeeping() (clock, motor Figure, violated bool) {
	var c covariances
	for k := range g.byLane {
		g.steadyRuns(&g.byLane[k], func(intervals []float64) {
			if len(intervals) >= minRun {
				c.add(intervals)
			}
		})
	}
	return c.figures()
}

// steadyRuns calls run with the intervals in seconds of each stretch of a lane
// that is written in equal intervals, was played without a gap, and strays
// from none of them by half.
func (g *grader) steadyRuns(l *lane, run func(intervals []float64)) {
	var intervals []float64
	written := 0.0
	for k := 1; k < len(l.onsets); k++ {
		from, to := g.alongOf[l.onsets[k-1]], g.alongOf[l.onsets[k]]
		gap := l.at[k] - l.at[k-1]
		steady := from >= 0 && to >= 0 && math.Abs(g.taps[to]-g.taps[from]-gap) <= steadyWithin*gap
		if !steady || math.Abs(gap-written) > sameInterval {
			run(intervals)
			intervals = intervals[:0]
		}
		written = gap
		if steady {
			intervals = append(intervals, g.taps[to]-g.taps[from])
		}
	}
	run(intervals)
}
