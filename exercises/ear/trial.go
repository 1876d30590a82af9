package ear

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Source is what trials are made from: one step of a climb, of the library
// or the player's own.
type Source struct {
	Climb   string // name of the climb, as takes name it
	Title   string // of the step
	Passage passage.Passage
}

// A Trial is one question with its sounds. Treat it as a value.
type Trial struct {
	Task   Task
	Source Source
	Bars   [2]int  // first and last bar of the source that are heard, from 1; places count from the first of them
	D      float64 // difficulty asked for
	Made   float64 // as it came out, in the unit of the scale: strokes come in whole and half ones; 0 where nothing changed
	Seed   uint64
	Sounds []Sound
	Asks   []Ask

	truth truth
}

// A Click says when a sound clicks.
type Click uint8

// When a sound clicks.
const (
	ClickNone    Click = iota
	ClickCountIn       // in the count-in only
	ClickBeats         // in the count-in and on every beat
)

// A Silence says which bars of a sound are silent, counted over all its
// passes: so many are heard, then so many not, and so on; zero for none.
type Silence struct{ Heard, Silent int }

// A Sound is one thing to be played, as often as the player likes.
type Sound struct {
	Label   string          // "A", "B"; "" where there is only one
	Passage passage.Passage // what sounds
	Strip   passage.Passage // what is drawn of it, once it may be seen: strokes where they are written
	CountIn int             // bars before it
	Passes  int
	Click   Click
	Silence Silence
	Mute    []passage.Voice // voices that are not heard
}

// An AskKind is how an ask is answered.
type AskKind uint8

// How an ask is answered.
const (
	Choose AskKind = iota // one of the Choices: Answer.Choice
	Place                 // one of the Places: Answer.Place
	Strip                 // strokes written on an empty strip: Answer.Line
	Taps                  // taps: Answer.Taps
)

var askKinds = [...]string{"choose", "place", "strip", "taps"}

// String returns the kind as one word.
func (k AskKind) String() string {
	if int(k) < len(askKinds) {
		return askKinds[k]
	}
	return "none"
}

// An Ask is one thing that the player is asked.
type Ask struct {
	Kind     AskKind
	Question string
	Choices  []Choice        // of Choose
	Places   []passage.Place // of Place: every beat that may be named, in order
	// Of Strip and Taps: the bars. On a strip the lines that are asked for are
	// empty and the others given; of taps, what is to be tapped stands there.
	Passage passage.Passage
	Voices  []passage.Voice // of Strip and Taps: the lines that are asked for
	Grid    []int           // of Strip: cells of each beat that are offered at first; the player may change them
	Kinds   bool            // of Strip: how strokes are played counts as well as where they are
	// Under is what sounds while the player taps, of Taps; nil where that is
	// the first of the trial's sounds itself.
	Under *Sound
}

// A Choice is one answer to choose.
type Choice struct {
	Words    string           // for the eye
	Says     string           // the same for a screen reader, where more is needed
	From, To *passage.Passage // what it means, as two small strips; nil for none
}

// A truth is what the right answer is held against.
type truth struct {
	choice int     // of the first Choose
	answer *Answer // the right answer, where it is more than a choice and a place
	from   passage.Place
	to     passage.Place // the beats, from first to last, that are right for the Place; Bar 0 where none is
	said   string        // what was the case
	hint   string        // what to listen for
	a, b   passage.Passage
	spans  []passage.Span
	spansA []passage.Span
	pulse  *pulse // of beats that are tapped along
	lure   lure   // of a beat that is to be found
}

// Trial makes the trial of a source at a difficulty, brought within the scale.
// The error says what the passage lacks and what to do.
func (t Task) Trial(s Source, d float64, seed uint64) (Trial, error) {
	return t.trial(s, d, seed, func() {})
}

