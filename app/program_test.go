package app

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/app/port/memory"
	"stampmill/app/transport/fake"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
)

// A stage is a program on simulated ports.
type stage struct {
	*Program
	desk  *memory.Window
	clock *fake.Clock
	audio *fake.Audio
}

func newStage(kept map[string]string) stage { return newStageOn(memory.New(kept)) }

// newStageOn opens the program on a device, and waits until it is at rest.
func newStageOn(d *memory.Window) stage {
	c := fake.NewClock()
	a := fake.NewAudio(c)
	p := New(d.Ports(a, c))
	p.Dispatch(Went{"/practise/"})
	c.RunUntil(1000, func() bool { return p.state.Booked != BookLoading })
	return stage{p, d, c, a}
}

// again is the next visit to the same device.
func (st stage) again() stage {
	d := memory.New(st.desk.Kept)
	d.Archive = st.desk.Archive.Window()
	return newStageOn(d)
}

// archived are the names of the records in the archive that begin so.
func (st stage) archived(prefix string) []string {
	var names []string
	st.desk.Archive.Names(prefix, func(all []string, _ error) { names = all })
	return names
}

// known is a player of short takes whose keys have no delay.
func known() map[string]string {
	s := startSettings()
	s.Delays["keyboard"] = Delay{}
	s.Delays["touch"] = Delay{}
	s.Passes, s.Climb = 1, "headframe"
	return map[string]string{settingsName: s.write()}
}

// take starts a take, hits every stroke ms late, and waits for its end.
func (st stage) take(t *testing.T, ms float64) {
	t.Helper()
	st.act("go", "", "")
	if !st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Playing }) {
		t.Fatalf("no take began: phase %v, notice %+v", st.state.Phase, st.state.Notice)
	}
	st.playAll(t, st.state.Take.Expected.Onsets, ms)
}

// playAll hits strokes ms late and waits for the end of the take.
func (st stage) playAll(t *testing.T, onsets []grade.Onset, ms float64) {
	t.Helper()
	for _, o := range onsets {
		due := o.Seconds + ms/1000
		st.clock.RunUntil(60_000, func() bool {
			at := st.transport.Place(st.clock.Now())
			return at.OK && at.Seconds >= due
		})
		// The event's own time is exact; the handler runs whenever it does.
		event := st.clock.Now()
		event -= (st.transport.Place(event).Seconds - due) * 1000
		if !st.desk.Press(Press{Code: "KeyF", Label: "f", At: event, Down: true}) {
			t.Fatal("a hit was not used")
		}
		st.desk.Press(Press{Code: "KeyF", Label: "f", At: event + 30})
	}
	st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Idle })
}

func TestATakeThroughThePorts(t *testing.T) {
	st := newStage(known())
	st.take(t, 12)
	v := st.state.Verdict
	if v == nil || v.Matched != v.Expected || v.Leaning.Value < 11.5 || v.Leaning.Value > 12.5 {
		t.Fatalf("verdict %+v, notice %+v", v, st.state.Notice)
	}
	for _, want := range []string{"strip-live strip-hit", "strip-live strip-dot", "strip-live cleared"} {
		if !st.desk.Has(want) {
			t.Errorf("never drawn: %s", want)
		}
	}
	moved := slices.ContainsFunc(st.desk.Drawn, func(d string) bool { return strings.HasPrefix(d, "strip-playhead transform translate(") })
	if !moved {
		t.Error("the playhead never moved")
	}
	takes := st.archived(logbook.TakePrefix)
	if len(takes) != 1 || !strings.Contains(string(st.desk.Archive.Kept[takes[0]]), `"v":2`) {
		t.Errorf("kept %v", takes)
	}
	if st.desk.Archive.Asked != 1 {
		t.Errorf("the browser was asked %d times to keep the records", st.desk.Archive.Asked)
	}
	st.act("save", "", "")
	for name, content := range st.desk.Saved {
		if take, err := grade.ReadTake([]byte(content)); err != nil || len(take.Taps) != v.Expected || !take.Taps[0].Release.OK {
			t.Errorf("%s: %v", name, err)
		}
	}
	again := st.again()
	if again.state.Takes != 1 || len(again.state.Done) != 1 {
		t.Errorf("at the next visit: %d takes, done %v", again.state.Takes, again.state.Done)
	}
	if diff := cmp.Diff(st.state.Book, again.state.Book, cmp.Comparer(func(a, b meter.Rat) bool { return a == b })); diff != "" {
		t.Errorf("the book at the next visit (-then +now):\n%s", diff)
	}
	if again.take(t, 0); again.desk.Archive.Asked != 0 {
		t.Error("the browser was asked again")
	}
}

