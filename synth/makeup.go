package synth

import (
	"math"
	"sort"

	"stampmill/exercises/passage"
	"stampmill/synth/loudness"
)

// Loudness is the integrated loudness in LUFS (ITU-R BS.1770) at which passages
// play by default: our choice, a moderate one, 3 LU over the broadcasts of EBU
// R 128 and 6 under what music players level to.
const Loudness = -20.0

// Bounds of the make-up gain, our choice: a passage of a few soft strokes is
// not blown up to the loudness of a band, and no stroke alone reaches full
// scale.
const (
	mostMakeup = 4.0 // linear, 12 dB
	mostPeak   = .8
)

// A measuredStroke is what one stroke of a voice measures alone, as mean
// squares of its K-weighted samples (ITU-R BS.1770).
type measuredStroke struct {
	voice   passage.Voice
	kind    passage.Kind
	loudest float64                    // of the loudest 50 ms
	peak    float64                    // largest sample
	energy  [len(energyMillis)]float64 // times seconds, from the start to each of energyMillis
}

// energyMillis are the times up to which energies are measured.
var energyMillis = [...]int{25, 50, 100, 200, 400, 800, 1600, 3200, 6400}

// measuredOf returns the measurement of a stroke, or of the voice's plain hit
// where its own is not known; nil where neither is.
func measuredOf(v passage.Voice, k passage.Kind) *measuredStroke {
	if m := measuredAt[[2]uint8{uint8(v), uint8(k)}]; m != nil {
		return m
	}
	return measuredAt[[2]uint8{uint8(v), uint8(passage.Hit)}]
}

// measuredAt finds the measurement of a voice and kind.
var measuredAt = func() map[[2]uint8]*measuredStroke {
	all := map[[2]uint8]*measuredStroke{}
	for i := range measuredStrokes {
		m := &measuredStrokes[i]
		all[[2]uint8{uint8(m.voice), uint8(m.kind)}] = m
	}
	return all
}()

// until returns the energy of the stroke's first seconds.
func (m *measuredStroke) until(seconds float64) float64 {
	before, from := 0.0, 0.0
	for i, ms := range energyMillis {
		to := float64(ms) / 1000
		if seconds < to {
			return before + (m.energy[i]-before)*max(0, seconds-from)/(to-from)
		}
		before, from = m.energy[i], to
	}
	return before
}

// A sounding is one stroke of a pass: when it begins and when it is stopped,
// in seconds.
type sounding struct {
	from, to float64
	gain     float64
	measured *measuredStroke
}

// Makeup returns the make-up gain of a whole passage, for plans of some of its
// bars, or of its changed likes: so they are as loud as it. It returns an error
// when the passage is outside its limits.
func Makeup(p passage.Passage) (float32, error) {
	s, err := NewSequence(Plan{Passage: p, Rate: Rates()[0], Dry: true})
	if err != nil {
		return 0, err
	}
	return s.plan.Makeup, nil
}

// makeup returns the gain that brings one pass of the whole passage, as mixed,
// to Loudness: worked out from what its strokes measure alone, so that it is known
// before any sound is made, is the same wherever it is played, and does not
// change with what is muted. The metronome does not count.
func makeup(events []event) float32 {
	all := soundings(events)
	if len(all) == 0 {
		return 1
	}
	gain, top := mostMakeup, 0.0
	if got := loudness.Integrated(steps(all)) + roomLU; !math.IsInf(got, -1) {
		gain = min(gain, loudness.Gain(got, Loudness))
	}
	for _, s := range all {
		top = max(top, s.gain*s.measured.peak)
	}
	return float32(min(gain, mostPeak/top))
}

// roomLU is how much the room adds to the loudness, and how far the sum of
// voices that move together is over the sum of their energies; measured on the
// library.
const roomLU = .35

// soundings lists the strokes of one pass with their ends.
func soundings(events []event) []sounding {
	stops := map[passage.Voice][]float64{}
	for _, e := range events {
		if e.command.Stop {
			stops[e.command.Voice] = append(stops[e.command.Voice], float(e.at))
		}
	}
	for _, at := range stops {
		sort.Float64s(at)
	}
	var all []sounding
	for _, e := range events {
		c := &e.command
		if c.Stop || c.Voice == passage.Click || c.Key.Room != 0 {
			continue
		}
		m := measuredOf(c.Key.Voice, c.Key.Kind)
		if m == nil {
			continue
		}
		s := sounding{from: float(e.at) - e.early/1000, to: math.Inf(1), gain: float64(c.Gain), measured: m}
		ends := stops[c.Voice]
		if i := sort.Search(len(ends), func(i int) bool { return ends[i] > s.from }); i < len(ends) {
			s.to = ends[i]
		}
		all = append(all, s)
	}
	return all
}

// stepSeconds is how long a step of a loudness meter is.
const stepSeconds = .1

// steps returns the mean square of each step of the programme, both channels
// together, as a loudness meter takes it: the energies of the strokes add up.
func steps(all []sounding) []float64 {
	var out []float64
	for _, s := range all {
		whole := s.measured.energy[len(energyMillis)-1]
		power := s.gain * s.gain / stepSeconds
		before := 0.0
		for n := max(0, int(s.from/stepSeconds)); before < whole && float64(n)*stepSeconds < s.to; n++ {
			for len(out) <= n {
				out = append(out, 0)
			}
			now := s.measured.until(min(float64(n+1)*stepSeconds, s.to) - s.from)
			out[n] += power * (now - before)
			before = now
		}
	}
	return out
}
