package loudness

import (
	"math"

	"stampmill/synth/dsp"
)

// The true peak is looked for at four times the rate, as ITU-R BS.1770-4,
// annex 2, does; peakTaps samples make each value between two, our choice:
// twice the taps of the annex, for less ripple near the top of the band.
const (
	peakTimes = 4
	peakTaps  = 24
)

// A PeakMeter measures the true peak of one programme: the largest value of any
// channel, between samples too. It keeps no more than the last few samples.
type PeakMeter struct {
	weights [peakTimes - 1][]float64
	past    [][]float64 // a window a channel, the oldest sample first
	channel int         // of the next sample
	top     float64
}

// NewPeakMeter returns a meter for a programme of so many interleaved
// channels, at least one.
func NewPeakMeter(channels int) *PeakMeter {
	m := &PeakMeter{past: make([][]float64, channels)}
	for i := range m.weights {
		m.weights[i] = dsp.Between(peakTaps, float64(i+1)/peakTimes)
	}
	for i := range m.past {
		m.past[i] = make([]float64, peakTaps)
	}
	return m
}

// Add hears more of the programme, interleaved.
func (m *PeakMeter) Add(samples []float32) {
	for _, s := range samples {
		past := m.past[m.channel]
		copy(past, past[1:])
		past[peakTaps-1] = float64(s)
		m.top = max(m.top, math.Abs(float64(s)))
		m.between(past)
		m.channel = (m.channel + 1) % len(m.past)
	}
}

// between looks between the two samples in the middle of a window. Where all
// are far below the peak so far, nothing between them can pass it.
func (m *PeakMeter) between(past []float64) {
	if max(math.Abs(past[peakTaps/2-1]), math.Abs(past[peakTaps/2])) < m.top/4 {
		return
	}
	for _, w := range m.weights {
		sum := 0.0
		for i, c := range w {
			sum += c * past[i]
		}
		m.top = max(m.top, math.Abs(sum))
	}
}

// Peak returns the true peak of everything heard so far in dBTP; -Inf for
// silence.
func (m *PeakMeter) Peak() float64 { return 20 * math.Log10(m.top) }
