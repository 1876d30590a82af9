package logbook

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/port"
	"stampmill/app/port/memory"
	"stampmill/exercises"
	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
)

// sourceOf is a step of a climb as questions are made from it.
func sourceOf(t testing.TB, climb string, step int) ear.Source {
	t.Helper()
	st := stepOf(t, climb, step)
	return ear.Source{Climb: climb, Title: st.Title, Passage: st.Passage}
}

// heard is an answer to a question about step 2 of "headframe", minutes after
// noon: right where the minute is even.
func heard(t testing.TB, minutes int) Heard {
	t.Helper()
	task, _ := ear.Named("same")
	trial, err := task.Trial(sourceOf(t, "headframe", 2), task.Scale.High, uint64(minutes))
	if err != nil {
		t.Fatal(err)
	}
	a := trial.Right()
	if minutes%2 == 1 {
		a.Choice = []int{1 - a.Choice[0]}
	}
	r, err := trial.Mark(a)
	if err != nil {
		t.Fatal(err)
	}
	text, _ := library("headframe")
	d := trial.Done(a, r)
	d.Text, d.At, d.Took, d.Heard = Hash(text), noon.Add(time.Duration(minutes)*time.Minute), 7*time.Second, []int{2, 1}
	return Heard{d, text}
}

// keepHeard keeps answers.
func keepHeard(t testing.TB, d *desk, all ...Heard) {
	t.Helper()
	for _, h := range all {
		got := errors.New("no answer")
		d.KeepHeard(h, func(err error) { got = err })
		d.settle()
		if got != nil {
			t.Fatal(got)
		}
	}
}

// lines are answers as they are stored.
func lines(t testing.TB, all []ear.Done) []string {
	t.Helper()
	var out []string
	for _, d := range all {
		text, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(text))
	}
	return out
}

// dones are answers as they are handed over.
func dones(all ...Heard) []ear.Done {
	var out []ear.Done
	for _, h := range all {
		out = append(out, h.Done)
	}
	return out
}

func TestAnswersAreTheSameAtTheNextVisit(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	d := opened(t, archive, store)
	if h := d.last.Heard; !h.Read || len(h.All) != 0 {
		t.Fatalf("at first %+v", h)
	}
	all := []Heard{heard(t, 0), heard(t, 1), heard(t, 60*24*40)}
	keepHeard(t, d, all[2], all[0], all[1])
	want := lines(t, dones(all...))
	if diff := cmp.Diff(want, lines(t, d.last.Heard.All)); diff != "" {
		t.Errorf("at once (-want +got):\n%s", diff)
	}
	again := opened(t, archive, store)
	if diff := cmp.Diff(want, lines(t, again.last.Heard.All)); diff != "" || !again.last.Heard.Read {
		t.Errorf("read %t (-want +got):\n%s", again.last.Heard.Read, diff)
	}
	if len(archive.Kept) != 4 { // three answers and their one text
		t.Errorf("kept %q", slices.Sorted(maps.Keys(archive.Kept)))
	}
	if names := again.last.Entries; len(names) != 0 {
		t.Errorf("answers are taken for takes: %v", names)
	}
}

// The question of an answer can be made again from the text beside it, for every
// task and every step of the library that fits.
func TestQuestionsAreMadeAgainFromTheText(t *testing.T) {
	steps := 0
	for _, e := range exercises.Library() {
		text, err := TextOf(e.Climb)
		if err != nil {
			t.Fatal(err)
		}
		read, err := Steps(text)
		if err != nil {
			t.Fatal(err)
		}
		for i, st := range e.Climb.Steps {
			task := ear.Tasks()[(steps+i)%len(ear.Tasks())]
			trial, err := task.Trial(ear.Source{Climb: e.Name, Title: st.Title, Passage: st.Passage}, task.Scale.High, uint64(i))
			if err != nil {
				continue
			}
			again := ear.Source{Climb: e.Name, Title: read[i].Title, Passage: read[i].Passage}
			if _, err := (ear.Done{Task: task.Name, D: trial.D, Seed: trial.Seed, Sum: trial.Sum()}).Trial(again); err != nil {
				t.Errorf("%s of %s, %s: %v", task.Name, e.Name, st.Title, err)
			}
			steps++
		}
	}
	if steps < 20 {
		t.Errorf("only %d questions", steps)
	}
}

