// Package drums makes the sounds of struck things: drums and cymbals.
//
// The one idea: a struck thing is a few modes that ring, crowds of modes too
// dense to tell apart, and bands of noise that rise and fall, each with its
// own level and decay (Fletcher & Rossing, The Physics of Musical Instruments,
// chapters "Drums" and "Cymbals, gongs, plates and steel drums"; the method is
// modal synthesis, Adrien 1991, and for the noise spectral modelling, Serra &
// Smith 1990, from memory). Skins are ideal membranes loaded with air whose
// pitch falls after the stroke ([Head]); plates are dense crowds of modes whose
// highs come up after the lows ([Crowd]); wires and colliding plates are noise
// shaken by what strikes them. How hard and where a thing is struck changes
// level, tilt, glide and decay of all of them, so that a ghost note is duller
// and not only softer. Frequencies are in hertz, times in seconds to fall by
// 60 dB, levels linear.
//
// The table that a sound designer reads is in kit.go. Describe a thing as a
// [Struck] and call [Struck.Strike].
package drums

import (
	"math"

	"stampmill/synth/dsp"
)

// A Mode is one ringing mode.
type Mode struct{ Hertz, Level, Seconds float64 }

// A Band is noise between two frequencies. Level is its root mean square where
// it is loudest; it rises in about Rise seconds (0: at once).
type Band struct{ Low, High, Level, Rise, Seconds float64 }

// A Struck is a drum or a cymbal.
type Struck struct {
	Head   Head    // a skin; Modes 0: none
	Modes  []Mode  // what rings besides
	Crowds []Crowd // a plate
	Bands  []Band  // stick, air and all that is too dense for modes
	Wires  []Band  // noise that the skin throws up: louder with its motion

	Buzz                float64 // 0 to 1: how far the wires follow the skin's motion
	Rough, RoughHertz   float64 // plate edges that clap together: depth at which crowds and bands are shaken, up to 1, and how fast, from half of this up to it
	Glide, GlideSeconds float64 // modes start sharp by this share of their frequency and fall to it
	Pivot               float64 // hertz: the tilt of a stroke turns around this frequency
	Tilt                float64 // times the tilt of a stroke
	Vary                float64 // how much two strokes differ: share of level and decay
	Level               float64 // of the whole, into saturation
	Seconds             float64 // length of the one-shot
	Cast                uint64  // which plate of its kind it is: where its modes lie
}

// A Force is how hard something is struck.
type Force struct {
	Level float64 // of what comes out, at most 1
	Drive float64 // times the level: into saturation where there is a skin, which gives way to hard strokes; after it on plates
	Tilt  float64 // dB an octave above the pivot, and its negative below
	Glide float64 // times the glide
	Ring  float64 // times all decays
}

// A force is what one stroke is like: no two are struck equally hard.
type force struct{ level, tilt, glide, ring float64 }

// Two strokes differ by these times Vary: shares of level, glide and decay,
// and dB an octave. Our choice: a good player's evenness.
const (
	varyLevel = .6
	varyTilt  = 2.5
	varyGlide = 2
	varyRing  = .25
	varyPitch = .1
)

func (f Force) vary(by float64, rnd *dsp.Noise) force {
	return force{
		min(1, rnd.Vary(f.Level, varyLevel*by)), f.Tilt + varyTilt*by*rnd.Next(),
		rnd.Vary(f.Glide, varyGlide*by), rnd.Vary(f.Ring, varyRing*by),
	}
}

// tiltReach is how many octaves from the pivot a stroke's tilt goes on: our
// choice, so that a hat's touch does not boom.
const tiltReach = 2

// gain is what a stroke gives to one frequency of the thing.
func (s Struck) gain(f force, hertz float64) float64 {
	octaves := min(max(math.Log2(hertz/s.Pivot), -tiltReach), tiltReach)
	return math.Pow(10, s.Tilt*f.tilt*octaves/20)
}

// A stroke is one sound of a struck thing.
type stroke struct {
	skin         skin
	crowds       []crowd
	bands, wires []band
	rough        *rough
	buzz         float64
	drive, level float64 // before and after saturation
}

// A band is a band of noise on its way.
type band struct {
	noise dsp.Band
	swell dsp.Swell
}

