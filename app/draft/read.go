package draft

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// A reader reads the texts of a draft. What it remembers makes the next
// reading fast and never different.
type reader struct {
	whole, begun drill.Reader // of whole texts, and of texts up to the current step
	catalogue    drill.Catalogue
	most         int // strokes after the current step that are read while typing
}

// reread returns the draft with another text, read as a whole.
func (d Draft) reread(text string) Draft {
	d.text, d.said = text, ""
	d.reading, d.covered, d.late = d.reader.whole.Read(d.name, []byte(text), d.reader.catalogue), len(text), nil
	d.steps = stepsOf(d.reading, d.steps)
	return d
}

// stepsOf returns the steps of a reading; those that cannot be read keep the
// passage they had. A text without any step keeps them all.
func stepsOf(r drill.Reading, old []Step) []Step {
	steps := make([]Step, len(r.Steps))
	timed := hasTempo(r)
	for i, text := range r.Steps {
		s, good := r.Step(i)
		good = good && (timed || s.Tempo != nil)
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

// hasTempo reports whether the header tells the tempo. Where it does not, steps
// are read at any tempo, which is good for their problems only.
func hasTempo(r drill.Reading) bool {
	for _, k := range r.Header {
		if k.Key == "tempo" {
			return !slices.ContainsFunc(r.Problems, func(p drill.Problem) bool { return p.Line == k.Line })
		}
	}
	return false
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
	if good && d.Current().Good {
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
	problems := d.Problems()
	if len(problems) == 0 {
		return refuse("write voice lines under it", "the step cannot be read")
	}
	first := problems[0]
	for _, p := range problems {
		if d.reading.StepAt(p.Line) == d.step {
			first = p
			break
		}
	}
	return refuse(fmt.Sprintf("mend line %d first", first.Line), "the text has a problem: %s", first.What)
}

// edited returns the draft with a text that an edit made, as one entry of the
// history, and another current step.
func (d Draft) edited(step int, text []byte, err error, name string) (Draft, error) {
	switch {
	case err != nil:
		return d, err
	case len(text) > drill.MaxFile:
		return d, refuse("make two exercises of it", "the text would have more than %d bytes", drill.MaxFile)
	case string(text) == d.text:
		return d, nil
	}
	next := d.reread(string(text))
	next.step = step
	return d.noted(next, name), nil
}

// noted returns the draft that came of an edit on the strip, with the edit in
// its history.
func (d Draft) noted(next Draft, name string) Draft {
	next = next.settle().found()
	next.said = sentence(name)
	if now := next.Problems(); len(now) > 0 && len(d.Problems()) == 0 {
		next.said += fmt.Sprintf(" Line %d now has a problem: %s.", now[0].Line, now[0].What)
	}
	return next.record(entry{patch: between(d.text, next.text), name: name, before: d.stand, after: next.stand})
}

// sentence returns a name as a sentence.
func sentence(name string) string { return capital(name) + "." }

// replace writes a step in place of the current one.
func (d Draft) replace(s passage.Step, name string) (Draft, error) {
	text, err := d.Settled().reading.Replace(d.step, s)
	next, err := d.edited(d.step, text, err, name)
	if err != nil {
		return d, err
	}
	if !next.Current().Good {
		return d, refuse("write it in the text", "the text has no form for this")
	}
	return next, nil
}
