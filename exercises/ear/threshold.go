package ear

import (
	"math"
	"strconv"

	"stampmill/exercises/grade"
	"stampmill/exercises/staircase"
)

// A Tried is what of an answered trial counts for a threshold.
type Tried struct {
	D      float64 // difficulty that was asked for, on the scale of the task
	Made   float64 // as it came out, see [Trial.Made]; 0 for as asked
	Chance float64 // how likely a guess was right, see [Trial.Chance]
	Yes    bool    // of a yes/no task: yes was the right answer
	Right  bool
}

// Tried returns what of a trial with this result counts.
func (t Trial) Tried(r Result) Tried {
	return Tried{D: t.D, Made: t.Made, Chance: t.Chance(), Yes: t.Yes(), Right: r.Right}
}

// heard returns the difficulty that there was to be heard.
func (x Tried) heard(s Scale) float64 {
	if x.Made > 0 {
		return s.Within(x.Made)
	}
	return x.D
}

// After returns where the staircase of a task stands after trials in order of
// time: [Scale.Of] its level is the difficulty of the next one. It goes by what
// was asked for, since what comes out has not every size.
func (t Task) After(all []Tried) staircase.Now {
	now := t.Stair.Begin()
	for _, x := range all {
		if t.Scale.holds(x.D) {
			now = t.Stair.After(now, staircase.Trial{Level: t.Scale.Level(x.D), Passed: x.Right})
		}
	}
	return now
}

// holds reports whether a difficulty is on the scale.
func (s Scale) holds(d float64) bool { return s.Low < s.High && d >= s.Low && d <= s.High }

// An Estimate is how small a difference is still heard, as far as the trials
// tell. Difficulties are in the unit of the scale.
type Estimate struct {
	D         float64 // difficulty at which answers are right at Rate
	Low, High float64 // its 95 % interval, as far as the scale goes
	// LowOpen and HighOpen say that the interval goes on beyond the scale on
	// that side: the trials do not tell how far.
	LowOpen, HighOpen bool
	OK                bool
	Why               string // why not OK; D, Low and High mean nothing then

	Rate  float64      // of right answers at D, that which the staircase holds
	N     int          // trials that all of this rests on
	Turns grade.Figure // another way to D: the mean of the levels at which the staircase turned

	// Of yes/no tasks, over all difficulties tried, see [YesNo]: how well answers
	// were told apart on the way, and whether they lean to one of the two. What
	// the player can hear is D.
	DPrime, Leaning grade.Figure
}

// Why there is no estimate.
const (
	fewTrials = "not enough trials"
	tooHard   = "too few right answers to tell"
	tooEasy   = "too few wrong answers to tell"
	goodGuess = "guessing is right too often"
)

// What an estimate wants. Our choice.
const (
	// recent is how many trials count, the last ones: hearing gets better.
	recent = 200
	// LeastTrials: with fewer, the interval is as wide as the scale.
	LeastTrials = 20
	// earlyTurns are left out of the mean of turns: the staircase is still on
	// its way.
	earlyTurns = 4
	// leastMids is how many pairs of turns a mean wants, so that its interval
	// holds (tested).
	leastMids = 6
)

// Threshold returns the estimate of a task from its trials in order of time.
// What is no trial of the scale is passed over.
//
// The threshold is the most likely one under a curve from guessing to knowing
// (package player has such listeners); the interval holds all those with which
// the likelihood falls by no more than chance allows. It asks nothing of how
// levels were chosen, so trials at other levels than the staircase named count
// as well, and goes by the differences as they came out. It holds the
// thresholds of 90 to 99 of 100 simulated listeners from 40 trials on; of 25
// trials, those of 87 with a flat curve.
func Threshold(t Task, all []Tried) Estimate {
	tried := fitting(t.Scale, all)
	e := Estimate{N: len(tried), Rate: t.Stair.Target()}
	if t.Yes {
		y := answersOf(tried)
		e.DPrime, e.Leaning = y.DPrime(), y.Criterion()
	}
	e.Turns = turns(t, tried)
	if len(tried) < LeastTrials {
		e.Why = fewTrials
		return e
	}
	e.fit(t.Scale, tried)
	return e
}