// An answer that cannot be stored is in the book, is said to be nowhere else,
// and is stored with the next answer or the next take, once.
func TestAnswersThatAreNotKept(t *testing.T) {
	for _, c := range []struct {
		what  string
		fault error
		tries int
		next  func(d *desk)
	}{
		{"no room, then an answer", port.ErrNoRoom, 1, func(d *desk) { keepHeard(t, d, heard(t, 1)) }},
		{"denied, then a take", port.ErrDenied, 1, func(d *desk) { keep(t, d, play(t, 1)) }},
		{"closed, and again, then an answer", port.ErrClosed, 2, func(d *desk) { keepHeard(t, d, heard(t, 1)) }},
	} {
		archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
		d := opened(t, archive, store)
		n := 0
		archive.Fault = func(string) error { n++; return c.fault }
		var got []error
		first := heard(t, 0)
		d.KeepHeard(first, func(err error) { got = append(got, err) })
		d.settle()
		if len(got) != 1 || got[0] == nil || n != c.tries || len(archive.Kept) != 0 || len(d.last.Heard.All) != 1 || len(d.Unkept()) != 1 {
			t.Errorf("%s: told %v after %d tries, kept %d, %d in the book", c.what, got, n, len(archive.Kept), len(d.last.Heard.All))
		}
		alone := device(t, map[string]string{})
		if r, err := restore(t, alone, string(BackupOf(noon, d.Unkept()))); err != nil || r.Answers != 1 || len(alone.last.Heard.All) != 1 {
			t.Errorf("%s: offered as a file: %+v, %v", c.what, r, err)
		}
		archive.Fault = nil
		c.next(d)
		if len(got) != 2 || got[1] != nil || len(d.Unkept()) != 0 {
			t.Errorf("%s: then told %v, %d not kept", c.what, got, len(d.Unkept()))
		}
		again := opened(t, archive, store)
		if diff := cmp.Diff(lines(t, d.last.Heard.All), lines(t, again.last.Heard.All)); diff != "" {
			t.Errorf("%s: at the next visit %s", c.what, diff)
		}
	}
}

// Wherever the page is closed while answers are stored, what is there is whole,
// and nothing is there twice.
func TestStoringAnswersIsInterrupted(t *testing.T) {
	for left := range 12 {
		archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
		d := opened(t, archive, store)
		archive.Slow = true
		given := []Heard{heard(t, 0), heard(t, 1), heard(t, 2)}
		stored := 0
		for _, h := range given {
			d.KeepHeard(h, func(err error) {
				if err == nil {
					stored++
				}
			})
		}
		for range left {
			archive.Answer()
		}
		again := opened(t, archive.Window(), store)
		if got := len(again.last.Heard.All); got < stored || got > len(given) {
			t.Errorf("after %d answers of the device: %d told stored, %d there", left, stored, got)
		}
		if r, err := restore(t, again, string(BackupOf(noon, d.Unkept()))); err != nil || len(again.last.Heard.All) != 3 {
			t.Errorf("with what was left: %+v, %v, %d there", r, err, len(again.last.Heard.All))
		}
	}
}