// trial makes a trial; pause is called every few ms of work.
func (t Task) trial(s Source, d float64, seed uint64, pause func()) (Trial, error) {
	if t.make == nil {
		return Trial{}, errors.New("there is no such task; choose one of the list")
	}
	if math.IsNaN(d) {
		return Trial{}, fmt.Errorf("the difficulty is not a number; give one from %g to %g", t.Scale.Low, t.Scale.High)
	}
	if problems := passage.Check(s.Passage); len(problems) > 0 {
		return Trial{}, fmt.Errorf("the step is outside the limits, %s: %s; mend it first", problems[0].Place, problems[0].What)
	}
	m := &maker{rng: random(t.Name, seed), source: s, d: t.Scale.Within(d), pause: pause}
	trial, err := t.make(m)
	if err != nil {
		return Trial{}, err
	}
	trial.Task, trial.Source, trial.D, trial.Seed, trial.Bars = t, s, m.d, seed, m.bars
	return trial, nil
}

// A maker makes one trial.
type maker struct {
	rng    *rand.Rand
	pause  func() // called between pieces of work
	source Source
	d      float64
	bars   [2]int // of the window taken
}

// order returns the numbers up to n in the order in which sources are tried.
// The square of an even chance is small more often: half of all choices fall
// into the first quarter.
func order(rng *rand.Rand, n int) []int {
	left := make([]int, n)
	for i := range left {
		left[i] = i
	}
	var all []int
	for len(left) > 0 {
		u := rng.Float64()
		i := int(u * u * float64(len(left)))
		all = append(all, left[i])
		left = append(left[:i], left[i+1:]...)
	}
	return all
}

// repeats reports whether a trial sounds and asks as another does.
func (t Trial) repeats(last Trial) bool {
	if t.Task.Name != last.Task.Name || len(t.Sounds) != len(last.Sounds) || len(t.Asks) != len(last.Asks) || t.truth.choice != last.truth.choice {
		return false
	}
	for i, s := range t.Sounds {
		if !Alike(s.Passage, last.Sounds[i].Passage) || s.Silence != last.Sounds[i].Silence {
			return false
		}
	}
	for i, a := range t.Asks {
		if !slices.Equal(a.Voices, last.Asks[i].Voices) {
			return false
		}
	}
	return true
}

// Yes reports, of a yes/no task, whether yes is the right answer.
func (t Trial) Yes() bool { return t.Task.Yes && t.truth.choice == 0 }

// Chance returns how likely a guess at the first ask is right, 0 to 1.
func (t Trial) Chance() float64 {
	if len(t.Asks) == 0 {
		return 0
	}
	switch ask := t.Asks[0]; {
	case ask.Kind == Choose && len(ask.Choices) > 0:
		return 1 / float64(len(ask.Choices))
	case ask.Kind == Place && len(ask.Places) > 0:
		return 1 / float64(len(ask.Places))
	}
	return 0
}

// pair returns the sounds A and B of two passages.
func pair(a, b passage.Passage) []Sound {
	return []Sound{
		{Label: "A", Passage: a, Strip: a, Passes: 1},
		{Label: "B", Passage: b, Strip: b, Passes: 1},
	}
}

// slower is the share of the tempo at which a difference is heard again. Our
// choice: slow enough to hear each stroke, fast enough to be the same music.
var slower = meter.R(3, 5)

// slowly returns sounds as they are heard again: some bars only, slower. Where
// one of them would be slower than tempi go, all keep their tempo.
func slowly(sounds []Sound, first, last int) []Sound {
	factor := slower
	for _, s := range sounds {
		if _, ok := slowed(s.Passage, first, last, factor); !ok {
			factor = meter.Int(1)
		}
	}
	var all []Sound
	for _, s := range sounds {
		s.Passage, _ = slowed(s.Passage, first, last, factor)
		s.Strip, _ = slowed(s.Strip, first, last, factor)
		s.CountIn, s.Click = 0, ClickNone
		all = append(all, s)
	}
	return all
}

// slowed returns some bars of a passage at a share of their tempo; all bars
// where it has none of these. False where that is no tempo.
func slowed(p passage.Passage, first, last int, factor meter.Rat) (passage.Passage, bool) {
	if some, err := p.Section(first, min(last, len(p.Bars))); err == nil {
		p = some
	}
	out, err := p.AtTempo(p.Bars[0].Tempo.BPM.Mul(factor))
	if err != nil {
		return p, false
	}
	return out, true
}
