package dsp

// An octave is the modes that are reckoned at one share of the rate, and the
// samples of that rate that are still needed to bring them up to the next.
//
// Twice the rate is had from halves as in every half-band filter (Crochiere &
// Rabiner, Multirate Digital Signal Processing, 1983; from memory): every other
// sample is there, those between are weighted sums of doublerReach before and
// after. For these, modes begin a little before the stroke, so that nothing
// rings at its edge.
type octave struct {
	modes []mode
	begun bool
	x     [2*doublerReach + BlockSize/2]float64
}

// octaves is how many rates there are; our choice: below a quarter little is
// left to save.
const octaves = 3

// octaveOf returns the lowest octave that holds a mode: its frequency is in
// the band that is let through, and its decay slow enough to be begun earlier.
func octaveOf(hertz, t60 float64, rate int) int {
	k := 0
	for k < octaves-1 && t60 > shortest && hertz*float64(int(2)<<k) < doublerPass*float64(rate) {
		k++
	}
	return k
}

// The filter that brings up an octave; our choice: with these, what it lets
// through is right within -100 dB (tested).
const (
	doublerReach = 12
	doublerPass  = .325 // of the lower rate
	doublerBeta  = 10.5
	shortest     = .05 // seconds of t60
)

// doubler are the weights of the samples before and after, the nearest first.
var doubler = newDoubler()

func newDoubler() (h [doublerReach]float64) {
	taps := kaiserLowPass(4*doublerReach-1, .25, doublerBeta)
	for i := range h {
		h[i] = 2 * taps[2*doublerReach+2*i]
	}
	return h
}

// octaveStart is where the modes of each octave begin, in samples of the rate:
// doublerReach samples of their own before the octave above.
var octaveStart = [octaves]float64{0, -2 * doublerReach, -2*doublerReach - 4*doublerReach}

// addTo adds what octave k and those below hold to samples of its rate.
func (m *Modes) addTo(dst []float64, k int) {
	if below := k + 1; m.sounds(below) {
		o := &m.octaves[below]
		if !o.begun {
			o.begun = true
			m.addTo(o.x[:2*doublerReach], below)
		}
		n := len(dst) / 2
		next := o.x[2*doublerReach:][:n]
		clear(next)
		m.addTo(next, below)
		double(dst, o.x[:])
		copy(o.x[:2*doublerReach], o.x[n:])
	}
	ring(dst, m.octaves[k].modes)
}

// sounds reports whether there are modes in octave k or below.
func (m *Modes) sounds(k int) bool {
	for ; k < octaves; k++ {
		if len(m.octaves[k].modes) > 0 {
			return true
		}
	}
	return false
}

// double adds x at twice its rate, from x[doublerReach] on.
func double(dst, x []float64) {
	for i := 1; i < len(dst); i += 2 {
		seen := (*[2*doublerReach + 1]float64)(x[i/2:])
		sum := 0.0
		for k, h := range &doubler {
			sum += h * (seen[doublerReach-k] + seen[doublerReach+1+k])
		}
		dst[i-1] += seen[doublerReach]
		dst[i] += sum
	}
}
