package dsp

import "math"

// Saturate bends a sample smoothly towards -1 and 1: the rational function
// x (27 + x^2) / (27 + 9 x^2), the Padé approximant of tanh, which meets 1 with
// slope 0 at x = 3 and is held there. It costs one division.
func Saturate(x float64) float64 {
	if x > 3 {
		return 1
	}
	if x < -3 {
		return -1
	}
	return x * (27 + x*x) / (27 + 9*x*x)
}

// Oversampling is the factor at which a Shaped stage works. Four keeps the
// aliases of a guitar's range well below the sound (measured).
const Oversampling = 4

// shapedTaps is the length of the filters up and down.
const shapedTaps = 64

// shapedCutoff is the corner of those filters, as a share of the low rate:
// the audible band is let through, and what folds back folds back above it.
const shapedCutoff = .44

// window is how many samples of the low rate the filters see.
const window = shapedTaps / Oversampling

// Latency is the delay of an Oversampler in samples of the low rate: both
// filters delay by half their length, and the last of four is taken.
const Latency = window - 1

// An Oversampler runs a function of one sample at four times the rate, so that
// the overtones it makes do not fold back into the audible band.
type Oversampler struct {
	up    [Oversampling][window]float64 // polyphase parts
	down  [shapedTaps]float64
	in    [2 * window]float64 // written twice, so that a window is always whole
	out   [2 * shapedTaps]float64
	inAt  int
	outAt int
}

// NewOversampler returns an oversampler with Kaiser-windowed filters.
func NewOversampler() *Oversampler {
	o := &Oversampler{}
	h := kaiserLowPass(shapedTaps, shapedCutoff/Oversampling, 7)
	for i, v := range h {
		o.up[i%Oversampling][i/Oversampling] = v * Oversampling
	}
	o.down = [shapedTaps]float64(h)
	return o
}

// Next puts one sample through shape at the high rate and returns the one of
// Latency samples ago.
func (o *Oversampler) Next(x float64, shape func(float64) float64) float64 {
	if o.inAt--; o.inAt < 0 {
		o.inAt = window - 1
	}
	o.in[o.inAt], o.in[o.inAt+window] = x, x
	for _, x := range o.between() {
		if o.outAt--; o.outAt < 0 {
			o.outAt = shapedTaps - 1
		}
		y := shape(x)
		o.out[o.outAt], o.out[o.outAt+shapedTaps] = y, y
	}
	return o.lowered()
}

// between returns the next samples of the high rate.
func (o *Oversampler) between() [Oversampling]float64 {
	seen := (*[window]float64)(o.in[o.inAt:])
	a, b, c, d := 0.0, 0.0, 0.0, 0.0
	for i, x := range seen {
		a += o.up[0][i] * x
		b += o.up[1][i] * x
		c += o.up[2][i] * x
		d += o.up[3][i] * x
	}
	return [...]float64{a, b, c, d}
}

// lowered returns the newest sample of the low rate. The filter is the same
// from both ends, so one multiplication serves two samples; sums of their own
// need not wait for each other.
func (o *Oversampler) lowered() float64 {
	high := (*[shapedTaps]float64)(o.out[o.outAt:])
	a, b := 0.0, 0.0
	for i := 0; i < shapedTaps/2; i += 2 {
		a += o.down[i] * (high[i] + high[shapedTaps-1-i])
		b += o.down[i+1] * (high[i+1] + high[shapedTaps-2-i])
	}
	return a + b
}

// kaiserLowPass returns a windowed sinc of n taps and unit gain; cutoff is a
// share of the rate (Kaiser 1974; Oppenheim & Schafer, Discrete-Time Signal
// Processing, chapter "Filter design techniques").
func kaiserLowPass(n int, cutoff, beta float64) []float64 {
	h := make([]float64, n)
	sum := 0.0
	for i := range h {
		t := float64(i) - float64(n-1)/2
		x := 2 * t / float64(n-1)
		h[i] = sinc(2*cutoff*t) * bessel0(beta*math.Sqrt(max(0, 1-x*x)))
		sum += h[i]
	}
	for i := range h {
		h[i] /= sum
	}
	return h
}

// Between returns the weights of n neighbouring samples for the value between
// the two in the middle, by a windowed sinc: shift 0 is the earlier of them, 1
// the later. n is even.
func Between(n int, shift float64) []float64 {
	h := make([]float64, n)
	sum := 0.0
	for i := range h {
		t := float64(i-n/2+1) - shift
		x := t / (float64(n)/2 + .5)
		h[i] = sinc(t) * bessel0(betweenBeta*math.Sqrt(max(0, 1-x*x)))
		sum += h[i]
	}
	for i := range h {
		h[i] /= sum
	}
	return h
}

// betweenBeta shapes the window of Between; our choice.
const betweenBeta = 4

func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// bessel0 is the modified Bessel function of order 0, by its power series.
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > 1e-12*sum; k++ {
		term *= x / (2 * k) * x / (2 * k)
		sum += term
	}
	return sum
}
