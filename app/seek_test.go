package app

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
)

// misread plays what step 5 of the climb "headframe" says on step 6, whose three
// kicks over two beats are even there.
func misread(t *testing.T, st stage) {
	t.Helper()
	st.act("step", "6", "")
	st.act("go", "", "")
	if !st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Playing }) {
		t.Fatalf("no take began: notice %+v", st.state.Notice)
	}
	take := st.state.Take.Take
	before, err := grade.Expect(st.state.entry().Climb.Steps[4].Passage, take, false)
	if err != nil {
		t.Fatal(err)
	}
	st.playAll(t, before.Onsets, 0)
}

// A misreading is looked for in slices after the verdict is there: the page and
// the book have it then, the step is not passed, and the next visit agrees.
func TestAMisreadingIsFoundAfterTheVerdict(t *testing.T) {
	st := newStage(known())
	misread(t, st)
	v := st.state.Verdict
	if v == nil {
		t.Fatalf("no verdict: %+v", st.state.Notice)
	}
	open, kept := v.Open, st.state.Book[0]
	st.clock.RunUntil(60_000, func() bool { return !st.state.Verdict.Open })
	v = st.state.Verdict
	if !open || v.Misreading == nil || v.Passed || len(st.state.Done) != 0 {
		t.Fatalf("open %v at first, then misreading %v, passed %v, done %v", open, v.Misreading, v.Passed, st.state.Done)
	}
	e := st.state.Book[0]
	if kept.Misreading != "" || e.Misreading != v.Misreading.Change || e.Said != v.Misreading.Sentence || e.Passed {
		t.Errorf("the book had %q and has %q, %q, passed %v", kept.Misreading, e.Misreading, e.Said, e.Passed)
	}
	st.clock.Run(1000)
	again := st.again()
	if diff := cmp.Diff(st.state.Book, again.state.Book, cmp.Comparer(func(a, b meter.Rat) bool { return a == b })); diff != "" {
		t.Errorf("the book at the next visit (-then +now):\n%s", diff)
	}
}

// The player goes on before the search is over, or the page is closed: the book
// gets the misreading all the same.
func TestASearchIsLeftBehind(t *testing.T) {
	st := newStage(known())
	misread(t, st)
	closed := st.again()
	st.act("step", "2", "")
	st.clock.RunUntil(60_000, func() bool { return st.state.Book[0].Misreading != "" })
	closed.clock.RunUntil(60_000, func() bool { return closed.state.Book[0].Misreading != "" })
	for what, s := range map[string]State{"going on": st.state, "closed": closed.state} {
		if s.Book[0].Misreading == "" || len(s.Done) != 0 || s.Verdict != nil {
			t.Errorf("%s: misreading %q, done %v, verdict %v", what, s.Book[0].Misreading, s.Done, s.Verdict != nil)
		}
	}
}

// What was deleted meanwhile does not come back.
func TestASearchAfterDeleting(t *testing.T) {
	st := newStage(known())
	misread(t, st)
	v := *st.state.Verdict
	s, effects := after(st.state, Deleted{}, Sought{v, nil})
	if len(s.Book) != 0 || len(s.Done) != 0 || !slices.Contains(effects, Effect(Same{})) {
		t.Errorf("%d takes, done %v", len(s.Book), s.Done)
	}
}
