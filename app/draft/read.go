package draft

import (
	"fmt"
	"strings"

	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// A reader reads the texts of a draft. What it remembers makes the next
// reading fast and never different.
type reader struct {
	drill.Reader
	catalogue drill.Catalogue
}

// reread returns the draft with another text, read.
func (d Draft) reread(text string) Draft {
	d.text, d.said = text, ""
	d.reading = d.reader.Read(d.name, []byte(text), d.reader.catalogue)
	d.steps = stepsOf(d.reading, d.steps)
	return d
}

// stepsOf returns the steps of a reading; those that cannot be read keep the
// passage they had. A text without any step keeps them all.
func stepsOf(r drill.Reading, old []Step) []Step {
	steps := make([]Step, len(r.Steps))
	for i, text := range r.Steps {
		s, good := r.Step(i)
		steps[i] = Step{text.Title, s.Says, text.First, good, s.Passage}
		if !good {
			steps[i].Passage = lastGood(old, i, text.Title)
		}
	}
	if len(steps) > 0 {
		return steps
	}
	for _, s := range old {
		s.Good = false
		steps = append(steps, s)
	}
	return steps
}

// lastGood returns the passage that a step had: the one of that title, else
// the one in that place.
func lastGood(old []Step, i int, title string) passage.Passage {
	for _, s := range old {
		if strings.EqualFold(s.Title, title) {
			return s.Passage
		}
	}
	if i < len(old) {
		return old[i].Passage
	}
	return passage.Passage{}
}

// A refusal says what is in the way and what to do.
func refuse(do, what string, args ...any) error {
	return fmt.Errorf("%s; %s", fmt.Sprintf(what, args...), do)
}

// current returns the current step to be edited, or why it cannot be.
func (d Draft) current() (passage.Step, error) {
	s, good := d.reading.Step(d.step)
	if good && d.step < len(d.reading.Steps) {
		return s, nil
	}
	if len(d.reading.Steps) == 0 && len(d.reading.Problems) == 0 {
		return s, refuse("begin one with a line such as step: The floor", "the text has no step")
	}
	return s, d.broken()
}

// broken says which line keeps the strip from writing: the first problem of
// the step, else the first of all.
func (d Draft) broken() error {
	if len(d.reading.Problems) == 0 {
		return refuse("write voice lines under it", "the step cannot be read")
	}
	first := d.reading.Problems[0]
	for _, p := range d.reading.Problems {
		if d.reading.StepAt(p.Line) == d.step {
			first = p
			break
		}
	}
	return refuse(fmt.Sprintf("mend line %d first", first.Line), "the text has a problem: %s", first.What)
}

// edited returns the draft with a text that an edit of the step with an index
// made, as one entry of the history.
func (d Draft) edited(step int, text []byte, err error, name string) (Draft, error) {
	if err != nil {
		return d, err
	}
	if len(text) > drill.MaxFile {
		return d, refuse("make two exercises of it", "the text would have more than %d bytes", drill.MaxFile)
	}
	p := between(d.text, string(text))
	if p == nil {
		return d, nil
	}
	next := d.reread(string(text))
	next.step = step
	next = next.settle().found()
	next.said = sentence(name)
	if n := len(next.reading.Problems); n > 0 && len(d.reading.Problems) == 0 {
		first := next.reading.Problems[0]
		next.said += fmt.Sprintf(" Line %d now has a problem: %s.", first.Line, first.What)
	}
	return next.record(entry{patch: p, name: name, before: d.stand, after: next.stand}), nil
}

// sentence returns a name as a sentence.
func sentence(name string) string { return capital(name) + "." }

// replace writes a step in place of the current one.
func (d Draft) replace(s passage.Step, name string) (Draft, error) {
	text, err := d.reading.Replace(d.step, s)
	next, err := d.edited(d.step, text, err, name)
	if err != nil {
		return d, err
	}
	if !next.Current().Good {
		return d, refuse("write it in the text", "the text has no form for this")
	}
	return next, nil
}
