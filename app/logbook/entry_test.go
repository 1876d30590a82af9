package logbook

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// stepOf returns a step of the library, from 1.
func stepOf(t testing.TB, climb string, step int) passage.Step {
	t.Helper()
	c, err := exercises.Open(climb)
	if err != nil {
		t.Fatal(err)
	}
	return c.Steps[step-1]
}

// played returns a take of a step of the library, two passes at 100.
func played(t testing.TB, climb string, step int, o player.Options, part ...passage.Voice) Record {
	t.Helper()
	st := stepOf(t, climb, step)
	take := grade.Take{Exercise: climb, Step: step, Tempo: 100, Passes: 2, Part: part, Input: "keyboard"}
	e, err := grade.Expect(st.Passage, take, false)
	if err != nil {
		t.Fatal(err)
	}
	take.Taps = player.Simulate(e, o, rand.New(rand.NewPCG(1, 2)))
	return Record{At: noon, Title: st.Title, Known: true, Take: take}
}

func entryOf(t testing.TB, r Record) Entry {
	t.Helper()
	st := stepOf(t, r.Take.Exercise, r.Take.Step)
	v, err := grade.Grade(st.Passage, r.Take, grade.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return EntryOf("take/a", r, st, v)
}

// TestEntryOf holds an entry against what was played: step 6 of the climb
// "headframe" ends on three even kicks over beats 3 and 4 of bar 2, at 100 BPM,
// so eight beats last 4.8 seconds.
func TestEntryOf(t *testing.T) {
	r := played(t, "headframe", 6, player.Options{LeanMS: -8}, passage.Kick)
	e := entryOf(t, r)
	if e.Title != "Three over two" || e.Part != "kick" || !e.Whole || !e.Passed || e.Goal != 100 {
		t.Errorf("got %+v", e)
	}
	if got := e.Minutes * 60; got < 9.599 || got > 9.601 {
		t.Errorf("two passes of 4.8 s last %g s", got)
	}
	if l := e.Leaning; !l.OK || l.Value < -8.01 || l.Value > -7.99 {
		t.Errorf("leaning %+v, want -8", l)
	}
	if len(e.Splits) != 1 || e.Splits[0].At != "2.3" || e.Splits[0].Written != "3:2" || e.Splits[0].N != 2 {
		t.Errorf("splits %+v, want one 3:2 at 2.3 in two passes", e.Splits)
	}
	for _, p := range e.Places {
		if p.Voices != "kick" || p.Hits != 2 || p.Missed != 0 || p.MeanMS > -7.99 || p.MeanMS < -8.01 {
			t.Errorf("place %+v, want the kick twice, 8 ms early", p)
		}
	}
	r.Take.Bars, r.Take.Stopped, r.Known = [2]int{2, 2}, grade.Some(1.5), false
	if e = entryOf(t, r); e.Whole || e.Minutes != 1.5/60 || e.Known {
		t.Errorf("one bar, stopped after 1.5 s: %+v", e)
	}
}

func TestPartsAreNamedAsOnPractise(t *testing.T) {
	one := func(r Record) Record {
		for i := range r.Take.Taps {
			r.Take.Taps[i].Voice = passage.NoVoice
		}
		return r
	}
	all := stepOf(t, "headframe", 2).Passage.Voices()
	for want, r := range map[string]Record{
		"kick":                played(t, "headframe", 2, player.Options{}, passage.Kick),
		"snare+kick":          played(t, "headframe", 2, player.Options{}, passage.Kick, passage.Snare),
		"kick+guitar one key": one(played(t, "headframe", 2, player.Options{}, passage.Kick, passage.Guitar)),
		All:                   one(played(t, "headframe", 2, player.Options{}, all...)),
	} {
		if got := entryOf(t, r).Part; got != want {
			t.Errorf("part %q, want %q", got, want)
		}
	}
}

func TestWithKeepsTheOrderOfTime(t *testing.T) {
	var book []Entry
	for _, e := range []Entry{{Name: "b", At: noon}, {Name: "c", At: noon.Add(time.Hour)}, {Name: "a", At: noon}, {Name: "b", At: noon, Passed: true}} {
		before := slices.Clone(book)
		next := With(book, e)
		if diff := cmp.Diff(before, book); diff != "" {
			t.Errorf("the book given was changed:\n%s", diff)
		}
		book = next
	}
	want := []Entry{{Name: "a", At: noon}, {Name: "b", At: noon, Passed: true}, {Name: "c", At: noon.Add(time.Hour)}}
	if diff := cmp.Diff(want, book); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// A take of another reading is judged in slices as it is in one go.
func TestMisreadingsAreNamedInSlices(t *testing.T) {
	c, err := exercises.Open("headframe")
	if err != nil {
		t.Fatal(err)
	}
	const text = "retime kick guitar at 2.3-2.4 as 3" // what makes step 6 of step 5
	for n, step := range []int{5, 6} {
		r := played(t, "headframe", step, player.Options{SpreadMS: 8}, passage.Kick)
		other, slips, err := player.Misread(c.Steps, step-1, []string{text, "step 5"}[n])
		if err != nil {
			t.Fatal(err)
		}
		o := player.Options{SpreadMS: 8, Slips: slips}
		if r.Take.Taps, err = player.Play(other, r.Take, o, rand.New(rand.NewPCG(1, 2))); err != nil {
			t.Fatal(err)
		}
		v, err := grade.Grade(c.Steps[step-1].Passage, r.Take, r.Options(c.Steps))
		if err != nil || v.Misreading == nil {
			t.Fatalf("misreading %v, %v", v.Misreading, err)
		}
		want := EntryOf("take/a", r, c.Steps[step-1], v)
		if diff := cmp.Diff(want, Judge("take/a", r, c.Steps), exactly); diff != "" {
			t.Errorf("(-whole +slices):\n%s", diff)
		}
	}
}

// misread is a take of step 6 of "headframe" in which step 5 was played.
func misread(t testing.TB) Record {
	t.Helper()
	c, err := exercises.Open("headframe")
	if err != nil {
		t.Fatal(err)
	}
	r := played(t, "headframe", 6, player.Options{}, passage.Kick)
	if r.Take.Taps, err = player.Play(c.Steps[4].Passage, r.Take, player.Options{SpreadMS: 8}, rand.New(rand.NewPCG(1, 2))); err != nil {
		t.Fatal(err)
	}
	return r
}

// BenchmarkJudgeMisread makes the entry of a take of another reading.
func BenchmarkJudgeMisread(b *testing.B) {
	text, _ := library("headframe")
	steps, err := Steps(text)
	if err != nil {
		b.Fatal(err)
	}
	r := misread(b)
	for b.Loop() {
		Judge("take/a", r, steps)
	}
}
