package ear

import (
	"errors"
	"fmt"
	"slices"

	"stampmill/exercises/passage"
)

// A Result is what an answer comes to, and what was to be heard.
type Result struct {
	Right  bool // the first ask is right; the others are told beside it
	Said   string
	Hint   string         // what to listen for
	SpansA []passage.Span // the difference in the first sound, to be marked
	Spans  []passage.Span // the difference in the last sound
	Slow   []Sound        // the sounds again, slowly, at the difference
	Parts  []Part         // one for each ask
}

// A Part is what the answer to one ask comes to.
type Part struct {
	Right, Near bool
	Off         float64 // beats, below 0 is too soon; of Place only
	Says        string  // "right", "1 beat too soon", "Flam on the snare"
	Was         string  // the right answer in words
	Void        bool    // there was nothing to ask
}

// Mark holds an answer against the truth. The error says what of the answer is
// missing or is none of the choices; such an answer is not marked.
func (t Trial) Mark(a Answer) (Result, error) {
	if t.Task.mark == nil || len(t.Asks) == 0 {
		return Result{}, errors.New("there is no trial to answer; make one first")
	}
	if err := t.fits(a); err != nil {
		return Result{}, err
	}
	r := t.Task.mark(t, a)
	r.Right = len(r.Parts) > 0 && r.Parts[0].Right
	if r.Said == "" {
		r.Said, r.Hint = t.truth.said, t.truth.hint
	}
	if r.Spans == nil && r.SpansA == nil {
		r.Spans, r.SpansA = t.truth.spans, t.truth.spansA
	}
	if r.Slow == nil {
		first, last := t.truth.bars()
		r.Slow = slowly(t.Sounds, first, last)
	}
	return r, nil
}

// fits refuses answers that lack what is asked, or name what is not offered.
func (t Trial) fits(a Answer) error {
	chosen := 0
	for _, ask := range t.Asks {
		switch ask.Kind {
		case Choose:
			if chosen >= len(a.Choice) || a.Choice[chosen] == -1 {
				return errors.New("nothing was chosen; choose one of the answers")
			}
			if c := a.Choice[chosen]; c < 0 || c >= len(ask.Choices) {
				return fmt.Errorf("there is no answer %d; choose 1 to %d", c+1, len(ask.Choices))
			}
			chosen++
		case Place:
			if a.Place.Bar == 0 && len(t.Asks) == 1 {
				return errors.New("no place was named; name bar and beat")
			}
			if a.Place.Bar != 0 && t.beatIndex(ask, a.Place) < 0 {
				return fmt.Errorf("there is no %s here; choose one of the beats", placeWords(a.Place))
			}
		case Strip:
			if err := fitsStrip(ask, a); err != nil {
				return err
			}
		case Taps:
			if err := fitsTaps(a); err != nil {
				return err
			}
		}
	}
	return nil
}

// beatIndex returns the index of a place among the beats of an ask, -1 for
// none. How far into the beat does not matter.
func (t Trial) beatIndex(ask Ask, place passage.Place) int {
	return slices.IndexFunc(ask.Places, func(p passage.Place) bool { return p.Bar == place.Bar && p.Beat == place.Beat })
}

// Right returns an answer that is right in every part.
func (t Trial) Right() Answer {
	if t.truth.answer != nil {
		return *t.truth.answer
	}
	a := Answer{Place: t.truth.to}
	for _, ask := range t.Asks {
		if ask.Kind == Choose {
			a.Choice = append(a.Choice, t.truth.choice)
		}
	}
	return a
}

// markChoice marks the first ask, a choice.
func markChoice(t Trial, a Answer) Result {
	ask := t.Asks[0]
	p := Part{Right: a.Choice[0] == t.truth.choice, Was: ask.Choices[t.truth.choice].Words, Says: "right"}
	if !p.Right {
		p.Says = "you said: " + ask.Choices[a.Choice[0]].Words
	}
	return Result{Parts: []Part{p}}
}

// markPlace marks the first ask for a place.
func markPlace(t Trial, a Answer) Result { return Result{Parts: []Part{t.placed(t.Asks[0], a)}} }

// markWhat marks a choice, and where the change begins.
func markWhat(t Trial, a Answer) Result {
	r := markChoice(t, a)
	r.Parts = append(r.Parts, t.placed(t.Asks[1], a))
	return r
}

// nearBeats is how far off a place is near. Our choice.
const nearBeats = 1

// placed marks a place: right from where the change is made to the first
// stroke that differs.
func (t Trial) placed(ask Ask, a Answer) Part {
	if t.truth.to.Bar == 0 {
		return Part{Right: a.Place.Bar == 0, Void: true, Says: "nothing to place", Was: "nowhere"}
	}
	p := Part{Was: placeWords(t.truth.to)}
	if a.Place.Bar == 0 {
		p.Says = "not said"
		return p
	}
	said, from, to := t.beatIndex(ask, a.Place), t.beatIndex(ask, t.truth.from), t.beatIndex(ask, t.truth.to)
	switch {
	case said < from:
		p.Off = float64(said - from)
	case said > to:
		p.Off = float64(said - to)
	default:
		p.Right, p.Says = true, "right"
		return p
	}
	p.Near = p.Off >= -nearBeats && p.Off <= nearBeats
	p.Says = beatsOff(int(p.Off))
	return p
}

// beatsOff says "1 beat too soon", "3 beats too late".
func beatsOff(n int) string {
	way := "too late"
	if n < 0 {
		n, way = -n, "too soon"
	}
	if n == 1 {
		return "1 beat " + way
	}
	return fmt.Sprintf("%d beats %s", n, way)
}
