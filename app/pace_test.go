package app

import (
	"testing"
	"time"

	"stampmill/app/logbook"
	"stampmill/exercises/grade"
)

// withTakes is a book of whole takes of a step of the first climb, in order.
func withTakes(s State, part string, takes ...logbook.Entry) State {
	for i, e := range takes {
		e.Name, e.At = string(rune('a'+i)), noon.Add(time.Duration(i)*time.Minute)
		e.Exercise, e.Title, e.Part, e.Whole = s.entry().Name, s.step().Title, part, true
		e.Expected, e.Matched, e.Spread = 32, 32, grade.Some(8)
		s = booked(s, e)
	}
	return s
}

func at(tempo float64, passed bool) logbook.Entry { return logbook.Entry{Tempo: tempo, Passed: passed} }

// The goal of the first step is 100.
func TestAStepOpensWhereItWasPassed(t *testing.T) {
	few, loop := at(92, false), at(92, false)
	tests := []struct {
		name  string
		takes []logbook.Entry
		want  int
	}{
		{"no take", nil, 92},
		{"passed", []logbook.Entry{at(92, true), at(92, true)}, 92},
		{"a try above", []logbook.Entry{at(92, true), at(92, true), at(100, false)}, 92},
		{"failed", []logbook.Entry{at(92, false)}, 85},
		{"of another part", []logbook.Entry{few}, 85},
		{"of some bars", []logbook.Entry{loop}, 85},
	}
	for _, test := range tests {
		s := withTakes(practising(1), "kick", test.takes...)
		if got := s.on(0, 0).Tempo; got != test.want {
			t.Errorf("%s: opened at %d, want %d", test.name, got, test.want)
		}
		s.Settings.Follow = false
		if got := s.on(0, 0).Tempo; got != 92 {
			t.Errorf("%s, not following: opened at %d", test.name, got)
		}
	}
}

// Takes of another part, step or climb, of some bars, and takes too short to be
// judged say nothing of the tempo.
func TestWhatIsNoTrial(t *testing.T) {
	for name, spoil := range map[string]func(*logbook.Entry){
		"part":    func(e *logbook.Entry) { e.Part = "snare" },
		"title":   func(e *logbook.Entry) { e.Title = "another" },
		"climb":   func(e *logbook.Entry) { e.Exercise = "another" },
		"bars":    func(e *logbook.Entry) { e.Whole = false },
		"unread":  func(e *logbook.Entry) { e.Unread = "the step is gone; nothing" },
		"too few": func(e *logbook.Entry) { e.Spread = grade.Optional{} },
	} {
		s := withTakes(practising(1), "kick", at(92, false))
		spoil(&s.Book[0])
		if p := s.pace(); p.Played || p.BPM != 92 {
			t.Errorf("%s: %+v", name, p)
		}
	}
}

func TestTheNextTempoFollows(t *testing.T) {
	s, _ := playTake(practising(1), 10)
	checkNext(t, s, "Again", "Passed once at 92: once more there, and it goes up.")
	s, _ = playTake(later(s, 1), 10)
	checkNext(t, s, "Faster: 100", "Passed twice in a row at 92: now 100. Owned: 92.")
	s, _ = after(s, doesTo("faster", "100"))
	if s.Tempo != 100 || s.Phase != Starting {
		t.Fatalf("at %d, phase %v", s.Tempo, s.Phase)
	}
	opened := s.on(0, 1).on(0, 0)
	if opened.Tempo != 92 {
		t.Errorf("opened again at %d", opened.Tempo)
	}
	if got := readyHint(opened); got != "It starts at 92, where you last passed. One pass there, and it goes to 100. Owned: 92." {
		t.Errorf("opened again it says %q", got)
	}
	if got := stepFact(0, opened, opened.owned()); got != "now: owned 92, goal 100" {
		t.Errorf("the list says %q", got)
	}
	off, _ := after(opened, does("follow"))
	off, _ = playTake(off, 10)
	if a := off.suggestion(); a.label == "Again" || off.Settings.Follow {
		t.Errorf("not following: %+v", a)
	}
}

