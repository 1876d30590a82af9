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
	hertz     float64
	rate      int
	at        int
	wait      int // samples until the pick comes to this string
	interval  int // samples between picks, Picking
	path      path
	ridges    *ridges
}

// scratchSeconds is how long the pick scratches; our choice.
const scratchSeconds = .02

func newPluck(i Instrument, t Technique, n Note, rate int, rnd *dsp.Noise) pluck {
	if t.scrapes() {
		n.Hertz = wound(n.Hertz)
	}
	hertz := n.Hertz * math.Exp2((i.Cents+rnd.Between(-.25, .25))/1200) // players are never in tune to the cent
	period := float64(rate) / hertz
	sustain := t.Sustain * i.Sustain
	p := pluck{
		string:    dsp.NewWaveguide(hertz, hertz*.9, sustain, damping(t.Loss, hertz, sustain, rate), rate),
		place:     dsp.NewComb(rnd.Vary(i.Place*t.Place, .15)*period, .9),
		pickup:    dsp.NewComb(max(1, t.Nodes)*i.Pickup*period, .95),
		pulse:     dsp.NewOnePole(tilt*hertz, rate),
		edge:      dsp.NewOnePole(rnd.Vary(corner(t, hertz), .15), rate),
		noise:     dsp.NewNoise(n.Seed ^ 0x5CA1AB1E),
		technique: t, hertz: hertz, rate: rate,
	}
	p.pick(math.Copysign(rnd.Vary(1, .1), rnd.Next())) // down or up
	switch t.Motion {
	case Still:
		p.path = newPath(math.Exp2(t.Sharp/1200), 1, settleSeconds, rate)
		p.path.settles = true
	case Bending:
		p.path = newPath(1, math.Exp2(n.Bend/12), min(n.Seconds*bendShare, bendSeconds), rate)
	case Picking:
		strokes := max(1, math.Round(n.Seconds*pickRate))
		p.interval = max(1, int(n.Seconds*float64(rate)/strokes))
	case ScrapedUp:
		p.path = newPath(scrapedFrom, scrapedTo, n.Seconds, rate)
		p.ridges = newRidges(n, ridgesSlow, ridgesFast, rate)
	case ScrapedDown:
		p.path = newPath(scrapedTo, scrapedFrom, n.Seconds, rate)
		p.ridges = newRidges(n, ridgesFast, ridgesSlow, rate)
	}
	return p
}

// scrapes reports whether the pick runs along the string.
func (t Technique) scrapes() bool { return t.Motion == ScrapedUp || t.Motion == ScrapedDown }

// highestWound is the highest pitch of a wound string, in hertz: that of a
// guitar's D (common practice). Only those have ridges to scrape.
const highestWound = 147

// wound returns the pitch of the string that is scraped in place of a thin one:
// octaves lower.
func wound(hertz float64) float64 {
	for hertz > highestWound {
		hertz /= 2
	}
	return hertz
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
	p.kick = level * float64(p.rate) / (2 * math.Pi * tilt * p.hertz)
	p.burst = dsp.NewDecay(p.technique.Scratch*math.Abs(level), scratchSeconds, p.rate)
}

// addTo adds the next samples, one after the other: what a string does comes
// back to it.
func (p *pluck) addTo(dst *dsp.Block) {
	for i := range dst {
		dst[i] += p.next()
	}
}

func (p *pluck) next() float64 {
	if p.wait > 0 {
		p.wait--
		return 0
	}
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

func (p *pluck) move() {
	p.at++
	if p.path.steps > 0 && p.at%pathStep == 0 {
		p.string.Tune(p.hertz*p.path.next(), p.rate)
	}
	if p.interval > 0 && p.at%p.interval == 0 {
		sign := 1 - 2*float64(p.at/p.interval%2) // down and up strokes
		p.pick(sign * (.9 + .1*p.noise.Next()))
	}
}

// A path is what a string's pitch is multiplied by while it sounds: from one
// factor to another, evenly in semitones, slow at both ends; or settling
// exponentially.
type path struct {
	from, to float64
	step     float64 // of the way
	at       float64
	steps    int // still to go
	settles  bool
}

// pathStep is how many samples keep one pitch; our choice, a third of a
// millisecond or less.
const pathStep = 16

// settleSeconds is how long a string that was struck hard takes until its
// pitch has come down to within 1 % of the difference (the tension that a wide
// swing adds: Fletcher & Rossing, chapter "Nonlinear systems"); our choice.
const settleSeconds = .16

func newPath(from, to, seconds float64, rate int) path {
	if from == to {
		return path{}
	}
	steps := max(1, int(seconds*float64(rate)/pathStep))
	return path{from: from, to: to, steps: steps, step: 1 / float64(steps)}
}

func (p *path) next() float64 {
	p.steps--
	p.at += p.step
	way := p.at * p.at * (3 - 2*p.at)
	if p.settles {
		way = 1 - math.Pow(.01, p.at)
	}
	if p.steps == 0 {
		return p.to
	}
	return p.from * math.Pow(p.to/p.from, way)
}

// What a pick that runs along the winding leaves of the string towards the
// bridge, as the pitch of that part against the whole; our choice: from the
// middle to near the pickup.
const (
	scrapedFrom = 2.0
	scrapedTo   = 9.0
)

// ridges are the windings of a string under the edge of a pick that runs along
// it: a pulse for each, faster and faster or slower and slower, with the noise
// of the scratch.
type ridges struct {
	phase, step, end, factor float64
	low                      float64 // what the pick's edge has rounded off
	noise                    *dsp.Noise
}

// Ridges a second at the slow and the fast end of a scrape; our choice: a
// winding of about 1 ridge a millimetre, and a hand that comes to 2 m/s.
const (
	ridgesSlow = 500
	ridgesFast = 2200
)

// Irregular windings and a trembling hand: how much of the noise is scratch,
// how unevenly the ridges come, and how high they are; our choice.
const (
	ridgeScratch = .25
	ridgeUneven  = .12
	ridgeHeight  = 8.0
	ridgeRound   = 6.0 // corner of a ridge's pulse, in ridges a second over 2 pi: a slow pick scratches duller
)

func newRidges(n Note, from, to float64, rate int) *ridges {
	samples := max(1, n.Seconds*float64(rate))
	return &ridges{
		step: from / float64(rate), end: to / float64(rate),
		factor: math.Pow(to/from, 1/samples),
		noise:  dsp.NewNoise(n.Seed ^ 0xB0A7),
		phase:  1,
	}
}

func (r *ridges) next() float64 {
	x := ridgeScratch * ridgeHeight * r.noise.Next()
	if r.phase += r.step * (1 + ridgeUneven*r.noise.Next()); r.phase >= 1 {
		r.phase -= math.Floor(r.phase)
		x += ridgeHeight
	}
	if r.step *= r.factor; (r.step-r.end)*(r.factor-1) > 0 {
		r.step = r.end
	}
	r.low += min(1, ridgeRound*r.step) * (x - r.low)
	return r.low
}
