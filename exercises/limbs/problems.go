package limbs

import (
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Problems returns where people cannot play the passage, in order of time: of
// the hands, of the feet, and of each string voice at most one for each bar,
// the first. After a clash the limbs start afresh at the next bar line, so that
// each problem stands by itself. It is nil when all can be played, and for
// programmed drums.
func Problems(p passage.Passage, pedals Pedals) passage.Problems {
	time, ok := newTimeline(p)
	if p.Machine || !ok {
		return nil
	}
	hand, foot := solvers(p, time, pedals)
	found := append(hand.clashes(p), foot.clashes(p)...)
	for _, l := range p.Lines {
		found = append(found, slow(p, l, time)...)
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].At.Less(found[j].At) })
	var out passage.Problems
	for _, c := range found {
		out = append(out, passage.Problem{Voice: c.voice, At: c.At, Place: c.Place, What: c.What, Do: c.Do})
	}
	return out
}

// clashes returns the first clash of each bar.
func (s *solver) clashes(p passage.Passage) []*Clash {
	var found []*Clash
	starts := p.Starts()
	for {
		solved := s.solve()
		if solved == len(s.tasks) {
			return found
		}
		c := s.clash(p, solved)
		found = append(found, c)
		s.tasks = s.tasks[solved:]
		s.tasks = s.tasks[upTo(s.tasks, starts[min(c.Place.Bar, len(starts)-1)]):]
	}
}

// upTo returns how many tasks come before a place, at least one.
func upTo(ts []task, end meter.Rat) int {
	n := 1
	for n < len(ts) && ts[n].at.Less(end) {
		n++
	}
	return n
}
