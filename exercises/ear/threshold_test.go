package ear

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/player"
	"stampmill/exercises/staircase"
)

// listen returns the trials of a listener who follows the staircase of a task.
func listen(t Task, l player.Listener, chance float64, n int, rng *rand.Rand) []Tried {
	var all []Tried
	now := t.Stair.Begin()
	for range n {
		x := Tried{D: t.Scale.Of(now.Level), Chance: chance, Yes: rng.IntN(2) == 0, Right: l.Answers(now.Level, chance, rng)}
		now = t.Stair.After(now, staircase.Trial{Level: t.Scale.Level(x.D), Passed: x.Right})
		all = append(all, x)
	}
	return all
}

// rising is a made-up task whose larger levels are harder, on an even scale.
func rising() Task {
	return Task{Scale: Scale{Unit: "bars", Low: 0, High: 40}, Stair: staircase.Stair{
		Rule: threeBack, Start: 4, First: 4, Least: 1, Low: 0, High: 40,
	}}
}

// Listeners with known thresholds, 300 of each: how often the intervals hold
// the threshold, how far from it estimates are on the average, and how wide
// the intervals of the fit are. Levels are octaves of ms in the first task.
func TestThresholdsOfListeners(t *testing.T) {
	if testing.Short() {
		t.Skip("half a million trials: run without -short")
	}
	steep := player.Listener{Half: 3, Width: .15}
	plain := player.Listener{Half: 3, Width: .3, Lapse: .02}
	flat := player.Listener{Half: 3, Width: .5}
	dozy := player.Listener{Half: 4, Width: .3, Lapse: .04}
	many := player.Listener{Half: 20, Width: 3, Rising: true}
	for _, test := range []struct {
		name   string
		task   Task
		who    player.Listener
		chance float64
		n      int
		least  float64 // share of intervals that hold the threshold
		bias   float64 // levels, at most
		half   float64 // half an interval, levels, on the average, at most
	}{
		{"steep, 25 trials", ahead(), steep, .5, 25, .93, .12, .8},
		{"steep, 80 trials", ahead(), steep, .5, 80, .93, .04, .3},
		{"plain, 40 trials", ahead(), plain, .5, 40, .91, .06, .7},
		{"plain, 80 trials", ahead(), plain, .5, 80, .91, .05, .45},
		{"plain, 200 trials", ahead(), plain, .5, 200, .92, .03, .25},
		{"flat, 25 trials", ahead(), flat, .5, 25, .85, .12, 1},
		{"flat, 80 trials", ahead(), flat, .5, 80, .89, .06, .6},
		{"dozy, 80 trials", ahead(), dozy, .5, 80, .91, .06, .5},
		{"eight choices", what(), player.Listener{Half: 1, Width: .3}, .125, 80, .91, .04, .3},
		{"no guessing", what(), player.Listener{Half: 1, Width: .3}, 0, 80, .91, .04, .3},
		{"rising scale", rising(), many, .5, 80, .91, .5, 4.5},
	} {
		const runs = 300
		truth := test.who.Threshold(test.task.Stair.Target(), test.chance)
		in, bias, half, ok := 0.0, 0.0, 0.0, 0.0
		turned, turnedIn, turnBias := 0.0, 0.0, 0.0
		level := test.task.Scale.Level
		for run := range runs {
			rng := rand.New(rand.NewPCG(uint64(run), 5))
			e := Threshold(test.task, listen(test.task, test.who, test.chance, test.n, rng))
			if e.OK {
				ok++
				bias += level(e.D) - truth
				half += (level(e.High) - level(e.Low)) / 2
				if (e.LowOpen || level(e.Low) <= truth) && (e.HighOpen || truth <= level(e.High)) {
					in++
				}
			}
			if f := e.Turns; f.OK {
				turned++
				turnBias += level(f.Value) - truth
				if level(f.Low) <= truth && truth <= level(f.High) {
					turnedIn++
				}
			}
		}
		t.Logf("%s: estimated %.3f, held %.3f, off by %+.3f, half width %.2f; turns %.2f, held %.3f, off by %+.3f",
			test.name, ok/runs, in/ok, bias/ok, half/ok, turned/runs, turnedIn/turned, turnBias/turned)
		if ok < .97*runs || in/ok < test.least || math.Abs(bias/ok) > test.bias || half/ok > test.half {
			t.Errorf("%s: estimated %.3f, held %.3f, off by %+.3f, half width %.2f", test.name, ok/runs, in/ok, bias/ok, half/ok)
		}
		if test.n >= 80 && (turned < .97*runs || turnedIn/turned < .87 || math.Abs(turnBias/turned) > test.task.Stair.Least) {
			t.Errorf("%s: turns %.3f, held %.3f, off by %+.3f", test.name, turned/runs, turnedIn/turned, turnBias/turned)
		}
	}
}

