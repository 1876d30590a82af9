package draft

import (
	"stampmill/exercises/complexity"
	"stampmill/exercises/drill"
	"stampmill/exercises/limbs"
	"stampmill/exercises/passage"
)

// Rating says how hard the current step is, as it could last be read, and what
// of it is new against the step before. It is worked out when asked for.
func (d Draft) Rating(pedals limbs.Pedals) complexity.Rating {
	before, ok := d.before()
	if !ok {
		return complexity.RateFor(pedals, nil, d.Passage())
	}
	return complexity.RateFor(pedals, &before, d.Passage())
}

// before returns the passage of the step before the current one, false when
// there is none that could be read.
func (d Draft) before() (passage.Passage, bool) {
	if d.step == 0 || d.step > len(d.steps) {
		return passage.Passage{}, false
	}
	p := d.steps[d.step-1].Passage
	return p, len(p.Bars) > 0
}

// Unplayable returns where people cannot play the current step, at its places
// in the bars and, in the same order, in the text. It is worked out when asked
// for.
func (d Draft) Unplayable(pedals limbs.Pedals) (passage.Problems, drill.Problems) {
	if !d.Current().Good {
		return nil, nil
	}
	found := limbs.Problems(d.Passage(), pedals)
	return found, d.reading.Place(d.step, found)
}
