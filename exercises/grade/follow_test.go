package grade

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"stampmill/exercises/passage"
)

// TestDriftIsFollowed: a player at a steady tempo of bpm against 120 strokes
// at 120/bpm of the written time (60/BPM a beat). Though most strokes leave
// their windows, drift and spread come back.
func TestDriftIsFollowed(t *testing.T) {
	p := step(t, crusher)
	for _, bpm := range []float64{110, 115, 118, 119, 121, 122, 125, 130} {
		for _, passes := range []int{3, 30} {
			rng := rand.New(rand.NewPCG(uint64(bpm), uint64(passes)))
			tk := takeOf(t, p, kickTake(passes), func(_ int, o Onset, _ Position) float64 {
				return 1000*o.Seconds*(120/bpm-1) + 6*rng.NormFloat64()
			})
			v := mustGrade(t, p, tk)
			n := float64(8 * passes)
			if math.Abs(v.Drift.Value-(bpm-120)) > .5/float64(passes) || math.Abs(v.Spread.Value-6) > 4*6/math.Sqrt(2*n)+.3 {
				t.Errorf("%g BPM, %d passes: drift %+.3f, spread %.2f, %d of %d", bpm, passes, v.Drift.Value, v.Spread.Value, v.Drift.N, v.Expected)
			}
		}
	}
}

// TestEvenRunThatRunsAway: in a run of even strokes each hit comes near a wrong
// one sooner or later. All that is said is the drift.
func TestEvenRunThatRunsAway(t *testing.T) {
	p := step(t, "title: T\ntempo: 110\nmetre: 4/4\n\nstep: S\nsnare | x x x x | x x x x | x x x x | x x x x |\n")
	for bpm, want := range map[float64]string{
		102: "You run 8 BPM slow: 2.7 s lost by the end, and",    // 63 beats * 60/110 s * 8/102
		112: "You run 2 BPM fast: 614 ms gained by the end, and", // 63 beats * 60/110 s * 2/112
	} {
		tk := takeOf(t, p, Take{Exercise: "t", Step: 1, Tempo: 110, Passes: 4, Input: "simulated"}, func(_ int, o Onset, _ Position) float64 {
			return 1000*o.Seconds*(110/bpm-1) + wobble(o)
		})
		v := mustGrade(t, p, tk)
		if len(v.Sentences) != 1 || !strings.HasPrefix(v.Sentences[0], want) {
			t.Errorf("%g BPM: %q, want %q", bpm, v.Sentences, want)
		}
	}
}

// TestStoppedRunIsFollowed: strokes that were still to come when the player
// stopped do not speak against a drift.
func TestStoppedRunIsFollowed(t *testing.T) {
	p := step(t, "title: T\ntempo: 110\nmetre: 4/4\n\nstep: S\nsnare |"+strings.Repeat(" x x x x |", 32)+"\n")
	tk := takeOf(t, p, Take{Tempo: 110, Passes: 1}, func(i int, o Onset, _ Position) float64 {
		if i >= 50 {
			return math.NaN()
		}
		return 1000*o.Seconds*(110./114-1) + wobble(o)
	})
	tk.Stopped = Some(27)
	v := mustGrade(t, p, tk)
	if math.Abs(v.Drift.Value-4) > .2 || v.Drift.N < 49 || v.Expected > 51 {
		t.Errorf("drift %+v, %+v", v.Drift, v.Counts)
	}
}

// TestUnmeasuredDelay: a delay that nobody measured comes back as the lean,
// though the taps lie nearer to the neighbours of their strokes, and the delay
// is what to look at next. Once one is measured it is not suggested again.
func TestUnmeasuredDelay(t *testing.T) {
	p := step(t, crusher)
	for _, ms := range []float64{-150, 90, 180, 300} {
		for _, latency := range []float64{0, 30} {
			tk := kickTake(4)
			tk.LatencyMS = latency
			tk = takeOf(t, p, tk, func(_ int, o Onset, _ Position) float64 { return ms + wobble(o) })
			v := mustGrade(t, p, tk)
			if math.Abs(v.Leaning.Value-ms) > 1 || v.Leaning.N != v.Expected || v.Spread.Value > 8 || len(v.Sentences) != 1 {
				t.Errorf("%g ms: leaning %+v, spread %.1f, %q", ms, v.Leaning, v.Spread.Value, v.Sentences)
			}
			if (v.Next.Kind == MeasureDelay) != (latency == 0) {
				t.Errorf("%g ms, latency %g: next is %q", ms, latency, v.Next)
			}
		}
	}
}

// TestAnotherRhythmIsNotLate: of a part whose player taps something else, here
// both beats of a sway in eighths, no lateness is made up, though one would
// bring every tap to a stroke.
func TestAnotherRhythmIsNotLate(t *testing.T) {
	p := step(t, "title: T\ntempo: 72\nmetre: 6/8\n\nstep: S\nguitar | x.x ..x | x.x ..x | x.x ..x | x.x .x. |\n")
	tk := Take{Tempo: 72, Passes: 3}
	for beat := range 24 {
		tk.Taps = append(tk.Taps, Tap{Seconds: float64(beat) * 60 / 72})
	}
	if v := mustGrade(t, p, tk); strings.Contains(strings.Join(v.Sentences, " "), "late") {
		t.Errorf("%q", v.Sentences)
	}
}

// TestFollowingInventsNothing: missed strokes and wild taps are no drift.
func TestFollowingInventsNothing(t *testing.T) {
	p := step(t, crusher)
	for seed := range uint64(50) {
		rng := rand.New(rand.NewPCG(seed, 1))
		tk := takeOf(t, p, kickTake(10), func(int, Onset, Position) float64 {
			if rng.Float64() < .3 {
				return math.NaN()
			}
			return 8 * rng.NormFloat64()
		})
		for range 10 {
			tk.Taps = append(tk.Taps, Tap{Voice: passage.Kick, Seconds: 40 * rng.Float64()})
		}
		if v := mustGrade(t, p, tk); v.Drift.N != v.Matched || math.Abs(v.Drift.Value) > .1 {
			t.Errorf("seed %d: drift %+v of %d matched", seed, v.Drift, v.Matched)
		}
	}
}

// BenchmarkGradeRunning is an hour-long take at 2 BPM off, followed along its
// drift.
func BenchmarkGradeRunning(b *testing.B) {
	p := step(b, "title: T\ntempo: 120\nmetre: 4/4\n\nstep: S\nsays: Steady.\nkick | xxxx xxxx xxxx xxxx | xxxx xxxx xxxx xxxx |\n")
	tk := takeOf(b, p, kickTake(850), func(_ int, o Onset, _ Position) float64 { return 1000 * o.Seconds * (120./122 - 1) })
	b.ReportAllocs()
	for b.Loop() {
		mustGrade(b, p, tk)
	}
}
