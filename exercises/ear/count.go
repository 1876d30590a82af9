package ear

import (
	"fmt"
	"math"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// How many strokes a beat is filled with: the divisions that players count.
const (
	fewestInBeat = 2
	mostInBeat   = 7
)

// The scale of the task: seven strokes in the shortest beat are 50 ms apart,
// where single strokes can still be told but hardly be counted; our choice.
var countScale = Scale{
	Unit: "ms", Means: "length of the beat that is filled",
	Low: 350, High: 1500, Falling: true, Log: true,
}

const countStart = 1000

func count() Task {
	return Task{
		Name: "count", Title: "How many in a beat", Question: "How many even strokes fill the beat?",
		About: "A passage in which one beat, which is named, is filled with two to seven even strokes.",
		Scale: countScale, Stair: stair(countScale, countStart),
		make: makeCount, mark: markChoice,
	}
}

func makeCount(m *maker) (Trial, error) {
	n := fewestInBeat + m.rng.IntN(mostInBeat-fewestInBeat+1)
	w, err := m.window(hasBeats(leastBeats))
	if err != nil {
		return Trial{}, err
	}
	beats := w.Beats()
	beat := beats[1+m.rng.IntN(len(beats)-2)] // between two others, so that its length is heard
	voices := fillers(w)
	v := voices[m.rng.IntN(len(voices))]
	ms := math.Round(m.d)
	p, err := atSpeed(filled(w, beat, v, n), beat.Length.Mul(meter.Int(60_000)).Div(meter.Int(int64(ms))))
	if err != nil {
		return Trial{}, err
	}
	plain, _ := atSpeed(w, p.Bars[0].Tempo.Quarters(p.Bars[0].Metre))
	where := placeWords(passage.Place{Bar: beat.Bar, Beat: beat.Number})
	t := Trial{
		Made:   ms,
		Sounds: []Sound{{Passage: p, Strip: p, CountIn: 1, Passes: 1, Click: ClickCountIn}},
		Asks: []Ask{{
			Kind: Choose, Question: fmt.Sprintf("How many even strokes does the %s play on %s?", v.Spoken(), where),
			Choices: counts(),
		}},
	}
	t.truth = truth{
		choice: n - fewestInBeat,
		said:   fmt.Sprintf("The %s plays %s even strokes on %s.", v.Spoken(), number(n), where),
		hint:   countHint(n),
		a:      plain, b: p,
		spans: []passage.Span{{From: beat.At, To: beat.At.Add(beat.Length), Voices: []passage.Voice{v}}},
	}
	return t, nil
}

// counts are the numbers to choose from.
func counts() []Choice {
	var all []Choice
	for n := fewestInBeat; n <= mostInBeat; n++ {
		all = append(all, Choice{Words: fmt.Sprint(n), Says: fmt.Sprintf("%d even strokes", n)})
	}
	return all
}

// countHint says how to tell a division by ear. Common practice.
func countHint(n int) string {
	switch n {
	case 2, 4:
		return "Hear whether a stroke stands in the middle of the beat: two and four have one there, three and five have none."
	case 3:
		return "Three have no stroke in the middle of the beat; they turn in a circle of three."
	case 5:
		return "Five have no stroke in the middle of the beat: say a word of five syllables over them."
	case 6:
		return "Six are two threes: a stroke stands in the middle, and each half is a triplet."
	}
	return "Seven are three and four: say a word of four syllables and one of three over them."
}

// fillers returns the voices that may fill a beat: drums and strings, whose
// strokes are short, before cymbals.
func fillers(p passage.Passage) []passage.Voice {
	all := voicesOf(p)
	short := slices.DeleteFunc(slices.Clone(all), func(v passage.Voice) bool { return v.Family() == passage.Cymbals })
	if len(short) > 0 {
		return short
	}
	return all
}

// filled returns the passage with a beat in which one voice plays so many even
// strokes. The others play there only what falls on the beat, so that nothing
// else is counted, and what is held into it ends before.
func filled(p passage.Passage, beat passage.Beat, v passage.Voice, n int) passage.Passage {
	p = p.Clone()
	end := beat.At.Add(beat.Length)
	for i, l := range p.Lines {
		var out []passage.Stroke
		for _, s := range l.Strokes {
			inside := !s.At.Less(beat.At) && s.At.Less(end)
			switch {
			case inside && (l.Voice == v || s.At != beat.At):
				continue
			case s.At.Less(beat.At) && beat.At.Less(s.End()):
				s.Length = beat.At.Sub(s.At)
			case inside && end.Less(s.End()):
				s.Length = beat.Length
			}
			out = append(out, s)
		}
		if l.Voice == v {
			out = append(out, evenly(beat, n)...)
			slices.SortStableFunc(out, func(a, b passage.Stroke) int { return a.At.Cmp(b.At) })
		}
		p.Lines[i].Strokes = out
	}
	p, _ = p.Regroup()
	return p
}

// evenly returns so many hits that fill a beat.
func evenly(beat passage.Beat, n int) []passage.Stroke {
	var all []passage.Stroke
	length := beat.Length.Div(meter.Int(int64(n)))
	at := beat.At
	for range n {
		all = append(all, passage.Stroke{At: at, Length: length, Kind: passage.Hit})
		at = at.Add(length)
	}
	return all
}
