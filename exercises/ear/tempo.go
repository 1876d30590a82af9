package ear

import (
	"fmt"
	"math"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// How much the tempo differs. 3 % is heard in a run of six intervals, 1.5 % at
// best (Drake & Botte 1993, Percept. Psychophys. 54 277-286); the ends of the
// scale are our choice. Tenths of a percent are exact.
const (
	tempoGrid  = 10 // steps a percent
	tempoStart = 10
)

var tempoScale = Scale{
	Unit: "%", Means: "how much faster or slower B is",
	Low: 0.5, High: 20, Falling: true, Log: true,
}

// leastOnsets is how many moments there must be to hear a tempo. Our choice:
// two distances.
const leastOnsets = 3

func tempo() Task {
	return Task{
		Name: "tempo", Title: "Faster or slower", Question: "Is B faster or slower than A?",
		About: "A passage, then the same some percent faster or slower.",
		Yes:   true, Scale: tempoScale, Stair: stair(tempoScale, tempoStart),
		make: makeTempo, mark: markChoice,
	}
}

func makeTempo(m *maker) (Trial, error) {
	way := m.rng.IntN(2) // 0 is faster
	tenths := int64(math.Round(m.d * tempoGrid))
	up, down := meter.R(100*tempoGrid+tenths, 100*tempoGrid), meter.R(100*tempoGrid-tenths, 100*tempoGrid)
	a, err := m.window(func(p passage.Passage) error {
		if moments(p) < leastOnsets {
			return fmt.Errorf("fewer than %d strokes say no tempo; take a step with more strokes", leastOnsets)
		}
		// Both ways must be possible, or the limits would tell the answer.
		for _, factor := range []meter.Rat{up, down} {
			if _, err := p.AtTempo(p.Bars[0].Tempo.BPM.Mul(factor)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return Trial{}, err
	}
	b, err := a.AtTempo(a.Bars[0].Tempo.BPM.Mul([]meter.Rat{up, down}[way]))
	if err != nil {
		return Trial{}, err
	}
	t := Trial{Sounds: pair(a, b), Made: float64(tenths) / tempoGrid, Asks: []Ask{{Kind: Choose, Question: tempo().Question, Choices: []Choice{
		{Words: yesNoWords["tempo"][0], Says: "B is faster"}, {Words: yesNoWords["tempo"][1], Says: "B is slower"},
	}}}}
	was, now := a.Bars[0].Tempo.BPM.Float(), b.Bars[0].Tempo.BPM.Float()
	t.truth = truth{
		choice: way,
		said:   fmt.Sprintf("B is %s %% %s: %s beats a minute after %s.", trim(float64(tenths)/tempoGrid), []string{"faster", "slower"}[way], trim(now), trim(was)),
		hint:   "Keep the beat of A going in your head, or with a foot, and hold B against it.",
		a:      a, b: b,
		spans: []passage.Span{{To: a.Length(), Voices: a.Voices()}},
	}
	t.truth.spansA = t.truth.spans
	return t, nil
}

// moments counts the different times at which something strikes.
func moments(p passage.Passage) int {
	at := map[meter.Rat]bool{}
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if s.Sounds() && asked(l.Voice) {
				at[s.At] = true
			}
		}
	}
	return len(at)
}
