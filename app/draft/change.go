package draft

import (
	"slices"
	"strings"

	"stampmill/exercises/change"
	"stampmill/exercises/passage"
)

// ApplyHere makes a change in the current step: in its lines where it is
// written out, and as one more do line where it is made.
func (d Draft) ApplyHere(c change.Change) (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	after, err := c.Apply(s.Passage)
	if err != nil {
		return d, err
	}
	name := nameOfChange(c, s.Passage)
	s.Passage = after
	if !isMade(s) {
		return d.replace(s, name)
	}
	s.Do = append(slices.Clone(s.Do), c.String())
	s.Written = slices.Clone(s.Written)
	for i, l := range s.Written {
		if s.Written[i] = (passage.Line{Voice: l.Voice}); slices.Contains(after.Voices(), l.Voice) {
			s.Written[i], _ = after.Line(l.Voice)
		}
	}
	next, err := d.replace(s, name)
	if err == nil && !passage.Same(next.Passage(), after) {
		return d, refuse("save the change as a step, or write this one out first", "lines of this step stand behind its changes, and the change works on them")
	}
	return next, err
}

// SaveAsStep puts a step behind the current one that is made from it by a
// change, and says what the change does.
func (d Draft) SaveAsStep(c change.Change) (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	after, err := c.Apply(s.Passage)
	if err != nil {
		return d, err
	}
	text := c.String()
	return d.insert(passage.Step{
		Title: titleOf(c), Says: c.Sentence(s.Passage),
		From: s.Title, Do: []string{text}, Passage: after,
	}, nameOfChange(c, s.Passage)+", as a step")
}

// maxNewTitle is the longest text of a change that is used as a title, in bytes.
// Our choice; of a longer one only the name is.
const maxNewTitle = 60

// titleOf returns the title of a step that is made by a change.
func titleOf(c change.Change) string {
	if text := c.String(); len(text) <= maxNewTitle || c.Entry == nil {
		return capital(text)
	}
	return capital(c.Entry.Name)
}

// nameOfChange returns what a change does, for the Undo button.
func nameOfChange(c change.Change, p passage.Passage) string {
	return strings.TrimSuffix(c.Sentence(p), ".")
}

// capital returns a text with a capital first.
func capital(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
