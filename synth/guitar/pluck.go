package guitar

import (
	"math"

	"stampmill/synth/dsp"
)

// A pluck is a string with the pick and the hand on it.
type pluck struct {
	string *dsp.Waveguide
	place  *dsp.Comb // where it is picked
	pickup *dsp.Comb
	pulse  dsp.OnePole // the string's own fall of overtones
	edge   dsp.OnePole // the pick's
	noise  *dsp.Noise
	burst  dsp.Decay
	kick   float64

	technique Technique
	note      Note
	rate      int
	at        int
	interval  int // samples between picks, Picking
	rise      int // samples of the bend, Bending
	ridges    *ridges
}

// scratchSeconds is how long the pick scratches; our choice.
const scratchSeconds = .02

func newPluck(i Instrument, t Technique, n Note, rate int, rnd *dsp.Noise) pluck {
	hertz := n.Hertz * math.Exp2(rnd.Between(-.6, .6)/1200) // players are never in tune to the cent
	period := float64(rate) / hertz
	sustain := t.Sustain * i.Sustain
	p := pluck{
		string:    dsp.NewWaveguide(hertz, hertz*.9, sustain, damping(t.Loss, hertz, sustain, rate), rate),
		place:     dsp.NewComb(rnd.Vary(t.Place, .25)*period, .9),
		pickup:    dsp.NewComb(i.Pickup*(1+.15*float64(n.Side))*period, .95),
		pulse:     dsp.NewOnePole(tilt*hertz, rate),
		edge:      dsp.NewOnePole(rnd.Vary(corner(t, hertz), .15), rate),
		noise:     dsp.NewNoise(n.Seed ^ 0x5CA1AB1E),
		technique: t, note: n, rate: rate,
	}
	p.note.Hertz = hertz
	p.pick(math.Copysign(rnd.Vary(1, .1), rnd.Next())) // down or up
	switch t.Motion {
	case Bending:
		p.rise = int(min(n.Seconds*bendShare, bendSeconds) * float64(rate))
	case Picking:
		strokes := max(1, math.Round(n.Seconds*pickRate))
		p.interval = max(1, int(n.Seconds*float64(rate)/strokes))
	case Scraped:
		p.ridges = newRidges(n, rate)
	}
	return p
}

// corner is where the pick's pulse is rounded off, in hertz.
func corner(t Technique, hertz float64) float64 {
	if t.Round == 0 {
		return t.Pick
	}
	return min(t.Pick, t.Round*hertz)
}

// damping is the one-pole low-pass's pole for a corner in hertz, less where a
// high string would not ring as long as it should.
func damping(corner, hertz, sustain float64, rate int) float64 {
	pole := math.Exp(-2 * math.Pi * corner / float64(rate))
	return min(pole, .8*dsp.MaxDamping(hertz, sustain, rate))
}

// tilt is the overtone from which a plucked string's spectrum falls by 6 dB an
// octave, as the velocity of a string drawn aside does (Fletcher & Rossing,
// chapter "Continuous systems in one dimension"); our choice of where.
const tilt = 2.5

// pick gives the string a pulse and a scratch. The pulse is scaled by the
// corner of its low-pass, so that its height does not depend on rate or pitch.
func (p *pluck) pick(level float64) {
	p.kick = level * float64(p.rate) / (2 * math.Pi * tilt * p.note.Hertz)
	p.burst = dsp.NewDecay(p.technique.Scratch*math.Abs(level), scratchSeconds, p.rate)
}

func (p *pluck) next() float64 {
	p.move()
	x := p.edge.Low(p.pulse.Low(p.kick)) + p.burst.Next()*p.noise.Next()
	p.kick = 0
	if p.ridges != nil {
		x = p.ridges.next()
	}
	return p.pickup.Filter(p.string.Next(p.place.Filter(x))) * p.technique.Drive * p.touch()
}

// Where a string is picked again, the pick lies on it before it lets go: this
// long, and this much is heard meanwhile; our choice.
const (
	contactSeconds = .014
	contactLevel   = .006
)

// touch is what the pick leaves of the string's sound.
func (p *pluck) touch() float64 {
	if p.interval == 0 {
		return 1
	}
	left := p.interval - p.at%p.interval
	if float64(left) > contactSeconds*float64(p.rate) {
		return 1
	}
	return contactLevel
}

// bendStep is how many samples keep one pitch while it bends; our choice,
// below a third of a millisecond.
const bendStep = 16

func (p *pluck) move() {
	p.at++
	switch p.technique.Motion {
	case Bending:
		if p.at <= p.rise+bendStep && p.at%bendStep == 0 {
			x := min(1, float64(p.at)/float64(p.rise))
			p.string.Tune(p.note.Hertz*math.Exp2(p.note.Bend*x*x*(3-2*x)/12), p.rate)
		}
	case Picking:
		if p.at%p.interval == 0 {
			sign := 1 - 2*float64(p.at/p.interval%2) // down and up strokes
			p.pick(sign * (.9 + .1*p.noise.Next()))
		}
	}
}

// ridges are the windings of a string under the edge of a pick that runs along
// it: a pulse for each, faster and faster, with the noise of the scratch.
type ridges struct {
	phase, step, end, factor float64
	noise                    *dsp.Noise
}

// Ridges a second at the start and the end of a scrape; our choice: a winding
// of about 1 ridge a millimetre, and a hand that speeds up to 2 m/s.
const (
	ridgesSlow = 500
	ridgesFast = 2200
)

func newRidges(n Note, rate int) *ridges {
	samples := max(1, n.Seconds*float64(rate))
	return &ridges{
		step: ridgesSlow / float64(rate), end: ridgesFast / float64(rate),
		factor: math.Pow(ridgesFast/ridgesSlow, 1/samples),
		noise:  dsp.NewNoise(n.Seed ^ 0xB0A7),
		phase:  1,
	}
}

func (r *ridges) next() float64 {
	x := .25 * r.noise.Next()
	if r.phase += r.step * (1 + .25*r.noise.Next()); r.phase >= 1 {
		r.phase -= math.Floor(r.phase)
		x += 1.5
	}
	r.step = min(r.step*r.factor, r.end)
	return x
}
