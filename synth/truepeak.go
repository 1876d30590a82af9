package synth

import "stampmill/synth/dsp"

// peakTaps is how many frames the values between two samples are worked out
// from, peakDelay how much later they are known; our choice.
const (
	peakTaps  = 24
	peakDelay = peakTaps / 2
)

// peakFloor is the level, against the ceiling, below which nothing between two
// samples can pass it in practice: a sine at a quarter of the rate stands out
// by 3 dB, noise by hardly more than 6.
const peakFloor = .5

// A truePeak finds the peaks between samples as ITU-R BS.1770-4, annex 2,
// does: at four times the rate.
type truePeak struct {
	weights [3][]float64
	past    [2][2 * peakTaps]float32 // written twice, so that a window is always whole
	at      int
}

func newTruePeak() *truePeak {
	t := &truePeak{}
	for i := range t.weights {
		t.weights[i] = dsp.Between(peakTaps, float64(i+1)/4)
	}
	return t
}

// next takes in a frame and returns the one of peakDelay frames ago with its
// peak: of itself and of what lies between it and the next.
func (t *truePeak) next(left, right float32) (l, r, peak float32) {
	t.past[0][t.at], t.past[0][t.at+peakTaps] = left, left
	t.past[1][t.at], t.past[1][t.at+peakTaps] = right, right
	if t.at++; t.at == peakTaps {
		t.at = 0
	}
	const middle = peakTaps/2 - 1
	seenLeft, seenRight := t.past[0][t.at:t.at+peakTaps], t.past[1][t.at:t.at+peakTaps]
	l, r = seenLeft[middle], seenRight[middle]
	return l, r, max(t.between(seenLeft), t.between(seenRight))
}

// between returns the peak around the middle of a window.
func (t *truePeak) between(seen []float32) float32 {
	const middle = peakTaps/2 - 1
	a, b := seen[middle], seen[middle+1]
	top := max(a, -a)
	if max(top, b, -b) < peakFloor*ceiling {
		return top
	}
	for _, w := range t.weights {
		sum := 0.0
		for i, c := range w {
			sum += c * float64(seen[i])
		}
		top = max(top, float32(max(sum, -sum)))
	}
	return top
}
