package synth

import (
	"math"

	"stampmill/exercises/passage"
)

// A Mix is the player's balance on top of the fixed mix: a linear gain for
// each voice, and a master gain. Muting one voice changes no other, except
// that the limiter has less to hold.
type Mix struct {
	Master float32                   // 1 as mixed
	Levels map[passage.Voice]float32 // voices not named: 1; 0 mutes
}

// AsMixed plays everything as mixed.
var AsMixed = Mix{Master: 1}

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
