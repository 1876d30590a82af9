package draft

import (
	"stampmill/exercises/change"
	"stampmill/exercises/passage"
)

// Offers are the changes that may fit what is selected, tried a few at a time
// so that a page can answer meanwhile. It is a value: trying gives the Offers
// that are left.
type Offers struct {
	p    passage.Passage
	rest [][]change.Change // ways to make each
}

// Offers returns the changes of the catalogue for the [Draft.Scope] of the
// current step, not yet tried.
func (d Draft) Offers() Offers {
	p, s := d.Passage(), d.Scope()
	if len(p.Bars) == 0 || len(s.Voices) == 0 {
		return Offers{}
	}
	p = roundabout(p, s)
	return Offers{p, change.Offers(p, s)}
}

// roundabout is what sounds in the bars of a span and next to them, where the
// passage is so large that trying a change on all of it would keep a page from
// answering. What fits there may still be refused when it is made.
func roundabout(p passage.Passage, s passage.Span) passage.Passage {
	strokes := 0
	for _, l := range p.Lines {
		strokes += len(l.Strokes)
	}
	if strokes <= maxAtOnce {
		return p
	}
	return p.Excerpt(max(p.Place(s.From).Bar-1, 1), min(p.Place(s.To).Bar+1, len(p.Bars)))
}

// Left returns how many changes are not yet tried.
func (o Offers) Left() int { return len(o.rest) }

// Next tries at most n changes, and returns them with what comes of each, or
// with the reason why it does not fit.
func (o Offers) Next(n int) ([]change.Offer, Offers) {
	n = max(0, min(n, len(o.rest)))
	tried := make([]change.Offer, n)
	for i, ways := range o.rest[:n] {
		tried[i] = change.Try(o.p, ways)
	}
	o.rest = o.rest[n:]
	return tried, o
}
