// Package loudness measures how loud a programme is, in LUFS, as ITU-R
// BS.1770-4 defines it: K-weighting, blocks of 400 ms that overlap by three
// quarters, an absolute gate and a relative one.
//
// The one idea: filter each channel twice, take the mean square of each block,
// and average the blocks that are loud enough to count. Samples are in [-1, 1],
// interleaved, at 8,000 to 192,000 frames a second; every channel weighs 1, as
// left and right do. Call [NewMeter], hand it the programme with [Meter.Add] in
// pieces of any size, and read [Meter.Integrated]; memory grows by one number
// for each 100 ms. [Gain] turns two loudnesses into the factor between them.
package loudness

import (
	"math"

	"stampmill/synth/dsp"
)

// Constants of ITU-R BS.1770-4 (from memory).
const (
	offset       = -0.691 // LU: makes 997 Hz at 0 dBFS in one channel read -3.01
	absoluteGate = -70.0  // LUFS
	relativeGate = -10.0  // LU below the mean of the blocks over the absolute gate
	stepsABlock  = 4      // a block of 400 ms begins every 100 ms
	stepsASecond = 10
)

// A Meter measures one programme.
type Meter struct {
	filters [][2]dsp.Biquad // one pair a channel
	channel int             // of the next sample
	size    int             // samples of a step over all channels
	filled  int             // samples in the step that is under way
	sum     float64         // of their squares
	steps   []float64       // mean square of each whole step, summed over the channels
}

// NewMeter returns a meter for a programme of so many frames a second and
// channels, at least one.
func NewMeter(rate, channels int) *Meter {
	m := &Meter{size: rate / stepsASecond * channels, filters: make([][2]dsp.Biquad, channels)}
	for i := range m.filters {
		m.filters[i] = Weighting(rate)
	}
	return m
}

// Add hears more of the programme, interleaved.
func (m *Meter) Add(samples []float32) {
	for _, s := range samples {
		f := &m.filters[m.channel]
		x := f[1].Filter(f[0].Filter(float64(s)))
		m.sum += x * x
		m.channel = (m.channel + 1) % len(m.filters)
		if m.filled++; m.filled == m.size {
			frames := m.size / len(m.filters)
			m.steps = append(m.steps, m.sum/float64(frames))
			m.sum, m.filled = 0, 0
		}
	}
}

// Integrated returns the loudness of everything heard so far in LUFS; -Inf
// where no block passes the gates: silence, or less than 400 ms.
func (m *Meter) Integrated() float64 { return Integrated(m.steps) }

// Integrated returns the loudness in LUFS of a programme of which only the
// K-weighted mean square of each 100 ms is known, summed over the channels;
// -Inf where no block passes the gates.
func Integrated(steps []float64) float64 {
	blocks := blocksOf(steps)
	first := meanAbove(blocks, power(absoluteGate))
	relative := first * math.Pow(10, relativeGate/10)
	return level(meanAbove(blocks, max(power(absoluteGate), relative)))
}

// blocksOf returns the mean square of each whole block.
func blocksOf(steps []float64) []float64 {
	var blocks []float64
	for i := 0; i+stepsABlock <= len(steps); i++ {
		sum := 0.0
		for _, s := range steps[i : i+stepsABlock] {
			sum += s
		}
		blocks = append(blocks, sum/stepsABlock)
	}
	return blocks
}

// meanAbove returns the mean of the blocks above a threshold; 0 if there are
// none.
func meanAbove(blocks []float64, threshold float64) float64 {
	sum, n := 0.0, 0
	for _, b := range blocks {
		if b > threshold {
			sum, n = sum+b, n+1
		}
	}
	return sum / float64(max(n, 1))
}

func level(power float64) float64 { return offset + 10*math.Log10(power) }
func power(level float64) float64 { return math.Pow(10, (level-offset)/10) }

// Gain returns the factor on samples that brings loudness from to loudness to,
// both in LUFS; 1 where either is not finite.
func Gain(from, to float64) float64 {
	if math.IsInf(from-to, 0) || math.IsNaN(from-to) {
		return 1
	}
	return math.Pow(10, (to-from)/20)
}
