package ear

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// answers are answers and their JSON, which is a record: it must stay readable.
var answers = []struct {
	answer Answer
	text   string
}{
	{Answer{}, `{"answer":1}`},
	{Answer{Choice: []int{2}}, `{"answer":1,"choice":[2]}`},
	{Answer{Choice: []int{0}, Place: passage.Place{Bar: 2, Beat: 3}}, `{"answer":1,"choice":[0],"place":{"bar":2,"beat":3}}`},
	{Answer{Place: passage.Place{Bar: 1, Beat: 4, Into: meter.R(1, 3)}}, `{"answer":1,"place":{"bar":1,"beat":4,"into":"1/3"}}`},
	{
		Answer{Line: passage.Line{Voice: passage.Guitar, Strokes: []passage.Stroke{
			{At: meter.R(7, 4), Length: meter.R(1, 4), Kind: passage.Hit, Fret: 3},
			{At: meter.Int(2), Length: meter.Int(1), Kind: passage.Bend, Bend: 2},
		}}},
		`{"answer":1,"line":{"voice":"guitar","strokes":[{"at":"7/4","length":"1/4","kind":"hit","fret":3},{"at":"2","length":"1","kind":"bend","bend":2}]}}`,
	},
	{
		Answer{LatencyMS: 38.5, Taps: []grade.Tap{
			{Voice: passage.Kick, Seconds: 0.5, Strength: grade.Some(0.8), Release: grade.Some(0.625)}, {Seconds: -0.25},
		}},
		`{"answer":1,"taps":[{"voice":"kick","seconds":0.5,"strength":0.8,"release":0.625},{"seconds":-0.25}],"latency_ms":38.5}`,
	},
}

func TestAnswerRoundTrip(t *testing.T) {
	for _, c := range answers {
		text, err := json.Marshal(c.answer)
		if err != nil || string(text) != c.text {
			t.Errorf("%+v is written as %s, %v; want %s", c.answer, text, err, c.text)
		}
		back, err := ReadAnswer([]byte(c.text))
		if err != nil || !reflect.DeepEqual(back, c.answer) {
			t.Errorf("%s reads as %+v, %v", c.text, back, err)
		}
	}
}

// broken are texts that are no answers.
var broken = []string{
	``, `null`, `[]`, `{}`, `{"answer":2}`, `{"answer":1} x`, `{"answer":1,"score":3}`, `{"answer":1,"choice":[-2]}`, `{"answer":1,"choice":[99999]}`,
	`{"answer":1,"choice":[0,0,0,0,0,0,0,0,0]}`, `{"answer":1,"place":{"bar":0,"beat":1}}`, `{"answer":1,"place":{"bar":1,"beat":99}}`,
	`{"answer":1,"place":{"bar":1,"beat":1,"into":"-1/4"}}`, `{"answer":1,"line":{"voice":"oboe","strokes":[]}}`,
	`{"answer":1,"line":{"voice":"kick","strokes":[{"at":"0","length":"0","kind":"hit"}]}}`,
	`{"answer":1,"line":{"voice":"kick","strokes":[{"at":"1/9999999","length":"1","kind":"hit"}]}}`,
	`{"answer":1,"taps":[{"seconds":1e300}]}`, `{"answer":1,"taps":[{"voice":"oboe","seconds":1}]}`, `{"answer":1,"latency_ms":1e9}`,
}

func TestBrokenAnswersAreRefused(t *testing.T) {
	for _, text := range broken {
		if a, err := ReadAnswer([]byte(text)); err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%s reads as %+v, %v", text, a, err)
		}
	}
	if _, err := ReadAnswer(make([]byte, MaxAnswerBytes+1)); err == nil {
		t.Error("an answer without end is read")
	}
}

// Whatever the bytes, an answer is refused or reads back as it is written, and
// no trial is marked with a panic.
func FuzzReadAnswer(f *testing.F) {
	for _, c := range answers {
		f.Add([]byte(c.text))
	}
	for _, text := range broken {
		f.Add([]byte(text))
	}
	var trials []Trial
	for _, task := range Tasks() {
		if trial, err := Next(task, sources()[:20], task.Scale.High, 1, Trial{}); err == nil {
			trials = append(trials, trial)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		a, err := ReadAnswer(text)
		if err != nil {
			return
		}
		for _, trial := range trials {
			if r, err := trial.Mark(a); err == nil && len(r.Parts) < len(trial.Asks) {
				t.Errorf("%s: %d parts of %d asks", trial.Task.Name, len(r.Parts), len(trial.Asks))
			}
		}
		written, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		again, err := ReadAnswer(written)
		if err != nil {
			t.Fatalf("%s is written as %s: %v", text, written, err)
		}
		if twice, _ := json.Marshal(again); string(twice) != string(written) {
			t.Fatalf("%s, then %s", written, twice)
		}
	})
}
