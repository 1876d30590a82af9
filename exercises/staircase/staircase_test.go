package staircase

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Levitt 1971, "Transformed up-down methods in psychoacoustics", JASA 49
// 467-477: 0.5^(1/n) (table from memory). Kaernbach 1991, "Simple adaptive
// testing with the weighted up-down method", Percept. Psychophys. 49 227-229:
// S_up (1-p) = S_down p.
var rules = []struct {
	name   string
	rule   Rule
	target float64
}{
	{"1 down 1 up", Rule{1, 1}, .5},
	{"2 down 1 up", Rule{2, 1}, .7071},
	{"3 down 1 up", Rule{3, 1}, .7937},
	{"4 down 1 up", Rule{4, 1}, .8409},
	{"weighted, 75 %", Rule{1, 3}, .75},
	{"weighted, 80 %", Rule{1, 4}, .8},
}

func TestTarget(t *testing.T) {
	for _, test := range rules {
		if got := test.rule.Target(); math.Abs(got-test.target) > 5e-5 {
			t.Errorf("%s: holds %.5f, want %.4f", test.name, got, test.target)
		}
	}
}

// Where each rule settles, by simulation: step .05 on psi(x) = guess +
// (1-guess)/(1+exp(-x/.25)), 60 runs of 4000 trials, the first quarter left
// out, mean psi visited. The spread of runs, .0075, and the .003 that steps of
// this size add, were measured with another program; 1 down 1 up needs a task
// without guessing.
func TestRulesConverge(t *testing.T) {
	if testing.Short() {
		t.Skip("one and a half million trials: run without -short")
	}
	for _, test := range rules {
		guess := .5
		if test.target <= guess {
			guess = 0
		}
		psi := func(x float64) float64 { return guess + (1-guess)/(1+math.Exp(-x/.25)) }
		sum := 0.0
		const runs, trials, left = 60, 4000, 1000
		for run := range runs {
			sum += meanPsi(test.rule, psi, uint64(run), trials, left)
		}
		got := sum / runs
		if allowed := 3*.0075/math.Sqrt(runs) + .003; math.Abs(got-test.rule.Target()) > allowed {
			t.Errorf("%s: settles at %.4f, want %.4f within %.4f", test.name, got, test.rule.Target(), allowed)
		}
	}
}

func meanPsi(rule Rule, psi func(float64) float64, seed uint64, trials, left int) float64 {
	stair := Stair{Rule: rule, Start: .5, First: .05, Least: .05, Low: -10, High: 10, Falling: true}
	random := rand.New(rand.NewPCG(seed, 1))
	now, sum := stair.Begin(), 0.0
	for i := range trials {
		p := psi(now.Level)
		if i >= left {
			sum += p
		}
		now = stair.After(now, Trial{now.Level, random.Float64() < p})
	}
	return sum / float64(trials-left)
}

