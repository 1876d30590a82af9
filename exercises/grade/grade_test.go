package grade

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// crusher is two bars at 120: a beat lasts 500 ms. The kick has 7 strokes, the
// guitar the same and one more; bar 2 ends in a triplet.
const crusher = `title: Crusher
tempo: 120
metre: 4/4

step: One
says: A kick and a guitar.
snare  | . . X . | . . X .   |
kick   | x.x. . .x . | x x . xxx |
guitar | x.x. . .x x | x x . xxx |
china  | x . x . | x ! . .   |
`

// step reads the first step of a text.
func step(t testing.TB, text string) passage.Passage {
	t.Helper()
	climb, problems := drill.Parse("test.drill", []byte(text), nil)
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return climb.Steps[0].Passage
}

// takeOf is a take of one voice with taps at the given errors in ms, stroke by
// stroke; NaN leaves one out.
func takeOf(t testing.TB, p passage.Passage, tk Take, errorMS func(i int, o Onset, pos Position) float64) Take {
	t.Helper()
	e, err := Expect(p, tk, false)
	if err != nil {
		t.Fatal(err)
	}
	for i, o := range e.Onsets {
		pos := e.Positions[o.Position]
		if ms := errorMS(i, o, pos); !math.IsNaN(ms) {
			tk.Taps = append(tk.Taps, Tap{Voice: pos.Voices.first(), Seconds: o.Seconds + (ms+tk.LatencyMS)/1000})
		}
	}
	return tk
}

func kickTake(passes int) Take {
	return Take{Exercise: "crusher", Step: 1, Tempo: 120, Passes: passes, Part: []passage.Voice{passage.Kick}, Input: "keyboard", LatencyMS: 30}
}

