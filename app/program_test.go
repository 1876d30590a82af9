package app

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"stampmill/app/transport/fake"
	"stampmill/exercises/grade"
)

// A desk is every port that is no clock and no sound, as the tests see it.
type desk struct {
	press func(Press) bool
	size  func(w, h int)
	kept  map[string]string
	full  string // names that begin so find no room
	saved map[string]string
	drawn []string // what moved on the screen
}

func (d *desk) OnPress(f func(Press) bool)           { d.press = f }
func (d *desk) Get(name string) (string, bool)       { v, ok := d.kept[name]; return v, ok }
func (d *desk) Delete(name string) error             { delete(d.kept, name); return nil }
func (d *desk) Save(name, _ string, content []byte)  { d.saved[name] = string(content) }
func (d *desk) Attr(id, name, value string)          { d.draw(id, name, value) }
func (d *desk) Mark(id, symbol string, x, y float64) { d.draw(id, symbol) }
func (d *desk) Clear(id string)                      { d.draw(id, "cleared") }
func (d *desk) Focus(id string)                      {}
func (d *desk) Theme(name string)                    { d.draw("theme", name) }
func (d *desk) Size() (int, int)                     { return 1280, 800 }
func (d *desk) OnSize(f func(w, h int))              { d.size = f }
func (d *desk) Calm() bool                           { return false }
func (d *desk) Online() bool                         { return true }
func (d *desk) OnOnline(func(bool))                  {}
func (d *desk) draw(words ...string)                 { d.drawn = append(d.drawn, strings.Join(words, " ")) }
func (d *desk) has(words string) bool                { return slices.Contains(d.drawn, words) }

func (d *desk) Put(name, value string) error {
	if d.full != "" && strings.HasPrefix(name, d.full) {
		return errors.New("no room")
	}
	d.kept[name] = value
	return nil
}

func (d *desk) Names(prefix string) []string {
	var names []string
	for name := range d.kept {
		if strings.HasPrefix(name, prefix) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// A stage is a program on simulated ports.
type stage struct {
	*Program
	desk  *desk
	clock *fake.Clock
	audio *fake.Audio
}

func newStage(kept map[string]string) stage {
	d := &desk{kept: kept, saved: map[string]string{}}
	c := fake.NewClock()
	a := fake.NewAudio(c)
	p := New(Ports{Audio: a, Clock: c, Inputs: d, Store: d, Files: d, Screen: d, Network: d})
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
		if !st.desk.press(Press{Code: "KeyF", Label: "f", At: event, Down: true}) {
			t.Fatal("a hit was not used")
		}
		st.desk.press(Press{Code: "KeyF", Label: "f", At: event + 30})
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
		if !st.desk.has(want) {
			t.Errorf("never drawn: %s", want)
		}
	}
	moved := slices.ContainsFunc(st.desk.drawn, func(d string) bool { return strings.HasPrefix(d, "strip-playhead transform translate(") })
	if !moved {
		t.Error("the playhead never moved")
	}
	takes := st.desk.Names(takePrefix)
	if len(takes) != 1 || !strings.Contains(st.desk.kept[takes[0]], `"v":1`) {
		t.Errorf("kept %v", takes)
	}
	st.act("save", "", "")
	for name, content := range st.desk.saved {
		if take, err := grade.ReadTake([]byte(content)); err != nil || len(take.Taps) != v.Expected || !take.Taps[0].Release.OK {
			t.Errorf("%s: %v", name, err)
		}
	}
	if again := newStage(st.desk.kept); again.state.Takes != 1 || len(again.state.Done) != 1 {
		t.Errorf("at the next visit: %d takes, done %v", again.state.Takes, again.state.Done)
	}
}

// Two windows share a store: what the other one passed is kept.
func TestPassedStepsOfAnotherWindowAreKept(t *testing.T) {
	st := newStage(known())
	other := Done{"cage/First": 120, stepName("headframe", "Stamp"): 60}
	st.desk.kept[doneName] = other.write()
	st.take(t, 0)
	got, _ := readDone(st.desk.kept[doneName])
	if got["cage/First"] != 120 || got[stepName("headframe", "Stamp")] != st.state.Tempo {
		t.Errorf("kept %v", got)
	}
	st.do(Own{"cage/First", 100})
	if got, _ = readDone(st.desk.kept[doneName]); got["cage/First"] != 120 {
		t.Errorf("a slower take lowered it: %v", got)
	}
}

// At eight in the evening in New York the day has changed in UTC.
func TestTodayIsTheDayOfThePlayer(t *testing.T) {
	st := newStage(known())
	evening := time.Date(2026, 11, 24, 20, 0, 0, 0, time.FixedZone("EST", -5*3600))
	for _, before := range []time.Duration{0, 8 * time.Hour, 21 * time.Hour} {
		st.desk.kept[takeName(evening.Add(-before), grade.Take{})] = "{}"
	}
	st.now = func() time.Time { return evening }
	if s := st.counted(st.state); s.Takes != 3 || s.Today != 2 {
		t.Errorf("%d takes, %d of today", s.Takes, s.Today)
	}
}

func TestNoRoomForATake(t *testing.T) {
	st := newStage(known())
	st.desk.full = takePrefix
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
	st.desk.press(Press{Source: Touch, Area: "0", Finger: 1, At: now, Down: true})
	st.desk.press(Press{Source: Touch, Area: "1", Finger: 2, At: now + 1, Down: true})
	if !st.desk.has("area-0 data-lit true") || !st.desk.has("area-1 data-lit true") {
		t.Errorf("drawn %v", st.desk.drawn)
	}
	st.desk.press(Press{Source: Touch, Area: "0", Finger: 1, At: now + 40})
	if !st.desk.has("area-0 data-lit ") || st.desk.has("area-1 data-lit ") {
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
	if st.desk.kept[unreadPrefix+settingsName] != `{"v":1,"areas":7}` || st.desk.kept[unreadPrefix+doneName] != "?" {
		t.Errorf("kept %v", st.desk.kept)
	}
	if st.state.Takes != 1 {
		t.Errorf("%d takes", st.state.Takes)
	}
}

func TestBackupAndDelete(t *testing.T) {
	st := newStage(known())
	st.desk.kept[takePrefix+"a"] = "{}"
	st.act("backup", "", "")
	if b := st.desk.saved["stampmill-backup.json"]; !strings.Contains(b, `"take/a"`) || !strings.Contains(b, `"settings"`) {
		t.Errorf("backup %s", b)
	}
	st.act("delete", "", "")
	st.act("delete-yes", "", "")
	if len(st.desk.kept) != 0 {
		t.Errorf("still kept: %v", st.desk.kept)
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