// The tables of the text: each row is one rule on a scale of whole numbers.
func TestMoves(t *testing.T) {
	plain := Stair{Rule: Rule{2, 1}, Start: 100, First: 8, Least: 2, Low: 20, High: 400}
	quick := plain
	quick.Quicken, quick.First, quick.Start = 2, 8, 100
	falling := plain
	falling.Falling = true
	weighted := Stair{Rule: Rule{1, 3}, Start: 100, First: 2, Least: 2, Low: 0, High: 400}
	tests := []struct {
		name   string
		stair  Stair
		trials []Trial
		want   string // level, step, mastered, last, reversals
	}{
		{"nothing yet", plain, nil, "100 8 NaN NaN []"},
		{"one pass stays", plain, []Trial{{100, true}}, "100 8 NaN 100 []"},
		{"two go up", plain, []Trial{{100, true}, {100, true}}, "108 8 100 100 []"},
		{"a fail goes down", plain, []Trial{{100, false}}, "92 8 NaN NaN []"},
		{"two passes with a fail between are not in a row", plain, []Trial{{100, true}, {100, false}, {92, true}}, "92 8 NaN 92 []"},
		{"a turn halves the step", plain, []Trial{{100, true}, {100, true}, {108, false}}, "104 4 100 100 [108]"},
		{"down to the smallest", plain, []Trial{{100, true}, {100, true}, {108, false}, {104, true}, {104, true}, {106, false}, {104, true}, {104, true}, {106, false}},
			"104 2 104 104 [108 104 106 104 106]"},
		{"falling scales go the other way", falling, []Trial{{100, true}, {100, true}, {92, false}}, "96 4 100 100 [92]"},
		{"weighted", weighted, []Trial{{100, true}, {102, false}}, "96 2 NaN 100 [102]"},
		{"a fail at a harder level tells nothing", plain, []Trial{{140, false}}, "100 8 NaN NaN []"},
		{"but breaks a row", plain, []Trial{{100, true}, {140, false}, {100, true}}, "100 8 100 100 []"},
		{"a pass at a harder level is followed", plain, []Trial{{140, true}}, "140 8 NaN 140 []"},
		{"a fail at an easier level is followed", plain, []Trial{{80, false}}, "72 8 NaN NaN []"},
		{"a pass at an easier level is followed", plain, []Trial{{80, true}, {80, true}}, "88 8 80 80 []"},
		{"unless it was mastered", plain, []Trial{{100, true}, {100, true}, {100, true}}, "108 8 100 100 []"},
		{"three moves the same way quicken", Stair{Rule: Rule{2, 1}, Start: 100, First: 8, Least: 2, Low: 20, High: 400, Quicken: 2},
			[]Trial{{100, true}, {100, true}, {108, false}, {104, true}, {104, true}, {106, true}, {106, true}, {110, true}, {110, true}}, "118 8 110 110 [108 104]"},
		{"never under the lowest", plain, []Trial{{24, false}, {20, false}}, "20 8 NaN NaN []"},
		{"levels that are none", plain, []Trial{{math.NaN(), true}, {math.Inf(1), true}, {math.Inf(-1), false}}, "100 8 NaN NaN []"},
	}
	for _, test := range tests {
		now := test.stair.Run(test.trials)
		got := fmt.Sprint(now.Level, now.Step, now.Mastered, now.Last, now.Reversals)
		if got != test.want {
			t.Errorf("%s: %s, want %s", test.name, got, test.want)
		}
	}
}

// Any trials leave a level within the bounds and a step within its own.
func TestAnyTrials(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stair := Stair{
			Rule:  Rule{rapid.IntRange(-1, 5).Draw(t, "passes"), rapid.Float64().Draw(t, "back")},
			Start: rapid.Float64().Draw(t, "start"), First: 4, Least: 1, Low: -50, High: 50,
			Falling: rapid.Bool().Draw(t, "falling"), Quicken: rapid.IntRange(0, 4).Draw(t, "quicken"),
		}
		trials := rapid.SliceOf(rapid.Custom(func(t *rapid.T) Trial {
			return Trial{rapid.OneOf(rapid.Float64(), rapid.Float64Range(-60, 60)).Draw(t, "level"), rapid.Bool().Draw(t, "passed")}
		})).Draw(t, "trials")
		now := stair.Run(trials)
		if !(now.Level >= stair.Low && now.Level <= stair.High) || !(now.Step >= stair.Least && now.Step <= stair.First) {
			t.Fatalf("level %v, step %v", now.Level, now.Step)
		}
		for _, r := range now.Reversals {
			if !(r >= stair.Low && r <= stair.High) {
				t.Fatalf("turned at %v", r)
			}
		}
		if once := slices.IndexFunc(trials, func(t Trial) bool { return t.Level == now.Mastered && t.Passed }); !math.IsNaN(now.Mastered) && once < 0 {
			t.Fatalf("mastered %v, which was never passed", now.Mastered)
		}
	})
}
