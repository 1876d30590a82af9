package staircase

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A limited player passes a take with a probability that falls with the tempo:
// one half at limit, and by a logistic in the tempo whose width is given as a
// share of limit; width 0 is a player who passes up to limit and never above.
type limited struct{ limit, width float64 }

func (p limited) passes(bpm float64, random *rand.Rand) bool {
	if p.width == 0 {
		return bpm <= p.limit
	}
	return random.Float64() < 1/(1+math.Exp((bpm-p.limit)/(p.width*p.limit)))
}

// held returns the tempo that the player passes at the rate the staircase
// holds: what it has to converge to.
func (p limited) held() float64 {
	return p.limit - p.width*p.limit*math.Log(TempoRate/(1-TempoRate))
}

// plays returns where the staircase stands after takes that the player plays
// as it asks, in sittings that each open where the player last passed.
func (p limited) plays(written float64, takes, sitting int, seed uint64) ([]Trial, Pace) {
	random := rand.New(rand.NewPCG(seed, 7))
	var trials []Trial
	pace := Tempo(nil, written)
	for i := range takes {
		bpm := pace.BPM
		if i%sitting == 0 {
			bpm = pace.Start()
		}
		trials = append(trials, Trial{bpm, p.passes(bpm, random)})
		pace = Tempo(trials, written)
	}
	return trials, pace
}

// Where the tempo staircase converges to. Up after two passes in a row, down
// after a fail holds the level passed with probability 0.5^(1/2) (Levitt 1971,
// JASA 49 467-477), so a player with a known curve has a known tempo there. The
// mean of the last eight reversals of 64 takes is within 3 % of it at the
// median of 50 players, for limits under, at and over the written tempo, in one
// sitting and in sittings of six takes; and
// a player who never passes above a limit comes to own a tempo within 3 % of
// it, or the next whole beat a minute.
func TestTempoConverges(t *testing.T) {
	players := uint64(50)
	if testing.Short() {
		players = 11 // enough to see that the other compiler gives the same
	}
	for _, limit := range []float64{50, 72, 96, 131, 190, 260} {
		for _, width := range []float64{0, .02, .04, .08} {
			for i, written := range []float64{limit * .75, limit, limit * 1.4, limit * .75, limit, limit * 1.4} {
				p := limited{limit, width}
				var off []float64
				for seed := range players {
					_, pace := p.plays(written, 64, []int{64, 6}[i/3], seed)
					if len(pace.Turns) < 8 {
						t.Fatalf("limit %g, width %g: turned only at %v", limit, width, pace.Turns)
					}
					off = append(off, mean(pace.Turns[len(pace.Turns)-8:])/p.held()-1)
					if owned := pace.Owned; width == 0 && (owned > limit || owned < min(limit*.97, limit-1)) {
						t.Fatalf("limit %g: owned %g", limit, owned)
					}
				}
				slices.Sort(off)
				if median := off[len(off)/2]; math.Abs(median) > .03 {
					t.Errorf("limit %g, width %g, written %.0f: %.1f %% from the %.1f that is passed at 70.7 %%", limit, width, written, 100*median, p.held())
				}
			}
		}
	}
}

func mean(of []float64) float64 {
	sum := 0.0
	for _, x := range of {
		sum += x
	}
	return sum / float64(len(of))
}

// A player whose limit rises is followed: sixty takes later the tempo is up.
func TestTempoFollowsWhoLearns(t *testing.T) {
	written := 140.0
	trials, _ := limited{90, 0}.plays(written, 40, 40, 1)
	takes := 0
	for limit := (limited{130, 0}); Tempo(trials, written).Owned < .97*limit.limit; takes++ {
		bpm := Tempo(trials, written).BPM
		trials = append(trials, Trial{bpm, limit.passes(bpm, nil)})
		if takes > 24 {
			t.Fatalf("after %d takes only %v", takes, Tempo(trials, written))
		}
	}
}

