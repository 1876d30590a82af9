package ear

import (
	"errors"
	"iter"
	"math"
	"math/rand/v2"
)

// tries is how many seeds are tried for each source before it is passed over.
// Our choice: with one difference in two, all of sixteen are the last trial
// once in 65,000 times.
const tries = 16

// How far what comes of a source may be from what was asked for, in levels of
// the scale, and how many more sources are tried where it is farther. Our
// choices: a first step of a staircase, so that a step up is never answered with
// something easier than before; six sources more take less than a second.
const (
	farOff  = firstStep
	mostFar = 6
)

// Next makes a trial from one of some sources, never the last one again.
// Sources that do not fit are passed over; those that stand first are taken
// more often. Where a source has nothing as hard as was asked, some others are
// tried, and what comes nearest is taken. The seed chooses all: the trial's own seed follows from it, and
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

	step  func() (struct{}, bool) // goes on with the trial being made; nil between two
	stop  func()                  // gives it up
	made  Trial
	error error

	trial  Trial // the one that is nearest so far
	there  bool  // there is one
	far    int   // sources of which none was near
	done   bool
	passed Source // the first that was passed over
	why    error  // nil for none
}

// Begin begins to make a trial as [Next] does.
func Begin(t Task, sources []Source, d float64, seed uint64, last Trial) *Making {
	rng := random("next", seed)
	return &Making{task: t, sources: sources, d: d, last: last, rng: rng, order: order(rng, len(sources))}
}

// Next goes on by a few ms of work, and reports whether the answer is known.
// Who does not go on until it is calls Stop.
func (m *Making) Next() (done bool) {
	if m.done || len(m.order) == 0 {
		return true
	}
	if m.step == nil {
		m.begin()
	}
	if _, more := m.step(); more {
		return false
	}
	m.step = nil
	m.tried++
	switch {
	case m.error != nil:
		m.pass(m.error)
	case !m.made.repeats(m.last):
		m.take()
	case m.tried == tries:
		m.pass(nil)
	}
	m.done = m.done || len(m.order) == 0 && m.there
	return m.done || len(m.order) == 0
}

// take keeps the trial made where it is the nearest so far, and goes on to the
// next source where it is not near. In place of a change there is never no
// change: how often nothing changes is as the task draws it.
func (m *Making) take() {
	if !m.there || m.made.Made > 0 && m.made.off() < m.trial.off() {
		m.trial, m.there = m.made, true
	}
	if m.far++; m.trial.off() <= farOff || m.far > mostFar {
		m.done = true
		return
	}
	m.pass(nil)
}

// off returns how far what was made is from what was asked for, in levels.
func (t Trial) off() float64 {
	if t.Made == 0 { // nothing changed, as hard as what was asked for
		return 0
	}
	return math.Abs(t.Task.Scale.Level(t.Task.Scale.Within(t.Made)) - t.Task.Scale.Level(t.D))
}

// Stop gives the making up, and lets go of what it holds. Next is not to be
// called any more. It does nothing to one that is done.
func (m *Making) Stop() {
	if m.step != nil {
		m.stop()
		m.step = nil
	}
	m.order = nil
}

// begin begins a trial of the source being tried, which waits at each pause.
func (m *Making) begin() {
	source, seed := m.sources[m.order[0]], m.rng.Uint64()
	m.step, m.stop = iter.Pull(func(yield func(struct{}) bool) {
		defer func() {
			if r := recover(); r != nil && r != (givenUp{}) {
				panic(r)
			}
		}()
		m.made, m.error = m.task.trial(source, m.d, seed, func() {
			if !yield(struct{}{}) {
				panic(givenUp{}) // the way out of a trial that waits at a pause
			}
		})
	})
}

// givenUp ends a trial that nobody waits for any more.
type givenUp struct{}

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
