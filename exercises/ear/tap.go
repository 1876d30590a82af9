package ear

import (
	"fmt"
	"strings"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// fastestTap is how far apart, in ms, strokes are that are tapped back at
// least: 8 to 10 a second are the limit (Repp 2006, Adv. Cogn. Psychol. 2(2-3)
// 163-181), and it is the ear that is asked here.
const fastestTap = 100

// tapPassing is what it takes to have tapped a phrase back. Our choice: of
// fewer than ten strokes all, of more one in ten may slip; how steady they are
// is told, and asked for as loosely as it can be.
var tapPassing = grade.Passing{Hits: 0.9, Extra: 0.1, SpreadMS: grade.MostSpread}

func tap() Task {
	return Task{
		Name: "tap", Title: "Tap it back", Question: "Tap back what the voice plays.",
		About:    "A voice, which is named, plays a phrase of one or two bars; longer ones come later. Then a bar is counted in, and you tap the phrase to the click.",
		Answered: Taps, Scale: strokesToKeep, Stair: stair(strokesToKeep, startKept),
		make: makeTap, mark: markTap,
	}
}

func makeTap(m *maker) (Trial, error) {
	ms := timer(m.source.Passage)
	ph, w, err := m.phrase(func(_, at []meter.Rat, _ passage.Passage) bool {
		for i := 1; i < len(at); i++ {
			if ms(at[i])-ms(at[i-1]) < fastestTap {
				return false
			}
		}
		return true
	})
	if err != nil {
		return Trial{}, err
	}
	v := ph.voice
	w = only(w, append(frame(w, v), v))
	line, _ := w.Line(v)
	heard := passage.Line{Voice: v, Strokes: sounding(line)}
	sound := phraseSound(w)
	under := sound
	under.Mute = []passage.Voice{v}
	t := Trial{Made: ph.size, Sounds: []Sound{sound}, Asks: []Ask{{
		Kind: Taps, Question: fmt.Sprintf("Tap back what the %s plays.", v.Spoken()),
		Passage: w, Voices: []passage.Voice{v}, Under: &under,
	}}}
	taps := Answer{}
	at := timer(w)
	for _, s := range heard.Strokes {
		taps.Taps = append(taps.Taps, grade.Tap{Seconds: at(s.At) / 1000})
	}
	t.truth = truth{
		answer: &taps,
		said:   fmt.Sprintf("The %s plays %s: %s.", v.Spoken(), strokeWords(len(heard.Strokes)), counted(w, heard, false)),
		hint:   "Sing the phrase along with the click once before you tap it.",
		a:      w, b: w,
		spans: []passage.Span{{To: w.Length(), Voices: []passage.Voice{v}}},
	}
	return t, nil
}

// markTap has the taps graded as a take of the phrase on one key.
func markTap(t Trial, a Answer) Result {
	ask := t.Asks[0]
	line, _ := ask.Passage.Line(ask.Voices[0])
	part := Part{Was: counted(ask.Passage, line, false)}
	v, err := gradeTaps(ask, a)
	if err != nil {
		part.Says = err.Error()
		return Result{Parts: []Part{part}}
	}
	part.Right = v.Matched >= tapPassing.HitsOf(v.Expected) && v.Extra <= tapPassing.ExtraOf(v.Expected) &&
		!(v.Spread.OK && v.Spread.Value > tapPassing.SpreadMS)
	part.Says = tapsTold(ask.Passage, v, a)
	r := Result{Parts: []Part{part}, Slow: slowPhrase(t.Sounds)}
	for _, pos := range v.Positions {
		if len(pos.Hits) == 0 {
			r.Spans = append(r.Spans, beatSpan(ask.Passage, pos.At, ask.Voices))
		}
	}
	return r
}

func gradeTaps(ask Ask, a Answer) (grade.Verdict, error) {
	take := grade.Take{Tempo: ask.Passage.Bars[0].Tempo.BPM.Float(), Passes: 1, Part: ask.Voices, LatencyMS: a.LatencyMS}
	for _, ms := range tapsOf(a) {
		take.Taps = append(take.Taps, grade.Tap{Seconds: (ms + a.LatencyMS) / 1000})
	}
	return grade.Grade(ask.Passage, take, grade.Options{Passing: &tapPassing, NoSearch: true})
}

// tapsTold says what of a phrase was tapped: "7 of 8 strokes, 1 left out: & of
// 2 in bar 1; 12 ms late on the whole".
func tapsTold(p passage.Passage, v grade.Verdict, a Answer) string {
	said := fmt.Sprintf("%d of %s", v.Matched, strokeWords(v.Expected))
	var missed, extra []string
	for _, pos := range v.Positions {
		if len(pos.Hits) == 0 {
			missed = append(missed, countedIn(p, pos.At))
		}
	}
	for _, s := range v.Strays {
		extra = append(extra, "near "+nearestBeat(p, s.At))
	}
	if len(missed) > 0 {
		said += fmt.Sprintf("; %d left out: %s", v.Missed, strings.Join(missed, ", "))
	}
	if len(extra) > 0 {
		said += fmt.Sprintf("; %d too many: %s", v.Extra, strings.Join(gathered(extra), ", "))
	}
	if v.Leaning.OK {
		said += "; " + grade.EarlyOrLate(v.Leaning.Value) + " on the whole" + withDelay(a)
	}
	if v.Spread.OK {
		said += fmt.Sprintf(", spread ±%.0f ms", v.Spread.Value)
	}
	return said
}

// gathered returns words of which those that follow each other and are the same
// are said once, with how often.
func gathered(words []string) []string {
	var all []string
	for i := 0; i < len(words); {
		n := 1
		for i+n < len(words) && words[i+n] == words[i] {
			n++
		}
		if n > 1 {
			all = append(all, number(n)+" "+words[i])
		} else {
			all = append(all, words[i])
		}
		i += n
	}
	return all
}

// nearestBeat says the beat that is nearest to a place in quarter notes.
func nearestBeat(p passage.Passage, at float64) string {
	beats := p.Beats()
	best := beats[0]
	for _, b := range beats {
		if d := b.At.Float() - at; d*d < (best.At.Float()-at)*(best.At.Float()-at) {
			best = b
		}
	}
	return fmt.Sprintf("%d in bar %d", best.Number, best.Bar)
}
