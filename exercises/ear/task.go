// Package ear asks what was heard: trials of ear training, made from the
// passages that are played and the changes of the catalogue.
//
// The one idea: a trial is a pure function of a task, a source (one step of a
// climb), a difficulty and a seed. Nothing of it is kept but these four, the
// answer and the time, so what is asked, marked and explained can get better
// without losing what was answered.
//
// A difficulty is one number; what it counts, its [Scale] says: milliseconds,
// percent, strokes that differ. Times are exact quarter notes (see package
// meter) until they are compared as sounds, which is in milliseconds. Random
// choices come from the seed only. No passage and no answer causes a panic:
// what does not fit is refused with "what; what to do".
//
// Call [Tasks] or [Named] for a task, [Next] for a trial from some sources
// (never the last one again), [Task.Trial] for one from a given source and
// seed. Play its Sounds, put its Asks, give the [Answer] to [Trial.Mark]. An
// answer is a choice, a place, strokes on a strip, or taps in seconds from the
// first downbeat of what sounds.
//
// A [Session] chooses task, difficulty and seed of each question and sums up
// at the end. [Trial.Done] is what is kept of an answer, and [Done.Again] marks
// it anew where [Marker] has grown. [Threshold] is read off what was [Tried].
//
// # How to add a task
//
// Write a file with a function that returns the [Task], and name it in [Tasks]
// in the order in which players see it. Its make draws everything from the
// maker: a window of the source, the one difference of the asked size, and the
// right answer as the truth that mark is held against; loops that take long call
// its pause, so that a page answers meanwhile. What a choice is called
// stands in words.go only. Whoever changes how answers are marked raises
// [Marker]. The tests walk the table: the same seed makes the same trial, no two
// choices sound alike, harder is never easier, the right answer is marked
// right and a wrong one wrong, a listener's known threshold is found, no answer
// causes a panic, and sources that do not fit are refused.
package ear

import (
	"math"
	"math/rand/v2"
	"slices"

	"stampmill/exercises/staircase"
)

// A Task is one kind of question. Tasks are made by this package only.
type Task struct {
	Name     string  // one word, as in "stampmill ear same"
	Title    string  // for headings
	Question string  // what is asked, where it is the same in every trial
	About    string  // what the player hears and does
	Yes      bool    // two answers, the first of which is yes: there was something
	Answered AskKind // how its first ask is answered
	Scale    Scale
	Stair    staircase.Stair // on levels of the scale, see [Scale.Level]

	make func(m *maker) (Trial, error)
	mark func(t Trial, a Answer) Result
}

// A Scale says what a difficulty counts.
type Scale struct {
	Unit      string // "ms", "%", "strokes"
	Means     string // what is counted
	Low, High float64
	Falling   bool // smaller is harder
	Log       bool // equal ratios, not equal differences, are felt as equal
}

// Level returns a difficulty as a level of a staircase, whose equal steps are
// felt as equal: its logarithm to base 2 on a scale of ratios.
func (s Scale) Level(d float64) float64 {
	if s.Log {
		return math.Log2(d)
	}
	return d
}

// Of returns the difficulty of a level, the inverse of [Scale.Level], within
// the scale.
func (s Scale) Of(level float64) float64 {
	if s.Log {
		level = math.Exp2(level)
	}
	return s.Within(level)
}

// Within returns the difficulty of the scale that is nearest to d.
func (s Scale) Within(d float64) float64 { return min(max(d, s.Low), s.High) }

// Harder reports whether a is harder than b.
func (s Scale) Harder(a, b float64) bool {
	if s.Falling {
		return a < b
	}
	return a > b
}

// The steps of staircases, in levels. Our choice: a first step of a factor 1.4
// comes near a threshold within ten trials, a last one of 1.1 stays about it.
const (
	firstStep = 0.5
	leastStep = 0.125
)

// threeBack is the weighted rule that holds 75 % right: one step harder after
// each right answer, three easier after each wrong one (Kaernbach 1991,
// Percept. Psychophys. 49 227-229).
var threeBack = staircase.Rule{Passes: 1, Back: 3}

// stair returns the staircase of a scale of ratios that starts at a difficulty.
func stair(s Scale, start float64) staircase.Stair {
	return staircase.Stair{
		Rule: threeBack, Start: s.Level(start), First: firstStep, Least: leastStep,
		Low: s.Level(s.Low), High: s.Level(s.High), Falling: s.Falling,
	}
}

// Tasks returns the tasks in the order in which players see them.
func Tasks() []Task {
	return []Task{same(), what(), where(), write(), tap(), beat(), ahead(), tempo(), count(), silence()}
}

// Named returns the task with a name.
func Named(name string) (Task, bool) {
	all := Tasks()
	i := slices.IndexFunc(all, func(t Task) bool { return t.Name == name })
	if i < 0 {
		return Task{}, false
	}
	return all[i], true
}

// random returns the source of chance of a trial. The name keeps tasks with
// the same seed apart.
func random(name string, seed uint64) *rand.Rand {
	h := uint64(14695981039346656037) // FNV-1a, 64 bits
	for _, c := range []byte(name) {
		h = (h ^ uint64(c)) * 1099511628211
	}
	return rand.New(rand.NewPCG(seed, h))
}
