package features

import (
	"math"

	"stampmill/synth/dsp"
)

// Pitch returns the fundamental of x in hertz, given a frequency near it, from
// the peak of the autocorrelation around as many periods as fit into a third
// of the sound, refined by a parabola. near may be 1 % off for every period
// counted less than half: it must be within about 30 cents.
func Pitch(x []float64, rate int, near float64) float64 {
	period := float64(rate) / near
	periods := max(1, min(16, math.Floor(float64(len(x))/3/period)))
	lag := period * periods
	span := max(2, int(.45*period))
	best, at := math.Inf(-1), 0
	for l := int(lag) - span; l <= int(lag)+span; l++ {
		if v := auto(x, l); v > best {
			best, at = v, l
		}
	}
	a, b, c := auto(x, at-1), best, auto(x, at+1)
	shift := 0.0
	if d := a - 2*b + c; d < 0 {
		shift = .5 * (a - c) / d
	}
	return periods * float64(rate) / (float64(at) + shift)
}

// auto is the normalised autocorrelation of x at one lag.
func auto(x []float64, lag int) float64 {
	if lag < 0 || lag >= len(x) {
		return math.Inf(-1)
	}
	ab, aa, bb := 0.0, 0.0, 0.0
	for i := lag; i < len(x); i++ {
		a, b := x[i], x[i-lag]
		ab += a * b
		aa += a * a
		bb += b * b
	}
	return ab / math.Sqrt(aa*bb+1e-30)
}

// Cents returns how far a is above b: 1200 log2(a/b).
func Cents(a, b float64) float64 { return 1200 * math.Log2(a/b) }

// Likeness returns the largest normalised cross-correlation, by absolute
// value, of two signals within lags of up to seconds: 1 for copies, however
// delayed, 0 for signals that share nothing.
func Likeness(a, b []float64, seconds float64, rate int) float64 {
	most := int(seconds * float64(rate))
	n := 1
	for n < max(len(a), len(b))+most {
		n *= 2
	}
	fa, fb := spectrum(a, n), spectrum(b, n)
	for i := range fa {
		v := fa[i] * complex(real(fb[i]), -imag(fb[i]))
		fa[i] = complex(real(v), -imag(v)) // the inverse transform is the transform of the conjugate
	}
	c := dsp.Fourier(fa)
	top := 0.0
	for l := range most + 1 {
		top = max(top, math.Abs(real(c[l])), math.Abs(real(c[(n-l)%n])))
	}
	return top / float64(n) / math.Sqrt(energy(a)*energy(b)+1e-30)
}

func spectrum(x []float64, n int) []complex128 {
	c := make([]complex128, n)
	for i, v := range x {
		c[i] = complex(v, 0)
	}
	return dsp.Fourier(c)
}

// Strongest returns the frequency of the largest peak of the spectrum of x
// between lo and hi hertz, refined by a parabola on the logarithm of a Hann
// window.
func Strongest(x []float64, rate int, lo, hi float64) float64 {
	w := make([]float64, 4*len(x)) // zeros behind: finer steps
	for i, v := range x {
		w[i] = v * (.5 - .5*math.Cos(2*math.Pi*float64(i)/float64(len(x))))
	}
	p := dsp.Power(w)
	best := 0
	for i := range p {
		if f := hertz(i, p, rate); f >= lo && f <= hi && p[i] > p[best] {
			best = i
		}
	}
	if best == 0 || best == len(p)-1 {
		return hertz(best, p, rate)
	}
	a, b, c := math.Log(p[best-1]+1e-30), math.Log(p[best]+1e-30), math.Log(p[best+1]+1e-30)
	return hertz(1, p, rate) * (float64(best) + .5*(a-c)/(a-2*b+c+1e-30))
}

// Float returns samples as float64, for the functions of this package.
func Float(pcm []float32) []float64 {
	x := make([]float64, len(pcm))
	for i, v := range pcm {
		x[i] = float64(v)
	}
	return x
}

// BetweenPartials returns the largest power of the spectrum of x, and the
// largest outside a third of the way around each multiple of f: what does not
// belong to a note of that pitch.
func BetweenPartials(x []float64, rate int, f float64) (strongest, between float64) {
	w := make([]float64, len(x))
	for i, v := range x {
		a := 2 * math.Pi * float64(i) / float64(len(x))
		w[i] = v * (.35875 - .48829*math.Cos(a) + .14128*math.Cos(2*a) - .01168*math.Cos(3*a)) // Blackman-Harris
	}
	p := dsp.Power(w)
	for i, v := range p {
		h := hertz(i, p, rate)
		strongest = max(strongest, v)
		if off := math.Abs(h/f - math.Round(h/f)); off > 1./3 && h > f/2 {
			between = max(between, v)
		}
	}
	return strongest, between
}
