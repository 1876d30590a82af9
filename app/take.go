package app

import (
	"fmt"
	"math"
	"slices"
	"time"

	"stampmill/app/logbook"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// A Verdict is what grading said of a take, with what it was said of.
type Verdict struct {
	grade.Verdict
	Take   Take
	Name   string         // of the record of the take
	Record logbook.Record // of the take, as it is stored
	Step   passage.Step   // that was played
	Open   bool           // a misreading is still looked for
	At     time.Time      // when it ended
	JSON   []byte         // the take as it is saved
	Loop   Range          // bars that were played
	Part   Part
	Last   float64 // spread of the take before on the same step, ms; 0 when there was none
	Nth    int     // take of the day
	Tempo  int
}

// inputName is the input in a take file.
func inputName(src Source) string {
	if src == Keyboard {
		return "keyboard"
	}
	return "touch"
}

// judged grades the take that has ended and stores it.
func judged(s State, now time.Time) (State, []Effect) {
	t := s.Take
	if len(t.Taps) == 0 {
		s.Notice = unheard(s)
		return s, []Effect{Clear{}, Focus{"go"}}
	}
	v, search, err := looked(s, t.Take)
	if err != nil {
		s.Notice = Notice{Fact: "This take could not be judged.", Mend: err.Error()}
		return s, []Effect{Clear{}, Focus{"go"}}
	}
	file, err := grade.WriteTake(t.Take)
	if err != nil {
		s.Notice = Notice{Fact: "This take could not be written.", Mend: err.Error()}
		return s, []Effect{Clear{}, Focus{"go"}}
	}
	verdict := Verdict{Verdict: v, Open: search != nil, Take: t, At: now, JSON: file, Loop: s.Loop, Part: s.part(), Nth: s.Today + 1, Tempo: s.Tempo}
	verdict.Last = s.Spread
	keep, err := named(s, &verdict)
	if err != nil {
		s.Notice = Notice{Fact: "This take could not be written.", Mend: err.Error()}
		return s, []Effect{Clear{}, Focus{"go"}}
	}
	s.Verdict = &verdict
	s = booked(s, verdict.entry())
	s.Bar, _ = s.bars()
	s.Minutes += takeMinutes(t)
	s.Lesser = append(s.Lesser, remarks(t)...)
	s = rest(s)
	effects := []Effect{Clear{}, keep}
	if search != nil { // whether it passed is not known yet
		return spread(s), append(effects, Seek{verdict, search}, Focus{"next"})
	}
	s, more := passed(spread(s), verdict)
	return s, append(append(effects, more...), Focus{"next"})
}

// regraded judges the last take anew where its delay has become known since:
// the take is the record, and the verdict is always made from it.
func regraded(s State) State {
	if s.Verdict == nil || s.Verdict.Take.Known {
		return s
	}
	v := *s.Verdict
	v.Take = v.Take.from(s.Settings, v.Take.Source)
	if !v.Take.Known {
		return s
	}
	var err error
	if v.Verdict, err = grade.Grade(s.written(), v.Take.Take, s.grading()); err != nil {
		return s
	}
	if v.JSON, err = grade.WriteTake(v.Take.Take); err != nil {
		return s
	}
	s.Verdict = &v
	return s
}

// remarked judges the last take anew by other marks. What was read wrongly does
// not depend on them.
func remarked(s State) (State, []Effect) {
	if s.Verdict == nil {
		return s, nil
	}
	v := *s.Verdict
	o := s.grading()
	o.NoSearch = true
	now, err := grade.Grade(s.written(), v.Take.Take, o)
	if err != nil {
		return s, nil
	}
	v.Verdict = now.With(v.Misreading)
	s.Verdict = &v
	if v.Open {
		return s, nil
	}
	return passed(s, v)
}

// grading is what takes are graded by: the player's marks and pedals.
func (s State) grading() grade.Options {
	marks := s.Settings.passing()
	return grade.Options{Passing: &marks, Pedals: s.Settings.pedals(), Steps: s.entry().Climb.Steps, Step: s.Step + 1}
}

// spread notes the spread of the last take, for the next one.
func spread(s State) State {
	if v := s.Verdict; v.Spread.OK {
		s.Spread = v.Spread.Value
	}
	return s
}

// passed marks the step of a take as done where it says so. Only the whole step
// counts.
func passed(s State, v Verdict) (State, []Effect) {
	name := stepName(v.Take.Exercise, v.Step.Title)
	if !v.Passed || v.Loop != (Range{}) || v.Take.Stopped.OK || s.Done[name] >= v.Tempo {
		return s, nil
	}
	s.Done = s.Done.with(name, v.Tempo)
	return s, []Effect{Own{name, v.Tempo}}
}

func takeMinutes(t Take) float64 {
	if t.Stopped.OK {
		return t.Stopped.Value / 60
	}
	return float64(t.Passes) * t.Expected.PassSeconds / 60
}

// fileName names the download of a take.
func fileName(t grade.Take) string {
	return fmt.Sprintf("%s-step-%d-at-%s.take.json", t.Exercise, t.Step, number(t.Tempo))
}

// hit records a press in a take and draws it.
func hit(s State, m Pressed, voice passage.Voice) (State, []Effect) {
	used := []Effect{Same{}, Used{}}
	if !m.Placed.OK || m.Placed.Seconds < -earliestTap {
		return s, used // the count-in is the player's own
	}
	s.Take = s.Take.with(s, m, voice)
	effects := append(used, s.Take.show(s.Take.Taps[len(s.Take.Taps)-1]))
	if m.Area != "" {
		effects = append(effects, Light{m.Area, true})
	}
	return s, effects
}

// earliestTap is how many seconds before the first downbeat a press is a hit of
// the take; our choice, as far as one may be early.
const earliestTap = 0.1

// with is the take with a press as its next hit.
func (t Take) with(s State, m Pressed, voice passage.Voice) Take {
	if len(t.Taps) == 0 {
		t = t.from(s.Settings, m.Source)
	}
	tap := grade.Tap{Voice: voice, Seconds: m.Placed.Seconds}
	if m.Strength > 0 {
		tap.Strength = grade.Some(min(m.Strength, 1))
	}
	t.Taps = append(slices.Clip(t.Taps), tap)
	return t.hold(held(m.Press), len(t.Taps)-1)
}

// from sets the input of a take by its first hit.
func (t Take) from(s Settings, src Source) Take {
	t.Source = src
	t.Input = inputName(src)
	d, ok := s.delay(t.Input)
	t.Known = ok
	if ok {
		t.LatencyMS = d.MS
	}
	return t
}

// held names what is down: a key or a finger.
func held(p Press) string {
	if p.Source == Keyboard {
		return p.Code
	}
	return fmt.Sprint("finger ", p.Finger)
}

func (t Take) hold(what string, tap int) Take {
	now := map[string]int{what: tap}
	for k, v := range t.Held {
		if k != what {
			now[k] = v
		}
	}
	t.Held = now
	return t
}

// lift records when a key or finger went up.
func lift(s State, m Pressed) (State, []Effect) {
	what := held(m.Press)
	i, down := s.Take.Held[what]
	effects := []Effect{Same{}}
	if m.Area != "" {
		effects = append(effects, Light{m.Area, false})
	}
	if !down {
		return s, effects
	}
	t := s.Take
	if m.Placed.OK && m.Placed.Seconds >= t.Taps[i].Seconds {
		t.Taps = slices.Clone(t.Taps)
		t.Taps[i].Release = grade.Some(m.Placed.Seconds)
	}
	t = t.hold(what, i)
	delete(t.Held, what)
	s.Take = t
	return s, effects
}

// show is the drawing of a tap at once: where it fell, and how it leans where
// the delay is known.
func (t Take) show(tap grade.Tap) Effect {
	seconds := tap.Seconds - t.LatencyMS/1000
	show := Show{At: t.quarters(seconds)}
	if i, late, ok := t.Expected.Nearest(seconds, tap.Voice); ok && t.Known {
		pos := t.Expected.Positions[t.Expected.Onsets[i].Position]
		show.Lean, show.Written, show.Late = true, pos.At.Float(), late*1000
	}
	return show
}

// quarters returns the place of a moment in the step, in quarter notes; a
// moment before the first downbeat lies before the first bar played.
func (t Take) quarters(seconds float64) float64 {
	e := t.Expected
	if seconds > 0 {
		seconds = math.Mod(seconds, e.PassSeconds)
	}
	bar := 0
	for bar+2 < len(e.BarSeconds) && seconds >= e.BarSeconds[bar+1] {
		bar++
	}
	share := (seconds - e.BarSeconds[bar]) / (e.BarSeconds[bar+1] - e.BarSeconds[bar])
	return t.Starts[bar] + share*(t.Starts[bar+1]-t.Starts[bar])
}

// recent are the drawings of the last taps that belong to a pass, from 1: a
// hit before its downbeat was drawn while the pass before it sounded.
func (t Take) recent(pass int) []Effect {
	var again []Effect
	for _, tap := range t.Taps[max(0, len(t.Taps)-4):] {
		i, _, ok := t.Expected.Nearest(tap.Seconds-t.LatencyMS/1000, tap.Voice)
		if ok && t.Expected.Onsets[i].Pass == pass {
			again = append(again, t.show(tap))
		}
	}
	return again
}
