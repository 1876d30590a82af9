// Package features measures sounds: where their energy lies, how fast they
// start and how long they ring. Tests judge the voices by it.
//
// Time 0 is the first sample above -40 dB of the peak. Call [Measure] with
// mono samples.
package features

import (
	"math"

	"stampmill/synth/dsp"
)

// Set is the features of one sound. Frequencies in hertz, times in
// milliseconds, the rest in dB.
type Set struct {
	Attack               float64 // |x| from 10 to 90 % of its maximum
	C0, C1, C2           float64 // power centroid of 0-30, 30-150, 150-500 ms, 20 Hz to 20 kHz
	T20, T40             float64 // last time the 10 ms RMS is within 20, 40 dB of its maximum
	T60, T60Lo           float64 // Schroeder decay -5..-25 dB times 3: all, 20-250 Hz,
	T60Mid, T60Hi        float64 // 250-2000 Hz, 2-20 kHz
	Flat                 float64 // spectral flatness of 30-150 ms, 200 Hz to 16 kHz
	Crest                float64 // of 0-150 ms
	HighLow, MidFraction float64 // E(>2 kHz)/E(<250 Hz), E(250-2k)/E(all) of 0-150 ms
}

// Names are the names of the features in the order of Values.
var Names = []string{"att", "c0", "c1", "c2", "t20", "t40", "t60", "t60lo", "t60mid", "t60hi", "flat", "crest", "hl", "mfrac"}

// Values returns the features in the order of Names.
func (s Set) Values() []float64 {
	return []float64{s.Attack, s.C0, s.C1, s.C2, s.T20, s.T40, s.T60, s.T60Lo, s.T60Mid, s.T60Hi, s.Flat, s.Crest, s.HighLow, s.MidFraction}
}

// Measure returns the features of a mono sound. Silence has none: all zero.
func Measure(pcm []float32, rate int) Set {
	x := fromOnset(pcm)
	if len(x) == 0 {
		return Set{}
	}
	ms := func(a, b float64) []float64 { return part(x, a, b, rate) }
	early := ms(0, 150)
	p := dsp.Power(early)
	return Set{
		Attack: attack(x, rate),
		C0:     Centroid(ms(0, 30), rate), C1: Centroid(ms(30, 150), rate), C2: Centroid(ms(150, 500), rate),
		T20: within(x, rate, 20), T40: within(x, rate, 40),
		T60: decay(x, rate), T60Lo: decay(filtered(x, 20, 250, rate), rate),
		T60Mid: decay(filtered(x, 250, 2000, rate), rate), T60Hi: decay(filtered(x, 2000, 20000, rate), rate),
		Flat:        flatness(ms(30, 150), rate),
		Crest:       decibels(peak(early)*peak(early), energy(early)/float64(len(early))),
		HighLow:     decibels(between(p, 2000, 1e9, rate), between(p, 0, 250, rate)),
		MidFraction: decibels(between(p, 250, 2000, rate), between(p, 0, 1e9, rate)),
	}
}

func fromOnset(pcm []float32) []float64 {
	top := 0.0
	for _, v := range pcm {
		top = max(top, math.Abs(float64(v)))
	}
	for i, v := range pcm {
		if top > 0 && math.Abs(float64(v)) >= top/100 {
			x := make([]float64, len(pcm)-i)
			for j := range x {
				x[j] = float64(pcm[i+j])
			}
			return x
		}
	}
	return nil
}

func part(x []float64, fromMs, toMs float64, rate int) []float64 {
	a, b := int(fromMs*float64(rate)/1000), int(toMs*float64(rate)/1000)
	return x[min(a, len(x)):min(b, len(x))]
}

func attack(x []float64, rate int) float64 {
	top := peak(x)
	first := func(level float64) int {
		for i, v := range x {
			if math.Abs(v) >= level*top {
				return i
			}
		}
		return 0
	}
	return 1000 * float64(first(.9)-first(.1)) / float64(rate)
}

// Centroid returns the power centroid of x in hertz, 20 Hz to 20 kHz.
func Centroid(x []float64, rate int) float64 {
	p := dsp.Power(x)
	sum, weighted := 0.0, 0.0
	for i, v := range p {
		f := hertz(i, p, rate)
		if f >= 20 && f <= 20000 {
			sum += v
			weighted += f * v
		}
	}
	if sum == 0 {
		return 0
	}
	return weighted / sum
}

func hertz(i int, p []float64, rate int) float64 {
	return float64(i) * float64(rate) / float64(2*(len(p)-1))
}

func between(p []float64, lo, hi float64, rate int) float64 {
	sum := 0.0
	for i, v := range p {
		if f := hertz(i, p, rate); f >= lo && f < hi {
			sum += v
		}
	}
	return sum
}

func within(x []float64, rate int, db float64) float64 {
	n := rate / 100
	var levels []float64
	for i := 0; i+n <= len(x); i += n / 4 {
		levels = append(levels, energy(x[i:i+n]))
	}
	limit := peak(levels) * math.Pow(10, -db/10)
	last := 0
	for i, v := range levels {
		if v >= limit && v > 0 {
			last = i
		}
	}
	return 1000 * float64(last*(n/4)+n) / float64(rate)
}

func decay(x []float64, rate int) float64 {
	total := energy(x)
	left := total
	start, end := -1, -1
	for i, v := range x {
		if start < 0 && left <= total*math.Pow(10, -.5) {
			start = i
		}
		if left <= total*math.Pow(10, -2.5) {
			end = i
			break
		}
		left -= v * v
	}
	if start < 0 || end < 0 {
		return 0
	}
	return 3000 * float64(end-start) / float64(rate)
}

func filtered(x []float64, lo, hi float64, rate int) []float64 {
	c := dsp.Chain{
		dsp.HighPass(lo, .5412, rate), dsp.HighPass(lo, 1.3066, rate), // Butterworth of fourth order
		dsp.LowPass(hi, .5412, rate), dsp.LowPass(hi, 1.3066, rate),
	}
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = c.Filter(v)
	}
	return y
}

func flatness(x []float64, rate int) float64 {
	w := make([]float64, len(x))
	for i, v := range x {
		w[i] = v * (.5 - .5*math.Cos(2*math.Pi*float64(i)/float64(len(x))))
	}
	p := dsp.Power(w)
	n, logs, sum := 0.0, 0.0, 0.0
	for i, v := range p {
		if f := hertz(i, p, rate); f >= 200 && f <= 16000 {
			n++
			logs += math.Log(v + 1e-20)
			sum += v
		}
	}
	if n == 0 || sum == 0 {
		return 0
	}
	return decibels(math.Exp(logs/n), sum/n)
}

func peak(x []float64) float64 {
	top := 0.0
	for _, v := range x {
		top = max(top, math.Abs(v))
	}
	return top
}

func energy(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return sum
}

func decibels(a, b float64) float64 { return 10 * math.Log10((a+1e-20)/(b+1e-20)) }
