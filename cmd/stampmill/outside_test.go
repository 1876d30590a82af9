package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
)

// The takes of this file are made by formulae that stand here and use nothing
// of the program: exercise and take are texts, and what comes back is JSON.

// A source gives numbers as even as a die: the least standard generator of Park
// and Miller 1988, Commun. ACM 31, 1192-1201 (from memory), and normal numbers
// by Box and Muller 1958 (from memory).
type source uint64

func (s *source) even() float64 {
	*s = *s * 16807 % 2147483647
	return float64(*s) / 2147483647
}

func (s *source) normal() float64 {
	return math.Sqrt(-2*math.Log(s.even())) * math.Cos(2*math.Pi*s.even())
}

// crusher is a step of two bars of 4/4 at 120 BPM, half a second a beat.
const crusher = `title: Crusher
tempo: 120
metre: 4/4

step: Feed
kick  | x. x. x. x. | x. x. x. x. |
snare | .  .  X  .  | .  .  X  .  |

step: Jaw
kick  | x.x. .x.. x.x. ..x. | x.x. .x.. x.x. xxx |
snare | .  .  X  .  | .  .  X  .  |

step: Run
kick  | xx xx xx xx | xx xx xx xx |
`

// jaw are the kicks of its second step, and run those of its third, in seconds.
var (
	jaw  = []float64{0, .25, .625, 1, 1.25, 1.75, 2, 2.25, 2.625, 3, 3.25, 3.5, 3.5 + .5/3, 3.5 + 1./3}
	run8 = []float64{0, .25, .5, .75, 1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 3.75}
)

const crusherPass = 4.0 // seconds

// passes plays a pass so often.
func passes(pass []float64, n int) (all []float64) {
	for k := range n {
		for _, at := range pass {
			all = append(all, at+float64(k)*crusherPass)
		}
	}
	return all
}

// noisy adds independent normal errors of a standard deviation in ms.
func noisy(taps []float64, ms float64, s *source) []float64 {
	out := make([]float64, len(taps))
	for i, at := range taps {
		out[i] = at + ms/1000*s.normal()
	}
	return out
}

// gradeKicks writes a take of kicks and grades it by the command line.
func gradeKicks(t *testing.T, step, passes int, taps []float64, flags ...string) map[string]any {
	t.Helper()
	slices.Sort(taps)
	var lines []string
	for _, at := range taps {
		lines = append(lines, fmt.Sprintf(`{"voice":"kick","seconds":%.6f}`, at))
	}
	take := fmt.Sprintf(`{"stampmill":1,"exercise":"crusher","step":%d,"tempo":120,"passes":%d,"part":["kick"],"input":"pad","latency_ms":0,"taps":[%s]}`,
		step, passes, strings.Join(lines, ","))
	if err := os.WriteFile("crusher.drill", []byte(crusher), 0o644); err != nil {
		t.Fatal(err)
	}
	out, stderr, code := call(t, take, append([]string{"grade", "--json", "crusher.drill", "-"}, flags...)...)
	if code != exitDone {
		t.Fatal(stderr)
	}
	var verdict map[string]any
	if err := json.Unmarshal([]byte(out), &verdict); err != nil {
		t.Fatal(err)
	}
	return verdict
}

func within(t *testing.T, what string, got any, want, by float64) {
	t.Helper()
	x, ok := got.(float64)
	if !ok || math.Abs(x-want) > by {
		t.Errorf("%s is %v, want %g within %g", what, got, want, by)
	}
}

// TestGradeCounts: every seventh kick left out and three taps where nothing is
// written.
func TestGradeCounts(t *testing.T) {
	t.Chdir(t.TempDir())
	var taps []float64
	for i, at := range passes(jaw, 6) {
		if i%7 != 6 {
			taps = append(taps, at)
		}
	}
	taps = append(taps, .44, 9.52, 18.44)
	v := gradeKicks(t, 2, 6, taps)
	for field, want := range map[string]float64{"expected": 84, "matched": 72, "missed": 12, "extra": 3, "leaning_ms": 0, "spread_ms": 0, "f25": 2 * 72. / (84 + 75)} {
		within(t, field, v[field], want, 1e-3)
	}
	if v["passed"] != false {
		t.Error("it passed with 86 % of the hits")
	}
	if v := gradeKicks(t, 2, 6, taps, "--hits", "0.85"); v["passed"] != true {
		t.Error("it did not pass where 85 % is enough")
	}
}

// TestGradeLeaningAndSpread: they are mean and standard deviation of the errors
// that were put in; the spread within the little that taking off a drift costs.
func TestGradeLeaningAndSpread(t *testing.T) {
	t.Chdir(t.TempDir())
	s := source(11)
	for _, tt := range []struct{ lean, spread float64 }{{-12, 6}, {9, 14}, {0, 3}} {
		written := passes(jaw, 20)
		taps := noisy(written, tt.spread, &s)
		mean, squares := 0.0, 0.0
		for i := range taps {
			taps[i] += tt.lean / 1000
			mean += 1000 * (taps[i] - written[i]) / float64(len(taps))
		}
		for i := range taps {
			squares += math.Pow(1000*(taps[i]-written[i])-mean, 2)
		}
		sd := math.Sqrt(squares / float64(len(taps)-2)) // mean and slope are taken off
		v := gradeKicks(t, 2, 20, taps)
		within(t, "matched", v["matched"], float64(len(written)), 0)
		within(t, "leaning", v["leaning_ms"], mean, .002)
		within(t, "spread", v["spread_ms"], sd, .02*sd)
		if v["misreading"] != nil {
			t.Errorf("a misreading of a clean take: %v", v["misreading"])
		}
	}
}

// TestGradeDrift: a tempo of 120.6 against 120 wins 0.6 BPM: a beat of 60/120.6
// seconds.
func TestGradeDrift(t *testing.T) {
	t.Chdir(t.TempDir())
	s := source(5)
	for _, bpm := range []float64{.6, -.6} {
		taps := passes(jaw, 4)
		for i := range taps {
			taps[i] *= 120 / (120 + bpm)
		}
		v := gradeKicks(t, 2, 4, noisy(taps, 4, &s))
		within(t, "drift", v["drift_bpm"], bpm, .06)
		within(t, "spread", v["spread_ms"], 4, 1.2)
	}
}

// TestGradeSplit: beat 2.4 comes out as 3:3:2 of the beat instead of a triplet.
func TestGradeSplit(t *testing.T) {
	t.Chdir(t.TempDir())
	s := source(8)
	played := append(slices.Clone(jaw[:11]), 3.5, 3.5+.5*3/8, 3.5+.5*6/8)
	v := gradeKicks(t, 2, 6, noisy(passes(played, 6), 5, &s))
	tuplet := v["tuplets"].([]any)[0].(map[string]any)
	if tuplet["at"] != "2.4" || tuplet["written"] != "3:2" || tuplet["nearest"] != "3:3:2" {
		t.Errorf("the triplet: %v, want 3:3:2 at 2.4", tuplet)
	}
	for i, want := range []float64{.375, .375, .25} {
		within(t, "share", tuplet["played"].([]any)[i], want, .015)
	}
}
