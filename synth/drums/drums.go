// Package drums makes the sounds of struck things: drums and cymbals.
//
// The one idea: a struck thing is a few modes that ring, a crowd of modes too
// dense to tell apart, and bands of noise that rise and fall, each with its
// own level and decay (Fletcher & Rossing, The Physics of Musical Instruments,
// chapters "Drums" and "Cymbals, gongs, plates and steel drums"). How hard it
// is struck changes the level and the tilt of all of them, so that a ghost
// note is duller and not only softer. Frequencies are in hertz, times in
// seconds to fall by 60 dB, levels linear.
//
// Describe a thing as a [Struck] and call [Struck.Strike].
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

// A Crowd is a plate's modes, spread evenly at random from Low to High: the
// modes of a flat plate lie equally dense at all frequencies (Fletcher &
// Rossing). Level is the root mean square of all together. Decay times go from
// SecondsLow at Low to SecondsHi at High.
type Crowd struct {
	Count                                   int
	Low, High, Level, SecondsLow, SecondsHi float64
}

// A Struck is a drum or a cymbal.
type Struck struct {
	Modes []Mode
	Bands []Band
	Crowd Crowd

	Glide, GlideSeconds float64 // modes start sharp by this share of their frequency and fall to it
	Pivot               float64 // hertz: the tilt of a stroke turns around this frequency
	Tilt                float64 // times the tilt of a stroke
	Vary                float64 // how much two strokes differ: share of level and decay
	Level               float64 // of the whole, before saturation
	Seconds             float64 // length of the one-shot
}

// A Force is how hard something is struck.
type Force struct {
	Level float64
	Tilt  float64 // dB an octave above the pivot, and its negative below
	Glide float64 // times the glide
}

// gain is what a stroke gives to one frequency of the thing.
func (s Struck) gain(f Force, hertz float64) float64 {
	return f.Level * math.Pow(10, s.Tilt*f.Tilt*math.Log2(hertz/s.Pivot)/20)
}

// A stroke is one sound of a struck thing.
type stroke struct {
	swept []swept
	modes dsp.Modes
	bands []band
	level float64
}

type swept struct {
	osc   dsp.Swept
	decay dsp.Decay
}

type band struct {
	noise     *dsp.Noise
	high, low dsp.Biquad
	swell     dsp.Swell
	rms       float64
}

// Strike returns the sound of one stroke; strokes of different seeds differ as
// a player's do.
func (s Struck) Strike(f Force, rate int, seed uint64) dsp.Source {
	rnd := dsp.NewNoise(seed)
	out := &stroke{level: s.Level}
	for _, m := range s.Modes {
		hz := rnd.Vary(m.Hertz, s.Vary/50)
		glide := 1 + s.Glide*f.Glide
		out.swept = append(out.swept, swept{
			dsp.NewSwept(hz*glide, hz, s.GlideSeconds, rate),
			dsp.NewDecay(rnd.Vary(m.Level, s.Vary)*s.gain(f, m.Hertz), rnd.Vary(m.Seconds, s.Vary/2), rate),
		})
	}
	s.crowd(out, f, rate, rnd)
	for i, b := range s.Bands {
		if b.Low >= .45*float64(rate) {
			continue
		}
		mid := math.Sqrt(b.Low * b.High)
		out.bands = append(out.bands, newBand(b, rnd.Vary(b.Level, s.Vary)*s.gain(f, mid), rate, seed+uint64(i+1)*7919))
	}
	return out
}

func (s Struck) crowd(out *stroke, f Force, rate int, rnd *dsp.Noise) {
	c := s.Crowd
	for range c.Count {
		hz := rnd.Between(c.Low, c.High)
		share := (hz - c.Low) / (c.High - c.Low)
		t60 := c.SecondsLow * math.Pow(c.SecondsHi/c.SecondsLow, share)
		level := c.Level * math.Sqrt(2/float64(c.Count)) * rnd.Between(.4, 1.4) * s.gain(f, hz)
		if rnd.Next() < 0 {
			level = -level
		}
		out.modes.Add(hz, level, t60, rate)
	}
}

func newBand(b Band, level float64, rate int, seed uint64) band {
	top := min(b.High, .45*float64(rate))
	width := (top - b.Low) * 1.1 // second-order slopes let a little more through
	rms := math.Sqrt(width / (float64(rate) / 2) / 3)
	return band{
		noise: dsp.NewNoise(seed), rms: 1 / rms,
		high:  dsp.HighPass(b.Low, math.Sqrt2/2, rate),
		low:   dsp.LowPass(top, math.Sqrt2/2, rate),
		swell: dsp.NewSwell(level, b.Rise, b.Seconds, rate),
	}
}

// Next returns the next sample, between -1 and 1.
func (s *stroke) Next() float64 {
	sum := s.modes.Next()
	for i := range s.swept {
		m := &s.swept[i]
		sum += m.osc.Next() * m.decay.Next()
	}
	for i := range s.bands {
		b := &s.bands[i]
		sum += b.low.Filter(b.high.Filter(b.noise.Next())) * b.rms * b.swell.Next()
	}
	return dsp.Saturate(sum * s.level)
}
