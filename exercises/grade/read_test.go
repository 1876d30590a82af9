package grade

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/passage"
)

// good is the take of the manual.
const good = `{"stampmill":1,"exercise":"headframe","step":2,"tempo":104,"passes":2,"part":["kick"],"input":"keyboard","latency_ms":38.5,"taps":[{"voice":"kick","seconds":0.5769,"strength":0.8,"release":0.61}]}`

func TestReadTake(t *testing.T) {
	got, err := ReadTake([]byte(good))
	if err != nil {
		t.Fatal(err)
	}
	want := Take{
		Exercise: "headframe", Step: 2, Tempo: 104, Passes: 2, Part: []passage.Voice{passage.Kick}, Input: "keyboard", LatencyMS: 38.5,
		Taps: []Tap{{passage.Kick, .5769, Some(.8), Some(.61)}},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func TestReadTakeSortsTaps(t *testing.T) {
	text := strings.Replace(good, `"taps":[`, `"taps":[{"seconds":2,"release":2.1},{"seconds":-0.5},`, 1)
	got, err := ReadTake([]byte(text))
	if err != nil || len(got.Taps) != 3 || got.Taps[0].Seconds != -.5 || got.Taps[2].Seconds != 2 {
		t.Errorf("got %v, %v", got.Taps, err)
	}
}

// TestReadTakeFaults: each change to the good take gives the faults, all of
// them, with place, path, what, and what to do.
func TestReadTakeFaults(t *testing.T) {
	tests := []struct{ old, new, want string }{
		{good, ``, `1:1: no valid JSON: unexpected end of JSON input; write a take as one JSON object, as simulate does`},
		{good, `[]`, `1:1: this is no JSON object; write it in { }`},
		{good, "\ufeff{}", `1:1: a byte order mark before the JSON; save the file as UTF-8 without it`},
		{"headframe", "head\xfframe", `1:32: a byte that is no UTF-8; save the file as UTF-8`},
		{`]}`, "]}\n}", `2:1: no valid JSON: invalid character '}' after top-level value; write a take as one JSON object, as simulate does`},
		{`"kick"]`, "\n  \"kick\",]", `2:10: no valid JSON: invalid character ']' looking for beginning of value; write a take as one JSON object, as simulate does`},
		{`"stampmill":1`, `"stampmill":2`, `1:14: stampmill: 2 is not 1; update the program, which reads version 1`},
		{`"exercise"`, `"exercize"`, "1:16: exercize: an unknown field; is it \"exercise\"?\n1:196: exercise: the field is missing; name the exercise that was played"},
		{`"step":2`, `"st ep":2`, "1:39: st ep: an unknown field; is it \"step\"?\n1:197: step: the field is missing; give the number of the step, from 1"},
		{`"stampmill":1,`, ``, `1:182: stampmill: the field is missing; write "stampmill": 1 to say that this is a take`},
		{`"exercise":"headframe"`, `"exercise":7`, `1:27: exercise: this is no text; name the exercise that was played`},
		{`"step":2`, `"step":-1`, `1:46: step: -1 is outside 1 to 999; give the number of the step, from 1`},
		{`"step":2`, `"step":1.5`, `1:46: step: 1.5 is no whole number; give the number of the step, from 1`},
		{`"tempo":104`, `"tempo":19`, `1:56: tempo: 19 is outside 20 to 400; give the beats a minute that were played`},
		{`"tempo":104`, `"tempo":1e999`, `1:56: tempo: 1e999 is outside 20 to 400; give the beats a minute that were played`},
		{`"tempo":104`, `"tempo":null`, `1:56: tempo: this is no number; give the beats a minute that were played`},
		{`"passes":2`, `"passes":1000`, `1:69: passes: 1000 is outside 1 to 999; give how often the bars were played`},
		{`"passes":2`, `"passes":2,"passes":3`, `1:71: passes: the field stands twice; leave one out`},
		{`["kick"]`, `"kick"`, `1:78: part: this is no list; write it in [ ]`},
		{`["kick"]`, `["kick","kick"]`, `1:86: part[1]: kick stands twice; leave one out`},
		{`["kick"]`, `["anvil"]`, `1:79: part[0]: no voice is named "anvil"; use one of china, crash-left, crash-right, ride, hat, snare, kick, tom-high, tom-mid, tom-floor, guitar, bass, lead, sub, click`},
		{`"latency_ms":38.5`, `"latencyMs":38.5`, "1:106: latencyMs: an unknown field; is it \"latency_ms\"?\n1:195: latency_ms: the field is missing; give the measured delay, or 0"},
		{`38.5`, `1001`, `1:119: latency_ms: 1001 is outside -1000 to 1000; measure the delay again`},
		{`"taps"`, `"bars":[3,2],"taps"`, `1:131: bars: this is not a first and a last bar; write it like [2, 3], or leave it out for all`},
		{`"taps"`, `"bars":[0,2],"taps"`, `1:132: bars[0]: 0 is outside 1 to 64; give the first and the last bar, such as [2, 3]`},
		{`"taps":[`, `"taps":[7,{},`, "1:132: taps[0]: this is no JSON object; write it in { }\n1:135: taps[1].seconds: the field is missing; give the seconds from the first written downbeat"},
		{`0.5769`, `3600.5`, `1:158: taps[0].seconds: 3600.5 is outside -3600 to 3600; count seconds from the first written downbeat`},
		{`0.5769`, `"soon"`, `1:158: taps[0].seconds: this is no number; count seconds from the first written downbeat`},
		{`:0.8`, `:1.01`, `1:176: taps[0].strength: 1.01 is outside 0 to 1; give 0 (soft) to 1 (hard), or leave it out`},
		{`:0.61`, `:0.5`, `1:132: taps[0].release: the release is before the tap; count both from the first written downbeat`},
		{`"seconds"`, `"Seconds"`, "1:148: taps[0].Seconds: an unknown field; is it \"seconds\"?\n1:194: taps[0].seconds: the field is missing; give the seconds from the first written downbeat"},
	}
	for _, tt := range tests {
		_, err := ReadTake([]byte(strings.Replace(good, tt.old, tt.new, 1)))
		if got := fmt.Sprint(err); got != tt.want {
			t.Errorf("%s -> %s:\n got %s\nwant %s", tt.old, tt.new, got, tt.want)
		}
	}
}

func TestReadTakeIgnoresNewFields(t *testing.T) {
	text := strings.NewReplacer(`"input"`, `"room":{"size":[3,{"of":4}]},"input"`, `"strength"`, `"pan":[0.1],"strength"`).Replace(good)
	if _, err := ReadTake([]byte(text)); err != nil {
		t.Error(err)
	}
}

func TestReadTakeBounds(t *testing.T) {
	long := strings.Replace(good, "headframe", strings.Repeat("h", MaxNameBytes+1), 1)
	many := strings.Replace(good, `"taps":[`, `"taps":[`+strings.Repeat("0,", 50_000), 1)
	for _, text := range []string{long, many, strings.Repeat(" ", MaxTakeBytes+1), strings.Repeat("[", 100_000)} {
		_, err := ReadTake([]byte(text))
		if err == nil {
			t.Errorf("%.40s... is accepted", text)
			continue
		}
		if faults := err.(Faults); len(faults) > maxFaultsRead {
			t.Errorf("%d faults", len(faults))
		}
	}
}

func TestWriteTakeRefuses(t *testing.T) {
	take, _ := ReadTake([]byte(good))
	for _, seconds := range []float64{math.NaN(), math.Inf(1), 1e9} {
		take.Taps = []Tap{{Seconds: seconds}}
		if _, err := WriteTake(take); err == nil {
			t.Errorf("a tap at %g was written", seconds)
		}
	}
}

func TestTakeRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		voice := rapid.SampledFrom(append(passage.Voices(), passage.NoVoice))
		maybe := func(label string, low, high float64) Optional {
			if !rapid.Bool().Draw(t, label+"?") {
				return Optional{}
			}
			return Some(rapid.Float64Range(low, high).Draw(t, label))
		}
		take := Take{
			Exercise: rapid.StringN(0, 20, 80).Draw(t, "exercise"), Step: rapid.IntRange(1, MaxStep).Draw(t, "step"),
			Tempo: rapid.Float64Range(MinBPM, MaxBPM).Draw(t, "tempo"), Passes: rapid.IntRange(1, MaxPasses).Draw(t, "passes"),
			Part:  rapid.SliceOfNDistinct(rapid.SampledFrom(passage.Voices()), 0, 4, rapid.ID).Draw(t, "part"),
			Input: "keyboard", LatencyMS: rapid.Float64Range(-MaxLatencyMS, MaxLatencyMS).Draw(t, "latency"),
			Stopped: maybe("stopped", -MaxSeconds, MaxSeconds),
		}
		if rapid.Bool().Draw(t, "some bars") {
			take.Bars[0] = rapid.IntRange(1, 64).Draw(t, "first")
			take.Bars[1] = rapid.IntRange(take.Bars[0], 64).Draw(t, "last")
		}
		for i := range rapid.IntRange(0, 5).Draw(t, "taps") {
			seconds := float64(i) + rapid.Float64Range(0, 1).Draw(t, "seconds")
			take.Taps = append(take.Taps, Tap{voice.Draw(t, "voice"), seconds, maybe("strength", 0, 1), maybe("release", seconds, 10)})
		}
		text, err := WriteTake(take)
		if err != nil {
			t.Fatal(err)
		}
		back, err := ReadTake(text)
		if err != nil {
			t.Fatal(err)
		}
		if len(take.Part) == 0 {
			take.Part, back.Part = nil, nil
		}
		if diff := cmp.Diff(take, back); diff != "" {
			t.Fatalf("-written +read:\n%s", diff)
		}
		var inside struct{ Take Take }
		nested, err := json.Marshal(struct{ Take Take }{take})
		if err == nil {
			err = json.Unmarshal(nested, &inside)
		}
		if err != nil || len(inside.Take.Taps) != len(take.Taps) {
			t.Fatalf("inside other JSON: %v: %s", err, nested)
		}
	})
}

