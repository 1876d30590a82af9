package grade

import "math"

// minLag1 is the fewest strokes that an autocorrelation is told from; our
// choice, by TestIntervalsCover.
const minLag1 = 20

// Taking a line off errors makes neighbours look less alike than they are: of
// a true correlation r about r - (2+6r)/n is left (by simulation, TestIntervalsCover;
// for independent errors it is -2/n exactly but for terms of n squared).
const (
	lagLost      = 2.0
	lagLostShare = 6.0
	lagWidens    = 5.0 // how much of that share its interval is widened by; our choice, by the same test
)

// A lag sums up the residuals of strokes that follow each other in a lane.
type lag struct {
	squares, products float64
	n, pairs          int
}

// lag1 sums up the residuals, in order of the samples. Strokes follow each
// other where none of their lane is left out between.
func (g *grader) lag1(samples []sample, residuals []float64) lag {
	var s lag
	level := mean(residuals)
	next := g.nextInLane()
	at := make([]int32, len(g.expected.Onsets)) // 1 + index of an onset's sample
	for i := range samples {
		at[samples[i].onset] = int32(i) + 1
	}
	for i, x := range residuals {
		s.squares += square(x - level)
		if k := next[samples[i].onset]; k >= 0 && at[k] > 0 {
			s.products += (x - level) * (residuals[at[k]-1] - level)
			s.pairs++
		}
	}
	s.n = len(residuals)
	return s
}

// nextInLane returns for each onset the next one of its lane, or -1.
func (g *grader) nextInLane() []int32 {
	next := make([]int32, len(g.expected.Onsets))
	for i := range next {
		next[i] = -1
	}
	for k := range g.byLane {
		onsets := g.byLane[k].onsets
		for i := 1; i < len(onsets); i++ {
			next[onsets[i-1]] = int32(onsets[i])
		}
	}
	return next
}

// strokes returns the length of a run with as many pairs.
func (s lag) strokes() int {
	if s.pairs == 0 {
		return 0
	}
	return s.pairs + 1
}

// correlation returns the autocorrelation at lag 1, -1 to 1, with what the line
// took put back, at most half the way to 1 or -1; 0 where there are too few pairs to tell.
func (s lag) correlation() float64 {
	n := float64(s.strokes())
	if s.strokes() < minLag1 || s.still() {
		return 0
	}
	r := min(max(s.products/(s.squares*n/float64(s.n)), -1), 1) // pairs may weigh more than strokes do
	return min(max((r+lagLost/n)/(1-lagLostShare/n), (r-1)/2), (1+r)/2)
}

// figure returns the autocorrelation with its interval: the arc sine of r
// strays by 1/sqrt(n) whatever r is where each error carries a share of the one
// before (Bartlett 1946), a little more where it also carries a motor delay,
// and as much more as the line's share was put back.
func (s lag) figure() Figure {
	f := Figure{N: s.strokes(), Unfit: s.strokes() >= minLag1 && s.still()}
	if f.N < minLag1 || s.still() {
		return f
	}
	n := float64(f.N)
	f.OK, f.Value = true, s.correlation()
	half := zQuantile(confidence) * (1 + carriedMore*square(max(f.Value, 0))) / math.Sqrt(n) / (1 - lagWidens/n)
	middle := math.Asin(f.Value)
	f.Low = math.Sin(max(middle-half, -math.Pi/2))
	f.High = math.Sin(min(middle+half, math.Pi/2))
	return f
}

// carriedMore widens the interval of an autocorrelation r by 1 + carriedMore
// r²: by Bartlett's formula it is 1.07 for the errors of phase correction by
// half (r = 0.35) and 1.13 by a quarter (0.65) with a clock of 20 and a motor
// of 10 ms.
const carriedMore = 0.35

// still reports whether the errors are all one but for rounding: then they
// have no correlation.
func (s lag) still() bool { return s.squares <= float64(s.n)*square(leastStray) }

const leastStray = 1e-9 // seconds; our choice, far above the rounding of an hour
