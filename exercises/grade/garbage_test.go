package grade

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"stampmill/exercises/passage"
)

// check fails where a verdict contradicts itself.
func check(t testing.TB, tk Take, v Verdict) {
	t.Helper()
	if v.Matched+v.Missed != v.Expected || len(v.Strays) != v.Extra || v.Matched+v.Extra > len(tk.Taps) {
		t.Errorf("%+v, %d strays of %d taps", v.Counts, len(v.Strays), len(tk.Taps))
	}
	if n := len(v.Sentences); n < 1 || n > maxSentences {
		t.Errorf("%d sentences", n)
	}
	for _, f := range v.all() {
		if f.OK != (f.Why() == "") {
			t.Errorf("%+v says %q", f, f.Why())
		}
		if f.OK && !(f.Low <= f.Value && f.Value <= f.High) && !math.IsNaN(f.Value) {
			t.Errorf("%+v is outside its interval", f)
		}
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) || math.IsNaN(f.Low) || math.IsInf(f.High, 0) {
			t.Errorf("%+v is not finite", f)
		}
	}
	passes := Counts{}
	for _, p := range v.ByPass {
		passes.Expected, passes.Matched, passes.Missed, passes.Extra = passes.Expected+p.Expected, passes.Matched+p.Matched, passes.Missed+p.Missed, passes.Extra+p.Extra
	}
	if passes != v.Counts {
		t.Errorf("passes add up to %+v, the take to %+v", passes, v.Counts)
	}
	if _, err := json.Marshal(v); err != nil {
		t.Error(err)
	}
}

// all returns every figure of a verdict.
func (v Verdict) all() []Figure {
	a := v.Accents
	out := []Figure{v.Leaning, v.Spread, v.Drift, v.Lag1, v.Clock, v.Motor, v.Flam, v.Drag, a.Accent, a.Hit, a.Ghost, a.Louder, a.StandOut}
	for _, f := range v.ByVoice {
		out = append(out, f.Leaning, f.Spread)
	}
	for _, f := range v.ByLimb {
		out = append(out, f.Leaning, f.Spread)
	}
	for _, f := range v.ByPlace {
		out = append(out, f.Leaning, f.Spread)
	}
	for _, f := range v.ByBar {
		out = append(out, f.Leaning, f.Spread)
	}
	for _, f := range v.ByPass {
		out = append(out, f.Leaning, f.Spread)
	}
	for _, f := range v.Positions {
		out = append(out, f.Mean)
	}
	for _, f := range v.Lengths {
		out = append(out, f.Played)
	}
	for _, f := range v.Graces {
		out = append(out, f.GraceMS)
	}
	return out
}

// TestGarbage: whatever the taps are, the verdict is one.
func TestGarbage(t *testing.T) {
	p := step(t, everything)
	_, good := everythingTake(t)
	heap := func(n int, at float64) []Tap {
		return slices.Repeat([]Tap{{Voice: passage.Snare, Seconds: at, Strength: Some(.5), Release: Some(at)}}, n)
	}
	tests := []struct {
		name   string
		change func(*Take)
	}{
		{"as played", func(*Take) {}},
		{"no tap", func(tk *Take) { tk.Taps = nil }},
		{"one tap", func(tk *Take) { tk.Taps = tk.Taps[:1] }},
		{"thousands at one time", func(tk *Take) { tk.Taps = heap(20_000, 1) }},
		{"thousands at one time, at a flam", func(tk *Take) { tk.Taps = append(heap(5000, 2.75), heap(5000, 2.76)...) }},
		{"thousands at one time among the others", func(tk *Take) { tk.Taps = append(tk.Taps, heap(5000, 3.5)...) }},
		{"all far too late", func(tk *Take) {
			for i := range tk.Taps {
				tk.Taps[i].Seconds += 3000
			}
		}},
		{"releases before their strokes", func(tk *Take) {
			for i := range tk.Taps {
				tk.Taps[i].Release = Some(tk.Taps[i].Seconds - 1)
			}
		}},
		{"releases and strengths that are no numbers", func(tk *Take) {
			for i := range tk.Taps {
				tk.Taps[i].Release, tk.Taps[i].Strength = Some(math.NaN()), Some(math.Inf(1))
			}
		}},
		{"strengths all equal", func(tk *Take) {
			for i := range tk.Taps {
				tk.Taps[i].Strength = Some(.5)
			}
		}},
		{"stopped in the count-in", func(tk *Take) { tk.Stopped = Some(-1.) }},
		{"stopped at once", func(tk *Take) { tk.Stopped, tk.Taps = Some(.2), tk.Taps[:3] }},
		{"stopped in the second pass", func(tk *Take) { tk.Stopped = Some(5.1) }},
		{"on one key", func(tk *Take) {
			for i := range tk.Taps {
				tk.Taps[i].Voice = passage.NoVoice
			}
		}},
		{"voices that are none", func(tk *Take) {
			for i := range tk.Taps {
				tk.Taps[i].Voice = passage.Voice(200 + i%50)
			}
		}},
		{"exactly as written", func(tk *Take) {
			exact := takeOf(t, p, Take{Tempo: 120, Passes: 4}, func(int, Onset, Position) float64 { return 0 })
			tk.LatencyMS, tk.Taps = 0, exact.Taps
		}},
		{"alternately early and late", func(tk *Take) {
			exact := takeOf(t, p, Take{Tempo: 120, Passes: 4, Part: []passage.Voice{passage.Kick}}, func(i int, _ Onset, _ Position) float64 { return 20 - 40*float64(i%2) })
			tk.LatencyMS, tk.Part, tk.Taps = 0, exact.Part, exact.Taps
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tk := good
			tk.Taps = slices.Clone(good.Taps)
			tt.change(&tk)
			v, err := Grade(p, tk, Options{})
			if err != nil {
				t.Fatal(err)
			}
			check(t, tk, v)
		})
	}
}

