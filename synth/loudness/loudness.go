// Package loudness measures how loud a programme is, in LUFS, as ITU-R
// BS.1770-4 defines it: K-weighting, blocks of 400 ms that overlap by three
// quarters, an absolute gate and a relative one.
//
// The one idea: filter each channel twice, take the mean square of each block,
// and average the blocks that are loud enough to count. Samples are in [-1, 1]
// at 8,000 to 192,000 a second. Call [Integrated]; [Gain] turns two loudnesses
// into the factor between them.
package loudness

import "math"

// Constants of ITU-R BS.1770-4 (from memory).
const (
	offset       = -0.691 // LU: makes 997 Hz at 0 dBFS in one channel read -3.01
	absoluteGate = -70.0  // LUFS
	relativeGate = -10.0  // LU below the mean of the blocks over the absolute gate
	stepsABlock  = 4      // a block of 400 ms begins every 100 ms
	stepsASecond = 10
)

// Integrated returns the loudness of the whole programme in LUFS; -Inf where
// no block passes the gates: silence, or less than 400 ms. All channels weigh
// 1, as left and right do, and must be of one length.
func Integrated(rate int, channels ...[]float32) float64 {
	blocks := blockPowers(rate, channels)
	first := mean(blocks, power(absoluteGate))
	return level(mean(blocks, max(power(absoluteGate), first*math.Pow(10, relativeGate/10))))
}

// Gain returns the factor on samples that brings loudness from to loudness to,
// both in LUFS; 1 where either is not finite.
func Gain(from, to float64) float64 {
	if math.IsInf(from, 0) || math.IsNaN(from) || math.IsInf(to, 0) || math.IsNaN(to) {
		return 1
	}
	return math.Pow(10, (to-from)/20)
}

func level(power float64) float64 { return offset + 10*math.Log10(power) }
func power(level float64) float64 { return math.Pow(10, (level-offset)/10) }

// mean returns the mean of the blocks above a threshold; 0 if there are none.
func mean(blocks []float64, threshold float64) float64 {
	sum, n := 0.0, 0
	for _, b := range blocks {
		if b > threshold {
			sum, n = sum+b, n+1
		}
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// blockPowers returns the weighted mean square of each whole block, summed
// over the channels.
func blockPowers(rate int, channels [][]float32) []float64 {
	size := rate / stepsASecond
	if len(channels) == 0 || size == 0 {
		return nil
	}
	steps := make([]float64, len(channels[0])/size)
	for _, samples := range channels {
		addPowers(steps, samples, size, weighting(rate))
	}
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

// addPowers adds the weighted mean square of each step of size samples to dst.
func addPowers(dst []float64, samples []float32, size int, w [2]biquad) {
	for i := range dst {
		sum := 0.0
		for _, s := range samples[i*size : (i+1)*size] {
			x := w[1].next(w[0].next(float64(s)))
			sum += x * x
		}
		dst[i] += sum / float64(size)
	}
}
