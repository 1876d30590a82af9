package drill

import (
	"fmt"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// New returns the text of a new exercise: one step of two bars in which china,
// snare, kick and guitar play a floor to build on. It refuses a title that
// cannot be written, and a metre or tempo outside the limits.
func New(title string, metre meter.Metre, tempo meter.Tempo) ([]byte, error) {
	if metre.IsZero() {
		return nil, fmt.Errorf("a new exercise needs a metre; give it one")
	}
	bar := passage.Bar{Metre: metre, Tempo: tempo}
	p := passage.Passage{Bars: []passage.Bar{bar, bar}, Tuning: passage.DefaultTuning}
	snare := len(metre.Beats()) / 2 // the beat in the middle: three in 4/4, two in 3/4 and 6/8
	for _, v := range []passage.Voice{passage.China, passage.Snare, passage.Kick, passage.Guitar} {
		p.Lines = append(p.Lines, floor(p, v, snare))
	}
	says := "Kick and guitar strike together on every beat, and the china counts along."
	if snare > 0 {
		says = fmt.Sprintf("The snare takes beat %d; kick and guitar strike together on the others, and the china counts along.", snare+1)
	}
	step := Written("The floor", says, p)
	step.Tempo, step.Metre = nil, nil // the climb's
	return Print(passage.Climb{Title: title, Tempo: []meter.Tempo{tempo}, Metre: []meter.Metre{metre}, Steps: []passage.Step{step}})
}

// floor is what one voice plays in a new exercise, with the snare on the given
// beat, from 0, or nowhere for 0.
func floor(p passage.Passage, v passage.Voice, snare int) passage.Line {
	l := passage.Line{Voice: v}
	for _, b := range p.Beats() {
		onSnare := snare > 0 && b.Number == snare+1
		s := passage.Stroke{At: b.At, Length: b.Length, Kind: passage.Hit}
		switch v {
		case passage.China:
		case passage.Snare:
			s.Kind = passage.Accent
			if !onSnare {
				continue
			}
		default:
			s.Length = halves(b.Length)
			l.Groups = append(l.Groups, passage.Group{At: b.At, Length: b.Length, Cells: int(b.Length.Div(s.Length).Num())})
			if onSnare {
				continue
			}
		}
		l.Strokes = append(l.Strokes, s)
	}
	return l
}

// halves returns the cells that a beat is usually cut into: two, or three where
// it is dotted.
func halves(beat meter.Rat) meter.Rat {
	if beat.Num()%3 == 0 {
		return beat.Div(meter.Int(3))
	}
	return beat.Div(meter.Int(2))
}
