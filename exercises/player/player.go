// Package player makes up players whose timing is known, to try grading with.
//
// The one idea: a made-up player is what is written plus a model of human
// timing plus a source of randomness, which is an argument, so that the same
// seed plays the same take. Options are in milliseconds, times in seconds,
// early negative. Call [Simulate] for the taps of a take; [Synchronise] and
// [Continue] are two models of tapping from the literature. [Truths] lists ways
// to misread a step, and [Confuse] holds what grading names against them.
package player

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"stampmill/exercises/grade"
)

// Options say how a made-up player plays. The zero value plays as written.
type Options struct {
	LeanMS    float64 // mean error, early negative
	SpreadMS  float64 // standard deviation of the error, at least 0
	DriftBPM  float64 // how much faster than the tempo of the take, which stays above 1
	Miss      float64 // chance of leaving a stroke out, 0 to 1
	Extra     float64 // chance of one tap too many for each stroke, 0 to 1
	LatencyMS float64 // delay of the input, added to every tap
	OneKey    bool    // taps name no voice
}

// Simulate plays what is expected: each stroke has a normal error about the
// lean, and some are left out. Extra taps fall anywhere in the take. Taps
// carry the voice of their stroke, the first where it has several, and come in
// order of time.
func Simulate(e grade.Expected, o Options, rng *rand.Rand) []grade.Tap {
	var taps []grade.Tap
	add := func(seconds float64, pos int) {
		tap := grade.Tap{Seconds: seconds + o.LatencyMS/1000}
		if !o.OneKey {
			tap.Voice = e.Positions[pos].Voices.Voices()[0]
		}
		taps = append(taps, tap)
	}
	end := 0.0
	if n := len(e.Onsets); n > 0 {
		end = float64(e.Onsets[n-1].Pass) * e.PassSeconds
	}
	pace := e.Tempo / max(e.Tempo+o.DriftBPM, 1) // written seconds played in so many
	for _, onset := range e.Onsets {
		played := onset.Seconds*pace + (o.LeanMS+o.SpreadMS*rng.NormFloat64())/1000
		if rng.Float64() >= o.Miss {
			add(played, onset.Position)
		}
		if at := rng.Float64() * end; rng.Float64() < o.Extra {
			add(at, onset.Position)
		}
	}
	slices.SortStableFunc(taps, func(a, b grade.Tap) int { return cmp.Compare(a.Seconds, b.Seconds) })
	return taps
}
