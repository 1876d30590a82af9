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

// A High is a block at four times its rate.
type High [Oversampling * BlockSize]float64

// An Oversampler runs a function at four times the rate, so that the overtones
// it makes do not fold back into the audible band.
type Oversampler struct {
	up   [window][Oversampling]float64 // polyphase parts, the oldest sample's weights first
	down [shapedTaps / 2]float64       // half of a filter that is the same from both ends
	low  [window - 1 + BlockSize]float64
	high [shapedTaps - Oversampling + Oversampling*BlockSize]float64
}

// NewOversampler returns an oversampler with Kaiser-windowed filters.
func NewOversampler() *Oversampler {
	o := &Oversampler{}
	h := kaiserLowPass(shapedTaps, shapedCutoff/Oversampling, 7)
	for i, v := range h {
		o.up[window-1-i/Oversampling][i%Oversampling] = v * Oversampling
	}
	copy(o.down[:], h)
	return o
}

// Run puts a block through shape at the high rate, and delays it by Latency.
func (o *Oversampler) Run(x *Block, shape func(*High)) {
	copy(o.low[:], o.low[BlockSize:])
	copy(o.low[window-1:], x[:])
	const kept = shapedTaps - Oversampling
	copy(o.high[:kept], o.high[len(High{}):])
	high := (*High)(o.high[kept:])
	for i := range x {
		*(*[Oversampling]float64)(high[Oversampling*i:]) = o.between(i)
	}
	shape(high)
	for i := range x {
		x[i] = o.lowered(i)
	}
}

// between returns the samples of the high rate at sample i of the low one. Four
// sums at once need not wait for each other.
func (o *Oversampler) between(i int) [Oversampling]float64 {
	seen := (*[window]float64)(o.low[i:])
	a, b, c, d := 0.0, 0.0, 0.0, 0.0
	for k, x := range seen {
		h := &o.up[k]
		a += h[0] * x
		b += h[1] * x
		c += h[2] * x
		d += h[3] * x
	}
	return [...]float64{a, b, c, d}
}

// lowered returns sample i of the low rate. One multiplication serves the two
// samples that have the same weight.
func (o *Oversampler) lowered(i int) float64 {
	seen := (*[shapedTaps]float64)(o.high[Oversampling*i:])
	a, b := 0.0, 0.0
	for k := 0; k < shapedTaps/2; k += 2 {
		a += o.down[k] * (seen[k] + seen[shapedTaps-1-k])
		b += o.down[k+1] * (seen[k+1] + seen[shapedTaps-2-k])
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
