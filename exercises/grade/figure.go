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

// leaning returns the mean of errors in seconds as milliseconds. Its interval
// is Student's t for independent errors.
func leaning(errs []float64) Figure {
	n := len(errs)
	if n < minLeaning {
		return Figure{N: n}
	}
	m := mean(errs)
	half := tQuantile(confidence, n-1) * deviation(errs, m, n-1) / math.Sqrt(float64(n))
	return inMS(m, m-half, m+half, n)
}

// spread returns the standard deviation of residuals in seconds as
// milliseconds, with lost degrees of freedom. Its interval is that of a
// normal population (chi-square).
func spread(residuals []float64, lost int) Figure {
	n := len(residuals)
	if n < minSpread {
		return Figure{N: n}
	}
	free := n - lost
	sd := deviation(residuals, mean(residuals), free)
	tail := (1 - confidence) / 2
	low := sd * math.Sqrt(float64(free)/chiSquare(1-tail, free))
	high := sd * math.Sqrt(float64(free)/chiSquare(tail, free))
	return inMS(sd, low, high, n)
}

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
func chiSquare(p float64, free int) float64 {
	z := math.Sqrt2 * math.Erfinv(2*p-1)
	c := 2 / (9 * float64(free))
	r := 1 - c + z*math.Sqrt(c)
	return float64(free) * max(r*r*r, 1e-9)
}
