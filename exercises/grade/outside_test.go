package grade_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"stampmill/exercises/drill"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// quarters are bars of kicks on every beat.
func quarters(t testing.TB, bars int) passage.Passage {
	t.Helper()
	text := "title: Steps\ntempo: 120\nmetre: 4/4\n\nstep: Steps\nsays: Steps.\nkick |"
	for range bars {
		text += " x x x x |"
	}
	climb, problems := drill.Parse("steps.drill", []byte(text+"\n"), nil)
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return climb.Steps[0].Passage
}

// onKick is a take of kicks at such times.
func onKick(t testing.TB, p passage.Passage, bpm float64, passes int, times []float64) grade.Verdict {
	t.Helper()
	tk := grade.Take{Exercise: "steps", Step: 1, Tempo: bpm, Passes: passes, Part: []passage.Voice{passage.Kick}, Input: "simulated"}
	for _, s := range times {
		tk.Taps = append(tk.Taps, grade.Tap{Voice: passage.Kick, Seconds: s})
	}
	v, err := grade.Grade(p, tk, grade.Options{NoSearch: true})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func beats(n int, bpm float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = float64(i) * 60 / bpm
	}
	return out
}

// TestPhaseCorrection: of a player who corrects a share alpha of each error,
// spread and lag-1 correlation come back as the closed forms have them (Vorberg
// and Wing 1996; Vorberg and Schulze 2002), for a clock of 20 and a motor of 10
// ms. Tolerances are four standard errors of the 6,912 strokes, widened by what
// strokes that follow from each other tell less.
func TestPhaseCorrection(t *testing.T) {
	p := quarters(t, 32)
	for _, tt := range []struct{ alpha, sd, rho, sdWithin, rhoWithin float64 }{
		{.25, 32.071, .6528, 1.8, .045}, {.5, 25.820, .3500, 1, .045}, {.75, 24.221, .0795, .8, .045},
		{1, 24.495, -.1667, .8, .045}, {1.5, 30.551, -.6071, 1.4, .045},
	} {
		onsets := beats(6912, 120)
		v := onKick(t, p, 120, 54, player.Synchronise(onsets, player.Phase{Alpha: tt.alpha, ClockMS: 20, MotorMS: 10, LeanMS: -15}, rand.New(rand.NewPCG(3, uint64(100*tt.alpha)))))
		if v.Matched < 6900 {
			t.Errorf("alpha %g: %d matched", tt.alpha, v.Matched)
		}
		if math.Abs(v.Spread.Value-tt.sd) > tt.sdWithin {
			t.Errorf("alpha %g: spread %.3f, want %.3f", tt.alpha, v.Spread.Value, tt.sd)
		}
		if math.Abs(v.Lag1.Value-tt.rho) > tt.rhoWithin {
			t.Errorf("alpha %g: lag 1 %.4f, want %.4f", tt.alpha, v.Lag1.Value, tt.rho)
		}
		if v.Leaning.Low > -15 || v.Leaning.High < -15 {
			t.Errorf("alpha %g: leaning %+v", tt.alpha, v.Leaning)
		}
	}
}

// TestContinuation: of a player who goes on alone, clock and motor come back
// (Wing and Kristofferson 1973, Percept. Psychophys. 14, 5-12): a clock of 20
// and a motor of 10 ms at intervals of 600 ms, in takes of 32 taps at their own
// tempo, each with its own drift, from which the taps wander off their places.
func TestContinuation(t *testing.T) {
	p := quarters(t, 8)
	var clock2, motor2, told, broken float64
	const takes = 300
	for seed := range uint64(takes) {
		rng := rand.New(rand.NewPCG(seed, 11))
		v := onKick(t, p, 100, 1, player.Continue(32, .6, 20, 10, rng))
		if v.Violated {
			broken++
		}
		if !v.Clock.OK {
			continue
		}
		told++
		clock2 += v.Clock.Value * v.Clock.Value
		motor2 += v.Motor.Value * v.Motor.Value
	}
	if told < .6*takes || broken == 0 {
		t.Fatalf("told in %g of %d takes, violated in %g", told, takes, broken)
	}
	// Takes whose correlation came out above 0 by chance are told nothing of, so
	// those that are lie a little to the side of the motor.
	clock, motor := math.Sqrt(clock2/told), math.Sqrt(motor2/told)
	if math.Abs(clock-20) > 3 || math.Abs(motor-10) > 3.5 {
		t.Errorf("clock %.1f, motor %.1f ms in %g takes", clock, motor, told)
	}
}

