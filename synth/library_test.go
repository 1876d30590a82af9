package synth

import (
	"math"
	"testing"

	"stampmill/exercises"
	"stampmill/synth/loudness"
)

// Every step of the library plays at -20 LUFS within 1 LU, and with peaks of at
// most -1 dBTP, without anything having to be set: by default, which is as a
// new player hears it and as it is rendered.
func TestLibraryIsAsLoudEverywhere(t *testing.T) {
	bank := probeBank(t, 48000, nil)
	for _, e := range exercises.Library() {
		for i, s := range e.Climb.Steps {
			plan := Plan{Passage: s.Passage, Rate: 48000, Passes: 1, Click: ClickNone}
			lufs, peak := heard(t, plan, bank, AsMixed)
			if math.Abs(lufs-Loudness) > 1 {
				t.Errorf("%s, step %d: %.2f LUFS, want %g ± 1", e.Name, i+1, lufs, Loudness)
			}
			if peak > -1 {
				t.Errorf("%s, step %d: %.2f dBTP, want at most -1", e.Name, i+1, peak)
			}
			if peak := ceilinged(t, plan, bank); peak > -1 {
				t.Errorf("%s, step %d: %.2f dBTP in the browser, want at most -1", e.Name, i+1, peak)
			}
		}
	}
}

// heard renders a plan and returns its integrated loudness and true peak.
func heard(t testing.TB, plan Plan, bank *Bank, mix Mix) (lufs, peak float64) {
	r, err := NewRenderer(sequence(t, plan), bank, mix)
	if err != nil {
		t.Fatal(err)
	}
	m, p := loudness.NewMeter(plan.Rate, 2), loudness.NewPeakMeter(2)
	part := make([]float32, 1<<14)
	for n := len(part) / 2; 2*n == len(part); {
		n = r.Read(part)
		m.Add(part[:2*n])
		p.Add(part[:2*n])
	}
	return m.Integrated(), p.Peak()
}

// ceilinged returns the true peak of a plan as the browser plays it: with the
// ceiling in place of the limiter.
func ceilinged(t testing.TB, plan Plan, bank *Bank) float64 {
	r, err := NewRenderer(sequence(t, plan), bank, AsMixed)
	if err != nil {
		t.Fatal(err)
	}
	p := loudness.NewPeakMeter(2)
	for r.mixed() {
		for i, x := range r.ready {
			r.ready[i] = float32(Ceiling(float64(x)))
		}
		p.Add(r.ready)
	}
	return p.Peak()
}
