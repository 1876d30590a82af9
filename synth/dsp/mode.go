package dsp

import "math"

// Modes are ringing modes, each a sine that decays: a recursion of two
// multiplications a sample, y[n] = 2 r cos(w) y[n-1] - r^2 y[n-2].
//
// Low modes are reckoned at a half or a quarter of the rate, which holds them as
// well, and brought up together (octave.go). A mode that has fallen under
// inaudible is no longer reckoned.
type Modes struct {
	octaves [octaves]octave // 0 at the rate, 1 at half of it, 2 at a quarter
	left    int             // blocks until dead modes are looked for
}

type mode struct {
	a1, a2, y1, y2 float64
	life           int // blocks until it is under inaudible
}

const (
	inaudible = 1e-5 // -100 dB of full scale: our choice
	lookAfter = 8    // blocks between two looks for dead modes: our choice
)

// Add strikes one more mode, before the first AddTo: level sin(w t), falling by
// 60 dB in t60 seconds, read from t = one sample on, so that it is heard from
// the first. Modes at or above .45 of the rate are left out.
func (m *Modes) Add(hertz, level, t60 float64, rate int) {
	if hertz <= 0 || hertz >= .45*float64(rate) {
		return
	}
	w := 2 * math.Pi * hertz / float64(rate)
	r := DecayFactor(t60, rate)
	at := func(n float64) float64 { return level * math.Pow(r, n) * math.Sin(w*(n+1)) }
	k := octaveOf(hertz, t60, rate)
	o := &m.octaves[k]
	step, start := float64(int(1)<<k), octaveStart[k] // samples of the rate
	o.modes = append(o.modes, mode{
		a1: 2 * math.Pow(r, step) * math.Cos(w*step), a2: -math.Pow(r, 2*step),
		y1: at(start - step), y2: at(start - 2*step),
		life: life(level, t60, rate),
	})
}

// life returns for how many blocks a mode is above inaudible.
func life(level, t60 float64, rate int) int {
	falls := math.Log10(math.Abs(level)/inaudible) / 3 // in units of 60 dB
	if !(falls > 0) {
		return 0
	}
	return int(min(math.Ceil(falls*t60*float64(rate)/BlockSize), math.MaxInt32))
}

// bury takes out the modes that are dead.
func (m *Modes) bury() {
	for i := range m.octaves {
		o := &m.octaves[i]
		alive := o.modes[:0]
		for _, mode := range o.modes {
			if mode.life > 0 {
				mode.life -= lookAfter
				alive = append(alive, mode)
			}
		}
		o.modes = alive
	}
}

// AddTo adds the next samples of all modes.
func (m *Modes) AddTo(dst *Block) {
	if m.left == 0 {
		m.bury()
		m.left = lookAfter
	}
	m.left--
	m.addTo(dst[:], 0)
}

// ring adds modes, two of them and two samples at once: y[n+1] from y[n-1] and
// y[n-2] by the recursion put into itself. So all that is reckoned with stays in
// registers, and little waits for what comes before. The length of dst is even.
func ring(dst []float64, all []mode) {
	for ; len(all) > 1; all = all[2:] {
		ringPair(dst, &all[0], &all[1])
	}
	if len(all) > 0 {
		ringPair(dst, &all[0], &mode{})
	}
}

func ringPair(dst []float64, p, q *mode) {
	p1, p2, q1, q2 := p.a1, p.a2, q.a1, q.a2
	pp1, pp2, qq1, qq2 := p1*p1+p2, p1*p2, q1*q1+q2, q1*q2
	y1, y2, z1, z2 := p.y1, p.y2, q.y1, q.y2
	for i := 1; i < len(dst); i += 2 {
		y2, y1 = p1*y1+p2*y2, pp1*y1+pp2*y2
		z2, z1 = q1*z1+q2*z2, qq1*z1+qq2*z2
		dst[i-1] += y2 + z2
		dst[i] += y1 + z1
	}
	p.y1, p.y2, q.y1, q.y2 = y1, y2, z1, z2
}