// later lets the next take end some minutes after noon, as the names of takes
// go by time.
func later(s State, minutes int) State {
	s.Book = append([]logbook.Entry(nil), s.Book...)
	for i := range s.Book {
		s.Book[i].Name = "before-" + s.Book[i].Name
		s.Book[i].At = s.Book[i].At.Add(-time.Duration(minutes) * time.Minute)
	}
	s.Phase = Idle
	return s
}

func checkNext(t *testing.T, s State, label, words string) {
	t.Helper()
	if a := s.suggestion(); a.label != label {
		t.Errorf("suggested %+v, want %s", a, label)
	}
	if got := suggestionWords(s); got != words {
		t.Errorf("%q, want %q", got, words)
	}
}

// At the goal a pass leads to the next step, not to a higher tempo.
func TestAStepAtItsGoal(t *testing.T) {
	s := withTakes(practising(1), "kick", at(100, true), at(100, true)).on(0, 0)
	if got := readyHint(s); got != "It starts at 100, where you last passed. Owned: 100." {
		t.Errorf("it says %q", got)
	}
	if got := stepFact(0, s, s.owned()); got != "now: owned 100" {
		t.Errorf("the list says %q", got)
	}
}

// Takes that are read after the page was opened set the tempo that they would
// have set before, and the sounds for it are made.
func TestTheTempoFollowsWhatIsReadLater(t *testing.T) {
	s := practising(1)
	s, effects := after(s, Read{logbook.News{Stage: logbook.Ready, Entries: withTakes(s, "kick", at(96, true)).Book}})
	if p, ok := has[Prepare](effects); s.Tempo != 96 || !ok || p.Plan.Passage.Bars[0].Tempo.BPM.Float() != 96 {
		t.Errorf("at %d, prepared: %v", s.Tempo, ok)
	}
}

// A tempo that the player chose stays when takes come into the book; another
// part has its own.
func TestAChosenTempoStays(t *testing.T) {
	s, _ := after(practising(1), sets("tempo", "70"))
	s, _ = after(s, Read{logbook.News{Stage: logbook.Ready, Entries: withTakes(s, "kick", at(96, true)).Book}})
	if s.Tempo != 70 {
		t.Errorf("at %d", s.Tempo)
	}
	s, _ = after(s, sets("part", "guitar"))
	if s.Tempo != 92 {
		t.Errorf("another part at %d", s.Tempo)
	}
	s, _ = after(s, sets("part", "kick"))
	if s.Tempo != 96 {
		t.Errorf("back to the kick at %d", s.Tempo)
	}
}

func BenchmarkPaceOfTenThousandTakes(b *testing.B) {
	s := practising(1)
	for i := range 10_000 {
		e := at(90+float64(i%5), i%3 > 0)
		e.Name, e.At = "take", noon.Add(time.Duration(i)*time.Minute)
		e.Exercise, e.Title, e.Part, e.Whole, e.Spread = s.Library[i%15].Name, s.Library[i%15].Climb.Steps[i%8].Title, "kick", true, grade.Some(8)
		s.Book = append(s.Book, e)
	}
	for b.Loop() {
		s.pace()
	}
}

// That there is no take is said only where there is none.
func TestNoTakeYetIsTrue(t *testing.T) {
	const how = "lay the kick: any letter key, or a touch."
	for _, c := range []struct {
		name   string
		follow bool
		booked Booked
		takes  int
		want   string
	}{
		{"none", true, BookReady, 0, "No take yet. Hear it once, then p" + how},
		{"not known yet", true, BookLoading, 0, "Hear it once, then p" + how},
		{"some, not following", false, BookReady, 2, "P" + how},
		{"none, not following", false, BookReady, 0, "No take yet. Hear it once, then p" + how},
	} {
		s := practising(1)
		s.Settings.Follow, s.Booked = c.follow, c.booked
		s = withTakes(s, "kick", []logbook.Entry{at(92, true), at(92, true)}[:c.takes]...)
		if got := readyHint(s); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