// Strike returns the sound of one stroke; strokes of different seeds differ as
// a player's do, on the same instrument.
func (s Struck) Strike(how Force, rate int, seed uint64) dsp.Source {
	rnd := dsp.NewNoise(seed)
	f := how.vary(s.Vary, rnd)
	out := &stroke{drive: s.Level, level: f.level, buzz: s.Buzz, rough: newRough(s.Rough, s.RoughHertz, rate, seed)}
	if s.Head.Modes > 0 {
		out.drive *= how.Drive
	} else {
		out.level = min(1, out.level*how.Drive)
	}
	pitch := rnd.Vary(1, s.Vary*varyPitch)
	modes := append(s.Head.modes(s.Head.Strike+wander*rnd.Next()), s.Modes...)
	for _, m := range modes {
		m = Mode{m.Hertz * pitch, rnd.Vary(m.Level, s.Vary) * s.gain(f, m.Hertz), rnd.Vary(m.Seconds, s.Vary/4) * f.ring}
		out.skin.add(m, 1+s.Glide*f.glide, s.GlideSeconds, rate)
	}
	cast := dsp.NewNoise(s.Cast)
	for _, c := range s.Crowds {
		out.crowds = append(out.crowds, c.ring(s, f, rate, cast, rnd))
	}
	out.bands = s.noise(s.Bands, f, rate, seed, rnd)
	out.wires = s.noise(s.Wires, f, rate, ^seed, rnd)
	return out
}

func (s Struck) noise(all []Band, f force, rate int, seed uint64, rnd *dsp.Noise) []band {
	var out []band
	for i, b := range all {
		if b.Low >= .45*float64(rate) {
			continue
		}
		level := rnd.Vary(b.Level, s.Vary) * s.gain(f, math.Sqrt(b.Low*b.High))
		b.Seconds *= f.ring
		out = append(out, newBand(b, level, rate, seed+uint64(i+1)*7919))
	}
	return out
}

func newBand(b Band, level float64, rate int, seed uint64) band {
	top := min(b.High, .45*float64(rate))
	width := (top - b.Low) * 1.1 // second-order slopes let a little more through
	rms := math.Sqrt(width / (float64(rate) / 2) / 3)
	return band{
		noise: dsp.NewBand(b.Low, top, rate, seed),
		swell: dsp.NewSwell(level/rms, b.Rise, b.Seconds, rate),
	}
}

// gone is the level under which a band is left out, and what a rise still lacks
// is too; our choice, -120 dB, as the peaks of noise are higher than its level and
// bands are many.
const gone = 1e-6

// addBands adds the bands and returns those that are not yet gone.
func addBands(dst *dsp.Block, bands []band) []band {
	loud := bands[:0]
	for _, b := range bands {
		var x dsp.Block
		b.noise.Fill(&x)
		b.swell.AddTo(dst, &x)
		if b.swell.Level() > gone {
			loud = append(loud, b)
		}
	}
	return loud
}

// Fill implements dsp.Source, with samples between -1 and 1.
func (s *stroke) Fill(dst *dsp.Block) {
	*dst = dsp.Block{}
	for i := range s.crowds {
		s.crowds[i].addTo(dst)
	}
	s.bands = addBands(dst, s.bands)
	if s.rough != nil {
		s.rough.shake(dst)
	}
	var tone dsp.Block
	s.skin.addTo(&tone)
	if len(s.wires) > 0 {
		s.rattle(dst, &tone)
	}
	for i, x := range tone {
		dst[i] = s.level * dsp.Saturate((x+dst[i])*s.drive)
	}
}

// rattle adds the wires, which the tone of the skin throws up.
func (s *stroke) rattle(dst, tone *dsp.Block) {
	var wires dsp.Block
	s.wires = addBands(&wires, s.wires)
	for i, x := range wires {
		dst[i] += x * (1 - s.buzz + 2*s.buzz*math.Abs(tone[i])/s.skin.top)
	}
}

// A rough shakes a level as two plates do that touch and part.
type rough struct {
	noise dsp.Band
	depth float64
}

func newRough(depth, hertz float64, rate int, seed uint64) *rough {
	if depth == 0 {
		return nil
	}
	rms := math.Sqrt(hertz * .6 / (float64(rate) / 2) / 3)
	return &rough{dsp.NewBand(hertz/2, hertz, rate, seed+104729), depth / rms}
}

func (r *rough) shake(dst *dsp.Block) {
	var x dsp.Block
	r.noise.Fill(&x)
	for i, y := range x {
		dst[i] *= 1 + min(max(r.depth*y, -1), 1)
	}
}
