package logbook

import (
	"slices"
	"strings"
	"time"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/staircase"
)

// An Entry is what charts, plan and staircase need of one take. It is computed
// from the take and its verdict, and can be computed again at any time. Treat
// it as a value: its slices may be shared.
type Entry struct {
	Name     string    // of the record of the take, which begins with [TakePrefix]
	At       time.Time // when the take ended
	Exercise string    // name of the climb, as in the library or of an own exercise
	Title    string    // of the step, by which passed steps go; "" where it is not known
	Step     int       // from 1
	// Part is the voices joined by "+", in printing order, and " one key" where
	// any key played several voices; "all" for every voice of the step on one key.
	Part   string
	OneKey bool // no tap names a voice
	Known  bool // the delay of the input was measured: Leaning and the signs of Places mean something
	Whole  bool // all bars were played to the end
	Passed bool

	Tempo   float64 // beats a minute as played
	Goal    float64 // beats a minute as written; 0 where the step is not known
	Minutes float64 // played, count-in left out

	Expected, Matched, Extra int            // strokes written, played, and taps too many
	Leaning, Spread          grade.Optional // ms, early negative
	Misreading               string         // text of the change; "" for none
	Said                     string         // the first sentence of the verdict

	Splits []Split // in order of place
	Places []Place // every written stroke of one pass, in order of time
	// Unread is why the take cannot be graded, as "what; what to do"; then only
	// what the take itself says is set.
	Unread string
}

// A Split says how one written tuplet came out.
type Split struct {
	Voice, At, Written string    // "kick", "2.4", "3:2"
	Shares             []float64 // mean shares of the span, to 0.0001; nil if never complete
	N                  int       // passes measured
}

// A Place says how one written stroke came out over all passes.
type Place struct {
	At           meter.Rat // quarter notes from the first downbeat of the step
	Voices       string    // joined by "+"
	MeanMS       float64   // early negative, to 0.01 ms; 0 where there are no hits
	Hits, Missed int
}

// Trial returns what a take says of the tempo of its step; false where it says
// nothing: takes of some bars, and takes that ended before the spread could be
// told though nothing was missed.
func (e *Entry) Trial() (staircase.Trial, bool) {
	few := !e.Spread.OK && e.Matched == e.Expected && e.Extra == 0
	return staircase.Trial{Level: e.Tempo, Passed: e.Passed}, e.Whole && e.Unread == "" && !few
}

// All is the part of every voice on one key.
const All = "all"

// EntryOf returns the entry of the take stored under a name, on the step as it
// was played, with its verdict.
func EntryOf(name string, r Record, step passage.Step, v grade.Verdict) Entry {
	e := bare(name, r)
	e.Title, e.Part = step.Title, partOf(r.Take, step.Passage)
	e.Passed = v.Passed
	if len(step.Passage.Bars) > 0 {
		e.Goal = step.Passage.Bars[0].Tempo.BPM.Float()
	}
	e.Minutes = minutes(r.Take, step.Passage)
	e.Expected, e.Matched, e.Extra = v.Expected, v.Matched, v.Extra
	e.Leaning, e.Spread = value(v.Leaning), value(v.Spread)
	if v.Misreading != nil {
		e.Misreading = v.Misreading.Change
	}
	e.Said = said(v, r.Known)
	for _, t := range v.Tuplets {
		s := Split{Voice: t.Voice.String(), At: t.Place.String(), Written: t.Written.String(), N: t.N}
		for _, share := range t.Played {
			s.Shares = append(s.Shares, stepped(share, shareStep))
		}
		e.Splits = append(e.Splits, s)
	}
	for _, p := range v.Positions {
		e.Places = append(e.Places, placeOf(p))
	}
	return e
}

// Unreadable returns the entry of a take that cannot be graded, and why.
func Unreadable(name string, r Record, why error) Entry {
	e := bare(name, r)
	e.Unread = why.Error()
	return e
}

// bare is what the record itself says.
func bare(name string, r Record) Entry {
	t := r.Take
	return Entry{
		Name: name, At: r.At, Exercise: t.Exercise, Title: r.Title, Step: t.Step,
		Part: partOf(t, passage.Passage{}), OneKey: t.OneKey(), Known: r.Known,
		Whole: t.Bars == [2]int{} && !t.Stopped.OK, Tempo: t.Tempo,
	}
}

// said is the sentence that matters most, without a direction where the delay
// of the input is not known.
func said(v grade.Verdict, known bool) string {
	sentences := v.Sentences
	if !known {
		sentences = v.AnyDelay
	}
	if len(sentences) == 0 {
		return ""
	}
	return sentences[0]
}

func value(f grade.Figure) grade.Optional {
	if !f.OK {
		return grade.Optional{}
	}
	return grade.Some(f.Value)
}

func placeOf(p grade.PositionFigures) Place {
	place := Place{At: p.At, Voices: joined(p.Voices.Voices()), Hits: len(p.Hits), Missed: max(0, p.Passes-len(p.Hits))}
	for _, h := range p.Hits {
		place.MeanMS += h.ErrorMS / float64(len(p.Hits))
	}
	place.MeanMS = stepped(place.MeanMS, errorStep)
	return place
}

// partOf names the part of a take as Practise does.
func partOf(t grade.Take, p passage.Passage) string {
	var have []passage.Voice
	for _, v := range passage.Voices() {
		l, ok := p.Line(v)
		if ok && v != passage.Click && slices.ContainsFunc(l.Strokes, passage.Stroke.Sounds) {
			have = append(have, v)
		}
	}
	part := grade.SetOf(t.Part...)
	oneKey := t.OneKey()
	switch voices := part.Voices(); {
	case len(voices) == 0, oneKey && len(voices) > 1 && part == grade.SetOf(have...):
		return All
	case oneKey && len(voices) > 1:
		return joined(voices) + " one key"
	default:
		return joined(voices)
	}
}

func joined(voices []passage.Voice) string {
	var names []string
	for _, v := range voices {
		names = append(names, v.String())
	}
	return strings.Join(names, "+")
}

// minutes returns how long a take was played.
func minutes(t grade.Take, p passage.Passage) float64 {
	if t.Stopped.OK {
		return max(0, t.Stopped.Value) / 60
	}
	e, err := grade.Expect(p, grade.Take{Tempo: t.Tempo, Passes: 1, Part: t.Part, Bars: t.Bars}, true)
	if err != nil {
		return 0
	}
	return float64(t.Passes) * e.PassSeconds / 60
}
