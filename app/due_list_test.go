package app

import (
	"testing"
	"time"

	"stampmill/app/logbook"
)

// What was passed comes back after four days, opens Practise at the tempo that
// was passed, and takes of what is not here any more, of some bars, or too short
// to be judged ask for nothing.
func TestDueToday(t *testing.T) {
	s := withTakes(practising(1), "kick", at(96, true), at(96, true), at(100, true), at(70, false))
	for i, spoil := range []func(*logbook.Entry){
		func(e *logbook.Entry) { e.Title = "A step that was" },
		func(e *logbook.Entry) { e.Exercise, e.Title = "gone", "A step that was" },
		func(e *logbook.Entry) { e.Part, e.Whole = "guitar", false },
		func(e *logbook.Entry) { e.Part = "kick+guitar" }, // by its own keys, from elsewhere
	} {
		e := s.Book[i]
		e.Name += "spoilt"
		spoil(&e)
		s = booked(s, e)
	}
	s.Now = noon.AddDate(0, 0, 1)
	if tasks := dueToday(s); len(tasks) != 0 {
		t.Errorf("a day later: %+v", tasks)
	}
	s.Now = noon.Add(40 * 24 * time.Hour)
	tasks := dueToday(s)
	if len(tasks) != 1 || tasks[0].Item.Title != "Stamp" || tasks[0].Why != "You own 96; more was tried 40 days ago. It comes back to see whether 96 holds." && tasks[0].Why != "You own 96, but it was not passed 40 days ago. It comes back to be made sure of." {
		t.Fatalf("%+v", tasks)
	}
	s, _ = after(s.on(3, 2), doesTo("due", itemArg(tasks[0].Item)))
	if s.entry().Name != "headframe" || s.Step != 0 || s.part().String() != "kick" || s.Tempo > 100 || s.Target != "go" {
		t.Errorf("opened %s, step %d, %s at %d", s.entry().Name, s.Step+1, s.part(), s.Tempo)
	}
}

// Takes that were made elsewhere may have parts that the step does not offer:
// such a part is played as it was, and stands in the list.
func TestAPartOfATakeFromElsewhere(t *testing.T) {
	s, _ := after(practising(2), doesTo("due", "headframe\nSnare on three\nkick+guitar"))
	if s.part() != (Part{"kick+guitar", false}) || s.part().Label() != "Kick and guitar" {
		t.Errorf("plays %v", s.part())
	}
	s, _ = after(s, sets("part", "kick"), sets("part", "snare+kick+guitar"), sets("part", "kick+trombone"))
	if s.part() != (Part{"snare+kick+guitar", false}) {
		t.Errorf("plays %v", s.part())
	}
}
