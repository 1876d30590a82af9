package drill

import (
	"fmt"

	"stampmill/exercises/passage"
)

// A Reader reads texts that change a little from one reading to the next, as
// while typing: voice lines and made steps that did not change are not read
// again. It remembers only what its last reading used. The zero value is
// ready; it is not for several goroutines at once.
//
// What it returns shares strokes with its memory: treat climbs as values.
type Reader struct {
	mem memory
}

// Read reads a text as [Parse] does, with the same climb and problems.
func (r *Reader) Read(name string, src []byte, cat Catalogue) Reading {
	text := splitText(src)
	if len(src) > MaxFile {
		what := fmt.Sprintf("the file has more than %d bytes", MaxFile)
		return Reading{Problems: Problems{{name, 1, 1, what, "shorten it, or make two climbs of it"}}, name: name, text: text}
	}
	rep := &report{most: maxKept, mute: make([]bool, len(text.lines)+1)}
	r.mem.begin(cat)
	defer r.mem.end()
	f := readFile(rep, &r.mem, text.lines)
	m := newMaker(rep, &r.mem)
	m.climb(f)
	reading := Reading{Problems: rep.problems(name, text.lines), name: name, text: text, climb: m.out, steps: m.steps, file: f}
	if len(reading.Problems) == 0 {
		reading.Climb = m.out
	}
	reading.describe()
	return reading
}

// A Reading is a text that was read: the climb, what is wrong with the text,
// and where everything stands in it.
type Reading struct {
	Climb    passage.Climb // the zero Climb where there are problems
	Problems Problems
	Header   []KeyText
	Steps    []StepText // also where there are problems

	name  string
	text  textLines
	file  file
	climb passage.Climb // as far as it was read
	steps []madeStep
}

// A madeStep is a step as it was made, and what it was made of.
type madeStep struct {
	passage.Step
	good  bool            // its passage is whole and can be built upon
	base  int             // the step it is made from, -1 for none
	under passage.Passage // what from and do make, before its own voice lines
}

// Step returns a step, from 0, as far as it was read; true when its passage is
// whole, whatever is wrong elsewhere in the text.
func (r Reading) Step(i int) (passage.Step, bool) {
	if i < 0 || i >= len(r.steps) {
		return passage.Step{}, false
	}
	return r.steps[i].Step, r.steps[i].good
}

// Base returns the step that a step is made from, -1 for one that is written
// out or has none.
func (r Reading) Base(i int) int {
	if i < 0 || i >= len(r.steps) {
		return -1
	}
	return r.steps[i].base
}
