package player

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"stampmill/exercises/change"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// The kinds of truth that are no change of the catalogue.
const (
	Clean   = "as written"   // nothing is misread
	OldStep = "earlier step" // an earlier step of the climb is played
	Lost    = "time lost"    // some time is skipped
	Doubled = "time doubled" // some time is played twice
)

// A Truth is what a made-up player plays in the place of a written part.
type Truth struct {
	Kind   string // the name of a change, or one of the kinds above
	Text   string // what exactly, as [Misread] reads it
	Loop   Loop   // how the player begins again
	Played grade.Expected
}

// A task is a step as it is to be played.
type task struct {
	steps []passage.Step
	n     int // of the step, from 0
	take  grade.Take
	one   bool           // on a single key
	asked grade.Expected // as written
}

// Truths returns ways to misread step n (from 0) of a climb in a take: of every
// change that moves a stroke of the part, up to each texts, chosen by rng among
// those that the catalogue offers for chosen stretches; every earlier step; and
// slips of a beat, half a beat and a bar. Ways that come out as written are
// left out, and of those that come out alike one of each kind is kept.
func Truths(steps []passage.Step, n int, take grade.Take, oneKey bool, each int, rng *rand.Rand) ([]Truth, error) {
	asked, err := grade.Expect(steps[n].Passage, take, oneKey)
	if err != nil {
		return nil, err
	}
	t := task{steps, n, take, oneKey, asked}
	all := t.changed(each, rng)
	all = append(all, t.earlier()...)
	return append(all, t.slipped(each, rng)...), nil
}

// perEntry is how many selections are tried for each text that is wanted of an
// entry. Our choice: enough that entries which fit few places are found.
const perEntry = 6

// changed returns truths by changes of the catalogue.
func (t task) changed(each int, rng *rand.Rand) []Truth {
	texts := map[string][]string{} // by entry
	var names []string
	for range perEntry * each {
		for _, ways := range change.Offers(t.steps[t.n].Passage, t.selection(rng)) {
			c := ways[rng.IntN(len(ways))]
			name := c.Entry.Name
			if len(texts[name]) == 0 {
				names = append(names, name)
			}
			if text := c.String(); !slices.Contains(texts[name], text) {
				texts[name] = append(texts[name], text)
			}
		}
	}
	var all []Truth
	for _, name := range names {
		var mine []Truth
		rng.Shuffle(len(texts[name]), func(i, j int) { texts[name][i], texts[name][j] = texts[name][j], texts[name][i] })
		for _, text := range texts[name] {
			if truth, ok := t.misread(name, text, Loop(rng.IntN(2))); ok && len(mine) < each && !slices.ContainsFunc(mine, truth.same) {
				mine = append(mine, truth)
			}
		}
		all = append(all, mine...)
	}
	return all
}

// selection chooses a stretch of the passage and some voices of the part: all
// of it or a bar or a beat, all voices or one or two.
func (t task) selection(rng *rand.Rand) change.Selection {
	p := t.steps[t.n].Passage
	voices := slices.Clone(t.take.Part)
	if len(voices) == 0 {
		voices = slices.DeleteFunc(p.Voices(), func(v passage.Voice) bool { return v == passage.Click })
	}
	rng.Shuffle(len(voices), func(i, j int) { voices[i], voices[j] = voices[j], voices[i] })
	if most := 1 + rng.IntN(3); most < 3 {
		voices = voices[:min(most, len(voices))]
	}
	slices.Sort(voices)
	switch rng.IntN(3) {
	case 0:
		return change.Selection{From: meter.Int(0), To: p.Length(), Voices: voices}
	case 1:
		starts := p.Starts()
		bar := rng.IntN(len(p.Bars))
		return change.Selection{From: starts[bar], To: starts[bar+1], Voices: voices}
	}
	beats := p.Beats()
	b := beats[rng.IntN(len(beats))]
	return change.Selection{From: b.At, To: b.At.Add(b.Length), Voices: voices}
}

// misread returns the truth that a change of the catalogue makes; false where
// it does not fit, or moves no stroke of the part.
func (t task) misread(kind, text string, loop Loop) (Truth, bool) {
	p, _, err := Misread(t.steps, t.n, text)
	if err != nil {
		return Truth{}, false
	}
	return t.truth(kind, text, p, loop)
}

