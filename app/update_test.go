package app

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/app/delay"
	"stampmill/app/transport"
	"stampmill/exercises"
	"stampmill/exercises/passage"
)

var noon = time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)

// practising is a player on the Practise page at step n of Headframe, whose
// keys are known to be 10 ms late.
func practising(step int) State {
	s := first(exercises.Library()).on(0, step-1)
	s.Page, s.Width = "/practise/", 1280
	s.Settings.Delays["keyboard"] = Delay{MS: 10}
	return s
}

// after hands messages to Update, one by one, and returns the last effects.
func after(s State, all ...Msg) (State, []Effect) {
	var effects []Effect
	for _, m := range all {
		s, effects = Update(s, m)
	}
	return s, effects
}

func does(act string) Acted        { return Acted{Act: act} }
func doesTo(act, arg string) Acted { return Acted{Act: act, Arg: arg} }
func sets(act, value string) Acted { return Acted{Act: act, Value: value} }
func down(code, label string) Pressed {
	return Pressed{Press: Press{Code: code, Label: label, Down: true}}
}
func (p Pressed) at(seconds float64) Pressed { p.Placed = placed(seconds); return p }

func placed(seconds float64) transport.Placed { return transport.Placed{Seconds: seconds, OK: true} }

// has reports whether an effect of the type of want is among all.
func has[E Effect](all []Effect) (E, bool) {
	for _, e := range all {
		if e, ok := e.(E); ok {
			return e, true
		}
	}
	var none E
	return none, false
}

// playTake runs a whole take in which every stroke is hit ms late, of which 10
// are the delay.
func playTake(s State, ms float64) (State, []Effect) {
	s, _ = after(s, does("start"), Began{Rate: 48000}, Reached{Pass: 0, Bar: 1})
	for _, o := range s.Take.Expected.Onsets {
		s, _ = after(s, down("KeyF", "f").at(o.Seconds+ms/1000))
	}
	return after(s, Ended{noon})
}

func TestATakeFromStartToVerdict(t *testing.T) {
	s := practising(1)
	s, effects := after(s, does("start"))
	play, ok := has[Play](effects)
	if !ok || s.Phase != Starting || play.Plan.Passes != startPasses || play.Plan.CountIn != 1 {
		t.Fatalf("start: phase %v, %+v", s.Phase, play)
	}
	if b, _ := has[Balance](effects); !slices.Equal(b.Silent, []passage.Voice{passage.Kick}) {
		t.Errorf("silent in the take: %v, want the kick that the player takes over", b.Silent)
	}
	s = practising(1)
	s, effects = playTake(s, 22)
	v := s.Verdict
	if v == nil || s.Phase != Idle || v.Matched != 32 || v.Missed != 0 {
		t.Fatalf("verdict %+v", v)
	}
	if math.Abs(v.Leaning.Value-12) > 1e-6 {
		t.Errorf("leaning %v, want 12 late: 22 sent, 10 of them delay", v.Leaning.Value)
	}
	if kept, _ := has[KeepTake](effects); !strings.HasPrefix(kept.Play.Entry.Name, "take/2026-11-24T12-00-00.000Z-") {
		t.Errorf("the take was kept as %q", kept.Play.Entry.Name)
	}
	if f, _ := has[Focus](effects); f.ID != "next" {
		t.Errorf("focus on %q, want the next act", f.ID)
	}
	if s.Done[stepName("headframe", "Stamp")] != s.Tempo {
		t.Errorf("done: %v, want the step at %d", s.Done, s.Tempo)
	}
}

func TestATakeIsDroppedWhenTheSoundIsLost(t *testing.T) {
	for _, c := range []struct {
		why  transport.Notice
		want string
	}{
		{transport.OutputLost, "The sound output went away, so this take was dropped."},
		{transport.WentHidden, "The page went out of sight, so this take was dropped."},
		{transport.WasSuspended, "The system held the sound back, so this take was dropped."},
		{transport.OutputChanged, "The sound moved to another output, so this take was dropped."},
	} {
		s, effects := after(practising(1), does("start"), Began{}, down("KeyF", "f").at(0.01), Halted{c.why, noon})
		if s.Phase != Idle || s.Notice.Fact != c.want || s.Notice.Mend == "" || s.Verdict != nil {
			t.Errorf("%v: phase %v, notice %+v", c.why, s.Phase, s.Notice)
		}
		if e, ok := has[Keep](effects); ok && e.Name != settingsName {
			t.Errorf("%v: a dropped take was kept", c.why)
		}
		if d, ok := s.Settings.delay("keyboard"); ok == (c.why == transport.OutputChanged) {
			t.Errorf("%v: delay %+v is known: %v", c.why, d, ok)
		}
	}
}

