package player

import (
	"math"
	"math/rand/v2"
)

// A Listener is somebody who is asked questions of the ear, and who is right
// the more often the easier they are. Levels are those of a staircase, on
// which equal steps are felt as equal:
//
//	P(right) = chance + (1 - chance - Lapse) / (1 + exp(-(level - Half)/Width))
//
// and the same with its sign turned where lower levels are easier. At Half, the
// listener is half way from guessing to as good as it gets.
type Listener struct {
	Half   float64 // level
	Width  float64 // levels, over 0; small where it turns from guessing to knowing at once
	Lapse  float64 // share of wrong answers to the easiest questions, 0 to 1 - chance
	Rising bool    // higher levels are harder
}

// Right returns how likely the listener is right at a level where guesses are
// right with a chance, 0 to 1.
func (l Listener) Right(level, chance float64) float64 {
	return chance + (1-chance-l.Lapse)/(1+math.Exp(-l.easier(level)))
}

// easier returns how far a level is from Half, in widths.
func (l Listener) easier(level float64) float64 {
	if l.Rising {
		return (l.Half - level) / l.Width
	}
	return (level - l.Half) / l.Width
}

// Threshold returns the level at which the listener is right with a rate,
// between chance and 1 - Lapse; outside there is none, and it is NaN.
func (l Listener) Threshold(rate, chance float64) float64 {
	p := (rate - chance) / (1 - chance - l.Lapse)
	if !(p > 0 && p < 1) {
		return math.NaN()
	}
	by := l.Width * math.Log(p/(1-p))
	if l.Rising {
		return l.Half - by
	}
	return l.Half + by
}

// Answers reports whether the listener is right once.
func (l Listener) Answers(level, chance float64, rng *rand.Rand) bool {
	return rng.Float64() < l.Right(level, chance)
}