// Real trials: a listener with a known threshold hears the passages of the
// library, answers rightly or wrongly, and the estimate finds the threshold
// within an octave; it is far from where the staircase began.
func TestThresholdOfRealTrials(t *testing.T) {
	if testing.Short() {
		t.Skip("sixty trials of each task: run without -short")
	}
	for i, task := range Tasks() {
		t.Run(task.Name, func(t *testing.T) {
			s := task.Scale
			who := player.Listener{Half: s.Level(s.Low) + .4*(s.Level(s.High)-s.Level(s.Low)), Width: .3, Rising: !s.Falling}
			rng := rand.New(rand.NewPCG(uint64(i), 3))
			var all []Tried
			var last Trial
			chance := 0.0
			const trials = 60
			for range trials {
				trial, err := Next(task, some(9), s.Of(task.After(all).Level), rng.Uint64(), last)
				if err != nil {
					t.Fatal(err)
				}
				x := trial.Tried(Result{})
				x.Right = who.Answers(s.Level(x.heard(s)), x.Chance, rng)
				answer := trial.Right()
				if !x.Right {
					answer = wrong(trial)
				}
				result, err := trial.Mark(answer)
				if err != nil || result.Right != x.Right {
					t.Fatalf("marked %v, want %v (%v)", result.Right, x.Right, err)
				}
				all, last, chance = append(all, trial.Tried(result)), trial, chance+x.Chance/trials
			}
			e := Threshold(task, all)
			truth := who.Threshold(e.Rate, chance)
			if off := s.Level(e.D) - truth; !e.OK || math.Abs(off) > 1 || e.DPrime.OK != task.Yes {
				t.Errorf("%s, off by %.2f levels; %+v", e.Says(s), off, e)
			}
		})
	}
}

// wrong returns an answer whose first ask is wrong.
func wrong(t Trial) Answer {
	a := t.Right()
	switch ask := t.Asks[0]; ask.Kind {
	case Choose:
		a.Choice = append([]int{(a.Choice[0] + 1) % len(ask.Choices)}, a.Choice[1:]...)
	case Place:
		for _, a.Place = range ask.Places {
			if r, err := t.Mark(a); err == nil && !r.Right {
				break
			}
		}
	default:
		return answeredWrong(t)
	}
	return a
}

// The curve at its threshold is right at the rate, for the chance it is
// stated for; far off it guesses, or all but lapses.
func TestCurve(t *testing.T) {
	for _, c := range []curve{{10, 0, .75, .5}, {3, .06, .75, .125}, {32, .03, .794, 0}} {
		for at, want := range map[int]float64{0: c.rate, -100000: c.chance, 100000: 1 - c.lapse} {
			if got := c.right(at, c.chance); math.Abs(got-want) > 1e-9 {
				t.Errorf("%+v, %d cells easier: %g, want %g", c, at, got, want)
			}
		}
	}
}

// What is too little, or tells nothing, is said.
func TestNoThreshold(t *testing.T) {
	task := ahead()
	rng := rand.New(rand.NewPCG(1, 1))
	always := func(d, chance float64, right bool, n int) []Tried {
		var all []Tried
		for range n {
			all = append(all, Tried{D: d, Chance: chance, Right: right})
		}
		return all
	}
	for _, test := range []struct {
		name  string
		tried []Tried
		want  string
	}{
		{"nothing", nil, fewTrials},
		{"too few", listen(task, player.Listener{Half: 3, Width: .2}, .5, LeastTrials-1, rng), fewTrials},
		{"all right, to the hardest", listen(task, player.Listener{Half: -20, Width: .2}, .5, 60, rng), tooEasy},
		{"all wrong at the easiest", always(60, .5, false, 60), tooHard},
		{"guessed throughout", listen(task, player.Listener{Half: 50, Width: .2}, .5, 200, rng), tooHard},
		{"no choice", always(20, .9, true, 60), goodGuess},
		{"off the scale", append(always(math.NaN(), .5, true, 60), always(-3, .5, false, 60)...), fewTrials},
		{"chances that are none", append(always(20, math.NaN(), true, 60), always(20, 1, true, 60)...), fewTrials},
	} {
		if e := Threshold(task, test.tried); e.OK || e.Why != test.want || e.Says(task.Scale) != test.want {
			t.Errorf("%s: %+v, want %q", test.name, e, test.want)
		}
	}
	if e := Threshold(Task{}, always(0, 0, true, 60)); e.OK {
		t.Errorf("a task without a scale: %+v", e)
	}
}

