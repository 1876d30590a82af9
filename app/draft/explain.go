package draft

import (
	"strings"

	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// Explain says what the current step changes in the step before it, a sentence
// for each change; where no few changes of the catalogue do that, where the two
// differ. It is empty for a first step and while the step cannot be read.
func (d Draft) Explain() []string {
	before, ok := d.before()
	if !ok || !d.Current().Good {
		return nil
	}
	return explain(before, d.Passage())
}

// ExplainSaved says what was changed in the current step since the text was
// saved.
func (d Draft) ExplainSaved() []string {
	if !d.Current().Good {
		return nil
	}
	var saved drill.Reader
	r := saved.Read(d.name, []byte(d.saved), d.reader.catalogue)
	for i, s := range r.Steps {
		if !strings.EqualFold(s.Title, d.Current().Title) {
			continue
		}
		if step, good := r.Step(i); good {
			return explain(step.Passage, d.Passage())
		}
		return []string{"As it was saved the step could not be read."}
	}
	return []string{"This step is new since the text was saved."}
}

// explain says in sentences how one passage becomes another.
func explain(before, after passage.Passage) []string {
	if passage.Same(before, after) {
		return []string{"Nothing sounds different."}
	}
	return differences(before, after)
}

// maxDiffer is how many places that differ are named. Our choice: with more, it
// is another passage.
const maxDiffer = 4

// differences names where two passages differ.
func differences(before, after passage.Passage) []string {
	var all []string
	for _, s := range passage.Diff(before, after) {
		if len(all) == maxDiffer {
			return append(all, "More differs after that.")
		}
		all = append(all, capital(differs(after, s)))
	}
	if len(all) == 0 {
		return []string{"Only bars, tempo or tuning differ."}
	}
	return all
}

// differs says of a span of whole beats that it differs: "kick and guitar
// differ from 2.3 to 2.4."
func differs(p passage.Passage, s passage.Span) string {
	verb := " differ"
	if len(s.Voices) == 1 {
		verb = " differs"
	}
	first, last := s.From, s.From
	for _, b := range p.Beats() {
		if b.At.Less(s.To) {
			last = b.At
		}
	}
	if first == last {
		return few(s.Voices) + verb + " at " + p.Place(first).String() + "."
	}
	return few(s.Voices) + verb + " from " + p.Place(first).String() + " to " + p.Place(last).String() + "."
}