// truth returns the truth that a passage is played in the place of the one
// that is written.
func (t task) truth(kind, text string, p passage.Passage, loop Loop) (Truth, bool) {
	if slices.ContainsFunc(p.Voices(), t.beyond) {
		return Truth{}, false
	}
	played, err := Instead(t.steps[t.n].Passage, p, t.take, t.one, loop)
	truth := Truth{kind, text, loop, played}
	return truth, err == nil && len(played.Onsets) > 0 && !truth.asWritten(t.asked)
}

// beyond reports whether a player would need another instrument for a voice
// that the step does not have: a string or a machine; a drum is at hand.
func (t task) beyond(v passage.Voice) bool {
	f := v.Family()
	_, there := t.steps[t.n].Passage.Line(v)
	return !there && f != passage.Drums && f != passage.Cymbals
}

// earlier returns the earlier steps of the climb as truths.
func (t task) earlier() []Truth {
	var all []Truth
	for i, step := range t.steps[:t.n] {
		if truth, ok := t.truth(OldStep, fmt.Sprintf("step %d", i+1), step.Passage, Run); ok && !slices.ContainsFunc(all, truth.same) {
			all = append(all, truth)
		}
	}
	return all
}

// slipped returns slips as truths: beats, half beats and bars, lost and
// doubled, once and in every pass.
func (t task) slipped(each int, rng *rand.Rand) []Truth {
	var all []Truth
	p := t.steps[t.n].Passage
	for _, doubled := range []bool{false, true} {
		var mine []Truth
		for range perEntry * each {
			s := Slip{Doubled: doubled}
			s.From, s.For = stretch(p, rng)
			if rng.IntN(2) == 0 {
				s.Pass = 1 + rng.IntN(t.take.Passes)
			}
			truth := t.slip(s)
			if len(mine) < each && len(truth.Played.Onsets) > 0 && !truth.asWritten(t.asked) && !slices.ContainsFunc(mine, truth.same) {
				mine = append(mine, truth)
			}
		}
		all = append(all, mine...)
	}
	return all
}

// slip returns a slip as a truth.
func (t task) slip(s Slip) Truth {
	p := t.steps[t.n].Passage
	kind := Lost
	if s.Doubled {
		kind = Doubled
	}
	return Truth{kind, s.String(p), Run, s.Of(t.asked, p, t.take.Tempo)}
}

// stretch chooses a beat, half a beat or a bar.
func stretch(p passage.Passage, rng *rand.Rand) (from, length meter.Rat) {
	if rng.IntN(4) == 0 {
		starts, bar := p.Starts(), rng.IntN(len(p.Bars))
		return starts[bar], starts[bar+1].Sub(starts[bar])
	}
	beats := p.Beats()
	b := beats[rng.IntN(len(beats))]
	if rng.IntN(2) == 0 {
		return b.At, b.Length
	}
	return b.At, b.Length.Div(meter.Int(2))
}

// same reports whether two truths are the same strokes at the same times, to a
// microsecond.
func (t Truth) same(u Truth) bool { return sameStrokes(t.Played, u.Played) }

func (t Truth) asWritten(asked grade.Expected) bool { return sameStrokes(t.Played, asked) }

func sameStrokes(a, b grade.Expected) bool {
	return slices.EqualFunc(strokesOf(a), strokesOf(b), func(x, y stroke) bool {
		return x.voices == y.voices && math.Abs(x.seconds-y.seconds) < 1e-6
	})
}

// A stroke is when what is to be struck.
type stroke struct {
	seconds float64
	voices  grade.VoiceSet
}

// strokesOf returns the strokes of a take in order of time, then of voices.
func strokesOf(e grade.Expected) []stroke {
	all := make([]stroke, len(e.Onsets))
	for i, o := range e.Onsets {
		all[i] = stroke{math.Round(1e7*o.Seconds) / 1e7, e.Positions[o.Position].Voices}
	}
	slices.SortFunc(all, func(a, b stroke) int {
		switch {
		case a.seconds != b.seconds:
			if a.seconds < b.seconds {
				return -1
			}
			return 1
		case a.voices < b.voices:
			return -1
		case a.voices > b.voices:
			return 1
		}
		return 0
	})
	return all
}
