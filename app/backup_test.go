package app

import (
	"strings"
	"testing"

	"stampmill/app/logbook"
	"stampmill/app/port/memory"
)

// backupWith is a backup of records of the small store, each as it is stored.
func backupWith(records ...string) []byte {
	var all []string
	for i := 0; i < len(records); i += 2 {
		all = append(all, `"`+records[i]+`":`+records[i+1])
	}
	return []byte(`{"stampmill_backup":2,"records":{` + strings.Join(all, ",") + `}}`)
}

// What comes in beside takes: settings only where there are none, of each step
// the higher tempo, and exercises without doubles.
func TestWhatComesWithABackup(t *testing.T) {
	theirs := startSettings()
	theirs.Theme, theirs.Master = "dark", 30
	done := Done{stepName("headframe", "Stamp"): 90, stepName("cage", "First"): 120}
	own := `{"v":1,"text":"title: Haulage\n","changed":"2026-03-02T12:00:00Z"}`
	other := `{"v":1,"text":"title: Ore pass\n","changed":"2026-03-02T12:00:00Z"}`
	file := backupWith("settings", theirs.write(), "done", done.write(), "own/00aa", own, "own/00bb", other, "unknown", `{}`)

	st := newStage(map[string]string{})
	delete(st.desk.Kept, settingsName)
	st.readBackup(file)
	st.clock.Run(1000)
	if s := st.state; s.Settings.Theme != "dark" || s.Settings.Master != 30 || s.Done["cage/First"] != 120 || len(s.Write.Shelf) != 2 || s.Notice.Fact != "The backup was read." {
		t.Errorf("settings %+v, done %v, shelf %v, notice %+v", s.Settings, s.Done, s.Write.Shelf, s.Notice)
	}

	kept := map[string]string{settingsName: startSettings().write(), "own/00aa": strings.Replace(own, "Haulage", "Gangue", 1),
		doneName: Done{stepName("headframe", "Stamp"): 100}.write()}
	st = newStage(kept)
	for range 2 {
		st.readBackup(file)
		st.clock.Run(1000)
		if s := st.state; s.Settings.Theme != "" || s.Done["headframe/Stamp"] != 100 || s.Done["cage/First"] != 120 || len(s.Write.Shelf) != 3 {
			t.Errorf("settings %+v, done %v, shelf %v", s.Settings, s.Done, s.Write.Shelf)
		}
	}
	if want := "Nothing new came in."; !strings.Contains(st.state.Notice.Mend, want) {
		t.Errorf("the second time %q, want %q", st.state.Notice.Mend, want)
	}
}

// A bad file is said and changes nothing; so is one that cannot be read, and
// what is no backup goes to the Write page as before.
func TestBadFilesOnSetup(t *testing.T) {
	st := newStage(known())
	st.Dispatch(Went{setupPath})
	for _, c := range []struct{ file, want string }{
		{`{"stampmill_backup":2,"records":{`, "The backup was not read. The file ends in the middle, in line 1. Save the backup again."},
		{`{"title":"x"}`, "The backup was not read. This file is no backup of Stampmill. Choose the file that was saved in Setup."},
	} {
		st.act("restore", "", "")
		st.desk.Choose(memory.File{Name: "b.json", Content: []byte(c.file)})
		st.clock.Run(1000)
		if got := st.state.Notice.words(); got != c.want {
			t.Errorf("%s: %q, want %q", c.file, got, c.want)
		}
	}
	st.desk.Drop(memory.File{Name: "big.drill", Content: make([]byte, mostText+1)})
	if got := st.state.Notice.words(); !strings.Contains(got, "ig.drill has more than 256 KiB") {
		t.Errorf("a large exercise: %q", got)
	}
}

// While a file is on its way it says how far it is, and can be stopped.
func TestStoppingABackup(t *testing.T) {
	st := newStage(known())
	st.take(t, 0)
	st.Dispatch(Went{setupPath})
	st.desk.Archive.Slow = true
	st.act("backup", "", "")
	if st.state.Transfer.What != "Saving the backup" || st.focus != "stop-file" && st.page != nil {
		t.Errorf("%+v", st.state.Transfer)
	}
	st.act("stop-file", "", "")
	for st.desk.Archive.Answer() {
		st.clock.Run(100)
	}
	if st.state.Transfer.What != "" || len(st.desk.Saved) != 0 {
		t.Errorf("still %+v, saved %d", st.state.Transfer, len(st.desk.Saved))
	}
}

func TestReportsInWords(t *testing.T) {
	for want, r := range map[string]logbook.Report{
		"Nothing came in.": {},
		"Two takes came in, one was here already. One other record came in: exercises, passed steps or settings.":   {Takes: 2, Here: 1, Others: 1},
		"Nothing new came in. Three takes were here already.":                                                       {Here: 3, Present: 2},
		"You stopped it. 40 takes came in, none were here already. Read it again for the rest.":                     {Takes: 40, Stopped: true},
		"One take came in, none were here already. One record that could not be read was left out: take/x.":         {Takes: 1, Broken: 1, Names: []string{"take/x"}},
		"Nothing came in. Two records of a newer version were left out; load the page again to get that version.":   {Newer: 2},
		"Nothing came in. Five records that could not be read were left out, among them take/x, take/y and take/z.": {Broken: 5, Names: []string{"take/x", "take/y", "take/z"}},
	} {
		if got := reportWords(r); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// What deleting deletes is named as a whole, also while takes are being read or
// cannot be.
func TestWhatGoesIsNamed(t *testing.T) {
	for _, c := range []struct {
		s    State
		want string
	}{
		{State{Booked: BookReady, Takes: 3}, "three takes"},
		{State{Booked: BookReady}, "no takes"},
		{State{Booked: BookLoading, Takes: 3, BookOf: 40}, "40 takes"},
		{State{Booked: BookLoading}, "every take and every answer"},
		{State{Booked: BookFailed}, "every take and every answer"},
	} {
		if got := deletedTakes(c.s); got != c.want {
			t.Errorf("%v with %d of %d: %q, want %q", c.s.Booked, c.s.Takes, c.s.BookOf, got, c.want)
		}
	}
}