func TestWhatCountsAsAHit(t *testing.T) {
	letter := func(code string) Pressed { return down(code, strings.ToLower(strings.TrimPrefix(code, "Key"))) }
	for _, c := range []struct {
		name  string
		part  string
		press Pressed
		want  passage.Voice
		hit   bool
	}{
		{"an assigned key of one voice", "kick", letter("KeyF"), passage.Kick, true},
		{"any other letter of one voice", "kick", letter("KeyP"), passage.Kick, true},
		{"a letter of another alphabet", "kick", down("Semicolon", "ö"), passage.Kick, true},
		{"a digit", "kick", down("Digit1", "1"), 0, false},
		{"a key that repeats", "kick", Pressed{Press: Press{Code: "KeyF", Label: "f", Down: true, Repeat: true}}, 0, false},
		{"a shortcut of the browser", "kick", Pressed{Press: Press{Code: "KeyF", Label: "f", Down: true, Modified: true}}, 0, false},
		{"one of two voices", "snare+kick", letter("KeyJ"), passage.Snare, true},
		{"the other of two", "snare+kick", letter("KeyA"), passage.Kick, true},
		{"no key of either", "snare+kick", letter("KeyZ"), 0, false},
		{"one key for all", "all", letter("KeyP"), passage.NoVoice, true},
		{"a touch area", "kick", Pressed{Press: Press{Source: Touch, Area: "1", Down: true}}, passage.Kick, true},
		{"the second area of two voices", "snare+kick", Pressed{Press: Press{Source: Touch, Area: "1", Down: true}}, passage.Kick, true},
		{"a touch elsewhere", "kick", Pressed{Press: Press{Source: Touch, Down: true}}, 0, false},
	} {
		s := practising(2)
		s.Settings.Part = c.part
		s, _ = after(s, does("start"), Began{})
		s, effects := after(s, c.press.at(1))
		if hit := len(s.Take.Taps) == 1; hit != c.hit {
			t.Errorf("%s: hit %v, want %v", c.name, hit, c.hit)
			continue
		}
		if _, used := has[Used](effects); used != (c.hit || c.press.Repeat) {
			t.Errorf("%s: used %v", c.name, used)
		}
		if c.hit && s.Take.Taps[0].Voice != c.want {
			t.Errorf("%s: plays %v, want %v", c.name, s.Take.Taps[0].Voice, c.want)
		}
	}
}

func TestHitsOfTheCountInAreThePlayersOwn(t *testing.T) {
	s, _ := after(practising(1), does("start"), Began{}, down("KeyF", "f").at(-0.6), down("KeyF", "f").at(-0.05))
	if len(s.Take.Taps) != 1 || s.Take.Taps[0].Seconds != -0.05 {
		t.Errorf("taps %+v, want the one just before the downbeat", s.Take.Taps)
	}
}

func TestReleasesAreRecorded(t *testing.T) {
	up := func(code string) Pressed { return Pressed{Press: Press{Code: code, Label: "f"}} }
	s, _ := after(practising(1), does("start"), Began{},
		down("KeyF", "f").at(0), down("KeyG", "g").at(0.5), up("KeyF").at(0.6), up("KeyG").at(0.7))
	if len(s.Take.Taps) != 2 || s.Take.Taps[0].Release.Value != 0.6 || s.Take.Taps[1].Release.Value != 0.7 || len(s.Take.Held) != 0 {
		t.Errorf("taps %+v, still held %v", s.Take.Taps, s.Take.Held)
	}
}

func TestStops(t *testing.T) {
	playing, _ := after(practising(1), does("start"), Began{}, Reached{Pass: 0, Bar: 1})
	tapped, _ := after(playing, down("KeyF", "f").at(0.01), down("KeyF", "f").at(0.66), down("KeyF", "f").at(1.3), down("KeyF", "f").at(1.96))
	escape := down("Escape", "Escape").at(2.4)
	escape.Wall = noon
	space := down("Space", " ").at(2.4)
	for _, c := range []struct {
		name    string
		s       State
		m       Msg
		verdict bool
	}{
		{"escape before a hit", playing, escape, false},
		{"escape after hits", tapped, escape, true},
		{"space", tapped, space, true},
		{"the button", tapped, Acted{Act: "go", Placed: placed(2.4)}, true},
	} {
		s, effects := after(c.s, c.m)
		_, halt := has[Halt](effects)
		if s.Phase != Idle || !halt || (s.Verdict != nil) != c.verdict {
			t.Errorf("%s: phase %v, halt %v, verdict %v", c.name, s.Phase, halt, s.Verdict)
		}
	}
	s, effects := after(tapped, escape)
	if kept, _ := has[KeepTake](effects); !strings.HasPrefix(kept.Play.Entry.Name, "take/2026-11-24T12") {
		t.Errorf("a stopped take is kept as %q", kept.Play.Entry.Name)
	}
	if s.Verdict.Expected >= 32 || !s.Verdict.Take.Stopped.OK {
		t.Errorf("a stopped take expects %d strokes, want those up to the stop", s.Verdict.Expected)
	}
	if len(s.Done) > 0 {
		t.Error("a stopped take passed the step")
	}
	if words, _ := s.Verdict.barWords(2); words != "" {
		t.Errorf("a bar that was not reached is said to be %q", words)
	}
}