// Two windows share a store: what the other one passed is kept.
func TestPassedStepsOfAnotherWindowAreKept(t *testing.T) {
	st := newStage(known())
	other := Done{"cage/First": 120, stepName("headframe", "Stamp"): 60}
	st.desk.Kept[doneName] = other.write()
	st.take(t, 0)
	got, _ := readDone(st.desk.Kept[doneName])
	if got["cage/First"] != 120 || got[stepName("headframe", "Stamp")] != st.state.Tempo {
		t.Errorf("kept %v", got)
	}
	st.do(Own{"cage/First", 100})
	if got, _ = readDone(st.desk.Kept[doneName]); got["cage/First"] != 120 {
		t.Errorf("a slower take lowered it: %v", got)
	}
}

// At eight in the evening in New York the day has changed in UTC.
func TestTodayIsTheDayOfThePlayer(t *testing.T) {
	s := first(nil)
	s.Now = time.Date(2026, 11, 24, 20, 0, 0, 0, time.FixedZone("EST", -5*3600))
	for _, before := range []time.Duration{21 * time.Hour, 8 * time.Hour, 0} {
		s = booked(s, logbook.Entry{Name: before.String(), At: s.Now.Add(-before).UTC()})
	}
	if s.Takes != 3 || s.Today != 2 {
		t.Errorf("%d takes, %d of today", s.Takes, s.Today)
	}
}

func TestNoRoomForATake(t *testing.T) {
	st := newStage(known())
	st.desk.Archive.Room = 100
	st.take(t, 0)
	if st.state.Notice.Fact != "This device has no room for the take." || st.state.Verdict == nil || st.state.Takes != 1 {
		t.Errorf("%d takes, notice %+v", st.state.Takes, st.state.Notice)
	}
	st.act("save-lost", "", "")
	saved := st.desk.Saved["stampmill-takes.json"]
	if st.act("start", "", ""); !logbook.IsBackup([]byte(saved)) {
		t.Errorf("offered %q", saved)
	}
	st.act("stop", "", "")
	st.desk.Archive.Room = 0
	st.take(t, 0)
	if len(st.archived(logbook.TakePrefix)) != 2 || strings.Contains(st.state.Notice.Fact, "room") {
		t.Errorf("with room again: kept %q, notice %+v", st.archived(""), st.state.Notice)
	}
	st.readBackup([]byte(saved))
	st.clock.Run(1000)
	if len(st.archived(logbook.TakePrefix)) != 2 || !strings.Contains(st.state.Notice.Mend, "One was here already") {
		t.Errorf("what was offered came in again: %+v", st.state.Notice)
	}
}

// A browser that never answers is not taken for one that stored the take.
func TestNoAnswerAboutATake(t *testing.T) {
	st := newStage(known())
	st.desk.Archive.Slow = true
	st.take(t, 0)
	if st.state.Notice.Fact != "" {
		t.Fatalf("at once: %+v", st.state.Notice)
	}
	st.clock.Run(answerAfter + 1)
	if st.state.Notice.Fact != lostFact {
		t.Errorf("after %d ms: %+v", answerAfter, st.state.Notice)
	}
	for st.desk.Archive.Answer() {
	}
	if st.state.Notice.Fact != "" {
		t.Errorf("when it answers: %+v", st.state.Notice)
	}
}

func TestTouchAreasLight(t *testing.T) {
	st := newStage(known())
	st.act("go", "", "")
	st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Playing && st.transport.Place(st.clock.Now()).Seconds > 0.2 })
	now := st.clock.Now()
	st.desk.Press(Press{Source: Touch, Area: "0", Finger: 1, At: now, Down: true})
	st.desk.Press(Press{Source: Touch, Area: "1", Finger: 2, At: now + 1, Down: true})
	if !st.desk.Has("area-0 data-lit true") || !st.desk.Has("area-1 data-lit true") {
		t.Errorf("drawn %v", st.desk.Drawn)
	}
	st.desk.Press(Press{Source: Touch, Area: "0", Finger: 1, At: now + 40})
	if !st.desk.Has("area-0 data-lit ") || st.desk.Has("area-1 data-lit ") {
		t.Error("lifting one finger darkens its own area only")
	}
	if st.state.Take.Input != "touch" || len(st.state.Take.Taps) != 2 {
		t.Errorf("take of %s: %v", st.state.Take.Input, st.state.Take.Taps)
	}
}