func TestAnswersInBackups(t *testing.T) {
	a, b := device(t, map[string]string{}, 0), device(t, map[string]string{}, 1)
	keepHeard(t, a, heard(t, 0), heard(t, 1))
	keepHeard(t, b, heard(t, 1), heard(t, 2))
	marked := heard(t, 1) // the same answer as marked by another marker
	marked.Done.By, marked.Done.Tried.Right = 0, true
	r, _ := record(marked.Done)
	if r.Name != heardName(heard(t, 1).Done) {
		t.Error("an answer has another name when it is marked otherwise")
	}
	b.archive.Kept[r.Name] = r.Value
	fileA, fileB := saved(t, a), saved(t, b)
	got, err := restore(t, a, fileB)
	if err != nil || got.Answers != 1 || got.Known != 1 || got.Takes != 1 || got.Others+got.Broken+got.Newer != 0 {
		t.Errorf("%+v, %v", got, err)
	}
	if diff := cmp.Diff(lines(t, dones(heard(t, 0), heard(t, 1), heard(t, 2))), lines(t, a.last.Heard.All)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if got, err := restore(t, a, fileB); err != nil || got.Answers != 0 || got.Known != 2 {
		t.Errorf("once more: %+v, %v", got, err)
	}
	fresh := device(t, map[string]string{})
	if got, err := restore(t, fresh, fileA); err != nil || got.Answers != 2 || len(fresh.last.Heard.All) != 2 {
		t.Errorf("on a fresh device: %+v, %v", got, err)
	}
	if fresh.archive.Kept[TextPrefix+heard(t, 0).Done.Text] == nil {
		t.Error("the text did not come with the answers")
	}
}

// A name that holds another answer keeps it.
func TestOneNameTwoAnswers(t *testing.T) {
	a, b := device(t, map[string]string{}), device(t, map[string]string{})
	keepHeard(t, a, heard(t, 0))
	keepHeard(t, b, heard(t, 1))
	name, wrong := heardName(heard(t, 0).Done), heardName(heard(t, 1).Done)
	b.archive.Kept[name] = b.archive.Kept[wrong]
	delete(b.archive.Kept, wrong)
	b = opened(t, b.archive, b.store)
	for range 2 {
		if _, err := restore(t, b, saved(t, a)); err != nil || len(b.last.Heard.All) != 2 {
			t.Errorf("%d answers, %v", len(b.last.Heard.All), err)
		}
	}
}

func TestBrokenAndNewerAnswers(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	keepHeard(t, opened(t, archive, store), heard(t, 0))
	newer, broken := `{"heard":99,"form":"other"}`, `{"heard":1,"task":`
	archive.Kept["heard/newer"], archive.Kept["heard/broken"] = []byte(newer), []byte(broken)
	unread := 0
	d := newDesk(archive, store)
	d.tell = func(n News) { d.last, unread = n, unread+n.Heard.Unread }
	d.Load()
	d.settle()
	if h := d.last.Heard; len(h.All) != 1 || h.Newer != 1 || unread != 1 {
		t.Errorf("%d answers, %d newer, %d unread", len(h.All), h.Newer, unread)
	}
	if string(archive.Kept["heard/newer"]) != newer || string(archive.Kept["unread/heard/broken"]) != broken || archive.Kept["heard/broken"] != nil {
		t.Errorf("kept %q", slices.Sorted(maps.Keys(archive.Kept)))
	}
	file := fmt.Sprintf("%s\n\"heard/a\":%s,\n\"heard/b\":%s\n}}", backupHead(noon), newer, `{"heard":1}`)
	if r, err := restore(t, d, file); err != nil || r.Newer != 1 || r.Broken != 1 || r.Answers != 0 {
		t.Errorf("from a backup: %+v, %v", r, err)
	}
}

func TestAnswersOfAnotherWindow(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	here, there := opened(t, archive, store), opened(t, archive.Window(), store)
	keepHeard(t, here, heard(t, 0))
	there.settle()
	keepHeard(t, there, heard(t, 1))
	here.settle()
	if want := lines(t, dones(heard(t, 0), heard(t, 1))); !slices.Equal(lines(t, here.last.Heard.All), want) || !slices.Equal(lines(t, there.last.Heard.All), want) {
		t.Errorf("here %d, there %d", len(here.last.Heard.All), len(there.last.Heard.All))
	}
	there.Clear(func(error) {})
	if len(here.last.Heard.All) != 0 || len(there.last.Heard.All) != 0 || len(archive.Kept) != 0 {
		t.Errorf("after deleting everything: here %d, there %d, kept %d", len(here.last.Heard.All), len(there.last.Heard.All), len(archive.Kept))
	}
}

// Answers that an older marker marked are marked anew from what was answered;
// that stays as it is, also where the work is broken off at any call.
func TestAnswersAreMarkedAnew(t *testing.T) {
	right, wrong := heard(t, 0), heard(t, 1)
	old := []Heard{right, wrong, heard(t, 2)}
	for i := range old {
		old[i].Done.By, old[i].Done.Tried.Right = ear.Marker-1, i == 1 // each as it is not
	}
	old[2].Done.Sum = "1234567890123456" // another question is made today: it keeps its mark
	want := dones(right, wrong, old[2])
	want[2].By = ear.Marker
	for calls := range 12 {
		archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
		for _, h := range old {
			r, err := record(h.Done)
			if err != nil {
				t.Fatal(err)
			}
			archive.Kept[r.Name], archive.Kept[TextPrefix+h.Done.Text] = r.Value, []byte(h.Text)
		}
		n := 0
		archive.Fault = func(string) error {
			if n++; n > calls {
				return port.ErrClosed
			}
			return nil
		}
		opened(t, archive, store)
		archive.Fault = nil
		again := opened(t, archive, store)
		if diff := cmp.Diff(lines(t, want), lines(t, again.last.Heard.All)); diff != "" {
			t.Fatalf("broken off after %d calls (-want +got):\n%s", calls, diff)
		}
		last := opened(t, archive, store)
		if diff := cmp.Diff(lines(t, want), lines(t, last.last.Heard.All)); diff != "" || len(archive.Kept) != 4 {
			t.Errorf("%d records; stored after %d calls (-want +got):\n%s", len(archive.Kept), calls, diff)
		}
	}
}

func TestAnswersThatCannotBeRead(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	keepHeard(t, opened(t, archive, store), heard(t, 0))
	archive.Fault = func(call string) error {
		if call == "Get" {
			return port.ErrClosed
		}
		return nil
	}
	d := opened(t, archive, store)
	if d.last.Heard.Failed != port.ErrClosed || d.last.Heard.Read || d.last.Stage != Ready {
		t.Errorf("%+v", d.last.Heard)
	}
}

// The table of answers, read again.
func TestAnswerTable(t *testing.T) {
	d := device(t, map[string]string{})
	h := heard(t, 1)
	h.Done.Step, h.Done.Answer.Place = "=Stamp", passage.Place{} // as a formula begins
	written := heard(t, 2)
	written.Done.Answer = ear.Answer{
		Line:  passage.Line{Voice: passage.Kick, Strokes: []passage.Stroke{{Kind: passage.Hit}}},
		Place: passage.Place{Bar: 2, Beat: 3}, LatencyMS: 31.5,
	}
	keepHeard(t, d, h, written)
	var out sheet
	d.Answers(&out, func(float64) {}, func(err error) {
		if err != nil {
			t.Error(err)
		}
	})
	d.settle()
	rows, err := csv.NewReader(strings.NewReader(out.String())).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	cell := func(row int, column string) string { return rows[row][slices.Index(rows[0], column)] }
	for column, want := range map[string]string{
		"answered": "2026-03-02T12:01:00Z", "task": "same", "exercise": "headframe", "title": "'=Stamp", "right": "false",
		"chance": "0.5", "seconds": "7", "heard": "2+1", "seed": "1", "marker": fmt.Sprint(ear.Marker), "written": "", "place": "",
		"choice": fmt.Sprint(h.Done.Answer.Choice[0] + 1),
	} {
		if got := cell(1, column); got != want {
			t.Errorf("%s is %q, want %q", column, got, want)
		}
	}
	for column, want := range map[string]string{"written": "kick, 0 hit", "place": "2.3", "delay_ms": "31.5", "choice": ""} {
		if got := cell(2, column); got != want {
			t.Errorf("%s is %q, want %q", column, got, want)
		}
	}
}
