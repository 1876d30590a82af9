package limbs

import (
	"slices"
	"sort"

	"stampmill/exercises/passage"
)

// maxCause is the most tasks among which the cause of a clash is looked for
// one by one; a longer one is told as a whole. Our choice: causes have two to
// five tasks.
const maxCause = 40

// clash says why the instant after so many solved tasks cannot be played.
func (s *solver) clash(p passage.Passage, solved int) *Clash {
	now := s.tasks[solved:instant(s.tasks, solved)]
	cause := now
	if limbsFor(now) <= len(s.limbs) {
		cause = s.cause(s.tasks[:solved+len(now)])
	}
	what, do := s.words(cause)
	return &Clash{voicesOf(cause), now[0].at, p.Place(now[0].at), what, do, cause[len(cause)-1].voice}
}

// limbsFor returns how many limbs the tasks of one instant take.
func limbsFor(ts []task) int {
	n := 0
	for i := range ts {
		n += ts[i].takes()
	}
	return n
}

// cause returns tasks that cannot be played together and of which none can be
// left out, given that all of them cannot. Leaving a task out never makes the
// others impossible, so a search by halves finds how far back the cause
// reaches.
func (s *solver) cause(ts []task) []task {
	judge := solver{crew: s.crew}
	fails := func(ts []task) bool {
		judge.tasks = ts
		return judge.solve() < len(ts)
	}
	low, high := 0, 1 // so many last tasks can be played, so many perhaps not
	for high < len(ts) && !fails(ts[len(ts)-high:]) {
		low, high = high, 2*high
	}
	high = min(high, len(ts))
	reach := low + 1 + sort.Search(high-low-1, func(i int) bool { return fails(ts[len(ts)-low-1-i:]) })
	return without(slices.Clone(ts[len(ts)-reach:]), fails)
}

// without leaves out what can be left out while the rest still fails.
func without(ts []task, fails func([]task) bool) []task {
	for i := 0; i < len(ts) && len(ts) <= maxCause; {
		if rest := slices.Delete(slices.Clone(ts), i, i+1); fails(rest) {
			ts = rest
		} else {
			i++
		}
	}
	return ts
}

// voicesOf returns the voices of tasks, each once, in their order.
func voicesOf(ts []task) []passage.Voice {
	var all []passage.Voice
	for _, t := range ts {
		all = append(all, t.voice)
	}
	slices.Sort(all)
	return slices.Compact(all)
}