func TestTempoInWords(t *testing.T) {
	passed := func(bpm ...float64) (all []Trial) {
		for _, b := range bpm {
			all = append(all, Trial{b, true})
		}
		return all
	}
	failed := func(bpm float64) []Trial { return []Trial{{bpm, false}} }
	then := slices.Concat[[]Trial]
	tests := []struct {
		name            string
		trials          []Trial
		bpm, owned, was float64 // to play next, owned, to open with
		why             string
	}{
		{"never played", nil, 92, 0, 92, "Not played yet: it starts at 92, a little under the goal of 100."},
		{"one pass", passed(92), 92, 0, 92, "Passed once at 92: once more there, and it goes up."},
		{"two land on the goal", passed(92, 92), 100, 92, 92, "Passed twice in a row at 92: now 100."},
		{"past the goal", passed(92, 92, 100, 100), 108, 100, 100, "Passed twice in a row at 100: now 108."},
		{"a fail", failed(92), 85, 0, 85, "Not passed at 92: back to 85."},
		{"a fail after a rise turns", then(passed(92, 92), failed(100)), 96, 92, 92, "Not passed at 100: back to 96."},
		{"opened again and passed", then(passed(92, 92, 92)), 100, 92, 92, "Passed at 92, which you own: on to 100."},
		{"far above by choice", then(passed(92, 92), failed(150)), 100, 92, 92, "Not passed at 150: back to 100."},
		{"slower by choice", passed(70), 70, 0, 70, "Passed once at 70: once more there, and it goes up."},
		{"owned twice, not in a row", then(passed(92), failed(92), passed(85, 92)), 92, 92, 92, "Passed once at 92: once more there, and it goes up."},
		{"the fastest there is", passed(400, 400), 400, 400, 400, "Passed twice in a row at 400: this passage goes no faster."},
		{"the slowest there is", failed(20), 20, 0, 20, "Not passed at 20: this passage goes no slower."},
		{"garbage", []Trial{{math.NaN(), true}, {math.Inf(1), true}, {-5, true}, {1000, false}}, 92, 0, 92, "Not played yet: it starts at 92, a little under the goal of 100."},
	}
	for _, test := range tests {
		got := Tempo(test.trials, 100)
		if got.BPM != test.bpm || got.Owned != test.owned || got.Start() != test.was || got.Why != test.why {
			t.Errorf("%s: %g, owned %g, opens at %g: %s\nwant %g, owned %g, opens at %g: %s", test.name, got.BPM, got.Owned, got.Start(), got.Why, test.bpm, test.owned, test.was, test.why)
		}
	}
}

// Whatever was played in whatever order, the tempo can be played and the owned
// one was passed twice.
func TestAnyTakes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		trials := rapid.SliceOf(rapid.Custom(func(t *rapid.T) Trial {
			return Trial{rapid.OneOf(rapid.Float64(), rapid.Float64Range(15, 420)).Draw(t, "tempo"), rapid.Bool().Draw(t, "passed")}
		})).Draw(t, "trials")
		low := rapid.Float64Range(10, 420).Draw(t, "low")
		b := Bounds{low, rapid.Float64Range(10, 420).Draw(t, "high")}
		got := TempoWithin(trials, rapid.Float64().Draw(t, "written"), b)
		b = b.sound()
		if !(got.BPM >= b.Low && got.BPM <= b.High) || !(got.Step >= 1) || got.Why == "" {
			t.Fatalf("%+v within %v", got, b)
		}
		times := 0
		for _, trial := range trials {
			if trial.Passed && math.Round(trial.Level) == got.Owned {
				times++
			}
		}
		if got.Owned != 0 && times < 2 {
			t.Fatalf("owned %g, passed %d times", got.Owned, times)
		}
	})
}

// A passage whose second bar is half as fast again as its first can have
// first bars up to 400/(3/2) = 266 only, and down to 20.
func TestBoundsOfAPassageThatModulates(t *testing.T) {
	bar := func(bpm meter.Rat) passage.Bar {
		return passage.Bar{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: bpm}}
	}
	got := BoundsOf(passage.Passage{Bars: []passage.Bar{bar(meter.Int(120)), bar(meter.Int(180))}})
	if want := (Bounds{20, 266}); got != want {
		t.Errorf("%v, want %v", got, want)
	}
	if got := BoundsOf(passage.Passage{}); got != AnyTempo {
		t.Errorf("no bars: %v", got)
	}
	if got := TempoWithin([]Trial{{260, true}, {260, true}}, 250, Bounds{20, 266}); got.BPM != 266 {
		t.Errorf("rose to %g", got.BPM)
	}
}

func BenchmarkTempoOfTenThousandTakes(b *testing.B) {
	trials, _ := limited{96, .04}.plays(104, 100, 100, 1)
	trials = slices.Repeat(trials, 100)
	for b.Loop() {
		Tempo(trials, 104)
	}
}
