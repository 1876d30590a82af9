package synth_test

import (
	"testing"

	"stampmill/exercises"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// mostBytes is how much sound a browser may be asked to keep for a climb; our
// choice, little beside what a page of pictures takes.
const mostBytes = 60e6

// A climb's sounds fit: those of all its steps in every tuning that the library
// uses, at the rate of most devices, and in its own tuning at twice that rate.
func TestClimbsFitIntoMemory(t *testing.T) {
	tunings := map[passage.Pitch]bool{}
	for _, e := range exercises.Library() {
		for _, s := range e.Climb.Steps {
			tunings[s.Passage.Tuning] = true
		}
	}
	most, of := 0, ""
	for _, e := range exercises.Library() {
		all, own := map[synth.Key]bool{}, map[synth.Key]bool{}
		for _, s := range e.Climb.Steps {
			for tuning := range tunings {
				p := s.Passage
				p.Tuning = tuning
				gather(t, all, p, 48000)
			}
			gather(t, own, s.Passage, 96000)
		}
		if n := bytesOf(all, 48000); n > most {
			most, of = n, e.Name
		}
		if n := bytesOf(own, 96000); n > mostBytes {
			t.Errorf("%s at 96 kHz: %.1f MB", e.Name, float64(n)/1e6)
		}
	}
	t.Logf("the largest is %s in %d tunings: %.1f MB", of, len(tunings), float64(most)/1e6)
	if most > mostBytes {
		t.Errorf("%s in %d tunings: %.1f MB, want at most 60", of, len(tunings), float64(most)/1e6)
	}
}

// gather adds every sound that a passage may need.
func gather(t *testing.T, to map[synth.Key]bool, p passage.Passage, rate int) {
	t.Helper()
	seq, err := synth.NewSequence(synth.Plan{Passage: p, Rate: rate, CountIn: 1, Click: synth.ClickBeats})
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range seq.Keys() {
		to[k] = true
	}
}

// bytesOf returns how much memory sounds take, which are not made for it.
func bytesOf(keys map[synth.Key]bool, rate int) int {
	n := 0
	for k := range keys {
		n += 4 * synth.Frames(k, rate)
	}
	return n
}