func TestSpaceIsAHitWhereItIsAssigned(t *testing.T) {
	s := practising(1)
	s.Settings.Keys["kick"] = []Key{{"Space", "Space"}}
	s, _ = after(s, does("start"), Began{}, down("Space", " ").at(1))
	if s.Phase != Playing || len(s.Take.Taps) != 1 {
		t.Errorf("phase %v, taps %v", s.Phase, s.Take.Taps)
	}
}

func TestSingleKeysBetweenTakes(t *testing.T) {
	judged, _ := playTake(practising(2), 10)
	for _, c := range []struct {
		name  string
		s     State
		press Pressed
		check func(State, []Effect) bool
	}{
		{"space starts", practising(1), down("Space", " "), func(s State, _ []Effect) bool { return s.taking() }},
		{"h hears", practising(1), down("KeyH", "h"), func(s State, _ []Effect) bool { return s.Aim == ForHearing && s.Phase == Starting }},
		{"s is slower", practising(1), down("KeyS", "s"), func(s State, _ []Effect) bool { return s.Tempo == slower(92) && s.Phase == Idle }},
		{"s after a take plays slower", judged, down("KeyS", "s"), func(s State, _ []Effect) bool { return s.Tempo == slower(92) && s.taking() }},
		{"r plays again", judged, down("KeyR", "r"), func(s State, _ []Effect) bool { return s.taking() && s.Tempo == 92 }},
		{"n is the next step", judged, down("KeyN", "n"), func(s State, _ []Effect) bool { return s.Step == 2 && s.Verdict == nil && s.Phase == Idle }},
		{"l loops the weakest bar", judged, down("KeyL", "l"), func(s State, _ []Effect) bool { return s.Loop == Range{1, 1} && s.taking() }},
		{"a digit loops a bar", practising(1), down("Digit2", "2"), func(s State, _ []Effect) bool { return s.Loop == Range{2, 2} }},
		{"plus", practising(1), down("Equal", "+"), func(s State, _ []Effect) bool { return s.Tempo == 93 }},
		{"minus", practising(1), down("Minus", "-"), func(s State, _ []Effect) bool { return s.Tempo == 91 }},
		{"typing", practising(1), Pressed{Press: Press{Code: "KeyS", Label: "s", Down: true, Typing: true}}, func(s State, _ []Effect) bool { return s.Tempo == 92 }},
		{"a shortcut", practising(1), Pressed{Press: Press{Code: "KeyS", Label: "s", Down: true, Modified: true}}, func(s State, _ []Effect) bool { return s.Tempo == 92 }},
	} {
		s, effects := after(c.s, c.press)
		if !c.check(s, effects) {
			t.Errorf("%s: phase %v aim %v tempo %d loop %v step %d", c.name, s.Phase, s.Aim, s.Tempo, s.Loop, s.Step)
		}
	}
	off := practising(1)
	off.Settings.Single = false
	if s, _ := after(off, down("KeyS", "s")); s.Tempo != 92 {
		t.Error("a single key acted though they are off")
	}
	if s, _ := after(off, down("Space", " ")); !s.taking() {
		t.Error("space does not start when single keys are off")
	}
}

func TestTempo(t *testing.T) {
	for _, c := range []struct {
		name string
		m    Msg
		want int
		said bool
	}{
		{"typed", sets("tempo", "104"), 104, false},
		{"typed with a comma", sets("tempo", "103,6"), 104, false},
		{"too fast", sets("tempo", "1000"), 400, true},
		{"too slow", sets("tempo", "3"), 20, true},
		{"words", sets("tempo", "fast"), 92, true},
		{"nothing", sets("tempo", ""), 92, true},
		{"not a number", sets("tempo", "NaN"), 92, true},
		{"up", does("tempo-up"), 93, false},
		{"down", does("tempo-down"), 91, false},
		{"slower", does("slower"), 85, false},
	} {
		s, _ := after(practising(1), c.m)
		if s.Tempo != c.want {
			t.Errorf("%s: %d, want %d", c.name, s.Tempo, c.want)
		}
		if said := lesser(s) == "Tempo goes from 20 to 400."; said != c.said {
			t.Errorf("%s: says %q", c.name, lesser(s))
		}
		if s, _ = after(s, does("slower")); lesser(s) != "" {
			t.Errorf("%s, then another one: still says %q", c.name, lesser(s))
		}
	}
}

func TestTapTempo(t *testing.T) {
	tap := func(ms float64) Msg { return Acted{Act: "tap", Now: ms} }
	for _, c := range []struct {
		name string
		taps []Msg
		want int
	}{
		{"one tap", []Msg{tap(1000)}, 92},
		{"every half second", []Msg{tap(1000), tap(1500), tap(2000)}, 120},
		{"mean of the gaps", []Msg{tap(1000), tap(1580), tap(2200)}, 100},
		{"after a pause it begins anew", []Msg{tap(1000), tap(1500), tap(9000), tap(9400)}, 150},
		{"time that stands still", []Msg{tap(1000), tap(1000)}, 92},
	} {
		if s, _ := after(practising(1), c.taps...); s.Tempo != c.want {
			t.Errorf("%s: %d, want %d", c.name, s.Tempo, c.want)
		}
	}
}