func TestEstimateInWords(t *testing.T) {
	for want, e := range map[string]Estimate{
		"12 ms, between 8.7 and 16": {OK: true, D: 12.3, Low: 8.72, High: 15.8},
		"2.5 ms, at most 4":         {OK: true, D: 2.5, Low: 2, High: 4, LowOpen: true},
		"40 ms, at least 26":        {OK: true, D: 40, Low: 26, High: 60, HighOpen: true},
	} {
		if got := e.Says(aheadScale); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A listener who leans, with a known d': the figures of a yes/no task rest on
// the same trials.
func TestDPrimeOfTrials(t *testing.T) {
	var all []Tried
	for i := range 20 { // 16 hits, 8 false alarms: the values of TestYesNo
		all = append(all, Tried{D: 8, Chance: .5, Yes: true, Right: i < 16}, Tried{D: 8, Chance: .5, Right: i >= 8})
	}
	e := Threshold(same(), all)
	if !e.DPrime.OK || math.Abs(e.DPrime.Value-1.0950) > 5e-5 || math.Abs(e.Leaning.Value+.2941) > 5e-5 {
		t.Errorf("d' %+v, leaning %+v", e.DPrime, e.Leaning)
	}
	if e := Threshold(what(), all); e.DPrime.OK {
		t.Error("d' of a task without yes and no")
	}
}

// Any trials give an estimate within the scale, or a reason.
func TestAnyTried(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := rapid.SampledFrom(append(Tasks(), rising())).Draw(t, "task")
		onScale := rapid.Float64Range(task.Scale.Low, task.Scale.High)
		numbers := rapid.OneOf(onScale, onScale, rapid.Float64(), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 0, task.Scale.Low, task.Scale.High}))
		chances := rapid.OneOf(rapid.Float64Range(0, .6), rapid.SampledFrom([]float64{0, .125, .5, 1, math.NaN(), math.Nextafter(1, 0)}))
		tried := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Tried {
			return Tried{numbers.Draw(t, "d"), numbers.Draw(t, "made"), chances.Draw(t, "chance"), rapid.Bool().Draw(t, "yes"), rapid.Bool().Draw(t, "right")}
		}), rapid.SampledFrom([]int{0, 60}).Draw(t, "least"), 120).Draw(t, "tried")
		e := Threshold(task, tried)
		if e.OK == (e.Why != "") || e.N > len(tried) {
			t.Fatalf("%+v", e)
		}
		if e.OK && !(task.Scale.Low <= e.Low && e.Low <= e.D && e.D <= e.High && e.High <= task.Scale.High) {
			t.Fatalf("%+v outside %+v", e, task.Scale)
		}
	})
}

// Friberg & Sundberg 1995, JASA 98(5) 2524-2531: 6 ms under 240 ms, 2.5 % above.
func TestJustHeard(t *testing.T) {
	for apart, want := range map[float64]float64{100: 6, 240: 6, 400: 10, 1000: 25} {
		if got, ok := JustHeard(apart); !ok || math.Abs(got-want) > 1e-12 {
			t.Errorf("%g ms apart: %g, want %g", apart, got, want)
		}
	}
	for _, apart := range []float64{99, 1001, math.NaN()} {
		if _, ok := JustHeard(apart); ok {
			t.Errorf("%g ms apart was not measured", apart)
		}
	}
}

// What is published stands beside a task that there is, on its scale.
func TestPublished(t *testing.T) {
	shown := 0
	for _, task := range Tasks() {
		for _, p := range task.Published() {
			shown++
			if p.Value != task.Scale.Within(p.Value) {
				t.Errorf("%s: %g is off the scale", p.Task, p.Value)
			}
		}
	}
	if shown != len(published) {
		t.Errorf("%d of %d are shown", shown, len(published))
	}
}

func BenchmarkThreshold(b *testing.B) {
	task := ahead()
	tried := listen(task, player.Listener{Half: 3, Width: .3}, .5, recent, rand.New(rand.NewPCG(1, 1)))
	for b.Loop() {
		Threshold(task, tried)
	}
}
