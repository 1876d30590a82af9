package player_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// haulage is two bars of 4/4 at 120 with the snare on every beat and the kick
// on every off-beat eighth.
func haulage() passage.Passage {
	bar := passage.Bar{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: meter.Int(120)}}
	p := passage.Passage{Bars: []passage.Bar{bar, bar}, Tuning: passage.DefaultTuning}
	kick, snare := passage.Line{Voice: passage.Kick}, passage.Line{Voice: passage.Snare}
	for i := range int64(8) {
		snare.Strokes = append(snare.Strokes, passage.Stroke{At: meter.Int(i), Length: meter.R(1, 2), Kind: passage.Hit})
		kick.Strokes = append(kick.Strokes, passage.Stroke{At: meter.R(2*i+1, 2), Length: meter.R(1, 2), Kind: passage.Hit})
	}
	p.Lines = []passage.Line{snare, kick}
	return p
}

func take(passes int) grade.Take {
	return grade.Take{
		Exercise: "haulage", Step: 1, Tempo: 120, Passes: passes,
		Part: []passage.Voice{passage.Snare, passage.Kick}, Input: "simulated", LatencyMS: 40,
	}
}

func play(t *testing.T, passes int, o player.Options) (grade.Expected, grade.Take) {
	t.Helper()
	tk := take(passes)
	e, err := grade.Expect(haulage(), tk, false)
	if err != nil {
		t.Fatal(err)
	}
	o.LatencyMS = tk.LatencyMS
	tk.Taps = player.Simulate(e, o, rand.New(rand.NewPCG(3, 4)))
	return e, tk
}

