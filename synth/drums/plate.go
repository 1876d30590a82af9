package drums

import (
	"math"

	"stampmill/synth/dsp"
)

// A Crowd is a share of a plate's modes, spread from Low to High: the modes of
// a flat plate lie equally dense at all frequencies (Fletcher & Rossing), so
// each has an equal stretch of its own and lies anywhere in it. Level is the
// root mean square of all together. Decay times go from SecondsLow at Low to
// SecondsHi at High. The crowd comes up in about Rise seconds (0: at once), as
// the energy of a hard stroke moves from low modes to high ones (the same).
//
// Where the modes lie belongs to the plate: all strokes of one plate have the
// same. How much of each is heard depends on where the stroke falls.
type Crowd struct {
	Count                                         int
	Low, High, Level, Rise, SecondsLow, SecondsHi float64
}

// A crowd is a crowd that rings.
type crowd struct {
	modes dsp.Modes
	rise  dsp.Decay // what is still missing
}

// ring strikes the crowd: cast says where the modes lie, stroke how much each
// is given.
func (c Crowd) ring(s Struck, f force, rate int, cast, stroke *dsp.Noise) crowd {
	out := crowd{}
	if c.Rise > 0 {
		out.rise = dsp.NewDecay(1, c.Rise, rate)
	}
	cell := (c.High - c.Low) / float64(max(c.Count, 1))
	for i := range c.Count {
		hz := c.Low + (float64(i)+cast.Between(0, 1))*cell
		t60 := c.SecondsLow * math.Pow(c.SecondsHi/c.SecondsLow, (hz-c.Low)/(c.High-c.Low))
		level := c.Level * math.Sqrt(2/float64(c.Count)) * stroke.Between(.5, 1.35) * s.gain(f, hz)
		if stroke.Next() < 0 {
			level = -level
		}
		out.modes.Add(hz, level, t60*f.ring, rate)
	}
	return out
}

func (c *crowd) addTo(dst *dsp.Block) {
	if c.rise.Level() < gone {
		c.modes.AddTo(dst)
		return
	}
	var x dsp.Block
	c.modes.AddTo(&x)
	rise := c.rise // in a register
	for i, y := range x {
		dst[i] += y * (1 - rise.Next())
	}
	c.rise = rise
}
