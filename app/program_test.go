package app

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"stampmill/app/port/memory"
	"stampmill/app/transport/fake"
	"stampmill/exercises/grade"
)

// A stage is a program on simulated ports.
type stage struct {
	*Program
	desk  *memory.Window
	clock *fake.Clock
	audio *fake.Audio
}

func newStage(kept map[string]string) stage {
	d := memory.New(kept)
	c := fake.NewClock()
	a := fake.NewAudio(c)
	p := New(d.Ports(a, c))
	p.Dispatch(Went{"/practise/"})
	return stage{p, d, c, a}
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
	for _, o := range st.state.Take.Expected.Onsets {
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
	takes := st.desk.Names(takePrefix)
	if len(takes) != 1 || !strings.Contains(st.desk.Kept[takes[0]], `"v":1`) {
		t.Errorf("kept %v", takes)
	}
	st.act("save", "", "")
	for name, content := range st.desk.Saved {
		if take, err := grade.ReadTake([]byte(content)); err != nil || len(take.Taps) != v.Expected || !take.Taps[0].Release.OK {
			t.Errorf("%s: %v", name, err)
		}
	}
	if again := newStage(st.desk.Kept); again.state.Takes != 1 || len(again.state.Done) != 1 {
		t.Errorf("at the next visit: %d takes, done %v", again.state.Takes, again.state.Done)
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
	st := newStage(known())
	evening := time.Date(2026, 11, 24, 20, 0, 0, 0, time.FixedZone("EST", -5*3600))
	for _, before := range []time.Duration{0, 8 * time.Hour, 21 * time.Hour} {
		st.desk.Kept[takeName(evening.Add(-before), grade.Take{})] = "{}"
	}
	st.now = func() time.Time { return evening }
	if s := st.counted(st.state); s.Takes != 3 || s.Today != 2 {
		t.Errorf("%d takes, %d of today", s.Takes, s.Today)
	}
}

func TestNoRoomForATake(t *testing.T) {
	st := newStage(known())
	st.desk.Full = takePrefix
	st.take(t, 0)
	if st.state.Notice.Fact != "This device has no room for the take." || st.state.Verdict == nil {
		t.Errorf("notice %+v", st.state.Notice)
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
	st := newStage(map[string]string{settingsName: `{"v":1,"areas":7}`, doneName: `?`, takePrefix + "x": "anything"})
	said := lesser(st.state)
	if !strings.Contains(said, "Some settings could not be read: the touch areas.") || !strings.Contains(said, "Some passed steps could not be read.") {
		t.Errorf("said %q", said)
	}
	if st.desk.Kept[unreadPrefix+settingsName] != `{"v":1,"areas":7}` || st.desk.Kept[unreadPrefix+doneName] != "?" {
		t.Errorf("kept %v", st.desk.Kept)
	}
	if st.state.Takes != 1 {
		t.Errorf("%d takes", st.state.Takes)
	}
}

func TestBackupAndDelete(t *testing.T) {
	st := newStage(known())
	st.desk.Kept[takePrefix+"a"] = "{}"
	st.act("backup", "", "")
	if b := st.desk.Saved["stampmill-backup.json"]; !strings.Contains(b, `"take/a"`) || !strings.Contains(b, `"settings"`) {
		t.Errorf("backup %s", b)
	}
	st.act("delete", "", "")
	st.act("delete-yes", "", "")
	if len(st.desk.Kept) != 0 {
		t.Errorf("still kept: %v", st.desk.Kept)
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
