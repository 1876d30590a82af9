package change

import (
	"slices"

	"stampmill/exercises/passage"
)

// MaxExplained is the most changes that [Explain] looks for. Our choice: what
// one can keep in mind.
const MaxExplained = 3

// ExplainBudget is the work that [Explain] spends at most, in applications: a
// change tried on the voices it names is one, a change made with all checks is
// [fullApplication]. Our choice: a few tenths of a second for a passage of two
// bars; see the benchmark.
const ExplainBudget = 60_000

// fullApplication is the work of [Change.Apply] in trials of a change; about
// what was measured.
const fullApplication = 10

// How many changes are followed as the first of two, and as the first and the
// second of three, nearest to the goal first. Our choice, from what was found
// in trials.
var followed = [MaxExplained + 1][]int{2: {20}, 3: {12, 5}}

// Explain returns the shortest list of changes that makes b from a, one after
// the other, so that [passage.Same] holds; at most [MaxExplained]. It is empty
// when they are the same already. False means that none was found: there may
// be one all the same, as the search goes by what differs and its work is
// bounded by [ExplainBudget].
//
// Of several changes the simplest is taken: a whole voice before a part, a
// part before a list of places, fewer numbers before more, and then what one
// thinks of first for the voices. Voices that changed in the same places are explained
// together before each alone, and what explains more comes first.
//
// The same passages always give the same list. Use an [Explainer] where the
// work must be done in slices.
func Explain(a, b passage.Passage) ([]Change, bool) {
	e := NewExplainer(a, b)
	e.Next(ExplainBudget)
	return e.Changes()
}

// An Explainer looks for the changes between two passages in slices of work.
// What it finds does not depend on the slices.
type Explainer struct {
	a, b  passage.Passage
	stack []level
	depth int // how long the lists are that are tried now
	spent int // applications
	done  bool
	found []Change
	first []kid // the changes of a, the nearest first, once they were tried
}

// A level is a passage that was reached, with the changes that lead on.
type level struct {
	p       passage.Passage
	gap     gap
	made    []Change
	views   []view // not yet asked for proposals
	entry   int    // of the catalogue, asked next for the first of them
	untried []Change
	next    int // of untried
	seen    map[uint64]bool
	kids    []kid // what was tried, the nearest first
	sorted  bool
}

// A kid is a change that was tried, and how far it leaves the goal.
type kid struct {
	change Change
	apart  int
}

// NewExplainer begins to look for the changes that make b from a. Passages
// outside the limits have none.
func NewExplainer(a, b passage.Passage) *Explainer {
	e := &Explainer{a: a, b: b}
	switch {
	case passage.Same(a, b):
		e.found, e.done = []Change{}, true
	case len(passage.Check(a)) > 0 || len(passage.Check(b)) > 0 || a.Tuning != b.Tuning || a.Machine != b.Machine:
		e.done = true // no change sets these
	}
	return e
}

// Next spends some applications more and reports whether the search is over.
// It may spend a little more than it is given: it does not stop inside a
// change that is made with all checks.
func (e *Explainer) Next(applications int) bool {
	until := min(e.spent+applications, ExplainBudget)
	for !e.done && e.spent < until {
		e.step()
	}
	if e.spent >= ExplainBudget {
		e.done = true
	}
	return e.done
}

// Changes returns what was found, once the search is over; false where nothing
// was, or not yet.
func (e *Explainer) Changes() ([]Change, bool) { return e.found, e.done && e.found != nil }

// Spent returns how many applications the search has taken so far.
func (e *Explainer) Spent() int { return e.spent }