// TestStrengthsAllEqual: then no accent stands out, and none is louder.
func TestStrengthsAllEqual(t *testing.T) {
	p, tk := everythingTake(t)
	for i := range tk.Taps {
		tk.Taps[i].Strength = Some(.5)
	}
	a := mustGrade(t, p, tk).Accents
	if !a.OK || a.Louder.Value != 0 || a.Louder.Low != 0 || a.StandOut.Value != 0 || a.StandOut.High < .1 {
		t.Errorf("%+v", a)
	}
	for i := range tk.Taps {
		tk.Taps[i].Strength = Optional{}
	}
	if a := mustGrade(t, p, tk).Accents; a.OK || a.Accent.OK || a.Louder.OK {
		t.Errorf("without strengths: %+v", a)
	}
}

// TestGradingLeavesTheTakeAlone: a take is what happened. However often and
// with whatever it is graded, its record stays the same to the byte; only the
// verdict is another.
func TestGradingLeavesTheTakeAlone(t *testing.T) {
	p, tk := everythingTake(t)
	before, err := WriteTake(tk)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(before), "grader") || strings.Contains(string(before), "spread") {
		t.Errorf("the record holds what is derived: %s", before)
	}
	verdicts := map[string]bool{}
	for _, o := range []Options{{NoSearch: true}, {NoSearch: true, LatencyMS: Some(40)}, {NoSearch: true, Passing: &Passing{Hits: 1, Extra: 0, SpreadMS: 1}}} {
		v, err := Grade(p, tk, o)
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		verdicts[string(text)] = true
		if after, err := WriteTake(tk); err != nil || string(after) != string(before) {
			t.Errorf("the take became %s, %v", after, err)
		}
	}
	if len(verdicts) != 3 {
		t.Errorf("%d verdicts of three gradings", len(verdicts))
	}
}

// tapsOf makes taps of bytes, five each: voice, time in ms, strength, length.
func tapsOf(data []byte) []Tap {
	voices := append(passage.Voices(), passage.NoVoice)
	var taps []Tap
	for ; len(data) >= 5; data = data[5:] {
		tap := Tap{Voice: voices[int(data[0])%len(voices)], Seconds: float64(uint16(data[1])<<8|uint16(data[2])) / 1000}
		if data[3] < 250 {
			tap.Strength = Some(float64(data[3]) / 250)
		}
		if data[4] < 250 {
			tap.Release = Some(tap.Seconds + float64(data[4])/250)
		}
		taps = append(taps, tap)
	}
	return taps
}

// bytesOf is the other way round.
func bytesOf(tk Take) []byte {
	var data []byte
	for _, tap := range tk.Taps {
		ms := uint16(max(tap.Seconds*1000, 0))
		data = append(data, byte(max(slices.Index(passage.Voices(), tap.Voice), 0)), byte(ms>>8), byte(ms), byte(250*tap.Strength.Value), byte(250*(tap.Release.Value-tap.Seconds)))
	}
	return data
}

// FuzzGrade: whatever is tapped, the verdict does not contradict itself, or is
// an error for people.
func FuzzGrade(f *testing.F) {
	p, tk := everythingTake(f)
	f.Add(bytesOf(tk), uint8(4), false, 120., 10., -10.)
	f.Add(bytesOf(tk), uint8(2), true, 117.5, 0., 3.)
	f.Add(slices.Repeat([]byte{5, 4, 0, 100, 100}, 300), uint8(1), false, 120., 0., -10.)
	f.Fuzz(func(t *testing.T, data []byte, passes uint8, oneKey bool, tempo, latency, stopped float64) {
		tk := Take{Exercise: "everything", Step: 1, Tempo: tempo, Passes: int(passes % 16), Input: "midi", LatencyMS: latency, Taps: tapsOf(data[:min(len(data), 5000)])}
		if stopped > -10 {
			tk.Stopped = Some(stopped)
		}
		for i := range tk.Taps {
			if oneKey {
				tk.Taps[i].Voice = passage.NoVoice
			}
		}
		v, err := Grade(p, tk, Options{NoSearch: true})
		if err != nil {
			return
		}
		check(t, tk, v)
	})
}

// BenchmarkGradeEverything is the verdict of a take in which every figure has
// something to tell.
func BenchmarkGradeEverything(b *testing.B) {
	p, tk := everythingTake(b)
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(tk.Taps), func(i, j int) { tk.Taps[i], tk.Taps[j] = tk.Taps[j], tk.Taps[i] })
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Grade(p, tk, Options{NoSearch: true}); err != nil {
			b.Fatal(err)
		}
	}
}
