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

// covariances are the sums of squares and of products of neighbours of the
// intervals of steady runs, each run about its own straight line, and what
// they are expected to be for variance and lag-1 covariance of 1: a line takes
// something of both, less the longer the run.
type covariances struct {
	squares, products float64    // seconds squared
	ofSquares         [2]float64 // expected sum of squares for each unit of variance and of covariance
	ofProducts        [2]float64
	n                 int // intervals
}

// add adds the intervals of a run, in seconds.
func (m *covariances) add(intervals []float64) {
	n := len(intervals)
	middle, level := float64(n-1)/2, mean(intervals)
	sxx, sxy := 0.0, 0.0
	for i, x := range intervals {
		d := float64(i) - middle
		sxx += d * d
		sxy += d * (x - level)
	}
	before := 0.0
	for i, x := range intervals {
		x -= level + sxy/sxx*(float64(i)-middle)
		m.squares += x * x
		if i > 0 {
			m.products += x * before
		}
		before = x
	}
	m.expect(n, sxx)
	m.n += n
}

// expect adds what squares and products of a run of n about its line are
// expected to be. With B the matrix that has ones beside its diagonal, M the
// one that takes off the line, and u, v the unit vectors of level and slope,
// these are tr(M), tr(MB), tr(MB)/2 and tr(MBMB)/2, where M = 1 - uu' - vv'.
func (m *covariances) expect(n int, sxx float64) {
	uBu, vBv, BuBu, BvBv := 0.0, 0.0, 0.0, 0.0
	middle := float64(n-1) / 2
	v := func(i int) float64 {
		if i < 0 || i >= n {
			return 0
		}
		return (float64(i) - middle) / math.Sqrt(sxx)
	}
	for i := range n {
		neighbours := 2.0
		if i == 0 || i == n-1 {
			neighbours = 1
		}
		besides := v(i-1) + v(i+1)
		uBu += neighbours / float64(n)
		BuBu += neighbours * neighbours / float64(n)
		vBv += v(i) * besides
		BvBv += besides * besides
	}
	// u'Bv is 0: level is even about the middle of the run, slope is odd.
	trMB := -uBu - vBv
	trMBMB := float64(2*(n-1)) - 2*(BuBu+BvBv) + uBu*uBu + vBv*vBv
	m.ofSquares[0] += float64(n - 2)
	m.ofSquares[1] += trMB
	m.ofProducts[0] += trMB / 2
	m.ofProducts[1] += trMBMB / 2
}

// autocovariances returns variance and lag-1 covariance without bias: those
// for which sums of squares and products are what is expected.
func (m covariances) autocovariances() (gamma0, gamma1 float64) {
	a, b, c, d := m.ofSquares[0], m.ofSquares[1], m.ofProducts[0], m.ofProducts[1]
	det := a*d - b*c
	return (m.squares*d - b*m.products) / det, (a*m.products - m.squares*c) / det
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
func (m covariances) figures() (clock, motor Figure, violated bool) {
	clock, motor = Figure{N: m.n}, Figure{N: m.n}
	if m.n < minIntervals {
		return clock, motor, false
	}
	g0, g1 := m.autocovariances()
	c, d, ok := clockAndMotor(g0, g1)
	if !ok {
		clock.Unfit, motor.Unfit = true, true
		return clock, motor, true
	}
	free := float64(m.n - 2)
	return rootFigure(c, 2*g0*g0, 4, free, m.n), rootFigure(d, g0*g0, 3, free, m.n), false
}

// rootFigure makes a figure of the square root of an estimated variance. The
// estimate of a variance v strays, for normal errors and many intervals, with
// variance (level + grow v²)/free (Bartlett 1946, J. R. Stat. Soc. Suppl. 8,
// 27-41, from memory, for intervals with no covariance beyond lag 1: level is
// gamma0² and grow 3 for the movement, 2 gamma0² and 4 for the timekeeper).
//
// That there is an estimate at all says that it came out above zero, so the
// interval holds those v under which the estimate is not in either 2.5 % of a
// normal distribution cut off there. Without the cut it would leave out too
// little in small samples.
func rootFigure(estimate, level, grow, free float64, n int) Figure {
	below := func(v float64) float64 { // chance of an estimate below this one, falling with v
		se := math.Sqrt((level + grow*v*v) / free)
		cut := normalBelow(-v / se)
		return (normalBelow((estimate-v)/se) - cut) / (1 - cut)
	}
	tail := (1 - confidence) / 2
	most := estimate + 10*math.Sqrt((level+grow*estimate*estimate)/free)
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
	var m covariances
	for k := range g.byLane {
		g.steadyRuns(&g.byLane[k], func(intervals []float64) {
			if len(intervals) >= minRun {
				m.add(intervals)
			}
		})
	}
	return m.figures()
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
