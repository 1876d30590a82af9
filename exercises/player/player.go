// Package player makes up players whose timing is known, to try grading with.
//
// The one idea: a simulated player is a written list of strokes plus a model
// of human timing plus a source of randomness that is an argument, so the same
// seed plays the same take. Options are in milliseconds, times in seconds.
// Call [Simulate] for the taps of a take.
package player

import (
	"math/rand/v2"

	"stampmill/exercises/grade"
)

type Options struct {
	LeanMS, SpreadMS, DriftBPM, Miss, Extra, LatencyMS float64
}

func Simulate(e grade.Expected, o Options, rng *rand.Rand) []grade.Tap { return nil }
