package grade

import (
	"math"
	"slices"
)

// maxSlopePoints bounds the work of the robust slope: more strokes are first
// gathered into so many runs of neighbours. Our choice; 128 points have 8,128
// pairs.
const maxSlopePoints = 128

// medianSlopeLoss is how much wider the median slope strays than that of least
// squares for normal errors: sqrt(pi/3) (Sen 1968).
const medianSlopeLoss = 1.0233

// A line is the straight line of errors over time that drift is.
type line struct {
	slope, se float64 // seconds of error per second, and its standard error
	free      int     // degrees of freedom of that error
	at        float64 // mean time
	ok        bool
}

// fit returns the robust line through errors over times (both seconds, times
// in order): the median of the slopes of all pairs of strokes (Theil 1950;
// Sen 1968, J. Am. Stat. Assoc. 63, 1379-1389; from memory). Fewer than
// minDrift strokes have none.
func fit(times, errs []float64) line {
	l := line{at: mean(times)}
	if len(times) < minDrift {
		return l
	}
	ts, es := gather(times), gather(errs)
	var slopes []float64
	for i := range ts {
		for j := i + 1; j < len(ts); j++ {
			if d := ts[j] - ts[i]; d > 0 {
				slopes = append(slopes, (es[j]-es[i])/d)
			}
		}
	}
	if len(slopes) == 0 {
		return l
	}
	l.slope, l.ok = median(slopes), true
	sxx := 0.0
	for _, t := range times {
		sxx += (t - l.at) * (t - l.at)
	}
	variance, free := longRun(l.residuals(times, errs), l.lost())
	l.se, l.free = medianSlopeLoss*math.Sqrt(variance/sxx), free
	return l
}

// residuals returns the errors less the line's slope about its mean time.
func (l line) residuals(times, errs []float64) []float64 {
	out := make([]float64, len(errs))
	for i, e := range errs {
		out[i] = e - l.slope*(times[i]-l.at)
	}
	return out
}

// off returns the samples with the line's slope taken off.
func (l line) off(samples []sample) []sample {
	out := slices.Clone(samples)
	for i, s := range out {
		out[i].err -= l.slope * (s.at - l.at)
	}
	return out
}

// gather returns the means of at most maxSlopePoints runs of neighbours.
func gather(xs []float64) []float64 {
	if len(xs) <= maxSlopePoints {
		return xs
	}
	out := make([]float64, maxSlopePoints)
	for i := range out {
		out[i] = mean(xs[i*len(xs)/maxSlopePoints : (i+1)*len(xs)/maxSlopePoints])
	}
	return out
}

// Median returns the middle of xs, or the mean of the two middles. There must be
// one.
func Median(xs []float64) float64 { return median(slices.Clone(xs)) }

// median returns the middle of xs, or the mean of the two middles, and leaves
// xs in another order.
func median(xs []float64) float64 {
	half := len(xs) / 2
	upper := selected(xs, half)
	if len(xs)%2 == 1 {
		return upper
	}
	return (slices.Max(xs[:half]) + upper) / 2
}

// selected returns the element that stands at k when xs is sorted, by Hoare's
// quickselect (1961, Commun. ACM 4, 321-322, from memory). Then none before k is
// greater and none after it smaller.
func selected(xs []float64, k int) float64 {
	for first, last := 0, len(xs)-1; first < last; {
		pivot, i, j := xs[(first+last)/2], first, last
		for i <= j {
			for xs[i] < pivot {
				i++
			}
			for xs[j] > pivot {
				j--
			}
			if i <= j {
				xs[i], xs[j] = xs[j], xs[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			last = j
		case k >= i:
			first = i
		default:
			return xs[k]
		}
	}
	return xs[k]
}

// drift returns the line as beats a minute won or lost against bpm. A player
// whose errors grow by s seconds a second plays each beat in (1+s) of its
// written time, so at bpm/(1+s). The interval is
// Student's t, and holds also where errors follow from each other: see longRun.
func (l line) drift(bpm float64, n int) Figure {
	if !l.ok {
		return Figure{N: n}
	}
	half := tQuantile(confidence, l.free) * l.se
	won := func(s float64) float64 { return bpm/(1+max(s, -0.9)) - bpm }
	return Figure{Value: won(l.slope), Low: won(l.slope + half), High: won(l.slope - half), N: n, OK: true}
}
