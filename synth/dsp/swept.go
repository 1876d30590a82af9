package dsp

import "math"

// A Swept is a sine whose frequency glides exponentially towards its end, as a
// struck membrane's does while its tension falls back.
type Swept struct {
	end, glide, factor float64 // hertz
	rate               int
	sin, cos           float64
	stepSin, stepCos   float64
	left               int
}

// sweptStep is how many samples keep one frequency; our choice, a third of a
// millisecond or less.
const sweptStep = 16

// NewSwept starts at phase 0 with the frequency from, and comes 60 dB nearer
// to the frequency to in glide seconds.
func NewSwept(from, to, glide float64, rate int) Swept {
	f := math.Pow(10, -3*sweptStep/(max(glide, 1e-6)*float64(rate)))
	return Swept{end: to, glide: from - to, factor: f, rate: rate, cos: 1}
}

// Next returns the next sample.
func (s *Swept) Next() float64 {
	if s.left == 0 {
		s.turn()
	}
	s.left--
	s.sin, s.cos = s.sin*s.stepCos+s.cos*s.stepSin, s.cos*s.stepCos-s.sin*s.stepSin
	return s.sin
}

// AddTo adds the next samples, as loud as level says.
func (s *Swept) AddTo(dst *Block, level *Decay) {
	d := *level
	for i := range dst {
		dst[i] += s.Next() * d.Next()
	}
	*level = d
}

func (s *Swept) turn() {
	s.left = sweptStep
	w := 2 * math.Pi * (s.end + s.glide) / float64(s.rate)
	s.stepSin, s.stepCos = math.Sincos(w)
	s.glide *= s.factor
	n := 1.5 - .5*(s.sin*s.sin+s.cos*s.cos) // one Newton step back to length 1
	s.sin, s.cos = s.sin*n, s.cos*n
}
