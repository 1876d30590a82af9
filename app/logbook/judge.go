package logbook

import (
	"errors"

	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// errNoStep is for a take whose step is not known.
var errNoStep = errors.New("the step it was played on is not on this device; the take is kept")

// Judge grades the take of a record on the steps of its text and returns its
// entry; where it cannot be graded the entry says why.
func Judge(name string, r Record, steps []passage.Step) Entry {
	j := begin(name, r, steps)
	for !j.next(searchWork) {
	}
	return j.entry
}

// searchWork is how much of a search for a misreading is done at a time, in the
// units of [grade.Search.Next]: some milliseconds in a browser. Our choice.
const searchWork = 100

// A judging is the grading of one take, in slices.
type judging struct {
	entry   Entry // when it is over
	name    string
	record  Record
	step    passage.Step
	verdict grade.Verdict
	search  *grade.Search // nil where there is none, or no more
}

// begin grades a take but for the search for a misreading.
func begin(name string, r Record, steps []passage.Step) *judging {
	j := &judging{name: name, record: r}
	if n := r.Take.Step; n < 1 || n > len(steps) {
		j.entry = Unreadable(name, r, errNoStep)
		return j
	}
	j.step = steps[r.Take.Step-1]
	o := r.Options(steps)
	o.NoSearch = true
	var err error
	if j.verdict, err = grade.Grade(j.step.Passage, r.Take, o); err == nil {
		j.search, err = grade.NewSearch(j.step.Passage, r.Take, o)
	}
	if err != nil {
		j.entry = Unreadable(name, r, err)
		return j
	}
	j.entry = EntryOf(name, r, j.step, j.verdict)
	return j
}

// next goes on and reports whether the entry is as it stays.
func (j *judging) next(work int) (done bool) {
	if j.search == nil {
		return true
	}
	if !j.search.Next(work) {
		return false
	}
	if m := j.search.Misreading(); m != nil {
		j.entry = EntryOf(j.name, j.record, j.step, j.verdict.With(m))
	}
	j.search = nil
	return true
}
