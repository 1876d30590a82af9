package grade

import "math"

// Strokes that follow each other err alike: a player who corrects part of each
// error carries the rest on (Vorberg and Wing 1996), so n strokes tell less of
// a mean than n independent ones. How much less is read off the slowest
// movements of the errors themselves: the mean square of their first few
// cosines estimates the variance that a mean rests on, and Student's t with as
// many degrees of freedom makes of it an interval that is exact where errors
// are independent and normal and nearly so where they are not (Müller 2007, J.
// Econom. 141, 1331-1352, from memory). Few cosines make a wide interval, many
// miss slow movements: a sixteenth of the strokes, within these bounds, is our
// choice by TestIntervalsCover.
const (
	leastCosines  = 4
	mostCosines   = 30
	strokesCosine = 16
)

// longRun returns the variance per stroke that the mean of such errors rests
// on, and its degrees of freedom. Residuals have lost 1 degree of freedom to
// their mean or 2 to a line; at least lost+1 are given.
func longRun(residuals []float64, lost int) (variance float64, free int) {
	n := len(residuals)
	free = min(max(n/strokesCosine, leastCosines), mostCosines, n-lost)
	for k := lost; k < lost+free; k++ {
		variance += square(cosine(residuals, k)) / float64(free)
	}
	return variance, free
}

// cosine returns the k-th coefficient, from 1, of the orthonormal cosine
// transform (DCT-II) of xs.
func cosine(xs []float64, k int) float64 {
	// cos(a(i+1/2)) by the recurrence cos(x+a) = 2 cos(a) cos(x) - cos(x-a)
	a := math.Pi * float64(k) / float64(len(xs))
	now, before, twice := math.Cos(a/2), math.Cos(a/2), 2*math.Cos(a)
	sum := 0.0
	for _, x := range xs {
		sum += x * now
		now, before = twice*now-before, now
	}
	return sum * math.Sqrt(2/float64(len(xs)))
}
