package dsp

import "math"

// A Waveguide is a string: a delay line one period long, closed by a low-pass
// that takes the highs away first (Karplus & Strong 1983; Jaffe & Smith 1983;
// Smith, Physical Audio Signal Processing, chapter "The Karplus-Strong
// algorithm"). The delay is read by cubic Lagrange interpolation, so that the
// pitch is exact and can be bent while it sounds.
type Waveguide struct {
	line  []float64 // a power of two long
	at    int
	delay float64 // samples, without that of the low-pass
	whole int     // newest of the four samples that are read, counted back
	taps  [4]float64
	t60   float64
	gain  float64
	pole  float64
	low   float64 // state of the low-pass
}

// NewWaveguide returns a silent string of the given pitch. Its fundamental
// decays by 60 dB in t60 seconds; damping from 0 to below 1 says how much
// faster the highs do (the pole of the low-pass), see MaxDamping. lowest is the
// lowest pitch that it will ever be tuned to.
func NewWaveguide(hertz, lowest, t60, damping float64, rate int) *Waveguide {
	size := 16
	for float64(size) < float64(rate)/lowest+8 {
		size *= 2
	}
	w := &Waveguide{line: make([]float64, size), pole: damping, t60: t60}
	w.Tune(hertz, rate)
	return w
}

// Tune sets the pitch in hertz, keeping what sounds.
func (w *Waveguide) Tune(hertz float64, rate int) {
	omega := 2 * math.Pi * hertz / float64(rate)
	s, c := math.Sincos(omega)
	// The low-pass (1-p)/(1-p z^-1) at the fundamental: its delay is taken off
	// the line, its loss made up by the gain.
	phase := math.Atan2(w.pole*s, 1-w.pole*c)
	loss := (1 - w.pole) / math.Hypot(1-w.pole*c, w.pole*s)
	w.delay = (2*math.Pi - phase) / omega
	w.gain = min(math.Pow(10, -3/(w.t60*hertz))/loss, maxLoop)
	w.interpolate()
}

// maxLoop keeps the loop's gain at zero frequency below 1; our choice.
const maxLoop = .99999

// MaxDamping returns the largest damping with which a string of the given
// pitch can still ring for t60 seconds: what its low-pass takes from the
// fundamental in one period, p w^2 / (2 (1-p)^2) for small w, must not exceed
// the decay that is wanted, 3 ln 10 / (t60 hertz).
func MaxDamping(hertz, t60 float64, rate int) float64 {
	w := 2 * math.Pi * hertz / float64(rate)
	q := 2 * 3 * math.Ln10 / (t60 * hertz * w * w)
	return (2*q + 1 - math.Sqrt(4*q+1)) / (2 * q) // the root of p = q (1-p)^2 below 1
}

// interpolate works out the Lagrange taps around the delay (Laakso et al.,
// "Splitting the unit delay", 1996): for a fraction between 1 and 2 of four
// neighbouring samples.
func (w *Waveguide) interpolate() {
	w.whole = int(w.delay) - 1
	d := w.delay - float64(w.whole)
	w.taps = [4]float64{
		-(d - 1) * (d - 2) * (d - 3) / 6,
		d * (d - 2) * (d - 3) / 2,
		-d * (d - 1) * (d - 3) / 2,
		d * (d - 1) * (d - 2) / 6,
	}
}

// Next puts one sample of excitation into the string and returns what the
// string does there.
func (w *Waveguide) Next(excitation float64) float64 {
	mask := len(w.line) - 1
	i := w.at - w.whole
	t := &w.taps
	y := t[0]*w.line[i&mask] + t[1]*w.line[(i-1)&mask] + t[2]*w.line[(i-2)&mask] + t[3]*w.line[(i-3)&mask]
	w.low = (1-w.pole)*y + w.pole*w.low
	out := excitation + w.gain*w.low
	w.line[w.at&mask] = out
	w.at++
	return out
}

// A Comb subtracts what was delay samples ago: the place on the string where
// it is picked, or where the pickup sits.
type Comb struct {
	line  []float64
	at    int
	delay int
	depth float64
}

// NewComb returns a comb of the given delay in samples; depth 1 cancels fully.
func NewComb(delay, depth float64) *Comb {
	d := max(1, int(delay+.5))
	return &Comb{line: make([]float64, d), delay: d, depth: depth}
}

// Filter returns the combed sample.
func (c *Comb) Filter(x float64) float64 {
	old := c.line[c.at]
	c.line[c.at] = x
	if c.at++; c.at == c.delay {
		c.at = 0
	}
	return x - c.depth*old
}
