package grade

import "math"

// The fewest strokes a figure rests on. Our choice: a mean of three has an
// interval at all, a spread of four is known within a factor of about two, a
// slope wants a bar or two.
const (
	minLeaning = 3
	minSpread  = 4
	minDrift   = 8
)

const confidence = 0.95 // of every interval

// leaning returns the mean of errors in seconds, in order of time, as
// milliseconds.
func leaning(errs []float64) Figure { return leaningOf(mean(errs), errs, 1) }

// leaningOf returns a mean as milliseconds, given the errors about the line of
// drift, in seconds and in order of time, and the degrees of freedom that it
// cost. The interval holds also where errors follow from each other: see longRun.
func leaningOf(mean float64, residuals []float64, lost int) Figure {
	n := len(residuals)
	if n < minLeaning {
		return Figure{N: n}
	}
	variance, free := longRun(residuals, lost)
	half := tQuantile(confidence, free) * math.Sqrt(variance/float64(n))
	return inMS(mean, mean-half, mean+half, n)
}

// spread returns the standard deviation of residuals in seconds as
// milliseconds, with lost degrees of freedom. Its interval is that of a normal
// population (chi-square) in which each error carries the share r of the one
// before: then n strokes tell as much as n(1-r²)/(1+r²) independent ones
// (Bayley and Hammersley 1946, J. R. Stat. Soc. Suppl. 8, 184-197, from memory).
func spread(residuals []float64, lost int, r float64) Figure {
	n := len(residuals)
	if n < minSpread {
		return Figure{N: n}
	}
	sd := deviation(residuals, mean(residuals), n-lost)
	r2 := max(r*r-1/float64(n), 0) // what chance makes of no correlation is none
	free := max(float64(n-lost)*(1-r2)/(1+r2), leastFree)
	tail := (1 - confidence) / 2
	low := sd * math.Sqrt(free/chiSquare(1-tail, free))
	high := sd * math.Sqrt(free/chiSquare(tail, free))
	return inMS(sd, low, high, n)
}

// leastFree is the fewest degrees of freedom a spread is given: those of
// minSpread strokes.
const leastFree = 3

// inMS makes a figure in milliseconds from seconds.
func inMS(value, low, high float64, n int) Figure {
	return Figure{Value: 1000 * value, Low: 1000 * low, High: 1000 * high, N: n, OK: true}
}

func mean(xs []float64) float64 {
	if len(xs) == 0 {
		return 0
	}
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

// deviation returns the root of the sum of squares about m over free degrees
// of freedom.
func deviation(xs []float64, m float64, free int) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += (x - m) * (x - m)
	}
	return math.Sqrt(sum / float64(free))
}

// zQuantile returns the z that a standard normal number leaves with
// probability 1-p to either side together: 1.96 for 0.95.
func zQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(p) }

// tQuantile is zQuantile for Student's t with free degrees of freedom, at
// least 2, by the expansion of Abramowitz and Stegun 1964, Handbook of
// Mathematical Functions, 26.7.5 (from memory); within 1 % from 2 on.
func tQuantile(p float64, free int) float64 {
	z, v := zQuantile(p), float64(free)
	z2 := z * z
	g1 := z * (z2 + 1) / 4
	g2 := z * ((5*z2+16)*z2 + 3) / 96
	g3 := z * (((3*z2+19)*z2+17)*z2 - 15) / 384
	g4 := z * ((((79*z2+776)*z2+1482)*z2-1920)*z2 - 945) / 92160
	return z + (g1+(g2+(g3+g4/v)/v)/v)/v
}

// chiSquare returns the value that a chi-square number with free degrees of
// freedom stays below with probability p, by Wilson and Hilferty 1931, Proc.
// Natl. Acad. Sci. 17, 684-688 (from memory); within 0.04 and 1 % from 3 on.
func chiSquare(p, free float64) float64 {
	z := math.Sqrt2 * math.Erfinv(2*p-1)
	c := 2 / (9 * free)
	r := 1 - c + z*math.Sqrt(c)
	return free * max(r*r*r, 1e-9)
}

// Mean returns the mean of at least three values in order of time, in their
// own unit. The interval holds also where values follow from each other.
func Mean(values []float64) Figure {
	f := leaning(values)
	f.Value, f.Low, f.High = f.Value/1000, f.Low/1000, f.High/1000
	return f
}
