package synth

import (
	"math"

	"stampmill/exercises/passage"
	"stampmill/synth/dsp"
)

// A tone is a click: two sines that decay, through a mild saturation.
type tone struct {
	level float64
	swept dsp.Swept
	over  dsp.Swept // clickOver times as high
	share float64   // of the higher sine
	decay dsp.Decay
	drive float64
}

// Fill implements dsp.Source, with samples between -1 and 1.
func (t *tone) Fill(dst *dsp.Block) {
	for i := range dst {
		y := t.swept.Next() + t.share*t.over.Next()
		dst[i] = t.level * dsp.Saturate(t.drive*y*t.decay.Next())
	}
}

// clickTones are the pitches of the metronome, in hertz, with level and decay;
// our choice: far above the drums, the bar a fifth over the beat.
var clickTones = map[passage.Kind]struct{ hertz, level, t60 float64 }{
	passage.Accent: {2093, .9, .06},  // C7
	passage.Hit:    {1397, .7, .05},  // F6
	passage.Ghost:  {1047, .35, .03}, // C6
}

func clickTone(key Key, rate int) *shot {
	t, ok := clickTones[key.Kind]
	if !ok {
		return &shot{}
	}
	return newShot(&tone{
		level: t.level, drive: 1.5, share: .3,
		swept: dsp.NewSwept(t.hertz, t.hertz, 1, rate),
		over:  dsp.NewSwept(clickOver*t.hertz, clickOver*t.hertz, 1, rate),
		decay: dsp.NewDecay(1, t.t60, rate),
	}, clickSeconds, rate)
}

// clickSeconds is how long a click lasts; clickOver, no whole number, makes it
// ring like wood and not like a note. Our choice.
const (
	clickSeconds = .08
	clickOver    = 2.7
)

// The sub drop, our choice after common practice: a sine that falls over its
// written length T from an octave above the lowest string to an octave under
// it, f(t) = f0 (f1/f0)^(t/T). An open sub falls within subFall and stays.
const (
	subFrom = 2.0 // times the lowest string
	subTo   = 0.5
	subFall = .25 // seconds
)

// A drop is the sub: a sine that falls by the same interval in the same time,
// through a mild saturation that lets small loudspeakers tell it is there.
type drop struct {
	step, factor, end float64 // radians a sample
	sin, cos          float64
	level, drive      float64
	off, rise         float64 // what the attack still holds back
	decay             dsp.Decay
}

// subSustain is the time in which the sub would fall by 60 dB, as a share of its
// length; our choice: it has lost 10 dB when it stops.
const subSustain = 6

// subRise is the time constant of the sub's start in seconds; our choice,
// short enough to be on the beat and long enough not to click.
const subRise = .0015

func subDrop(key Key, rate int) *shot {
	seconds := float64(key.Millis) / 1000
	d := &drop{level: .8, drive: 1.3, cos: 1, off: 1, rise: math.Exp(-1 / (subRise * float64(rate)))}
	fall := seconds
	switch key.Kind {
	case passage.Hit:
	case passage.Accent:
		d.level, d.drive = .95, 2.5
	case passage.Open:
		fall = min(subFall, seconds)
	default:
		return &shot{}
	}
	if seconds <= 0 {
		return &shot{}
	}
	turn := 2 * math.Pi * key.Pitch.Hertz() / float64(rate)
	d.step, d.end = turn*subFrom, turn*subTo
	d.factor = math.Pow(subTo/subFrom, 1/(fall*float64(rate)))
	d.decay = dsp.NewDecay(1, subSustain*seconds, rate)
	return newShot(d, seconds+ringOver, rate)
}

// Fill implements dsp.Source, with samples between -1 and 1.
func (d *drop) Fill(dst *dsp.Block) {
	for i := range dst {
		dst[i] = d.next()
	}
}

// next returns the next sample. The sine turns by the small
// angle x = step, for which 1 - x^2/2 + x^4/24 and x - x^3/6 + x^5/120 are
// exact to 1e-12.
func (d *drop) next() float64 {
	x, x2 := d.step, d.step*d.step
	c, s := 1-x2/2+x2*x2/24, x*(1-x2/6+x2*x2/120)
	d.sin, d.cos = d.sin*c+d.cos*s, d.cos*c-d.sin*s
	n := 1.5 - .5*(d.sin*d.sin+d.cos*d.cos) // back to length 1
	d.sin, d.cos = d.sin*n, d.cos*n
	d.step = max(d.step*d.factor, d.end)
	d.off *= d.rise
	return d.level * dsp.Saturate(d.drive*d.sin*d.decay.Next()*(1-d.off))
}