func mustGrade(t testing.TB, p passage.Passage, tk Take) Verdict {
	t.Helper()
	v, err := Grade(p, tk, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestExpectSeconds: 60/BPM a beat (definition of the tempo), a third of it in
// a triplet, the next pass after exactly eight beats.
func TestExpectSeconds(t *testing.T) {
	p := step(t, crusher)
	tk := kickTake(2)
	tk.Tempo = 90
	e, err := Expect(p, tk, false)
	if err != nil {
		t.Fatal(err)
	}
	beat := 60. / 90
	for i, beats := range []float64{0, .5, 2.5, 4, 5, 7, 7 + 1./3, 7 + 2./3} {
		for pass := range 2 {
			got := e.Onsets[pass*8+i]
			if want := (beats + 8*float64(pass)) * beat; math.Abs(got.Seconds-want) > 1e-12 || got.Pass != pass+1 {
				t.Errorf("stroke %d of pass %d at %v in pass %d, want %v", i, pass+1, got.Seconds, got.Pass, want)
			}
		}
	}
	if got := e.Positions[7].Place.String(); got != "2.4+1/6" {
		t.Errorf("the last stroke stands at %s", got)
	}
}

func TestExpect(t *testing.T) {
	p := step(t, crusher)
	tests := []struct {
		name   string
		take   Take
		oneKey bool
		want   int // strokes
	}{
		{"kick", Take{Part: []passage.Voice{passage.Kick}}, false, 8},
		{"a choke is no stroke", Take{Part: []passage.Voice{passage.China}}, false, 3},
		{"kick and guitar each", Take{Part: []passage.Voice{passage.Kick, passage.Guitar}}, false, 17},
		{"on one key they meet", Take{Part: []passage.Voice{passage.Kick, passage.Guitar}}, true, 9},
		{"no part is all voices", Take{}, false, 22},
		{"bar 2", Take{Part: []passage.Voice{passage.Kick}, Bars: [2]int{2, 2}}, false, 5},
		{"three passes", Take{Part: []passage.Voice{passage.Snare}, Passes: 3}, false, 6},
		{"stopped in the second pass", Take{Part: []passage.Voice{passage.Snare}, Passes: 3, Stopped: Some(4.5)}, false, 4},
	}
	for _, tt := range tests {
		tt.take.Tempo, tt.take.Passes = 120, max(tt.take.Passes, 1)
		e, err := Expect(p, tt.take, tt.oneKey)
		if err != nil || len(e.Onsets) != tt.want {
			t.Errorf("%s: %d strokes, %v; want %d", tt.name, len(e.Onsets), err, tt.want)
		}
	}
}

func TestGradeErrors(t *testing.T) {
	p := step(t, crusher)
	tests := []struct {
		change func(*Take)
		want   string
	}{
		{func(tk *Take) { tk.Part = []passage.Voice{passage.Lead} }, "the step has no lead line; choose from snare, kick, guitar, china"},
		{func(tk *Take) { tk.Part, tk.Bars = []passage.Voice{passage.China}, [2]int{3, 3} }, "bars 3 to 3 are not in a step of 2 bars; choose bars 1 to 2"},
		{func(tk *Take) { tk.Tempo = 500 }, "a tempo of 500 is outside 20 to 400 beats a minute; choose one inside"},
		{func(tk *Take) { tk.Tempo = math.NaN() }, "a tempo of NaN is outside 20 to 400 beats a minute; choose one inside"},
		{func(tk *Take) { tk.Passes = 0 }, "0 passes are outside 1 to 999; choose a number inside"},
		{func(tk *Take) { tk.LatencyMS = math.Inf(1) }, "a latency of +Inf ms is outside ±1000; measure it again"},
		{func(tk *Take) { tk.Taps = []Tap{{}, {Seconds: math.NaN()}} }, "taps[1].seconds: NaN is outside ±3600; leave the tap out"},
		{func(tk *Take) { tk.Stopped = Some(math.NaN()) }, "stopped at NaN s is outside ±3600; leave it out"},
	}
	for _, tt := range tests {
		tk := kickTake(1)
		tt.change(&tk)
		if _, err := Grade(p, tk, Options{}); fmt.Sprint(err) != tt.want {
			t.Errorf("got %v\nwant %s", err, tt.want)
		}
	}
	empty := step(t, strings.NewReplacer("| . . X . |", "| . . . . |").Replace(crusher))
	tk := kickTake(1)
	tk.Part, tk.Bars = []passage.Voice{passage.Snare}, [2]int{1, 1}
	if _, err := Grade(empty, tk, Options{}); fmt.Sprint(err) != "snare has no strokes in bars 1 to 1; choose other bars or another part" {
		t.Error(err)
	}
}

// TestLanes: which taps may play which strokes.
func TestLanes(t *testing.T) {
	p := step(t, crusher)
	both := []passage.Voice{passage.Kick, passage.Guitar}
	tests := []struct {
		name string
		part []passage.Voice
		taps []Tap
		want Counts
	}{
		{"one key plays strokes of both voices once", both, []Tap{{Seconds: 0}, {Seconds: .25}}, Counts{9, 2, 7, 0}},
		{"named taps play each their own", both, []Tap{{Voice: passage.Kick, Seconds: 0}, {Voice: passage.Guitar, Seconds: 0}}, Counts{17, 2, 15, 0}},
		{"a kick is no guitar", both, []Tap{{Voice: passage.Kick, Seconds: 1.5}}, Counts{17, 0, 17, 1}},
		{"a voice outside the part is extra", both, []Tap{{Voice: passage.Snare, Seconds: 1}}, Counts{17, 0, 17, 1}},
		{"among named taps one without a name is extra", both, []Tap{{Voice: passage.Kick, Seconds: 0}, {Seconds: .25}}, Counts{17, 1, 16, 1}},
		{"unless the part is one voice", both[:1], []Tap{{Voice: passage.Kick, Seconds: 0}, {Seconds: .25}}, Counts{8, 2, 6, 0}},
		{"taps in any order", both[:1], []Tap{{Seconds: .25}, {Seconds: 0}}, Counts{8, 2, 6, 0}},
	}
	for _, tt := range tests {
		tk := kickTake(1)
		tk.LatencyMS, tk.Part, tk.Taps = 0, tt.part, tt.taps
		if diff := cmp.Diff(tt.want, mustGrade(t, p, tk).Counts); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// TestStopped: strokes that were still to come are not missed.
func TestStopped(t *testing.T) {
	p := step(t, crusher)
	for _, tt := range []struct {
		stopped float64
		want    Counts
	}{
		{1.2, Counts{2, 2, 0, 0}},            // before the third stroke at 1.25
		{1.25 + .05, Counts{2, 2, 0, 0}},     // its window of 100 ms is open
		{1.25 + .11, Counts{3, 2, 1, 0}},     // and over
		{-1, Counts{}},                       // in the count-in
		{4 + .2, Counts{8 + 1, 2, 7, 0}},     // in the second pass
		{3000, Counts{3 * 8, 2, 3*8 - 2, 0}}, // after the end
	} {
		tk := kickTake(3)
		tk.LatencyMS, tk.Stopped = 0, Some(tt.stopped)
		if tt.stopped > 0 {
			tk.Taps = []Tap{{Seconds: .01}, {Seconds: .26}}
		}
		if diff := cmp.Diff(tt.want, mustGrade(t, p, tk).Counts); diff != "" {
			t.Errorf("stopped at %g (-want +got):\n%s", tt.stopped, diff)
		}
	}
}

// TestStoppedFMeasure: what was still to come when the player stopped counts
// in no figure; the moment of stopping is a raw time, like the taps.
func TestStoppedFMeasure(t *testing.T) {
	p := step(t, crusher)
	tk := kickTake(3)
	tk.LatencyMS, tk.Stopped = 60, Some(1.25+.1+.05) // .05 s before the window of the third stroke is over
	tk.Taps = []Tap{{Seconds: .06}, {Seconds: .31}}
	v := mustGrade(t, p, tk)
	if want := (Counts{2, 2, 0, 0}); v.Counts != want || v.F25 != 1 || v.F50 != 1 {
		t.Errorf("%+v, F %g and %g; want %+v, 1 and 1", v.Counts, v.F25, v.F50, want)
	}
}

// TestExpectTempi: the tempo of a take is that of the first bar, and the others
// keep their ratio to it: 120 and 60 played at 60 are 60 and 30, where four
// beats last 4 and 8 seconds (60/BPM a beat).
func TestExpectTempi(t *testing.T) {
	p := step(t, "title: T\ntempo: 120 | 60\nmetre: 4/4\n\nstep: S\nkick | x . . . | x . x . |\n")
	e, err := Expect(p, Take{Tempo: 60, Passes: 2}, false)
	if err != nil {
		t.Fatal(err)
	}
	var got []float64
	for _, o := range e.Onsets {
		got = append(got, o.Seconds)
	}
	if diff := cmp.Diff([]float64{0, 4, 8, 12, 16, 20}, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// TestLatency: what is measured is taken off, and another value may take its
// place.
func TestLatency(t *testing.T) {
	p := step(t, crusher)
	tk := takeOf(t, p, kickTake(2), func(int, Onset, Position) float64 { return 12 })
	v, err := Grade(p, tk, Options{})
	if err != nil || math.Abs(v.Leaning.Value-12) > 1e-6 {
		t.Errorf("leaning %v, %v; want 12", v.Leaning.Value, err)
	}
	v, err = Grade(p, tk, Options{LatencyMS: Some(50)})
	if err != nil || math.Abs(v.Leaning.Value+8) > 1e-6 {
		t.Errorf("leaning %v, %v; want -8", v.Leaning.Value, err)
	}
}

// TestFiguresByPlace: voices, bars and positions keep their own figures.
func TestFiguresByPlace(t *testing.T) {
	p := step(t, crusher)
	tk := kickTake(4)
	tk.Part = []passage.Voice{passage.Kick, passage.Guitar}
	tk = takeOf(t, p, tk, func(_ int, o Onset, pos Position) float64 {
		ms := float64(10 * pos.Place.Bar)
		if pos.Voices.Has(passage.Guitar) {
			ms = -ms
		}
		if pos.Voices.Has(passage.Kick) && pos.Place.Bar == 2 && pos.Place.Beat == 1 && o.Pass < 3 {
			return math.NaN()
		}
		return ms
	})
	tk.Taps = append(tk.Taps, Tap{Voice: passage.Kick, Seconds: 4 + 3.25 + .03})
	v := mustGrade(t, p, tk)
	if got, want := v.ByVoice[0].Counts, (Counts{32, 30, 2, 1}); got != want {
		t.Errorf("kick: %+v, want %+v", got, want)
	}
	if got, want := v.ByBar[1].Counts, (Counts{40, 38, 2, 1}); got != want {
		t.Errorf("bar 2: %+v, want %+v", got, want)
	}
	if got := v.ByVoice[1].Leaning.Value; math.Abs(got+(4*10+5*20)/9.) > 1e-6 {
		t.Errorf("guitar leans %g", got)
	}
	if got := v.Strays[0]; got.Pass != 2 || got.Bar != 2 || math.Abs(got.At-6.5) > 1e-9 {
		t.Errorf("the extra tap stands at %+v", got)
	}
	for _, pos := range v.Positions {
		if pos.Voices.Has(passage.Kick) && pos.At.Float() == 4 {
			if len(pos.Hits) != 2 || pos.Passes != 4 || pos.Hits[0].Pass != 3 || math.Abs(pos.Hits[0].ErrorMS-20) > 1e-6 {
				t.Errorf("kick at 2.1: %+v", pos)
			}
		}
	}
}

// TestLoopedBars: places stay those of the whole passage; seconds begin at the
// first bar looped.
func TestLoopedBars(t *testing.T) {
	p := step(t, crusher)
	tk := kickTake(2)
	tk.Bars = [2]int{2, 2}
	tk = takeOf(t, p, tk, func(int, Onset, Position) float64 { return 0 })
	v := mustGrade(t, p, tk)
	if v.Expected != 10 || v.Matched != 10 || v.Positions[0].Place.Bar != 2 || v.ByBar[0].Bar != 2 || v.Tuplets[0].Place.String() != "2.4" {
		t.Errorf("got %+v", v)
	}
	if math.Abs(tk.Taps[0].Seconds-.030) > 1e-9 {
		t.Errorf("the first tap is at %g", tk.Taps[0].Seconds)
	}
}

// TestCountsAddUp: whatever is tapped, every stroke is matched or missed and
// every tap matched or extra.
func TestCountsAddUp(t *testing.T) {
	p := step(t, crusher)
	rapid.Check(t, func(rt *rapid.T) {
		tk := kickTake(rapid.IntRange(1, 3).Draw(rt, "passes"))
		tk.Part = rapid.SliceOfNDistinct(rapid.SampledFrom(p.Voices()), 0, 3, rapid.ID).Draw(rt, "part")
		for range rapid.IntRange(0, 30).Draw(rt, "taps") {
			voice := rapid.SampledFrom([]passage.Voice{passage.NoVoice, passage.Kick, passage.Guitar, passage.Click}).Draw(rt, "voice")
			tk.Taps = append(tk.Taps, Tap{Voice: voice, Seconds: rapid.Float64Range(-2, 14).Draw(rt, "seconds")})
		}
		v, err := Grade(p, tk, Options{NoSearch: rapid.IntRange(0, 9).Draw(rt, "search") > 0})
		if err != nil {
			rt.Fatal(err)
		}
		if v.Matched+v.Missed != v.Expected || v.Matched+v.Extra != len(tk.Taps) || len(v.Strays) != v.Extra {
			rt.Fatalf("%+v, %d strays of %d taps", v.Counts, len(v.Strays), len(tk.Taps))
		}
		if n := len(v.Sentences); n < 1 || n > maxSentences {
			rt.Fatalf("%d sentences", n)
		}
		if _, err := json.Marshal(v); err != nil {
			rt.Fatal(err)
		}
	})
}

// TestPassing holds the default marks.
func TestPassing(t *testing.T) {
	p := step(t, crusher)
	rng := rand.New(rand.NewPCG(1, 1))
	for _, tt := range []struct {
		name     string
		missed   int // of 80
		extra    int
		spreadMS float64
		want     bool
	}{
		{"tight", 0, 0, 8, true}, {"4 missed are 5 %", 4, 0, 8, true}, {"5 are more", 5, 0, 8, false},
		{"4 extra are 5 %", 0, 4, 8, true}, {"5 are more", 0, 5, 8, false}, {"a wide spread", 0, 0, 28, false},
	} {
		tk := takeOf(t, p, kickTake(10), func(i int, _ Onset, _ Position) float64 {
			if i%10 == 0 && i/10 < tt.missed {
				return math.NaN()
			}
			return max(-60, min(60, tt.spreadMS*rng.NormFloat64()))
		})
		for i := range tt.extra {
			tk.Taps = append(tk.Taps, Tap{Seconds: 3.03 + 4*float64(i)})
		}
		if v := mustGrade(t, p, tk); v.Passed != tt.want {
			t.Errorf("%s: passed is %v: %+v, spread %.1f", tt.name, v.Passed, v.Counts, v.Spread.Value)
		}
	}
}

// TestPassingRounds: 55 of 100 are 55 %, though .55*100 is a little more in
// float64.
func TestPassingRounds(t *testing.T) {
	v := Verdict{Counts: Counts{100, 55, 45, 0}, Spread: Figure{Value: 10, OK: true}}
	if !(Passing{Hits: .55, SpreadMS: 20}).passed(&v) {
		t.Error("not passed")
	}
}

func TestNearestOnset(t *testing.T) {
	p := step(t, crusher)
	tk := kickTake(1)
	tk.Part = nil
	e, err := Expect(p, tk, false)
	if err != nil {
		t.Fatal(err)
	}
	i, off, ok := e.Nearest(.26, passage.Kick)
	if !ok || e.Onsets[i].Seconds != .25 || math.Abs(off-.01) > 1e-9 {
		t.Errorf("got %d %g %v", i, off, ok)
	}
	if _, _, ok := e.Nearest(.26, passage.Snare); ok {
		t.Error("a snare stroke near .26")
	}
	tk.Tempo = 240 // the first two kicks 125 ms apart: both near enough
	if e, err = Expect(p, tk, false); err != nil {
		t.Fatal(err)
	}
	for at, want := range map[float64]float64{.03: .03, .1: -.025} {
		if _, off, ok := e.Nearest(at, passage.Kick); !ok || math.Abs(off-want) > 1e-9 {
			t.Errorf("a tap at %g is off by %g, %v; want %g", at, off, ok, want)
		}
	}
	if _, _, ok := e.Nearest(99, passage.NoVoice); ok {
		t.Error("a stroke near 99")
	}
}

// BenchmarkGrade is a take of ten minutes at eight strokes a second.
func BenchmarkGrade(b *testing.B) {
	p := step(b, "title: T\ntempo: 120\nmetre: 4/4\n\nstep: S\nsays: Steady.\nkick | xxxx xxxx xxxx xxxx | xxxx xxxx xxxx xxxx |\n")
	tk := kickTake(150)
	rng := rand.New(rand.NewPCG(1, 1))
	tk = takeOf(b, p, tk, func(int, Onset, Position) float64 { return 10 * rng.NormFloat64() })
	b.ReportAllocs()
	for b.Loop() {
		mustGrade(b, p, tk)
	}
}