// step does one piece of the search: proposes, tries or makes a change.
func (e *Explainer) step() {
	if len(e.stack) == 0 {
		if e.depth == MaxExplained {
			e.done = true
			return
		}
		e.depth++
		e.enter(e.a, nil)
		return
	}
	at := &e.stack[len(e.stack)-1]
	switch {
	case len(at.views) > 0:
		e.propose(at)
	case at.next < len(at.untried):
		at.next++
		e.try(at, at.untried[at.next-1])
	case !at.sorted:
		slices.SortStableFunc(at.kids, func(a, b kid) int { return a.apart - b.apart })
		at.sorted = true
		if len(at.made) == 0 && e.depth > 1 {
			e.first = slices.Clone(at.kids)
		}
	case len(at.kids) > 0:
		k := at.kids[0]
		at.kids = at.kids[1:]
		e.follow(*at, k)
	default:
		e.stack = e.stack[:len(e.stack)-1]
	}
}

// lineWeight is the weight of a voice that differs, against strokes that do:
// what puts a voice right altogether goes before what puts many strokes right
// here and there. Our choice.
const lineWeight = 100

// proposing is how many proposals cost as much as one application; about what
// was measured.
const proposing = 4

// enter begins to look on from a passage that some changes made.
func (e *Explainer) enter(p passage.Passage, made []Change) {
	e.spent++
	l := level{p: p, made: made, gap: gapBetween(p, e.b)}
	all := viewOf(p, e.b)
	switch {
	case len(made)+1 == e.depth:
		l.views = []view{all}
	case len(made) == 0 && e.first != nil:
		l.kids = e.first
	default:
		l.views = all.parts(len(made) == 0)
		l.seen = map[uint64]bool{}
	}
	e.stack = append(e.stack, l)
}

// propose collects the proposals of one entry for one view; after the last, it
// puts the simplest first.
func (e *Explainer) propose(at *level) {
	found := at.views[0].proposals(&entries()[at.entry])
	at.untried = append(at.untried, found...)
	e.spent += (len(found) + proposing - 1) / proposing
	if at.entry++; at.entry == len(entries()) {
		at.entry, at.views = 0, at.views[1:]
	}
	if len(at.views) == 0 {
		at.untried = once(simplestFirst(at.untried))
	}
}

// once leaves out changes that stand there twice.
func once(all []Change) []Change {
	seen := make(map[string]bool, len(all))
	return slices.DeleteFunc(all, func(c Change) bool {
		text := c.String()
		twice := seen[text]
		seen[text] = true
		return twice
	})
}

// try makes a sketch of a change: as the last one it must reach the goal, as
// an earlier one it is kept to be followed.
func (e *Explainer) try(at *level, c Change) {
	e.spent++
	sketch, ok := c.sketch(at.p)
	if !ok {
		return
	}
	left := at.gap.after(c, sketch, e.b)
	if len(at.made)+1 == e.depth {
		if left.total() == 0 {
			e.finish(at, c)
		}
		return
	}
	if mark := c.mark(at.p, sketch); !at.seen[mark] {
		at.seen[mark] = true
		at.kids = append(at.kids, kid{c, left.lines()*lineWeight + left.total()})
		e.narrow(at)
	}
}

// narrow keeps the kids that will be followed, so that their number stays
// small.
func (e *Explainer) narrow(at *level) {
	most := followed[e.depth][len(at.made)]
	if len(at.kids) < 2*most && at.next < len(at.untried) {
		return
	}
	slices.SortStableFunc(at.kids, func(a, b kid) int { return a.apart - b.apart })
	at.kids = at.kids[:min(most, len(at.kids))]
}

// finish believes a last change when it is made with all checks.
func (e *Explainer) finish(at *level, c Change) {
	e.spent += fullApplication
	if after, err := c.made(at.p); err == nil && passage.Same(after, e.b) {
		e.found, e.done = append(slices.Clone(at.made), c), true
	}
}

// follow makes a change with all checks and looks on from there.
func (e *Explainer) follow(at level, k kid) {
	e.spent += fullApplication
	if after, err := k.change.made(at.p); err == nil {
		e.enter(after, append(slices.Clone(at.made), k.change))
	}
}

// made makes a change that can be written.
func (c Change) made(p passage.Passage) (passage.Passage, error) {
	if len(c.String()) > MaxText {
		return p, refuse("use shorter lists", "the change has more than %d characters", MaxText)
	}
	return c.Apply(p)
}
