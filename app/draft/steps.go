package draft

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"stampmill/exercises/passage"
)

// NewStep puts a silent step behind the current one, with its bars and voices.
// The title gets a number where another step has it.
func (d Draft) NewStep(title string) (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	p := s.Passage
	p.Lines = nil
	for _, l := range s.Passage.Lines {
		p.Lines = append(p.Lines, passage.Line{Voice: l.Voice})
	}
	return d.insert(passage.Step{Title: title, Passage: p}, "new step")
}

// CopyStep puts a step behind the current one that is made from it and so far
// the same.
func (d Draft) CopyStep(title string) (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	return d.insert(passage.Step{Title: title, From: s.Title, Passage: s.Passage}, "new step from "+quoted(s.Title))
}

// Duplicate puts a step behind the current one that is the same, written out:
// it does not depend on it.
func (d Draft) Duplicate() (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	return d.insert(passage.Step{Title: s.Title, Says: s.Says, Passage: s.Passage}, "duplicate of "+quoted(s.Title))
}

// insert puts a step behind the current one and makes it the current one.
func (d Draft) insert(s passage.Step, name string) (Draft, error) {
	s.Title = d.Settled().reading.FreeTitle(oneLine(s.Title))
	text, err := d.Settled().reading.Insert(d.step, s)
	return d.edited(d.step+1, text, err, name)
}

// Delete leaves the current step out. Steps made from it are written out first,
// so that they stay what they are.
func (d Draft) Delete() (Draft, error) {
	if len(d.Settled().reading.Steps) < 2 {
		return d, refuse("add another first, or clear its lines", "this is the only step")
	}
	text, err := d.Settled().reading.Remove(d.step)
	return d.edited(max(d.step-1, 0), text, err, "no step "+quoted(d.Current().Title))
}

// Rename gives the current step another title, also where others name it.
func (d Draft) Rename(title string) (Draft, error) {
	title = oneLine(title)
	text, err := d.Settled().reading.Rename(d.step, title)
	return d.edited(d.step, text, err, "title "+quoted(title))
}

// SetSays gives the current step another sentence; "" leaves it out.
func (d Draft) SetSays(says string) (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	s.Says = oneLine(says)
	return d.replace(s, "what "+quoted(s.Title)+" says")
}

// MoveStep moves the current step so many places later, sooner where by is
// below 0.
func (d Draft) MoveStep(by int) (Draft, error) {
	to := d.step + by
	if to < 0 || to >= len(d.Settled().reading.Steps) {
		return d, refuse("choose another", "the step cannot move further")
	}
	text, err := d.Settled().reading.Move(d.step, to)
	return d.edited(to, text, err, fmt.Sprintf("step %s in place %d", quoted(d.Current().Title), to+1))
}

// Header returns the value of a key of the header as it is written, such as
// tempo; "" where it is missing.
func (d Draft) Header(key string) string {
	for _, k := range d.reading.Header {
		if strings.EqualFold(k.Key, key) {
			return k.Value
		}
	}
	return ""
}

// SetHeader writes the value of a key of the header: title, by, tempo, metre,
// tuning, about or machine. "" leaves out a key that need not be there. What no
// longer fits a new metre becomes a problem of the text.
func (d Draft) SetHeader(key, value string) (Draft, error) {
	text, err := d.Settled().reading.SetHeader(key, oneLine(value))
	return d.edited(d.step, text, err, key+" "+quoted(oneLine(value)))
}

// oneLine returns a text as one line, without space around it.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// maxQuoted bounds a title within a sentence, in characters. Our choice.
const maxQuoted = 40

// quoted returns a title in quotation marks, cut where it is long.
func quoted(title string) string {
	if utf8.RuneCountInString(title) > maxQuoted {
		title = string([]rune(title)[:maxQuoted-1]) + "…"
	}
	return "“" + title + "”"
}
