package synth

import (
	"fmt"
	"math"

	"stampmill/exercises/passage"
)

// A Mix is the player's balance on top of the fixed mix: a linear gain for
// each voice, and a master gain, each 0 to MaxGain. Muting one voice changes no
// other, except that glue and limiter have less to hold.
type Mix struct {
	Master float32                   // 1 as mixed
	Levels map[passage.Voice]float32 // voices not named: 1; 0 mutes
}

// AsMixed plays everything as mixed.
var AsMixed = Mix{Master: 1}

// MaxGain is the highest linear gain of a mix, 60 dB: our choice, far above
// what any sound needs.
const MaxGain = 1000

// check returns an error when a gain is out of range.
func (m Mix) check() error {
	if !(m.Master >= 0 && m.Master <= MaxGain) {
		return fmt.Errorf("a master gain of %g; use 0 to %d", m.Master, MaxGain)
	}
	for _, v := range passage.Voices() {
		if l := m.Level(v); !(l >= 0 && l <= MaxGain) {
			return fmt.Errorf("a gain of %g for %s; use 0 to %d", l, v, MaxGain)
		}
	}
	return nil
}

// Level returns the linear gain of a voice.
func (m Mix) Level(v passage.Voice) float32 {
	if l, ok := m.Levels[v]; ok {
		return l
	}
	return 1
}

// PanGains returns the gains of the two channels for a mono sound at pan -1 to
// +1, of equal power, as the StereoPannerNode of the Web Audio API pans mono.
func PanGains(pan float32) (left, right float32) {
	sin, cos := math.Sincos((float64(pan) + 1) / 2 * math.Pi / 2)
	return float32(cos), float32(sin)
}
