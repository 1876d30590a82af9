package dsp

import "math"

// Modes are ringing modes, each a sine that decays: a recursion of two
// multiplications a sample, y[n] = 2 r cos(w) y[n-1] - r^2 y[n-2].
//
// A mode that has fallen under inaudible is no longer reckoned.
type Modes struct {
	all  []mode
	left int // samples until dead modes are looked for
}

type mode struct {
	a1, a2, y1, y2 float64
	life           int // samples until it is under inaudible
}

const (
	inaudible = 1e-5 // -100 dB of full scale: our choice
	lookAfter = 2048 // samples between two looks for dead modes: our choice
)

// Add strikes one more mode: level sin(w t), falling by 60 dB in t60 seconds,
// read from t = one sample on, so that it is heard from the first. Modes at or
// above .45 of the rate are left out.
func (m *Modes) Add(hertz, level, t60 float64, rate int) {
	if hertz <= 0 || hertz >= .45*float64(rate) {
		return
	}
	w := 2 * math.Pi * hertz / float64(rate)
	r := DecayFactor(t60, rate)
	m.all = append(m.all, mode{a1: 2 * r * math.Cos(w), a2: -r * r, y1: 0, y2: -level * math.Sin(w) / (r * r), life: life(level, t60, rate)})
}

// life returns for how many samples a mode is above inaudible.
func life(level, t60 float64, rate int) int {
	falls := math.Log10(math.Abs(level)/inaudible) / 3 // in units of 60 dB
	if !(falls > 0) {
		return 0
	}
	return int(min(falls*t60*float64(rate), math.MaxInt32))
}

// bury takes out the modes that are dead.
func (m *Modes) bury() {
	alive := m.all[:0]
	for _, o := range m.all {
		if o.life > 0 {
			o.life -= lookAfter
			alive = append(alive, o)
		}
	}
	m.all, m.left = alive, lookAfter
}

// Next returns the sum of the modes.
func (m *Modes) Next() float64 {
	if m.left--; m.left < 0 {
		m.bury()
		m.left--
	}
	sum := 0.0
	for i := range m.all {
		o := &m.all[i]
		y := o.a1*o.y1 + o.a2*o.y2
		o.y2, o.y1 = o.y1, y
		sum += y
	}
	return sum
}

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

func (s *Swept) turn() {
	s.left = sweptStep
	w := 2 * math.Pi * (s.end + s.glide) / float64(s.rate)
	s.stepSin, s.stepCos = math.Sincos(w)
	s.glide *= s.factor
	n := 1.5 - .5*(s.sin*s.sin+s.cos*s.cos) // one Newton step back to length 1
	s.sin, s.cos = s.sin*n, s.cos*n
}
