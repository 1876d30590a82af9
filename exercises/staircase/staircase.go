// Package staircase holds adaptive levels. The one idea: the next level
// follows from the levels tried so far and from whether each was passed, and
// from nothing else. So a staircase is a fold over trials: it is never stored,
// and a better rule gives other levels from the same trials.
//
// A level is a number on any scale on which equal steps are felt as equal. For
// a [Stair] that is the caller's to choose; for [Tempo] it is beats a minute,
// and steps are shares of the tempo. Levels that are no finite numbers, and
// tempi outside 20 to 400, are passed over. No order of trials is wrong.
//
// Call [Tempo] for the tempo of a step of a climb. Call [Stair.After] trial by
// trial, or [Stair.Run], for any other level, such as the size of a difference
// that the ear is to find.
//
// The rules are those of Levitt 1971, "Transformed up-down methods in
// psychoacoustics", JASA 49 467-477, and Kaernbach 1991, "Simple adaptive
// testing with the weighted up-down method", Percept. Psychophys. 49 227-229.
// [Rule.Target] says which rate of passing each of them holds.
package staircase

import "math"

// A Trial is one attempt at a level.
type Trial struct {
	Level  float64
	Passed bool
}

// A Rule says when the level moves: one step harder after Passes passes in a
// row, Back steps easier after a fail. {1, 1}, {2, 1}, {3, 1} and {4, 1} are
// the transformed rules "1 down 1 up" to "4 down 1 up"; {1, 3} is the weighted
// rule that holds 75 %.
type Rule struct {
	Passes int     // in a row, 1 or more; less counts as 1
	Back   float64 // steps that one fail takes back, over 0; anything else counts as 1
}

func (r Rule) sound() Rule {
	r.Passes = max(r.Passes, 1)
	if !(r.Back > 0) || math.IsInf(r.Back, 0) {
		r.Back = 1
	}
	return r
}

// Target returns the rate of passing, 0 to 1, that the rule holds: where steps
// either way balance, p^Passes = Back (1 - p^Passes), so that p is the
// Passes-th root of Back/(1+Back). With Back 1 these are Levitt's 50, 70.7,
// 79.4 and 84.1 %; with Passes 1 they are Kaernbach's.
func (r Rule) Target() float64 {
	r = r.sound()
	return math.Pow(r.Back/(1+r.Back), 1/float64(r.Passes))
}

// A Stair is a rule on a scale.
type Stair struct {
	Rule
	Start   float64 // first level
	First   float64 // first step, over 0
	Least   float64 // smallest step, over 0 and at most First
	Low     float64 // levels are never under Low
	High    float64 // nor over High
	Falling bool    // lower levels are harder, as with differences to be heard
	Quicken int     // moves the same way after which the step doubles, up to First; 0 for never

	snap func(from, to float64) float64 // where a move ends, on scales that have no level everywhere; nil for at to
}

// Now is where a staircase stands.
type Now struct {
	Level     float64   // the next to try
	Step      float64   // size of the next move
	InARow    int       // passes in a row at Level that count for the next move
	Mastered  float64   // hardest level passed twice; NaN for none
	Last      float64   // level passed last; NaN for none
	Reversals []float64 // levels at which the way turned, in order

	way    int // of the last move: 1 harder, -1 easier, 0 none
	same   int // moves that way in a row
	passed map[float64]int
}

// Begin returns where the staircase stands before any trial.
func (s Stair) Begin() Now {
	return Now{Level: s.within(s.Start), Step: s.First, Mastered: math.NaN(), Last: math.NaN()}
}

// Run returns where the staircase stands after trials, in order.
func (s Stair) Run(trials []Trial) Now {
	now := s.Begin()
	for _, t := range trials {
		now = s.After(now, t)
	}
	return now
}

// After returns where the staircase stands after one more trial. Levels need
// not be those that it named. A pass at a level that is easier and mastered
// already, and a fail at one that is harder, were to be expected: they leave
// the level as it is. Any other trial moves the staircase to where it was.
// What now holds belongs to the result from then on.
func (s Stair) After(now Now, t Trial) Now {
	if math.IsNaN(t.Level) || math.IsInf(t.Level, 0) {
		return now
	}
	if !s.same(t.Level, now.Level) {
		expected := s.expected(now, t)
		now = s.count(now, t)
		if expected {
			if !t.Passed {
				now.InARow = 0
			}
			return now
		}
		now.Level, now.InARow = s.within(t.Level), 0
	} else {
		now = s.count(now, t)
	}
	rule := s.sound()
	if !t.Passed {
		return s.move(now, -1, rule.Back)
	}
	if now.InARow++; now.InARow >= rule.Passes {
		return s.move(now, 1, 1)
	}
	return now
}

// expected reports whether a trial at another level than the next one tells
// nothing.
func (s Stair) expected(now Now, t Trial) bool {
	if !t.Passed {
		return s.harder(t.Level, now.Level)
	}
	return s.harder(now.Level, t.Level) && !math.IsNaN(now.Mastered) && !s.harder(t.Level, now.Mastered)
}

// count remembers a pass.
func (s Stair) count(now Now, t Trial) Now {
	if !t.Passed {
		return now
	}
	now.Last = t.Level
	if now.passed == nil {
		now.passed = map[float64]int{}
	}
	now.passed[t.Level]++
	if now.passed[t.Level] >= 2 && (math.IsNaN(now.Mastered) || t.Level > now.Mastered != s.Falling) {
		now.Mastered = t.Level
	}
	return now
}

// move takes by steps harder (way 1) or easier (-1). Where the way turns, the
// step is halved: the last reversals then lie close about what is sought.
func (s Stair) move(now Now, way int, by float64) Now {
	switch {
	case now.way == -way:
		now.Reversals = append(now.Reversals, now.Level)
		now.Step, now.same = max(s.Least, now.Step/2), 1
	case now.same+1 >= s.Quicken && s.Quicken > 0 && now.way == way:
		now.Step, now.same = min(s.First, 2*now.Step), 1
	default:
		now.same++
	}
	now.way, now.InARow = way, 0
	step := float64(way) * by * now.Step
	if s.Falling {
		step = -step
	}
	to := s.within(now.Level + step)
	if s.snap != nil {
		to = s.within(s.snap(now.Level, to))
	}
	now.Level = to
	return now
}

func (s Stair) within(level float64) float64 { return min(max(level, s.Low), s.High) }

// same reports whether two levels are one: closer than half the smallest step.
func (s Stair) same(a, b float64) bool { return math.Abs(a-b) < s.Least/2 }

// harder reports whether a is harder than b.
func (s Stair) harder(a, b float64) bool {
	if s.Falling {
		a, b = b, a
	}
	return a > b && !s.same(a, b)
}