// fitting returns the last trials that can be such of a scale.
func fitting(s Scale, all []Tried) []Tried {
	var kept []Tried
	for _, t := range all {
		if s.holds(t.D) && t.Chance >= 0 && t.Chance < 1 {
			kept = append(kept, t)
		}
	}
	return kept[max(0, len(kept)-recent):]
}

func answersOf(tried []Tried) YesNo {
	var y YesNo
	for _, t := range tried {
		switch {
		case t.Yes && t.Right:
			y.Hits++
		case t.Yes:
			y.Misses++
		case t.Right:
			y.Rejections++
		default:
			y.FalseAlarms++
		}
	}
	return y
}

// turns returns the mean of the turns of a staircase. A turn one way and the
// next one the other way count as one value, so that neither outweighs
// (Wetherill & Levitt 1965, Br. J. Math. Stat. Psychol. 18 1-10, from memory).
// The interval is half a smallest step wider on both sides: staircases settle
// no nearer, and easier by that much where guesses are seldom right.
func turns(t Task, tried []Tried) grade.Figure {
	at := t.After(tried).Reversals
	var mids []float64
	for i := earlyTurns; i+1 < len(at); i += 2 {
		mids = append(mids, (at[i]+at[i+1])/2)
	}
	f := grade.Mean(mids)
	if len(mids) < leastMids {
		f = grade.Figure{N: len(mids)}
	}
	if f.OK {
		f.Value, f.Low, f.High = t.Scale.Of(f.Value), t.Scale.Of(f.Low-t.Stair.Least/2), t.Scale.Of(f.High+t.Stair.Least/2)
	}
	return f
}

// fit finds the threshold and its interval.
func (e *Estimate) fit(s Scale, tried []Tried) {
	chance := 0.0
	for _, x := range tried {
		chance += x.Chance / float64(len(tried))
	}
	if chance >= e.Rate {
		e.Why = goodGuess
		return
	}
	// Cells rise with ease, and ease with difficulties on a falling scale only.
	best, from, to := peak(profile(heaps(s, tried), e.Rate, chance))
	e.D, e.Low, e.High = s.ofCell(best), s.ofCell(from), s.ofCell(to)
	e.LowOpen, e.HighOpen = from <= 0, to >= cells
	if !s.Falling {
		e.Low, e.High, e.LowOpen, e.HighOpen = e.High, e.Low, e.HighOpen, e.LowOpen
	}
	switch {
	case from <= 0 && to >= cells:
		e.Why = fewTrials
	case best <= 0:
		e.Why = tooEasy
	case best >= cells:
		e.Why = tooHard
	}
	e.OK = e.Why == ""
}

// Says returns the estimate in words: "12 ms, between 9 and 16".
func (e Estimate) Says(s Scale) string {
	d := s.says(e.D)
	switch {
	case !e.OK:
		return e.Why
	case e.LowOpen:
		return d + ", at most " + short(e.High)
	case e.HighOpen:
		return d + ", at least " + short(e.Low)
	}
	return d + ", between " + short(e.Low) + " and " + short(e.High)
}

// says returns a difficulty with its unit: "12 ms", "1 stroke".
func (s Scale) says(d float64) string {
	if n := short(d); n != "1" {
		return n + " " + s.Unit
	}
	if one, ok := oneOf[s.Unit]; ok {
		return "1 " + one
	}
	return "1 " + s.Unit
}

// oneOf are the units that are counted.
var oneOf = map[string]string{"strokes": "stroke", "bars": "bar", "beats": "beat"}

// short returns a number with two digits that count, or as a whole one.
func short(x float64) string {
	if x >= 10 {
		return strconv.FormatFloat(math.Round(x), 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', 2, 64)
}