// FuzzReadTake: no bytes panic, what is read is within the limits and can be
// graded, and writing it and reading that again changes nothing.
func FuzzReadTake(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte(`{"stampmill":1,"exercise":"","step":1,"tempo":4e2,"passes":999,"part":[],"input":"","latency_ms":-0,"bars":[1,64],"stopped":0,"taps":[{"seconds":1},{"seconds":-1,"release":1e3}]}`))
	f.Add([]byte(`{"taps":[{"seconds":{"a":[[{}]]}},null,[]],"taps":0}`))
	p := step(f, crusher)
	f.Fuzz(func(t *testing.T, data []byte) {
		take, err := ReadTake(data)
		if err != nil {
			for _, fault := range err.(Faults) {
				if fault.Line < 1 || fault.Column < 1 || fault.What == "" || fault.Do == "" {
					t.Errorf("fault without place or hint: %+v", fault)
				}
			}
			return
		}
		if err := bounded(take); err != nil {
			t.Errorf("read but out of bounds: %v", err)
		}
		if v, err := Grade(p, take, Options{}); err == nil && v.Matched+v.Extra != len(take.Taps) {
			t.Errorf("%+v of %d taps", v.Counts, len(take.Taps))
		}
		text, err := WriteTake(take)
		if err != nil {
			t.Fatal(err)
		}
		back, err := ReadTake(text)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := WriteTake(back)
		if string(text) != string(again) {
			t.Errorf("printed twice:\n%s%s", text, again)
		}
	})
}

func BenchmarkReadTake(b *testing.B) {
	take, _ := ReadTake([]byte(good))
	for i := range 10_000 {
		take.Taps = append(take.Taps, Tap{passage.Kick, float64(i) * .125, Some(.5), Optional{}})
	}
	text, err := WriteTake(take)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := ReadTake(text); err != nil {
			b.Fatal(err)
		}
	}
}