// Who hears the step after a take goes on hearing it, slower or in a loop.
func TestHearingAfterATakeGoesOn(t *testing.T) {
	judged, _ := playTake(practising(1), 60)
	for _, press := range []Msg{does("slower"), down("KeyS", "s"), doesTo("loop", "2"), down("KeyL", "l"), down("KeyW", "w")} {
		s, _ := after(judged, does("hear"), Began{}, press, Began{})
		if s.Phase != Hearing || s.Aim != ForHearing {
			t.Errorf("%v: phase %v, aim %v", press, s.Phase, s.Aim)
		}
	}
}

func TestTempoOfWhatIsHeardChangesAtItsNextPass(t *testing.T) {
	s, _ := after(practising(1), does("hear"), Began{})
	_, effects := after(s, does("tempo-up"))
	if e, ok := has[Retempo](effects); !ok || e.BPM.Float() != 93 {
		t.Errorf("effects %v", effects)
	}
	s, _ = after(practising(1), does("hear"))
	_, effects = after(s, does("tempo-up"))
	if e, ok := has[Play](effects); !ok || e.Plan.Passage.Bars[0].Tempo.BPM.Float() != 93 {
		t.Errorf("before its first sound: effects %v", effects)
	}
}

func TestWhatCannotBePlayedIsHalted(t *testing.T) {
	s, effects := after(practising(1), does("hear"), Began{}, Unplayable{"a bar would be too fast"})
	if _, halt := has[Halt](effects); !halt || s.Phase != Idle || s.Notice.Mend != "a bar would be too fast" {
		t.Errorf("phase %v, notice %+v, effects %v", s.Phase, s.Notice, effects)
	}
}

func TestLoopByBars(t *testing.T) {
	for _, c := range []struct {
		loop Range
		bar  int
		want Range
	}{
		{Range{}, 3, Range{3, 3}},
		{Range{3, 3}, 4, Range{3, 4}},
		{Range{3, 3}, 1, Range{1, 3}},
		{Range{3, 3}, 3, Range{}},
		{Range{2, 4}, 3, Range{3, 3}},
		{Range{2, 3}, 1, Range{1, 3}},
		{Range{2, 4}, 1, Range{}}, // all of four bars is no loop
		{Range{2, 2}, 9, Range{2, 2}},
		{Range{}, 0, Range{}},
	} {
		if got := loopBar(c.loop, c.bar, 4); got != c.want {
			t.Errorf("bar %d in %v: %v, want %v", c.bar, c.loop, got, c.want)
		}
	}
}

func TestALoopOfAllBarsIsNoLoop(t *testing.T) {
	for _, m := range []Msg{doesTo("loop-set", "1-2"), doesTo("loop", "1-2"), does("loop")} { // step 1 of Headframe is new throughout
		if s, _ := after(practising(1), m); s.Loop != (Range{}) {
			t.Errorf("%+v: loop %v", m, s.Loop)
		}
	}
}

func TestAVerdictKeepsTheTempoItWasPlayedAt(t *testing.T) {
	s, _ := playTake(practising(1), 22)
	was := s.sheet().SVG()
	if s, _ = after(s, does("tempo-up"), does("tempo-up")); s.sheet().SVG() != was {
		t.Error("the hits move in the strip when another tempo is chosen")
	}
}

func TestHitsOnOneKeyHaveNoVoice(t *testing.T) {
	s := practising(2)
	s.Settings.Part = allOnOneKey.String()
	s, _ = playTake(s, 10)
	_, told, _ := strings.Cut(s.sheet().Describe(), "Your hits.")
	for _, v := range s.written().Voices() {
		if strings.Contains(told, strings.ToLower(v.Label())) {
			t.Errorf("names the %v: %.80s", v, told)
		}
	}
}

