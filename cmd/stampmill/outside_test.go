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

step: Signal
snare      | X g x f | X g x d |
crash-left | x . ! . | x . . ! |
`

// jaw are the kicks of its second step, and run those of its third, in seconds.
var (
	jaw  = []float64{0, .25, .625, 1, 1.25, 1.75, 2, 2.25, 2.625, 3, 3.25, 3.5, 3.5 + .5/3, 3.5 + 1./3}
	run8 = []float64{0, .25, .5, .75, 1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 3.75}
)

const (
	crusherPass = 4.0  // seconds
	inputDelay  = .020 // that of the pads, as the takes say
)

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
		lines = append(lines, fmt.Sprintf(`{"voice":"kick","seconds":%.6f}`, at+inputDelay))
	}
	return gradeTaps(t, step, passes, "kick", lines, flags...)
}

// gradeTaps is gradeKicks for taps of one voice as they stand in the JSON.
func gradeTaps(t *testing.T, step, passes int, part string, taps []string, flags ...string) map[string]any {
	t.Helper()
	take := fmt.Sprintf(`{"stampmill":1,"exercise":"crusher","step":%d,"tempo":120,"passes":%d,"part":["%s"],"input":"pad","latency_ms":20,"taps":[%s]}`,
		step, passes, part, strings.Join(taps, ","))
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

// TestGradeCounts: every eleventh kick left out and three taps where nothing is
// written.
func TestGradeCounts(t *testing.T) {
	t.Chdir(t.TempDir())
	var taps []float64
	for i, at := range passes(jaw, 6) {
		if i%11 != 6 {
			taps = append(taps, at)
		}
	}
	taps = append(taps, .44, 9.52, 18.44)
	v := gradeKicks(t, 2, 6, taps)
	for field, want := range map[string]float64{"expected": 84, "matched": 76, "missed": 8, "extra": 3, "leaning_ms": 0, "spread_ms": 0, "f25": 2 * 76. / (84 + 79)} {
		within(t, field, v[field], want, 1e-3)
	}
	if v["passed"] != false {
		t.Error("it passed with 90 % of the hits")
	}
	if v := gradeKicks(t, 2, 6, taps, "--hits", "0.9"); v["passed"] != true {
		t.Error("it did not pass where 90 % is enough")
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

// continuing are the strokes of a player who goes on alone at a quarter of a
// second: each interval is that of a timekeeper plus the difference of two
// delays of the movement (Wing and Kristofferson 1973, Percept. Psychophys. 14,
// 5-12; formulae from memory), standard deviations in ms.
func continuing(n int, clock, motor float64, s *source) (taps []float64) {
	kept := 0.0
	for range n {
		taps = append(taps, kept+motor/1000*s.normal())
		kept += .25 + clock/1000*s.normal()
	}
	return taps
}

// TestGradeClockAndMotor: over many takes the squares of clock and motor are on
// average those that were put in, and the intervals hold them.
func TestGradeClockAndMotor(t *testing.T) {
	t.Chdir(t.TempDir())
	const takes, clock, motor = 80, 6.0, 5.0
	s := source(77)
	var clocks, motors []float64
	held, all := 0, 0
	for range takes {
		v := gradeKicks(t, 3, 6, continuing(96, clock, motor, &s))
		figures := v["figures"].(map[string]any)
		for name, want := range map[string]float64{"clock_ms": clock, "motor_ms": motor} {
			f := figures[name].(map[string]any)
			if f["why"] != nil {
				continue
			}
			all++
			if f["low"].(float64) <= want && want <= f["high"].(float64) {
				held++
			}
			square := f["value"].(float64) * f["value"].(float64)
			if name == "clock_ms" {
				clocks = append(clocks, square)
			} else {
				motors = append(motors, square)
			}
		}
	}
	if len(clocks) < takes*3/4 {
		t.Fatalf("only %d of %d takes are told", len(clocks), takes)
	}
	within(t, "clock", math.Sqrt(average(clocks)), clock, .8)
	within(t, "motor", math.Sqrt(average(motors)), motor, .8)
	if share := float64(held) / float64(all); share < .88 {
		t.Errorf("the intervals hold the truth in %.2f of the cases, want about .95", share)
	}
}

func average(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

// TestGradeViolated: intervals that alternate follow each other more than the
// model allows (its correlation is never below -1/2), so neither can be told.
func TestGradeViolated(t *testing.T) {
	t.Chdir(t.TempDir())
	s := source(3)
	taps := noisy(passes(run8, 6), 1, &s)
	for i := range taps {
		taps[i] += .012 * float64(i%2) // intervals of 262 and 238 ms
	}
	figures := gradeKicks(t, 3, 6, taps)["figures"].(map[string]any)
	for _, name := range []string{"clock_ms", "motor_ms"} {
		if f := figures[name].(map[string]any); f["why"] != "not estimable" {
			t.Errorf("%s is %v, want not estimable", name, f)
		}
	}
}

// TestGradePlaces: what is late on the offbeats and early in bar 2 is found
// there.
func TestGradePlaces(t *testing.T) {
	t.Chdir(t.TempDir())
	s := source(19)
	taps := noisy(passes(run8, 8), 3, &s)
	for i := range taps {
		taps[i] += .014 * float64(i%2)
		if i%16 >= 8 {
			taps[i] -= .010
		}
	}
	v := gradeKicks(t, 3, 8, taps)
	for _, want := range []struct {
		list, name, is string
		ms             float64
	}{
		{"by_place", "word", "on the beat", -5}, {"by_place", "word", "&", 9},
		{"by_bar", "bar", "1", 7}, {"by_bar", "bar", "2", -3},
	} {
		for _, x := range v[want.list].([]any) {
			if group := x.(map[string]any); fmt.Sprint(group[want.name]) == want.is {
				within(t, want.is, group["leaning_ms"].(map[string]any)["value"], want.ms, 4*3/math.Sqrt(64))
			}
		}
	}
}

// TestGradeTouch: strengths of accents, hits and ghosts, how long before a flam
// its grace stroke came, and when a cymbal was stopped, as they were put in.
func TestGradeTouch(t *testing.T) {
	t.Chdir(t.TempDir())
	s := source(23)
	var snare, crash []string
	tap := func(at, strength float64) string {
		return fmt.Sprintf(`{"voice":"snare","seconds":%.6f,"strength":%.4f}`, at+inputDelay, strength)
	}
	const takes = 10
	for pass := range takes {
		for bar := range 2 {
			start := crusherPass*float64(pass) + 2*float64(bar)
			for beat, strength := range []float64{.9, .3, .6, .6} {
				at := start + .5*float64(beat) + .004*s.normal()
				if beat == 3 { // a flam, then a drag
					snare = append(snare, tap(at-.030, .3))
				}
				if beat == 3 && bar == 1 {
					snare = append(snare, tap(at-.070, .3))
				}
				snare = append(snare, tap(at, strength+.02*s.normal()))
			}
			stop := start + 1 + .5*float64(bar) // at beat 3, and beat 4 of bar 2
			crash = append(crash, fmt.Sprintf(`{"voice":"crash-left","seconds":%.6f,"release":%.6f}`, start+inputDelay, stop+inputDelay+.080+.005*s.normal()))
		}
	}
	v := gradeTaps(t, 4, takes, "snare", snare)
	within(t, "extra", v["extra"], 0, 0)
	for name, want := range map[string]float64{"accent": .9, "ghost": .3, "hit": .6} {
		within(t, name, v["accents"].(map[string]any)[name].(map[string]any)["value"], want, .02)
	}
	for i, want := range []float64{30, 70} {
		g := v["graces"].([]any)[i].(map[string]any)
		within(t, g["kind"].(string), g["before_ms"].(map[string]any)["value"], want, .01)
		within(t, "without grace strokes", g["missing"], 0, 0)
	}
	v = gradeTaps(t, 4, takes, "crash-left", crash)
	for i, want := range []float64{1080, 1580} {
		l := v["lengths"].([]any)[i].(map[string]any)
		within(t, "written", l["written_ms"], want-80, 1e-9)
		within(t, "held", l["played_ms"].(map[string]any)["value"], want, 8)
	}
}

// TestGradeMisreadings: kicks played otherwise than written, in seconds that
// are worked out here; each is named as one of the changes that come out so.
func TestGradeMisreadings(t *testing.T) {
	t.Chdir(t.TempDir())
	s := source(31)
	with := func(from int, played ...float64) []float64 { return append(slices.Clone(jaw[:from]), played...) }
	for _, tt := range []struct {
		name   string
		pass   []float64
		spread float64 // ms
		named  []string
	}{
		{"3:3:2 of the last beat", with(11, 3.5, 3.5+.5*3/8, 3.5+.5*6/8), 5, []string{"group kick in 3 3 2 of 1/32 at 2.4"}},
		{"its triplet straightened", with(11, 3.5, 3.625, 3.875), 12, []string{"even kick at 2.4", "even kick at 2", "even kick"}},
		{"half-time", []float64{0, .5, 1.25, 2, 2.5, 3.5}, 12, []string{"half-time kick", "half-time all"}}, // of a kick alone the same
		{"the step before", []float64{0, .5, 1, 1.5, 2, 2.5, 3, 3.5}, 12, []string{"step 1", "thin kick to 1/4"}},
		{"all an eighth late, round and round", []float64{1. / 12, .25, .5, .875, 1.25, 1.5, 2, 2.25, 2.5, 2.875, 3.25, 3.5, 3.75, 3.75 + .5/3}, 12,
			[]string{"rotate kick by 1/8"}},
	} {
		v := gradeKicks(t, 2, 6, noisy(passes(tt.pass, 6), tt.spread, &s))
		m, ok := v["misreading"].(map[string]any)
		if !ok {
			t.Errorf("%s: nothing is named", tt.name)
			continue
		}
		names := []string{m["change"].(string)}
		if also, ok := m["also"].([]any); ok {
			for _, a := range also {
				names = append(names, a.(string))
			}
		}
		if !slices.ContainsFunc(names, func(n string) bool { return slices.Contains(tt.named, n) }) {
			t.Errorf("%s: named %q, want one of %q", tt.name, names, tt.named)
		}
		if m["odds"].(float64) < 20 || m["sentence"] == "" || v["passed"] == true {
			t.Errorf("%s: %v, passed %v", tt.name, m, v["passed"])
		}
	}
}

// TestGradeMisreadingOnOneKey: two voices on a single key, of which the taps
// name none, are read otherwise as well as one.
func TestGradeMisreadingOnOneKey(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, c := range []struct {
		name string
		play func(at float64) float64 // in seconds of a pass; below 0 not at all
		want string
	}{
		{"a kick left out", func(at float64) float64 {
			if at == 2.625 {
				return -1
			}
			return at
		}, "drop kick at 2.2+1/16"},
		{"bar 1 an eighth late", func(at float64) float64 {
			if at < 2 {
				return math.Mod(at+.25, 2)
			}
			return at
		}, "rotate kick snare by 1/8 at 1"},
	} {
		random := source(11)
		var lines []string
		for _, at := range passes(jaw, 4) {
			k := math.Floor(at / crusherPass)
			if in := c.play(at - k*crusherPass); in >= 0 {
				lines = append(lines, fmt.Sprintf(`{"seconds":%.6f}`, in+k*crusherPass+.015*random.normal()+inputDelay))
			}
		}
		v := gradeTaps(t, 2, 4, `kick","snare`, lines)
		named, _ := v["misreading"].(map[string]any)
		texts := fmt.Sprint(named["change"], named["also"])
		if !strings.Contains(texts, c.want) {
			t.Errorf("%s: named %s, want %s", c.name, texts, c.want)
		}
	}
}
