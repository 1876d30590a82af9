package app

import (
	"fmt"
	"math"
	"slices"
	"time"

	"stampmill/app/logbook"
	"stampmill/app/transport"
	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Phase is what is going on.
type Phase uint8

// The phases.
const (
	Idle     Phase = iota // nothing sounds; a verdict may be shown
	Starting              // a press was made; device and sounds are being made ready
	Hearing               // the step plays for the player
	Playing               // a take runs, count-in included
)

// An Aim is what a start is for.
type Aim uint8

// The aims.
const (
	ForHearing Aim = iota
	ForTake
	ForDelay     // the click of the delay measurement
	ForListening // a sound of a listening question
	ForTapping   // what sounds while a listening question is answered by taps
)

// State is everything that the pages show. It is a value: [Update] returns a
// new one and changes nothing of the old.
type State struct {
	Page     string    // path of the page shown; "" before the first
	Now      time.Time // when the last thing happened, in the player's time zone
	Target   string    // element that gets the keyboard on the page that is being opened
	Library  []exercises.Entry
	Settings Settings
	Done     Done
	Book     []logbook.Entry // every take on this device, in order of time; never changed in place
	Booked   Booked
	BookRead int // takes read so far, and how many there are, while it is loading
	BookOf   int

	Climb, Step int  // indexes, of the library and of the climb
	Tempo       int  // beats a minute chosen for the step
	Chosen      bool // the player chose the tempo, and it does not follow until the next step
	Loop        Range
	Turned      []passage.Voice // voices whose label the player pressed: muted, or the part sounding
	Bar         int             // first bar of the strip where not all fit, from 1

	Phase    Phase
	Aim      Aim
	Making   transport.Progress
	Pass     int // of what plays, from 0; -1 in the count-in
	Take     Take
	Verdict  *Verdict // of the last take on this step; nil before
	Together Part     // the part of several voices that one was taken out of by itself; zero when none was
	Spread   float64  // of the last take on this step, ms; 0 when there was none
	Notice   Notice
	More     bool     // phone: the settings are open
	Lesser   []Notice // said in the quiet line at the foot

	Presses   []float64 // ms of the last taps of the tempo
	Takes     int       // stored on this device
	Today     int       // of them, of this day
	Minutes   float64   // of takes since the page was opened
	Suggested bool      // a pause was suggested

	Width    int // of the window, CSS pixels
	Height   int
	Calm     bool
	Sticking bool // hands and feet stand under the strokes
	Offline  bool
	Setup    Setup
	Listen   Listen
	Write    Write
	Transfer Transfer
	Progress Progress
}

// A Range is bars first to last, from 1; zero is the whole step.
type Range struct{ First, Last int }

// A Take is what is being recorded.
type Take struct {
	grade.Take
	Expected grade.Expected
	Starts   []float64      // quarter notes of the step at each of Expected.BarSeconds
	Known    bool           // the delay of the input was measured
	Source   Source         // of the first hit
	Held     map[string]int // tap of each key or finger that is down
	LeftOut  int            // strokes that could not be sounded in time
	Unsure   bool           // the sound stuttered: some places are less sure
	Rough    bool           // the browser does not tell when sound is heard
}

// Setup is what the Setup page is doing.
type Setup struct {
	Assign    Hand // which hand waits for keys, when Assigning
	Assigning bool
	Said      string // what came of the last key
	Measuring bool
	Input     string    // which input is measured; "" until the first tap
	Offsets   []float64 // ms after the click, in order
	Refused   string    // why no delay was taken
	Marked    string    // why a mark was not taken
	ByHand    bool      // the field for a delay is open
	Deleting  bool      // asked whether to delete everything
}

// A Notice is a state in words: a bold fact, how to mend it, and one act.
type Notice struct {
	Fact, Mend string
	Act, Label string // what the button does; "" for none
	Arg        string // with the act
}

// Done is the highest tempo at which each step was passed, by [stepName].
type Done map[string]int

// stepName names a step in the store: the title, because numbers move when a
// climb gets a new step.
func stepName(climb, title string) string { return climb + "/" + title }

// Sizes of the window at which the layout changes, in CSS pixels.
const phoneWidth = 900

func (s State) phone() bool { return s.Width > 0 && s.Width <= phoneWidth }

// entry returns the climb that is chosen.
func (s State) entry() exercises.Entry {
	if len(s.Library) == 0 {
		return exercises.Entry{}
	}
	return s.Library[min(max(s.Climb, 0), len(s.Library)-1)]
}

// step returns the step that is chosen, or the one that is being written.
func (s State) step() passage.Step {
	if s.writing() {
		now := s.Write.Draft.Current()
		return passage.Step{Title: now.Title, Says: now.Says, Passage: now.Passage}
	}
	steps := s.entry().Climb.Steps
	if len(steps) == 0 {
		return passage.Step{}
	}
	return steps[min(max(s.Step, 0), len(steps)-1)]
}

// written returns the passage of the step as written.
func (s State) written() passage.Passage { return s.step().Passage }

// bars returns the first and last bar of what is played.
func (s State) bars() (first, last int) {
	if s.writing() && s.Phase != Idle {
		return s.heardBars()
	}
	if s.Loop == (Range{}) {
		return 1, len(s.written().Bars)
	}
	return s.Loop.First, s.Loop.Last
}

func (s State) part() Part { return partIn(s.written(), partNamed(s.Settings.Part)) }

// silent returns the voices that are not heard: in a take those of the part,
// and those the player muted. Pressing a label turns it about.
func (s State) silent() []passage.Voice {
	part := s.part().voices(s.written())
	hearing := s.Aim == ForHearing && (s.Phase == Starting || s.Phase == Hearing)
	var silent []passage.Voice
	for _, v := range s.written().Voices() {
		mine, turned := slices.Contains(part, v), slices.Contains(s.Turned, v)
		if (mine && !hearing) != turned && !(mine && hearing) {
			silent = append(silent, v)
		}
	}
	return silent
}

// Tempi. A start is a little under the goal, and slower is a little slower
// again; both our choice, a step of tempo that can be felt but not feared.
const easier = 0.92

// goal returns the tempo that the step is written at.
func goal(st passage.Step) int {
	if len(st.Passage.Bars) == 0 {
		return 100
	}
	return bounded(st.Passage.Bars[0].Tempo.BPM.Float())
}

func slower(bpm int) int { return bounded(float64(bpm) * easier) }

func bounded(bpm float64) int {
	if math.IsNaN(bpm) {
		return meter.MinBPM
	}
	return int(math.Round(min(max(bpm, meter.MinBPM), meter.MaxBPM)))
}

// on moves the state to a step of a climb.
func (s State) on(climb, step int) State {
	s.Climb = min(max(climb, 0), max(len(s.Library)-1, 0))
	s.Step = min(max(step, 0), max(len(s.entry().Climb.Steps)-1, 0))
	s.Tempo, s.Chosen = s.opening(), false
	s.Loop, s.Turned, s.Bar, s.Together = Range{}, nil, 1, Part{}
	s.Verdict, s.Spread, s.Notice, s.Lesser = nil, 0, Notice{}, nil
	s.Settings = s.Settings.clone()
	s.Settings.Climb, s.Settings.Step = s.entry().Name, s.Step+1
	return s
}

// first is the state before anything is known of the device.
func first(library []exercises.Entry) State {
	s := State{Library: library, Settings: startSettings(), Done: Done{}, Pass: -1, Listen: Listen{Sounding: -1}}
	s = s.on(0, 0)
	s.Settings.Climb = ""
	return s
}

// perWindow returns how many bars the strip shows at a time, so that a
// sixteenth is never under 13 pixels wide: our choice, the width of its word.
func (s State) perWindow() int {
	if s.phone() {
		return 1
	}
	quarters := s.written().Length().Float() / float64(max(len(s.written().Bars), 1))
	return max(1, int(s.stripWidth()/(52*max(quarters, 1))))
}

// window returns the first and last bar of the strip.
func (s State) window() (first, last int) {
	from, to := s.bars()
	n := s.perWindow()
	if s.phone() {
		from, to = 1, len(s.written().Bars)
	}
	first = min(max(s.Bar, from), to)
	if !s.phone() {
		first = from + (first-from)/n*n
	}
	return first, min(first+n-1, to)
}

// stripWidth returns the width of the strip, in CSS pixels, as the style lays
// it out: the window less climb, gaps and frame.
func (s State) stripWidth() float64 {
	switch {
	case s.Width <= 0:
		return 976
	case s.phone():
		return float64(s.Width)
	case s.Page == writePath && s.Width < besideWidth:
		return float64(s.Width - 50)
	case s.Page == writePath:
		return float64(s.Width - changesWidth - 50)
	}
	return float64(s.Width - climbWidth - 48)
}

// How wide the style makes what stands beside the strip, in CSS pixels: the
// climb, and the changes in windows of besideWidth and more.
const (
	climbWidth   = 256
	changesWidth = 304
	besideWidth  = 1100
)

// metreWords says what is played, beside the climb's name: "four bars of 4/4".
func (s State) metreWords() string {
	p := s.written()
	if len(p.Bars) == 0 {
		return ""
	}
	m := p.Bars[0].Metre
	for _, b := range p.Bars {
		if b.Metre != m {
			return countWord(len(p.Bars), "bar") + " of changing metre"
		}
	}
	up, low := m.Signature()
	return fmt.Sprintf("%s of %d/%d", countWord(len(p.Bars), "bar"), up, low)
}

var numbers = []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

func countWord(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	if n >= 0 && n < len(numbers) {
		return numbers[n] + " " + what
	}
	return fmt.Sprintf("%d %s", n, what)
}

// A Msg is something that happened. The types below are all there are.
type Msg interface{ msg() }

// The messages.
type (
	// Acted is a control that was worked: its data-act, data-arg, and the value
	// of a field.
	Acted struct {
		Act, Arg, Value string
		Placed          transport.Placed // where the sound was
		Now             float64          // ms on the clock of events
		Wall            time.Time
	}
	// Pressed is a key or finger that went down or up.
	Pressed struct {
		Press
		Placed transport.Placed
		Wall   time.Time
	}
	// Went is a page that was opened.
	Went struct{ Path string }
	// Made is the progress of making the sounds.
	Made struct{ Progress transport.Progress }
	// Began is the first sound on its way.
	Began struct{ Rate int }
	// Reached is a new pass or bar that the sound came to.
	Reached struct {
		Pass int // from 0; -1 in the count-in
		Bar  int // from 1, of the whole step
	}
	// Ended is a plan that was played to its end.
	Ended struct{ Now time.Time }
	// Halted is a plan, or the attempt to start one, that came to an end before.
	Halted struct {
		Why transport.Notice
		Now time.Time
	}
	// Said is something about the sound that the player should know.
	Said struct {
		What transport.Notice
		Late int
	}
	// Full is a record that could not be stored.
	Full struct{ Name string }
	// Sized is a new size of the window.
	Sized struct{ Width, Height int }
	// Wired is the network coming or going.
	Wired struct{ Online bool }
	// Unplayable is a plan that could not be played.
	Unplayable struct{ Reason string }
	// Newer is a newer version of the site that is here with the next load.
	Newer struct{}
)

func (Acted) msg()      {}
func (Pressed) msg()    {}
func (Went) msg()       {}
func (Made) msg()       {}
func (Began) msg()      {}
func (Reached) msg()    {}
func (Ended) msg()      {}
func (Halted) msg()     {}
func (Said) msg()       {}
func (Full) msg()       {}
func (Sized) msg()      {}
func (Wired) msg()      {}
func (Unplayable) msg() {}
func (Newer) msg()      {}
