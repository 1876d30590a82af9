package draft

import (
	"strings"

	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// An Explanation is the answer to "what did I do?", found in slices of work so
// that a page can answer meanwhile. It is nil where there is nothing to explain;
// all methods may be called then.
type Explanation struct {
	before, after passage.Passage
	search        *change.Explainer
	said          []string // once it is known
}

// Explain begins to look for the changes that make the current step from the
// step before it. It is nil for a first step and while the step cannot be read.
func (d Draft) Explain() *Explanation {
	before, ok := d.before()
	if !ok || !d.Current().Good {
		return nil
	}
	return explain(before, d.Passage())
}

// ExplainSaved begins to look for what was changed in the current step since
// the text was saved.
func (d Draft) ExplainSaved() *Explanation {
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
		return &Explanation{said: []string{"As it was saved the step could not be read."}}
	}
	return &Explanation{said: []string{"This step is new since the text was saved."}}
}

func explain(before, after passage.Passage) *Explanation {
	if passage.Same(before, after) {
		return &Explanation{said: []string{"Nothing sounds different."}}
	}
	return &Explanation{before: before, after: after, search: change.NewExplainer(before, after)}
}

// Next looks on for so many trials of a change, about ten microseconds each,
// and reports whether the answer is known.
func (x *Explanation) Next(trials int) bool {
	if x == nil || x.said != nil {
		return true
	}
	if !x.search.Next(trials) {
		return false
	}
	changes, ok := x.search.Changes()
	if ok {
		x.said = sentences(x.before, changes)
	} else {
		x.said = differences(x.before, x.after)
	}
	return true
}

// Sentences returns the answer, once it is known: a sentence for each change;
// where no few changes of the catalogue will do, where the two differ.
func (x *Explanation) Sentences() []string {
	if x == nil {
		return nil
	}
	return x.said
}

// sentences says changes made one after the other.
func sentences(p passage.Passage, changes []change.Change) []string {
	all := []string{}
	for _, c := range changes {
		all = append(all, c.Sentence(p))
		if next, err := c.Apply(p); err == nil {
			p = next
		}
	}
	return all
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