// TestContinuationRunsAway: taps that go on alone after the click at the mean
// intervals, clocks and motors of published continuation taps (391.6 ms, 15.7
// and 9.0 asked to keep 400; 554.0 ms, 21.0 and 11.4 asked to keep 600: means
// over 12 people, computed from the data). The strokes are followed to the end,
// the drift is the tempo played less the one asked for, and clock and motor are
// those of the intervals, not of the drift.
func TestContinuationRunsAway(t *testing.T) {
	const takes = 60
	p := quarters(t, 8)
	for _, tt := range []struct{ asked, played, clock, motor float64 }{{.4, .3916, 15.7, 9}, {.6, .554, 21, 11.4}} {
		followed, drifts, clocks, told := 0, 0.0, 0.0, 0.0
		for seed := range uint64(takes) {
			v := onKick(t, p, 60/tt.asked, 1, player.Continue(32, tt.played, tt.clock, tt.motor, rand.New(rand.NewPCG(seed, 5))))
			if v.Drift.N >= 30 {
				followed++
				drifts += v.Drift.Value
			}
			if v.Clock.OK {
				told++
				clocks += v.Clock.Value * v.Clock.Value
			}
		}
		if followed < takes*97/100 {
			t.Errorf("%g: %d of %d followed", tt.asked, followed, takes)
		}
		if got, want := drifts/float64(followed), 60/tt.played-60/tt.asked; math.Abs(got-want) > .6 {
			t.Errorf("%g: drift %.2f BPM, want %.2f", tt.asked, got, want)
		}
		if got := math.Sqrt(clocks / told); math.Abs(got-tt.clock) > .25*tt.clock {
			t.Errorf("%g: clock %.1f ms in %g takes, want %.1f", tt.asked, got, told, tt.clock)
		}
	}
}

// TestSynchronisationThenContinuation: twelve taps with a click and thirty
// without, which run 4 % fast: all but a few takes are followed through the
// turn, and what is said first is that the player runs.
func TestSynchronisationThenContinuation(t *testing.T) {
	const takes, with, alone = 40, 12, 30
	p := quarters(t, 11)
	followed := 0
	for seed := range uint64(takes) {
		rng := rand.New(rand.NewPCG(seed, 6))
		taps := player.Synchronise(beats(with, 100), player.Phase{Alpha: .5, ClockMS: 15, MotorMS: 8, LeanMS: -40}, rng)
		c := player.Continue(alone+1, .575, 18, 9, rng)
		for _, s := range c[1:] {
			taps = append(taps, taps[with-1]+s-c[0])
		}
		v := onKick(t, p, 100, 1, taps)
		if v.Drift.N >= with+alone-2 && strings.HasPrefix(v.Sentences[0], "You run ") {
			followed++
		}
	}
	if followed < takes*90/100 {
		t.Errorf("%d of %d followed", followed, takes)
	}
}

// TestTappingWithAClick: runs of 30 taps as people make them with a click: 50
// ms ahead (tens of ms early, -20 to -80 typical; Repp 2005, Psychon. Bull. Rev.
// 12, 969-992; numbers from memory) with a spread of 2 and 5 % of the interval
// (about 2 % trained, 4 % and more untrained; Repp 2005; Repp and Su 2013, ibid.
// 20, 403-452; from memory). No tap is lost, what is found is what was played,
// and what to do next is to measure the delay, for a lean as large may be the
// input's.
func TestTappingWithAClick(t *testing.T) {
	const takes = 60
	p := quarters(t, 8)
	for _, bpm := range []float64{100, 150} {
		for _, percent := range []float64{2, 5} {
			t.Run(fmt.Sprintf("%g BPM, %g %%", bpm, percent), func(t *testing.T) {
				sd := percent / 100 * 60000 / bpm
				ph := player.Phase{Alpha: .5, MotorMS: sd / 3, LeanMS: -50}
				ph.ClockMS = math.Sqrt(sd*sd*.75 - ph.MotorMS*ph.MotorMS) // Var = (clock² + motor²) / .75
				lost, leans, spreads, delays := 0, 0, 0, 0
				for seed := range uint64(takes) {
					v := onKick(t, p, bpm, 1, player.Synchronise(beats(32, bpm), ph, rand.New(rand.NewPCG(seed, uint64(bpm+percent)))))
					lost += v.Missed + v.Extra
					if v.Leaning.Low <= -50 && -50 <= v.Leaning.High {
						leans++
					}
					if v.Spread.Low <= sd && sd <= v.Spread.High {
						spreads++
					}
					if v.Next.Kind == grade.MeasureDelay {
						delays++
					}
				}
				if lost > takes*32/100 || min(leans, spreads, delays) < takes*87/100 {
					t.Errorf("of %d takes: %d strokes lost, leaning right in %d, spread in %d, delay suggested in %d", takes, lost, leans, spreads, delays)
				}
			})
		}
	}
}
