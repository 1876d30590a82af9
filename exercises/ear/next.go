package ear

import (
	"errors"
	"math/rand/v2"
)

// tries is how many seeds are tried for each source before it is passed over.
// Our choice: with one difference in two, all of sixteen are the last trial
// once in 65,000 times.
const tries = 16

// Next makes a trial from one of some sources, never the last one again.
// Sources that do not fit are passed over; those that stand first are taken
// more often. The seed chooses all: the trial's own seed follows from it, and
// stands in the trial. Where nothing fits, the error is that of the source
// that was tried first.
func Next(t Task, sources []Source, d float64, seed uint64, last Trial) (Trial, error) {
	m := Begin(t, sources, d, seed, last)
	for !m.Next() {
	}
	return m.Trial()
}

// A Making is [Next] in slices, so that a page can answer meanwhile.
type Making struct {
	task    Task
	sources []Source
	d       float64
	last    Trial
	rng     *rand.Rand
	order   []int // sources that are left, the one being tried first
	tried   int   // seeds of it

	trial  Trial
	done   bool
	passed Source // the first that was passed over
	why    error  // nil for none
}

// Begin begins to make a trial as [Next] does.
func Begin(t Task, sources []Source, d float64, seed uint64, last Trial) *Making {
	rng := random("next", seed)
	return &Making{task: t, sources: sources, d: d, last: last, rng: rng, order: order(rng, len(sources))}
}

// Next goes on by one trial, some 10 ms of work, and reports whether the answer
// is known.
func (m *Making) Next() (done bool) {
	if m.done || len(m.order) == 0 {
		return true
	}
	trial, err := m.task.Trial(m.sources[m.order[0]], m.d, m.rng.Uint64())
	m.tried++
	switch {
	case err != nil:
		m.pass(err)
	case !trial.repeats(m.last):
		m.trial, m.done = trial, true
		return true
	case m.tried == tries:
		m.pass(nil)
	}
	return len(m.order) == 0
}

// pass goes on to the next source; why is nil where this one gives only the
// last trial again.
func (m *Making) pass(why error) {
	if why != nil && m.why == nil {
		m.passed, m.why = m.sources[m.order[0]], why
	}
	m.order, m.tried = m.order[1:], 0
}

// Trial returns the trial, once the answer is known, or why there is none.
func (m *Making) Trial() (Trial, error) {
	switch {
	case m.done:
		return m.trial, nil
	case len(m.sources) == 0:
		return Trial{}, errors.New("there is no exercise to ask about; write one, or take one of the library")
	case m.why != nil:
		return Trial{}, m.why
	}
	return Trial{}, errors.New("only one question can be made here, and it was the last one; take another exercise")
}

// Passed returns the first source that was passed over because it does not
// fit, and why; nil where there was none.
func (m *Making) Passed() (Source, error) { return m.passed, m.why }
