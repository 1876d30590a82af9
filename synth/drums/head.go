package drums

import (
	"math"

	"stampmill/synth/dsp"
)

// A Head is a round skin over a shell, struck somewhere. Its modes are those
// of the ideal circular membrane, drawn together by the air they move: a mode
// whose frequency is r times that of the fundamental sounds at r^Air times
// Hertz. What a stroke gives to a mode is the shape of that mode where it
// falls, J_m(k r) (Fletcher & Rossing; Morse, Vibration and Sound, chapter
// "Membranes and plates").
type Head struct {
	Hertz   float64 // of the fundamental, when it has fallen to rest
	Level   float64 // of the fundamental, struck in the middle
	Seconds float64 // of the fundamental
	Damping float64 // a mode r times as high rings Seconds / r^Damping
	Air     float64 // 1 the ideal membrane, less with air
	Slope   float64 // dB an octave by which higher modes are heard less
	Strike  float64 // where strokes fall, in radii from the middle
	Modes   int     // how many are reckoned, at most len(membrane)
}

// membrane are the modes of the ideal membrane: m nodal diameters and the zero
// of J_m (Abramowitz & Stegun, table 9.5). Divided by the first zero they are
// 1, 1.594, 2.136, 2.296, 2.653, 2.918, ...
var membrane = []struct {
	m    int
	zero float64
}{
	{0, 2.40483}, {1, 3.83171}, {2, 5.13562}, {0, 5.52008}, {3, 6.38016}, {1, 7.01559},
	{4, 7.58834}, {2, 8.41724}, {0, 8.65373}, {5, 8.77148}, {3, 9.76102}, {6, 9.93611},
}

// wander is how far, in radii, strokes fall from where they are meant to: our
// choice, a finger's width on a small drum.
const wander = .05

// modes returns the modes of a head when a stroke falls at r radii from the
// middle.
func (h Head) modes(r float64) []Mode {
	var out []Mode
	for _, k := range membrane[:h.Modes] {
		ratio := math.Pow(k.zero/membrane[0].zero, h.Air)
		shape := math.Jn(k.m, k.zero*min(max(r, 0), 1)) / math.Abs(math.Jn(k.m+1, k.zero)) * math.Abs(math.J1(membrane[0].zero))
		if k.m > 0 {
			shape *= math.Sqrt2 // either of two turned by a quarter of a wave: the one that is hit
		}
		heard := math.Pow(10, -h.Slope*math.Log2(ratio)/20)
		out = append(out, Mode{h.Hertz * ratio, h.Level * shape * heard, h.Seconds / math.Pow(ratio, h.Damping)})
	}
	return out
}

// A swept is a mode whose frequency falls.
type swept struct {
	osc   dsp.Swept
	decay dsp.Decay
}

// skin lets the modes of a stroke ring.
type skin struct {
	all   []swept
	top   float64 // sum of the levels at the start
	alive int     // blocks until the faint ones are taken out
}

func (k *skin) add(m Mode, glide, seconds float64, rate int) {
	if m.Hertz*glide >= .45*float64(rate) {
		return
	}
	k.all = append(k.all, swept{dsp.NewSwept(m.Hertz*glide, m.Hertz, seconds, rate), dsp.NewDecay(m.Level, m.Seconds, rate)})
	k.top += math.Abs(m.Level)
}

// faint is the level under which a mode is left out, and every how many blocks
// that is looked for: our choice, far under what is heard.
const (
	faint      = 1e-5
	faintEvery = 4
)

// addTo adds the modes.
func (k *skin) addTo(dst *dsp.Block) {
	if k.alive--; k.alive < 0 {
		k.alive = faintEvery - 1
		k.sift()
	}
	for i := range k.all {
		k.all[i].osc.AddTo(dst, &k.all[i].decay)
	}
}

func (k *skin) sift() {
	loud := k.all[:0]
	for _, m := range k.all {
		if math.Abs(m.decay.Level()) > faint {
			loud = append(loud, m)
		}
	}
	k.all = loud
}
