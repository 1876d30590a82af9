package synth

import (
	"math"
	"testing"

	"stampmill/exercises/passage"
	"stampmill/synth/dsp"
	"stampmill/synth/features"
)

// A tap is a single full-scale sample.
type tap struct{ done bool }

func (s *tap) Read(dst []float32) int {
	clear(dst)
	if !s.done {
		dst[0], s.done = 1, true
	}
	return len(dst)
}

func roomResponse(side int8, rate int) []float64 {
	r := newRoom(Key{Room: side}, rate, &tap{})
	var h []float64
	var part dsp.Block
	for len(h) < rate/2 {
		r.Fill(&part)
		h = append(h, part[:]...)
	}
	return h
}

// The room is a small one with soft walls: it falls by 60 dB in .2 to .3 s
// (practice rooms are treated to less than .4 s, common practice; the number is
// our choice) at every rate, and its two sides are unlike.
func TestRoomIsSmall(t *testing.T) {
	for _, rate := range Rates() {
		left, right := roomResponse(-1, rate), roomResponse(1, rate)
		for _, h := range [][]float64{left, right} {
			pcm := make([]float32, len(h))
			for i, x := range h {
				pcm[i] = float32(x)
			}
			if t60 := features.Measure(pcm, rate).T60; t60 < 200 || t60 > 300 {
				t.Errorf("%d Hz: it rings for %.0f ms", rate, t60)
			}
		}
		if like := features.Likeness(left, right, .04, rate); like > .5 {
			t.Errorf("%d Hz: its sides are alike to %.2f", rate, like)
		}
	}
}

// What the room gives back comes after the stroke itself, which stays as it is:
// up to the first reflection a snare in the room is the snare.
func TestRoomLeavesTheOnset(t *testing.T) {
	p := strip(t, "4/4", "120", "snare:x . . .")
	plan := Plan{Passage: p, Rate: 48000, Passes: 1}
	in := rendered(t, plan, probeBank(t, 48000, nil), AsMixed)
	plan.Dry = true
	dry := rendered(t, plan, probeBank(t, 48000, nil), AsMixed)
	first := int(reflections[0][0].ms * 48)
	differ := 0.0
	for i := range 2 * 24000 {
		d := math.Abs(float64(in[i] - dry[i]))
		if i < 2*first && d > 1e-6 {
			t.Fatalf("frame %d differs by %g", i/2, d)
		}
		differ = max(differ, d)
	}
	if differ < .01 {
		t.Errorf("the room adds %g at most", differ)
	}
}

// Drums in the room still measure like sampled ones, as a listener to the whole
// would measure them (features.Targets); a chug stays tight.
func TestDrumsInTheRoom(t *testing.T) {
	for _, test := range []struct {
		v    passage.Voice
		name string
	}{
		{passage.Kick, "kick"}, {passage.Snare, "snare"}, {passage.TomHigh, "tomhi"},
		{passage.TomMid, "tommid"}, {passage.TomFloor, "tomfloor"}, {passage.Hat, "hatclosed"},
	} {
		target, _ := features.TargetNamed(test.name)
		inside := 0
		for i, x := range features.Measure(alone(t, test.v), 48000).Values() {
			if target.Ranges[i].Miss(x) <= .25 {
				inside++
			}
		}
		if inside < 11 {
			t.Errorf("%s: %d of 14 features inside", test.v, inside)
		}
	}
	if chug := features.Measure(alone(t, passage.Guitar), 48000).T20; chug < 60 || chug > 120 {
		t.Errorf("a chug's t20 is %.0f ms, want 60 to 120", chug)
	}
}

// alone renders one hit of a voice and returns the mean of both channels; of
// the guitars, which are two takes, the left one.
func alone(t testing.TB, v passage.Voice) []float32 {
	p := strip(t, "4/4", "60", v.String()+":x . . .")
	pcm := rendered(t, Plan{Passage: p, Rate: 48000, Passes: 1}, probeBank(t, 48000, nil), AsMixed)
	mono := make([]float32, len(pcm)/2)
	for i := range mono {
		if mono[i] = pcm[2*i]; v != passage.Guitar {
			mono[i] = (pcm[2*i] + pcm[2*i+1]) / 2
		}
	}
	return mono
}
