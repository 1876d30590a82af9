package dsp

import "math"

// A Decay falls exponentially from its level, by 60 dB in t60.
type Decay struct{ level, factor float64 }

// NewDecay returns a decay that starts at level and falls by 60 dB in t60
// seconds. A t60 of zero or less is over after one sample.
func NewDecay(level, t60 float64, rate int) Decay {
	return Decay{level, DecayFactor(t60, rate)}
}

// DecayFactor returns the factor a sample of a decay by 60 dB in t60 seconds:
// 10^(-3/(t60 rate)).
func DecayFactor(t60 float64, rate int) float64 {
	if t60 <= 0 {
		return 0
	}
	return math.Pow(10, -3/(t60*float64(rate)))
}

// Level returns the level of the next sample.
func (d *Decay) Level() float64 { return d.level }

// Next returns the level and falls by one sample.
func (d *Decay) Next() float64 {
	l := d.level
	d.level *= d.factor
	return l
}

// A Swell rises from 0 and falls again: level (10^(-3t/fall) - 10^(-3t/rise)),
// both times those of a fall by 60 dB. It is the brightening of a cymbal.
type Swell struct{ fall, rise Decay }

// NewSwell returns a swell; a rise of zero starts at its level at once.
func NewSwell(level, rise, fall float64, rate int) Swell {
	return Swell{NewDecay(level, fall, rate), NewDecay(level, rise, rate)}
}

// Next returns the level and moves on by one sample.
func (s *Swell) Next() float64 { return s.fall.Next() - s.rise.Next() }

// Level returns about the level of the next sample, once the swell has risen;
// never less.
func (s *Swell) Level() float64 { return s.fall.level }

// AddTo adds x, as loud as the swell is, and moves on by a block.
func (s *Swell) AddTo(dst, x *Block) {
	fall, rise := s.fall, s.rise // in registers
	for i, y := range x {
		dst[i] += y * (fall.level - rise.level)
		fall.level *= fall.factor
		rise.level *= rise.factor
	}
	s.fall, s.rise = fall, rise
}
