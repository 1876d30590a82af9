package transport_test

import (
	"math"
	"testing"

	"stampmill/app/clock"
	"stampmill/synth"
)

// A press at the moment at which a place is heard comes back as that place,
// whenever the handler runs.
func TestPlace(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "120", 1), CountIn: 1, Click: synth.ClickBeats})
	r.clock.Run(1000)
	downbeat := float64(r.audio.Played[0].Frame + 2*48000) // a bar of four at 120 lasts 2 s
	worst := 0.0
	for i := range 200 {
		r.clock.Run(40)
		seconds := 0.04*float64(i) - 0.9 // from within the count-in on
		event := r.audio.EventOf(downbeat + seconds*48000)
		p := r.Place(event)
		if !p.OK || p.Sure.Quality != clock.Exact {
			t.Fatalf("press %d: %+v", i, p)
		}
		worst = max(worst, math.Abs(p.Seconds-seconds)*1000)
		if want := seconds * 2; math.Abs(p.Position.Quarters-math.Mod(want, 4)) > 0.001 && math.Abs(math.Mod(want, 4)) > 0.01 && seconds > 0 {
			t.Errorf("press at %.3f s falls on quarter %.3f of pass %d", seconds, p.Position.Quarters, p.Position.Pass)
		}
		if p.Position.CountIn != (seconds < -1e-4) && math.Abs(seconds) > 1e-4 {
			t.Errorf("press at %.3f s: count-in %v", seconds, p.Position.CountIn)
		}
	}
	if worst > 0.1 {
		t.Errorf("worst error %.3f ms, want 0.1", worst)
	}
}

// Where no exact pairs come, presses are still placed, to some ms, and marked.
func TestRoughPlace(t *testing.T) {
	r := newRig(t)
	r.audio.ZeroPairs = true
	r.start(synth.Plan{Passage: kicks(t, "4/4", "120", 1)})
	r.clock.Run(4000)
	frame := float64(r.audio.Played[0].Frame + 96000)
	p := r.Place(r.audio.EventOf(frame))
	if !p.OK || p.Sure.Quality != clock.Rough || math.Abs(p.Seconds-2) > 0.010 {
		t.Errorf("%+v, want 2 s within 10 ms, rough", p)
	}
}

// The playhead stands where the sound is heard, not where it is handed over.
func TestWhere(t *testing.T) {
	r := newRig(t)
	r.audio.Latency = 200
	r.start(synth.Plan{Passage: kicks(t, "6/8", "3/8=120", 2), CountIn: 1, Click: synth.ClickBeats})
	origin := float64(r.audio.Played[0].Frame)
	for range 400 {
		r.clock.Run(16)
		heard := (r.audio.Heard(r.clock.Time()) - origin) / 48000 // s from the count-in, which lasts 1 s
		quarters := (heard - 1) * 3
		p := r.Where()
		switch {
		case heard < 0.1 && !p.OK: // nothing was heard yet
		case heard < 1-1e-3 && !p.CountIn || heard > 1+1e-3 && p.CountIn:
			t.Fatalf("%.3f s: %+v", heard, p)
		case heard > 1+1e-3:
			got := float64(p.Pass)*6 + p.Quarters
			if math.Abs(got-quarters) > 0.003 { // 1 ms
				t.Fatalf("%.3f s: quarter %.4f, want %.4f", heard, got, quarters)
			}
		}
	}
	if p := r.Where(); p.Pass < 1 {
		t.Errorf("after 6.4 s in %+v", p)
	}
	if got, want := r.PassStart(3), 6.0; got != want {
		t.Errorf("pass 3 begins after %g s, want %g", got, want)
	}
}
