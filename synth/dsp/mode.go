package dsp

import "math"

// Modes are ringing modes, each a sine that decays: a recursion of two
// multiplications a sample, y[n] = 2 r cos(w) y[n-1] - r^2 y[n-2].
//
// A mode that has fallen under inaudible is no longer reckoned.
type Modes struct {
	all  []mode
	left int // blocks until dead modes are looked for
}

type mode struct {
	a1, a2, y1, y2 float64
	life           int // samples until it is under inaudible
}

const (
	inaudible = 1e-5 // -100 dB of full scale: our choice
	lookAfter = 8    // blocks between two looks for dead modes: our choice
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
			o.life -= lookAfter * BlockSize
			alive = append(alive, o)
		}
	}
	m.all, m.left = alive, lookAfter
}

// AddTo adds the next samples of all modes.
func (m *Modes) AddTo(dst *Block) {
	if m.left--; m.left < 0 {
		m.bury()
		m.left--
	}
	all := m.all
	for ; len(all) > 1; all = all[2:] {
		ring(dst, &all[0], &all[1])
	}
	if len(all) > 0 {
		ring(dst, &all[0], &mode{})
	}
}

// ring adds two modes, two samples at once: y[n+1] from y[n] and y[n-1] by the
// recursion put into itself. So all that is reckoned with stays in registers,
// and no multiplication waits for the one before.
func ring(dst *Block, p, q *mode) {
	p1, p2, q1, q2 := p.a1, p.a2, q.a1, q.a2
	pp1, pp2, qq1, qq2 := p1*p1+p2, p1*p2, q1*q1+q2, q1*q2
	y1, y2, z1, z2 := p.y1, p.y2, q.y1, q.y2
	for i := 0; i < BlockSize; i += 2 {
		y2, y1 = p1*y1+p2*y2, pp1*y1+pp2*y2
		z2, z1 = q1*z1+q2*z2, qq1*z1+qq2*z2
		dst[i] += y2 + z2
		dst[i+1] += y1 + z1
	}
	p.y1, p.y2, q.y1, q.y2 = y1, y2, z1, z2
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