func TestBadRecordsAreSaidAndSetAside(t *testing.T) {
	st := newStage(map[string]string{settingsName: `{"v":1,"areas":7}`, doneName: `?`, logbook.TakePrefix + "x": "anything"})
	said := lesser(st.state)
	if !strings.Contains(said, "Some settings could not be read: the touch areas.") || !strings.Contains(said, "Some passed steps could not be read.") {
		t.Errorf("said %q", said)
	}
	if st.desk.Kept[unreadPrefix+settingsName] != `{"v":1,"areas":7}` || st.desk.Kept[unreadPrefix+doneName] != "?" {
		t.Errorf("kept %v", st.desk.Kept)
	}
	if string(st.desk.Archive.Kept["unread/take/x"]) != "anything" || !strings.Contains(said, "One take could not be read.") {
		t.Errorf("archived %q, said %q", st.archived(""), said)
	}
}

func TestBackupAndDelete(t *testing.T) {
	st := newStage(known())
	st.take(t, 0)
	st.act("hits", "", "")
	st.act("backup", "", "")
	st.clock.Run(1000)
	backup := st.desk.Saved[backupName(st.state)]
	if !strings.Contains(backup, `"`+st.state.Book[0].Name+`":{`) || !strings.Contains(backup, `"settings":{`) {
		t.Fatalf("backup %s", backup)
	}
	if st.state.Transfer.What != "" {
		t.Errorf("still %+v", st.state.Transfer)
	}
	for _, act := range []string{"delete", "delete-yes"} {
		st.act(act, "", "")
	}
	st.clock.Run(1000)
	if len(st.desk.Kept)+len(st.desk.Archive.Kept) != 0 || st.state.Takes != 0 || st.state.Notice.Fact != "Everything was deleted." {
		t.Errorf("still kept: %v, %q; notice %+v", st.desk.Kept, st.archived(""), st.state.Notice)
	}
	st.desk.Drop(memory.File{Name: "b.json", Content: []byte(backup)})
	st.clock.Run(1000)
	if st.state.Takes != 1 || len(st.state.Done) != 1 || st.state.Settings.Delays["keyboard"].Stale || len(st.state.Settings.Delays) != 2 {
		t.Errorf("after reading the backup: %d takes, done %v, settings %+v, notice %+v", st.state.Takes, st.state.Done, st.state.Settings, st.state.Notice)
	}
}

func TestDeletingThatFailsIsSaid(t *testing.T) {
	st := newStage(known())
	st.take(t, 0)
	st.desk.Archive.Fault = func(call string) error {
		if call == "Clear" {
			return port.ErrClosed
		}
		return nil
	}
	st.act("delete", "", "")
	st.act("delete-yes", "", "")
	st.clock.Run(1000)
	if st.state.Notice.Fact != "Not everything was deleted." || st.state.Takes != 1 || len(st.state.Done) != 1 {
		t.Errorf("%d takes, notice %+v", st.state.Takes, st.state.Notice)
	}
}

func TestHidingThePageDropsTheTake(t *testing.T) {
	st := newStage(known())
	st.act("go", "", "")
	st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Playing })
	st.clock.Hide(true)
	if st.state.Phase != Idle || !strings.HasPrefix(st.state.Notice.Fact, "The page went out of sight") {
		t.Fatalf("phase %v, notice %+v", st.state.Phase, st.state.Notice)
	}
	st.clock.Hide(false)
	st.take(t, 0)
	if st.state.Verdict == nil {
		t.Errorf("no take after coming back: %+v", st.state.Notice)
	}
}

// A tempo may be changed while the step is heard, and another step chosen
// while one is: neither leaves the program in between.
func TestChangesWhileHearing(t *testing.T) {
	st := newStage(known())
	st.act("hear", "", "")
	st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Hearing })
	st.act("tempo", "", "140")
	st.clock.Run(6000)
	if st.state.Phase != Hearing || st.state.Tempo != 140 {
		t.Fatalf("phase %v at %d", st.state.Phase, st.state.Tempo)
	}
	st.act("step", "3", "")
	st.clock.Run(500)
	if st.state.Phase != Idle || st.transport.Stage() != 0 {
		t.Error("the old step still sounds")
	}
	for i := range 3 {
		st.act("bar", fmt.Sprint(i), "")
	}
	st.take(t, 0)
	if st.state.Verdict == nil || st.state.Verdict.Loop != (Range{1, 1}) && st.state.Verdict.Loop != (Range{}) {
		t.Errorf("verdict %+v", st.state.Verdict)
	}
}