func TestParts(t *testing.T) {
	p := practising(2).written() // china, snare, kick, guitar
	var got []string
	for _, part := range parts(p) {
		if again := partNamed(part.String()); again != part {
			t.Errorf("%v is read back as %v", part, again)
		}
		got = append(got, part.Label())
	}
	want := []string{"China", "Snare", "Kick", "Guitar", "Snare and kick", "Kick and guitar, one key", "All on one key"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	for _, stored := range []string{"", "trombone", "lead", "kick one key"} {
		if part := partIn(p, partNamed(stored)); part.String() != "kick" {
			t.Errorf("%q: %v, want the kick", stored, part)
		}
	}
}

func TestALoopIsPlayedAndGradedAsItsBars(t *testing.T) {
	s, _ := after(practising(4), doesTo("bar", "2"))
	s, effects := playTake(s, 10)
	if s.Verdict.Loop != (Range{2, 2}) || s.Verdict.Take.Bars != [2]int{2, 2} {
		t.Errorf("verdict of %v, take of %v", s.Verdict.Loop, s.Verdict.Take.Bars)
	}
	for _, p := range s.Verdict.Positions {
		if p.Place.Bar != 2 {
			t.Errorf("a stroke of bar %d", p.Place.Bar)
		}
	}
	if _, ok := has[KeepTake](effects); !ok || len(s.Done) != 0 {
		t.Errorf("done %v: one bar does not pass the step", s.Done)
	}
}

func TestMutes(t *testing.T) {
	china, kick := passage.China, passage.Kick
	s := practising(2)
	steps := []struct {
		m    Msg
		want []passage.Voice
	}{
		{does("nothing"), []passage.Voice{kick}},
		{doesTo("mute", "china"), []passage.Voice{china, kick}},
		{doesTo("mute", "kick"), []passage.Voice{china}},
		{doesTo("mute", "china"), nil},
		{doesTo("mute", "trombone"), nil},
	}
	for _, c := range steps {
		s, _ = after(s, c.m)
		if got := s.silent(); !slices.Equal(got, c.want) {
			t.Errorf("%+v: silent %v, want %v", c.m, got, c.want)
		}
	}
	s, _ = after(practising(2), does("hear"), Began{})
	if got := s.silent(); len(got) != 0 {
		t.Errorf("silent while hearing: %v", got)
	}
}

func TestWithoutADelayNothingIsEarlyOrLate(t *testing.T) {
	s := practising(1)
	s.Settings.Delays = map[string]Delay{}
	s, _ = playTake(s, 30)
	v := s.Verdict
	if v.Take.Known || v.Take.LatencyMS != 0 {
		t.Fatalf("take %+v", v.Take)
	}
	said := strings.Join(v.sentences(), " ")
	if !strings.HasPrefix(said, "How early or late you are is not known yet.") || strings.Contains(said, "ms late") {
		t.Errorf("said %q", said)
	}
	for _, h := range s.sheet().Hits {
		for _, ms := range h.Errors {
			if math.Abs(ms) > 1e-6 {
				t.Fatalf("a hit is drawn %v ms off, though all are the same", ms)
			}
		}
	}
	if told := s.sheet().Describe(); !strings.Contains(told, "at your middle") || strings.Contains(told, "late") || strings.Contains(told, "early") {
		t.Errorf("described as %q", told)
	}
	if svg := s.sheet().SVG(); strings.Contains(svg, "late") || strings.Contains(svg, "early") {
		t.Error("the strip says early or late")
	}
	if f := v.figures()[1]; f.value != "not known" {
		t.Errorf("leaning figure %+v", f)
	}
	if first := s.actions()[0]; first.act != "measure-go" {
		t.Errorf("first action %+v", first)
	}
}

// What holds whatever the delay is said all the same: that bar 2 comes later
// than bar 1. That all is on time is not.
func TestWithoutADelayDifferencesAreSaid(t *testing.T) {
	for _, c := range []struct {
		later float64 // ms of bar 2
		want  string
	}{{15, "Bar 2 comes 15 ms later than bar 1."}, {0, "All 32 strokes hit, spread"}} {
		s := practising(1)
		s.Settings.Delays = map[string]Delay{}
		s, _ = after(s, does("start"), Began{})
		for i, o := range s.Take.Expected.Onsets {
			late := float64(i%2*2-1) * 0.002
			if s.Take.Expected.Positions[o.Position].Place.Bar == 2 {
				late += c.later / 1000
			}
			s, _ = after(s, down("KeyF", "f").at(o.Seconds+late))
		}
		s, _ = after(s, Ended{noon})
		if said := strings.Join(s.Verdict.sentences(), " "); !strings.Contains(said, c.want) || strings.Contains(said, "on time") {
			t.Errorf("bar 2 %v ms later: said %q", c.later, said)
		}
	}
}

// The strip of a take whose delay is not known is the one of a delay that
// leaves no lean, stray taps too.
func TestHitsWithoutADelayStandAboutTheirMiddle(t *testing.T) {
	s := practising(1)
	s.Settings.Delays = map[string]Delay{}
	s, _ = after(s, does("start"), Began{}, down("KeyF", "f").at(0.4))
	for i, o := range s.Take.Expected.Onsets {
		s, _ = after(s, down("KeyF", "f").at(o.Seconds+0.030+0.004*float64(i%2*2-1)))
	}
	s, _ = after(s, Ended{noon})
	unknown := s.sheet()
	s, _ = after(s, Went{"/setup/"}, Acted{Act: "delay", Arg: "keyboard", Value: "30"}, Went{"/practise/"})
	known := s.sheet()
	if math.Abs(unknown.Extras[0].At-known.Extras[0].At) > 1e-9 {
		t.Errorf("the stray tap is drawn at %v, want %v", unknown.Extras, known.Extras)
	}
	for i, h := range unknown.Hits {
		for n, ms := range h.Errors {
			if want := known.Hits[i].Errors[n]; math.Abs(ms-want) > 1e-6 {
				t.Fatalf("hit %d is drawn %v ms off, want %v", i, ms, want)
			}
		}
	}
}

func TestAMeasuredDelayTellsTheLastTakeToo(t *testing.T) {
	s := practising(1)
	s.Settings.Delays = map[string]Delay{}
	s, _ = playTake(s, 30)
	s, _ = after(s, Went{"/setup/"}, Acted{Act: "delay", Arg: "keyboard", Value: "18"}, Went{"/practise/"})
	if v := s.Verdict; !v.Take.Known || math.Abs(v.Leaning.Value-12) > 1e-6 {
		t.Errorf("known %v, leaning %v; want 12, 30 less 18", v.Take.Known, v.Leaning.Value)
	}
}

func TestNoHit(t *testing.T) {
	s, effects := after(practising(1), does("start"), Began{}, Ended{noon})
	if s.Notice.Fact != "No hit was heard in this take." || s.Verdict != nil {
		t.Errorf("notice %+v", s.Notice)
	}
	if _, kept := has[Keep](effects); kept {
		t.Error("an empty take was kept")
	}
	s = practising(2)
	s.Settings.Part = "snare+kick"
	s, _ = after(s, does("start"), Began{}, Ended{noon})
	if want := "It listened to the keys H to L and A to G."; s.Notice.Mend != want {
		t.Errorf("%q, want %q", s.Notice.Mend, want)
	}
	s = practising(1)
	s.Width = 390
	s, _ = after(s, does("start"), Began{}, Ended{noon})
	if want := "It listened to the areas at the foot and every letter key."; s.Notice.Mend != want {
		t.Errorf("%q, want %q", s.Notice.Mend, want)
	}
}

func TestAFullStoreOffersTheTakeAsAFile(t *testing.T) {
	s, _ := playTake(practising(1), 12)
	s, _ = after(s, TakeLost{Why: roomWhy, Left: 1})
	if s.Notice.Act != "save-lost" {
		t.Fatalf("notice %+v", s.Notice)
	}
	if _, effects := after(s, does("save-lost")); !slices.Contains(effects, Effect(SaveLost{})) {
		t.Errorf("effects %v", effects)
	}
	_, effects := after(s, does("save"))
	if e, ok := has[Offer](effects); !ok || e.Name != "headframe-step-1-at-92.take.json" || !strings.Contains(string(e.Content), `"stampmill"`) {
		t.Errorf("offered %+v", e)
	}
}

func TestAPauseIsSuggestedOnce(t *testing.T) {
	s := practising(1)
	s.Minutes = 19.9
	s, _ = playTake(s, 12)
	if s.Notice.Fact != "You have played for 20 minutes." {
		t.Fatalf("notice %+v", s.Notice)
	}
	s, effects := after(s, does("dismiss"))
	if f, _ := has[Focus](effects); f.ID != "next" {
		t.Errorf("focus on %q: the button pressed is gone", f.ID)
	}
	if s, _ = playTake(s, 12); s.Notice.Fact != "" {
		t.Error("suggested twice")
	}
}

func TestFirstVisitToTheFirstTake(t *testing.T) {
	s := first(exercises.Library())
	s, _ = after(s, Went{"/"}, does("hear"), Began{})
	if s.Phase != Hearing {
		t.Fatalf("phase %v after hearing", s.Phase)
	}
	s, effects := after(s, down("Space", " "))
	if _, ok := has[Halt](effects); !ok || s.Phase != Idle {
		t.Fatalf("space stops what is heard: %v", effects)
	}
	s, effects = after(s, down("Space", " "))
	if g, _ := has[Go](effects); g.Path != "/practise/" || !s.taking() {
		t.Fatalf("tap along: %v", effects)
	}
	if s, _ = after(s, Went{"/practise/"}); !s.taking() {
		t.Error("the take ends where its page opens")
	}
	if s, _ = after(s, Went{"/setup/"}); s.Phase != Idle {
		t.Error("the take goes on where nobody sees it")
	}
}

func TestDelayByTappingAlong(t *testing.T) {
	s := practising(1)
	s.Settings.Delays = map[string]Delay{}
	s, _ = after(s, Went{"/setup/"}, does("measure"), Began{})
	if !s.Setup.Measuring {
		t.Fatal("not measuring")
	}
	for i := range delay.Taps {
		late := 0.044 + 0.005*float64(i%3-1)
		s, _ = after(s, down("KeyF", "f").at(0.6*float64(i)+late))
	}
	d, known := s.Settings.delay("keyboard")
	if !known || math.Abs(d.MS-44) > 0.5 || d.N != 24 || s.Setup.Measuring || s.Phase != Idle {
		t.Errorf("delay %+v, known %v, setup %+v", d, known, s.Setup)
	}
	if _, touch := s.Settings.delay("touch"); touch {
		t.Error("the delay of keys was taken for touch")
	}
	if want := "44 ms is taken off every key hit. Your spread here is ±4, so a lean under 2 ms means nothing."; outcome(s) != want {
		t.Errorf("announced %q, want %q", outcome(s), want)
	}
	s, _ = after(s, does("measure"), Began{})
	for i := range delay.Taps {
		s, _ = after(s, down("KeyF", "f").at(0.6*float64(i)+0.05*float64(i%3)))
	}
	if again, _ := s.Settings.delay("keyboard"); again != d || !strings.HasPrefix(s.Setup.Refused, "the taps spread over ±") {
		t.Errorf("a wide measurement: %+v, refused %q", again, s.Setup.Refused)
	}
	if !strings.HasPrefix(outcome(s), "No delay taken: the taps spread over ±") {
		t.Errorf("announced %q", outcome(s))
	}
}

func TestStoppingAMeasurementSaysWhatIsMissing(t *testing.T) {
	s, effects := after(practising(1), Went{"/setup/"}, does("measure"))
	if f, _ := has[Focus](effects); f.ID != "measure" {
		t.Errorf("focus on %q when it begins", f.ID)
	}
	tapped, _ := after(s, Began{}, down("KeyF", "f").at(0.04), down("KeyF", "f").at(0.64))
	if s, effects = after(tapped, Halted{transport.OutputLost, noon}); s.Setup.Measuring {
		t.Error("it goes on without a sound")
	} else if f, _ := has[Focus](effects); f.ID != "measure" {
		t.Errorf("focus on %q when the sound is lost", f.ID)
	}
	for _, m := range []Msg{does("measure"), down("Escape", "Escape")} {
		s, effects := after(tapped, m)
		if f, _ := has[Focus](effects); f.ID != "measure" || outcome(s) != "No delay taken: 2 of 28 taps." {
			t.Errorf("%+v: focus on %q, announced %q", m, f.ID, outcome(s))
		}
	}
}

func TestDelayByHand(t *testing.T) {
	for _, c := range []struct {
		typed string
		want  float64
		known bool
	}{{"38.5", 38.5, true}, {"-12,5", -12.5, true}, {"", 0, false}, {"900", 10, true}, {"soon", 10, true}} {
		s, _ := after(practising(1), Acted{Act: "delay", Arg: "keyboard", Value: c.typed})
		if d, known := s.Settings.delay("keyboard"); d.MS != c.want || known != c.known {
			t.Errorf("%q: %+v, %v", c.typed, d, known)
		}
	}
}

func TestAssigningKeys(t *testing.T) {
	s, _ := after(practising(1), Went{"/setup/"}, doesTo("assign", "kick"))
	for _, c := range []struct {
		press Pressed
		kick  string
		said  string
	}{
		{down("KeyP", "p"), "ASDFGP", "P plays the kick."},
		{down("KeyA", "a"), "SDFGP", "A is taken off kick."},
		{down("KeyJ", "j"), "SDFGP", "J plays the snare already. Take it off there first."},
		{down("Space", " "), "SDFGPSpace", "Space plays the kick."},
	} {
		s, _ = after(s, c.press)
		var keys string
		for _, k := range s.Settings.Keys["kick"] {
			keys += k.Label
		}
		if keys != c.kick || s.Setup.Said != c.said {
			t.Errorf("%s: keys %s, said %q; want %s, %q", c.press.Code, keys, s.Setup.Said, c.kick, c.said)
		}
	}
	if s, _ = after(s, down("Escape", "Escape")); s.Setup.Assigning {
		t.Error("escape does not end it")
	}
}

func TestDeletingEverythingAsksFirst(t *testing.T) {
	s := practising(3)
	s.Done = Done{"headframe/Stamp": 100}
	s, effects := after(s, Went{"/setup/"}, does("delete"))
	if _, gone := has[DeleteAll](effects); gone || !s.Setup.Deleting {
		t.Fatal("deleted without asking")
	}
	s, effects = after(s, does("delete-yes"))
	if _, gone := has[DeleteAll](effects); !gone || len(s.Done) == 0 {
		t.Errorf("effects %v, done %v: it is not deleted yet", effects, s.Done)
	}
	if s, _ := after(s, Deleted{"It is in use."}); len(s.Done) == 0 || s.Notice.words() != "Not everything was deleted. It is in use." {
		t.Errorf("done %v, %+v", s.Done, s.Notice)
	}
	if s, _ := after(s, Deleted{}); len(s.Done) != 0 || len(s.Settings.Delays) != 0 || len(s.Book) != 0 {
		t.Errorf("still %v, %d takes", s.Done, len(s.Book))
	}
}

// Update must not change what the state before it holds.
func TestUpdateIsPure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := practising(rapid.IntRange(1, 8).Draw(t, "step"))
		for range rapid.IntRange(1, 40).Draw(t, "messages") {
			before := s.Settings.clone()
			taps, turned, done := slices.Clone(s.Take.Taps), slices.Clone(s.Turned), Done{}
			for k, v := range s.Done {
				done[k] = v
			}
			old := s
			s, _ = Update(s, anyMsg(t))
			if diff := cmp.Diff(before, old.Settings); diff != "" {
				t.Fatalf("settings changed (-before +after):\n%s", diff)
			}
			if !reflect.DeepEqual(taps, slices.Clone(old.Take.Taps)) || !slices.Equal(turned, old.Turned) || !reflect.DeepEqual(done, Done(old.Done)) && len(done) > 0 {
				t.Fatal("taps, mutes or done changed")
			}
			sound(t, s)
		}
	})
}

