package staircase

import (
	"fmt"
	"math"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// The tempo staircase: up after two passes in a row, down after a fail. That
// rule settles where a take is passed with probability 0.5^(1/2), 70.7 %
// (Levitt 1971). Steps are shares of the tempo, for tempi are heard as ratios:
// differences under about 2 % are hard to tell (Drake & Botte 1993, "Tempo
// sensitivity in auditory sequences", Percept. Psychophys. 54 277-286: at best
// 1.5 %). The sizes are our choice.
const (
	startUnder = 0.92 // of the written tempo: where a player begins who never passed
	firstStep  = 0.08
	leastStep  = 0.02
	quicken    = 3 // moves the same way: the player has learned, or the start was far off
)

var tempoRule = Rule{Passes: 2, Back: 1}

// TempoRate is the rate of passing that the tempo staircase holds.
var TempoRate = tempoRule.Target()

// A Pace is the tempo to play next, and what it rests on. All tempi are whole
// beats a minute.
type Pace struct {
	BPM    float64   // to play next
	Owned  float64   // highest tempo passed twice; 0 for none
	Passed float64   // tempo passed last; 0 for none
	Played bool      // there was a trial
	Step   float64   // size of the next move, beats a minute
	Why    string    // in words: "Two passes at 96: now 100."
	Turns  []float64 // tempi at which the way turned, in order
}

// Start returns the tempo at which to open a step again: where the player last
// passed, but not above what is to be played next.
func (p Pace) Start() float64 {
	if p.Passed > 0 {
		return min(p.Passed, p.BPM)
	}
	return p.BPM
}

// Bounds are the lowest and highest tempo that can be asked for, beats a
// minute of the first bar.
type Bounds struct{ Low, High float64 }

// AnyTempo are the bounds of a passage with one tempo.
var AnyTempo = Bounds{meter.MinBPM, meter.MaxBPM}

// BoundsOf returns the tempi that a passage can have, so that none of its bars
// leaves 20 to 400 beats a minute: a passage that modulates has fewer.
func BoundsOf(p passage.Passage) Bounds {
	b := AnyTempo
	if len(p.Bars) == 0 {
		return b
	}
	first := p.Bars[0].Tempo.BPM.Float()
	for _, bar := range p.Bars {
		ratio := bar.Tempo.BPM.Float() / first
		if ratio > 0 && !math.IsInf(ratio, 0) {
			b.Low = max(b.Low, math.Ceil(meter.MinBPM/ratio-rounding))
			b.High = min(b.High, math.Floor(meter.MaxBPM/ratio+rounding))
		}
	}
	return b.sound()
}

// rounding of a quotient must not cost a whole beat a minute.
const rounding = 1e-9

// sound returns whole bounds that hold at least one tempo.
func (b Bounds) sound() Bounds {
	b.Low = math.Ceil(clamp(b.Low, AnyTempo))
	b.High = math.Floor(clamp(b.High, AnyTempo))
	if math.IsNaN(b.Low) || math.IsNaN(b.High) || b.Low > b.High {
		return AnyTempo
	}
	return b
}

func clamp(x float64, b Bounds) float64 { return min(max(x, b.Low), b.High) }

// Tempo returns the tempo of a step of which trials are all whole takes of one
// part, in order of time, and written is its goal, beats a minute. Trials
// count at whole beats a minute.
func Tempo(trials []Trial, written float64) Pace { return TempoWithin(trials, written, AnyTempo) }

// TempoWithin is [Tempo] for a passage that cannot have every tempo.
func TempoWithin(trials []Trial, written float64, b Bounds) Pace {
	b = b.sound()
	if math.IsNaN(written) {
		written = b.Low
	}
	goal := clamp(math.Round(written), b)
	stair := tempoStair(goal, b)
	now := stair.Begin()
	played := false
	why := func() string {
		return fmt.Sprintf("Not played yet: it starts at %.0f, a little under the goal of %.0f.", beats(now.Level), goal)
	}
	for _, t := range trials {
		if !(t.Level >= meter.MinBPM && t.Level <= meter.MaxBPM) {
			continue
		}
		t.Level = math.Round(t.Level)
		played = true
		was := now.Level
		now = stair.After(now, Trial{math.Log(t.Level), t.Passed})
		why = func() string { return reason(t, beats(was), now) }
	}
	p := pace(now, why())
	p.Played = played
	return p
}

// tempoStair is a [Stair] on the logarithm of the tempo, whose levels are kept
// at whole beats a minute.
func tempoStair(goal float64, b Bounds) Stair {
	return Stair{
		Rule: tempoRule, Start: math.Log(clamp(math.Round(goal*startUnder), b)),
		First: math.Log1p(firstStep), Least: math.Log1p(leastStep),
		Low: math.Log(b.Low), High: math.Log(b.High), Quicken: quicken,
		snap: func(from, to float64) float64 { return math.Log(whole(beats(from), math.Exp(to), goal)) },
	}
}

// whole returns the whole tempo at which a move from from to to ends: at least
// one beat a minute on, and not past the goal on the way up.
func whole(from, to, goal float64) float64 {
	switch {
	case math.Abs(to-from) < rounding*from: // at the end of the bounds
		return from
	case to < from:
		return min(math.Round(to), from-1)
	case from < goal && to > goal*(1-leastStep):
		return goal
	}
	return max(math.Round(to), from+1)
}

// beats returns the tempo of a level, beats a minute.
func beats(level float64) float64 { return math.Round(math.Exp(level)) }

func pace(now Now, why string) Pace {
	p := Pace{BPM: beats(now.Level), Why: why}
	p.Step = max(1, math.Round(p.BPM*math.Expm1(now.Step)))
	if !math.IsNaN(now.Mastered) {
		p.Owned = beats(now.Mastered)
	}
	if !math.IsNaN(now.Last) {
		p.Passed = beats(now.Last)
	}
	for _, level := range now.Reversals {
		p.Turns = append(p.Turns, beats(level))
	}
	return p
}

// reason says why the tempo is what it is after a trial, where it was to be
// played at was.
func reason(t Trial, was float64, now Now) string {
	bpm := beats(now.Level)
	switch {
	case t.Passed && bpm > t.Level && now.InARow == 0 && bpm != was:
		return fmt.Sprintf("Passed twice in a row at %.0f: now %.0f.", t.Level, bpm)
	case t.Passed && bpm > t.Level:
		return fmt.Sprintf("Passed at %.0f, which you own: on to %.0f.", t.Level, bpm)
	case t.Passed && now.InARow == 0:
		return fmt.Sprintf("Passed twice in a row at %.0f: this passage goes no faster.", t.Level)
	case t.Passed:
		return fmt.Sprintf("Passed once at %.0f: once more there, and it goes up.", t.Level)
	case bpm < t.Level:
		return fmt.Sprintf("Not passed at %.0f: back to %.0f.", t.Level, bpm)
	}
	return fmt.Sprintf("Not passed at %.0f: this passage goes no slower.", t.Level)
}