func verdict(t *testing.T, tk grade.Take) grade.Verdict {
	t.Helper()
	v, err := grade.Grade(haulage(), tk, grade.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestSimulateExact(t *testing.T) {
	e, tk := play(t, 3, player.Options{})
	if len(tk.Taps) != 48 || len(e.Onsets) != 48 {
		t.Fatalf("%d taps for %d strokes, want 48", len(tk.Taps), len(e.Onsets))
	}
	for i, tap := range tk.Taps {
		if want := float64(i)*.25 + .040; math.Abs(tap.Seconds-want) > 1e-9 {
			t.Errorf("tap %d at %g, want %g", i, tap.Seconds, want)
		}
	}
}

// TestSimulatedPlayersComeBack: what a player was made with is what grading
// finds, within four standard errors.
func TestSimulatedPlayersComeBack(t *testing.T) {
	_, tk := play(t, 100, player.Options{LeanMS: -12, SpreadMS: 8, Miss: .03, Extra: .02})
	v := verdict(t, tk)
	n := float64(v.Expected)
	near(t, "leaning", v.Leaning.Value, -12, 4*8/math.Sqrt(n))
	near(t, "spread", v.Spread.Value, 8, 4*8/math.Sqrt(2*n)+.3)
	near(t, "share missed", float64(v.Missed)/n, .03, 4*math.Sqrt(.03*.97/n))
	near(t, "share extra", float64(v.Extra)/n, .02, 4*math.Sqrt(.02*.98/n)+.005) // a few extra taps stand in for missed strokes
	near(t, "drift", v.Drift.Value, 0, .01)
	if v.Matched+v.Missed != v.Expected || v.Matched+v.Extra != len(tk.Taps) {
		t.Errorf("counts do not add up: %+v of %d taps", v.Counts, len(tk.Taps))
	}
}

// TestDriftComesBack: a player at a steady 120.5 BPM against 120 gains 0.5 BPM
// (the beat lasts 60/BPM), and its spread is that about the drift.
func TestDriftComesBack(t *testing.T) {
	for _, bpm := range []float64{.5, -.5} {
		_, tk := play(t, 4, player.Options{DriftBPM: bpm, SpreadMS: 5})
		v := verdict(t, tk)
		if !v.Drift.OK || v.Drift.Low > bpm || v.Drift.High < bpm {
			t.Errorf("drift is %+v, want %g inside", v.Drift, bpm)
		}
		near(t, "drift", v.Drift.Value, bpm, .06)
		near(t, "spread", v.Spread.Value, 5, 1.8)
	}
}

func TestSimulateIsRepeatable(t *testing.T) {
	o := player.Options{LeanMS: 3, SpreadMS: 9, Miss: .1, Extra: .1}
	_, a := play(t, 5, o)
	_, b := play(t, 5, o)
	if !slices.Equal(a.Taps, b.Taps) {
		t.Error("one seed played two takes")
	}
}

// TestPhaseCorrectionGraded: a synchronising player's leaning and spread come
// back as the closed form has them (Vorberg and Wing 1996): clock 8 ms, motor
// 4 ms, alpha 0.5 give sqrt((64+16)/.75) = 10.33 ms.
func TestPhaseCorrectionGraded(t *testing.T) {
	tk := take(200)
	tk.Part = []passage.Voice{passage.Kick}
	e, err := grade.Expect(haulage(), tk, false)
	if err != nil {
		t.Fatal(err)
	}
	var onsets []float64
	for _, o := range e.Onsets {
		onsets = append(onsets, o.Seconds)
	}
	for _, s := range player.Synchronise(onsets, player.Phase{Alpha: .5, ClockMS: 8, MotorMS: 4, LeanMS: -9}, rand.New(rand.NewPCG(5, 6))) {
		tk.Taps = append(tk.Taps, grade.Tap{Seconds: s + .040})
	}
	v := verdict(t, tk)
	near(t, "leaning", v.Leaning.Value, -9, 4*10.33*math.Sqrt(2/1600.)) // lag-1 correlation .35 doubles the variance of the mean
	near(t, "spread", v.Spread.Value, 10.33, .8)
}

// TestContinuationGraded: takes of a player who goes on alone. The error at
// stroke j is the sum of j clock errors plus a motor error (Wing and
// Kristofferson 1973), so its covariance is clock^2 min(i,j) + motor^2 [i=j],
// and the expected square of the residuals about a line is the trace of the
// covariance with that line taken out. The grader's line is the median slope,
// a little less close than least squares.
func TestContinuationGraded(t *testing.T) {
	const n, clock, motor, takes = 16, 2.0, 6.0, 400
	want := math.Sqrt(residualSquares(n, clock, motor) / (n - 2))
	var squares, lean float64
	for seed := range uint64(takes) {
		tk := take(2)
		tk.Part = []passage.Voice{passage.Snare}
		for _, s := range player.Continue(n, .5, clock, motor, rand.New(rand.NewPCG(seed, 9))) {
			tk.Taps = append(tk.Taps, grade.Tap{Seconds: s + .040})
		}
		v := verdict(t, tk)
		if v.Matched != n {
			t.Fatalf("seed %d: %d of %d matched", seed, v.Matched, n)
		}
		squares += v.Spread.Value * v.Spread.Value / takes
		lean += v.Leaning.Value / takes
	}
	near(t, "spread", math.Sqrt(squares), want, .05*want)
	near(t, "leaning", lean, 0, 1)
}

// residualSquares returns the expected sum of squares about the least-squares
// line of n errors of a continuing player.
func residualSquares(n int, clock, motor float64) float64 {
	cov := func(i, j int) float64 {
		c := clock * clock * float64(min(i, j))
		if i == j {
			c += motor * motor
		}
		return c
	}
	middle := float64(n-1) / 2
	sxx := 0.0
	for i := range n {
		sxx += (float64(i) - middle) * (float64(i) - middle)
	}
	sum := 0.0
	for i := range n {
		sum += cov(i, i)
		for j := range n { // less the projection on the line
			h := 1/float64(n) + (float64(i)-middle)*(float64(j)-middle)/sxx
			sum -= h * cov(i, j)
		}
	}
	return sum
}