// sound checks what holds for every state.
func sound(t *rapid.T, s State) {
	first, last := s.bars()
	from, to := s.window()
	switch {
	case s.Tempo < 20 || s.Tempo > 400:
		t.Fatalf("tempo %d", s.Tempo)
	case s.writing() && len(s.written().Bars) == 0: // a text without a step has no bars
	case first < 1 || last < first || last > len(s.written().Bars):
		t.Fatalf("loop %d to %d", first, last)
	case from < 1 || to < from || to > len(s.written().Bars):
		t.Fatalf("window %d to %d", from, to)
	case s.Phase == Playing && len(s.Take.Expected.Onsets) == 0:
		t.Fatal("a take of nothing")
	}
	if bad := func() string { _, bad := readSettings(s.Settings.write()); return bad }(); bad != "" {
		t.Fatalf("the settings cannot be read back: %s", bad)
	}
}

// anyMsg draws a message, sensible or not.
func anyMsg(t *rapid.T) Msg {
	names := make([]string, 0, len(acts))
	for name := range acts {
		names = append(names, name)
	}
	slices.Sort(names)
	words := rapid.SampledFrom([]string{"", "1", "2", "3-4", "9", "-1", "kick", "snare", "cage", "all", "beats", "none", "touch", "keyboard", "NaN", "1e9", "x", "dark"})
	keys := rapid.SampledFrom([]string{"KeyF", "KeyJ", "KeyH", "KeyN", "KeyL", "KeyS", "KeyR", "Space", "Escape", "Digit2", "Digit9", "Equal", "Tab"})
	at := placed(rapid.Float64Range(-3, 30).Draw(t, "seconds"))
	return rapid.Custom(func(t *rapid.T) Msg {
		switch rapid.IntRange(0, 10).Draw(t, "kind") {
		case 0, 1, 2:
			return Acted{rapid.SampledFrom(names).Draw(t, "act"), words.Draw(t, "arg"), words.Draw(t, "value"), at, 1000 * at.Seconds, noon}
		case 3, 4, 5:
			code := keys.Draw(t, "code")
			label := strings.ToLower(strings.TrimPrefix(strings.TrimPrefix(code, "Key"), "Digit"))
			return Pressed{Press{Code: code, Label: label, Down: rapid.Bool().Draw(t, "down"), Repeat: rapid.Bool().Draw(t, "repeat")}, at, noon}
		case 6:
			return Began{48000}
		case 7:
			return Reached{rapid.IntRange(-1, 5).Draw(t, "pass"), rapid.IntRange(1, 4).Draw(t, "bar")}
		case 8:
			return Went{rapid.SampledFrom([]string{"/", "/practise/", "/setup/", writePath}).Draw(t, "path")}
		case 9:
			return rapid.SampledFrom([]Msg{
				Taken{ID: "a", Text: gangueText}, Taken{ID: "b", Text: "title: x"}, Taken{ID: "a", Text: gangueText, Practise: true, Step: 7},
				Typed{Text: Text{Field: textField, Value: gangueText + "kick | x"}}, Typed{Text: Text{Field: textField, Value: gangueText}}, Caretted{textField, 90, 90},
				Due{tryOffers}, Due{measureAll}, Due{rateBeats}, Due{rateSpeed}, Due{rateNew}, Due{drawStripNow}, Shelved{ID: "a", Now: "b"}, Unkept{"full; make room"},
				Adopted{"a", gangueText + "#", 1}, Copied{"link", false}, Arrived{Name: "x", Err: "what; do"}, Pointed{Point{On: "strip", X: 0.5, Y: 0.5}}, Pointed{Point{On: "strip", Stage: portMoved, X: 0.9, Y: 0.8}},
			}).Draw(t, "writing")
		}
		return rapid.SampledFrom([]Msg{
			Ended{noon}, Halted{transport.OutputLost, noon}, Halted{transport.OutputChanged, noon}, Halted{transport.ByPlayer, noon},
			Said{transport.LeftOut, 3}, Said{transport.OutputsListed, 0}, TakeLost{Why: "It is in use.", Left: 2}, TakeKept{}, Read{}, Transferred{}, Restored{}, Unsaved{}, Full{settingsName}, Sized{360, 640}, Sized{1280, 600}, Wired{false}, Made{},
		}).Draw(t, "message")
	}).Draw(t, "msg")
}
