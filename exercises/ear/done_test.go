package ear

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"
	"time"

	"stampmill/exercises/passage"
)

// done is an answered trial of a task, with all fields.
func done(t testing.TB, task Task) (Done, Source) {
	t.Helper()
	trial, err := Next(task, sources()[:8], task.Scale.Of(task.Stair.Start), 3, Trial{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := trial.Mark(trial.Right())
	if err != nil {
		t.Fatal(err)
	}
	d := trial.Done(trial.Right(), r)
	d.Text, d.At, d.Took, d.Heard = "00ff", evening, 12*time.Second, []int{2, 3}
	return d, trial.Source
}

// The text of a record: it must stay readable for ever.
const doneText = `{"heard":1,"task":"where","climb":"headframe","step":"One triplet","text":"00ff","seed":"18446744073709551615","d":4,"sum":"abc",` +
	`"answer":{"answer":1,"place":{"bar":2,"beat":3}},"at":"2026-01-31T18:00:00Z","took_ms":12000,"times":[2,3],` +
	`"tried":{"d":4,"made":3.5,"chance":0.125,"right":true},"by":1}`

func TestDoneIsReadAsItWasWritten(t *testing.T) {
	d, err := ReadDone([]byte(doneText))
	want := Done{
		Task: "where", Climb: "headframe", Step: "One triplet", Text: "00ff", Seed: 1<<64 - 1, D: 4, Sum: "abc",
		Answer: Answer{Place: passage.Place{Bar: 2, Beat: 3}}, At: evening, Took: 12 * time.Second, Heard: []int{2, 3},
		Tried: Tried{D: 4, Made: 3.5, Chance: .125, Right: true}, By: 1,
	}
	if err != nil || !reflect.DeepEqual(d, want) {
		t.Errorf("%+v, %v\nwant %+v", d, err, want)
	}
	if text, err := json.Marshal(d); err != nil || string(text) != doneText {
		t.Errorf("written as %s, %v", text, err)
	}
	for _, task := range Tasks() {
		d, _ := done(t, task)
		text, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		back, err := ReadDone(text)
		if twice, _ := json.Marshal(back); err != nil || string(twice) != string(text) {
			t.Errorf("%s: %s, then %s, %v", task.Name, text, twice, err)
		}
	}
}

// brokenDone are texts that are no answered trials.
var brokenDone = []string{
	``, `null`, `{}`, `[]`, `{"heard":1}`, `{"heard":2,"task":"same"}`, doneText + "x",
	strings.Replace(doneText, `"by":1`, `"by":1,"points":3`, 1), strings.Replace(doneText, `"where"`, `""`, 1),
	strings.Replace(doneText, `[2,3]`, `[-1]`, 1), strings.Replace(doneText, `12000`, `-5`, 1), strings.Replace(doneText, `"heard":1`, `"heard":9`, 1),
	strings.Replace(doneText, `{"answer":1`, `{"answer":9`, 1), strings.Replace(doneText, `"d":4`, `"d":1e999`, 1),
	strings.Replace(doneText, `18446744073709551615`, `-1`, 1), strings.Replace(doneText, `"headframe"`, `"`+strings.Repeat("h", 300)+`"`, 1),
}

func TestBrokenDonesAreRefused(t *testing.T) {
	for _, text := range brokenDone {
		if d, err := ReadDone([]byte(text)); err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%s reads as %+v, %v", text, d, err)
		}
	}
	if _, err := ReadDone(make([]byte, MaxDoneBytes+1)); err == nil {
		t.Error("a record without end is read")
	}
}

// Answers of every task are marked anew from what is kept; where the trial
// cannot be made again, the mark stays.
func TestDoneIsMarkedAgain(t *testing.T) {
	for _, task := range Tasks() {
		d, s := done(t, task)
		if !d.Tried.Right {
			t.Errorf("%s: the right answer is kept as wrong", task.Name)
		}
		old := d
		old.Tried.Right, old.By = false, Marker-1
		if again, ok := old.Again(s); !ok || !reflect.DeepEqual(again, d) {
			t.Errorf("%s: marked again %v, %+v\nwant %+v", task.Name, ok, again, d)
		}
		other := s
		other.Passage = sources()[60].Passage
		for name, kept := range map[string]Done{"another source": old, "an unknown task": {Task: "oboe"}} {
			if again, ok := kept.Again(other); ok || !reflect.DeepEqual(again, kept) {
				t.Errorf("%s of %s: marked again as %+v", task.Name, name, again)
			}
		}
	}
}

// Sums tell trials apart, and are those of the same trial.
func TestSums(t *testing.T) {
	seen := map[string]string{}
	for _, task := range Tasks() {
		for seed := range uint64(3) {
			trial, err := Next(task, sources()[3:9], task.Scale.Of(task.Stair.Start), seed, Trial{})
			if err != nil {
				t.Fatal(err)
			}
			sum := trial.Sum()
			if again, _ := task.Trial(trial.Source, trial.D, trial.Seed); again.Sum() != sum || len(sum) != 16 {
				t.Errorf("%s: sums %s and %s of one trial", task.Name, sum, again.Sum())
			}
			if was, ok := seen[sum]; ok && was != task.Name {
				t.Errorf("%s has the sum of a trial of %s", task.Name, was)
			}
			seen[sum] = task.Name
		}
	}
	if len(seen) < 2*len(Tasks()) {
		t.Errorf("only %d sums", len(seen))
	}
}

// Whatever the bytes, a record is refused or reads back as it is written.
func FuzzReadDone(f *testing.F) {
	f.Add([]byte(doneText))
	for _, text := range brokenDone {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := ReadDone(text)
		if err != nil {
			return
		}
		written, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		again, err := ReadDone(written)
		if err != nil {
			t.Fatalf("%s is written as %s: %v", text, written, err)
		}
		if twice, _ := json.Marshal(again); string(twice) != string(written) {
			t.Fatalf("%s, then %s", written, twice)
		}
	})
}
