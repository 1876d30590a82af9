package app

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/logbook"
	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
)

// key presses a key and lets it go.
func (st stage) key(code, label string) bool {
	used := st.desk.Press(Press{Code: code, Label: label, At: st.clock.Now(), Down: true})
	st.desk.Press(Press{Code: code, Label: label, At: st.clock.Now()})
	return used
}

// letter presses a letter or a digit.
func (st stage) letter(l string) bool {
	code := "Key" + strings.ToUpper(l)
	if l[0] >= '0' && l[0] <= '9' {
		code = "Digit" + l
	}
	return st.key(code, l)
}

// asked waits until a question is there.
func (st stage) asked(t *testing.T) ear.Trial {
	t.Helper()
	there := func() bool { return st.state.Listen.Stage == ListenAsking && len(st.state.Listen.Trial.Asks) > 0 }
	if !st.clock.RunUntil(60_000, there) {
		t.Fatalf("no question: stage %d, notice %+v, note %q", st.state.Listen.Stage, st.state.Notice, st.state.Listen.Note)
	}
	return st.state.Listen.Trial
}

// hear plays what a key plays, to its end.
func (st stage) hear(t *testing.T, code, label string) {
	t.Helper()
	if !st.key(code, label) {
		t.Fatalf("%s was not used", code)
	}
	if !st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Hearing }) {
		t.Fatalf("%s plays nothing: phase %d, notice %+v", code, st.state.Phase, st.state.Notice)
	}
	st.clock.RunUntil(300_000, func() bool { return st.state.Phase == Idle })
}

// listening is a session that was just begun, of some tasks.
func listening(t *testing.T, tasks ...string) stage {
	t.Helper()
	st := newStage(listener(tasks...))
	st.timed(evening)
	st.Dispatch(Went{listenPath})
	if !st.key("Space", " ") {
		t.Fatal("the space key begins no session")
	}
	st.asked(t)
	return st
}

// evening is when sessions are held here.
var evening = time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)

// timed lets the time of day go with the clock.
func (st stage) timed(from time.Time) {
	st.Program.now = func() time.Time { return from.Add(time.Duration(st.clock.Time() * float64(time.Millisecond))) }
}

// listener is a player with measured delays.
func listener(tasks ...string) map[string]string {
	s := startSettings()
	s.Delays["keyboard"], s.Delays["touch"] = Delay{MS: 30}, Delay{MS: 30}
	s.ListenTasks = tasks
	return map[string]string{settingsName: s.write()}
}

// answer answers a question rightly, by keys alone.
func (st stage) answer(t *testing.T) {
	t.Helper()
	trial := st.state.Listen.Trial
	right := trial.Right()
	if ask := trial.Asks[0]; ask.Kind == ear.Taps {
		st.tapAnswer(t, right)
		return
	}
	st.hear(t, "KeyA", "a")
	if len(trial.Sounds) > 1 {
		st.hear(t, "KeyB", "b")
	}
	for i, ask := range trial.Asks {
		switch ask.Kind {
		case ear.Choose:
			st.letter(choiceKey(ask, right.Choice[i]))
		case ear.Place:
			for n := 0; n < 99 && right.Place.Bar > 0 && st.state.Listen.Place != (passage.Place{Bar: right.Place.Bar, Beat: right.Place.Beat}); n++ {
				st.key("ArrowRight", "ArrowRight")
			}
		case ear.Strip:
			st.write(t, right.Line)
		}
	}
	st.key("Enter", "Enter")
}

// write writes strokes on the strip of a dictation.
func (st stage) write(t *testing.T, line passage.Line) {
	t.Helper()
	press := func(code, label string) {
		if !st.desk.Press(Press{Code: code, Label: label, At: st.clock.Now(), Down: true, On: listenPaper}) {
			t.Fatalf("%q is not taken on the strip", label)
		}
	}
	for _, s := range line.Strokes {
		press("Home", "Home")
		for n := 0; st.state.Listen.Draft.Cursor().At != s.At; n++ {
			if c := st.state.Listen.Draft.Cursor(); n > 500 {
				t.Fatalf("the cursor never comes to %s, it is on %+v:\n%s", s.At, c, st.state.Listen.Draft.Text())
			} else if into := s.At.Sub(c.At); into.Sign() > 0 && into.Less(c.Length) { // the beat wants other cells
				press("Digit9", "9")
				t.Logf("divided for %s", s.At)
			}
			press("ArrowRight", "ArrowRight")
		}
		letter := string(s.Kind.Letter())
		press("Key", letter)
	}
}

// tapAnswer taps an answer, 30 ms late, as the delay of the keys has it.
func (st stage) tapAnswer(t *testing.T, right ear.Answer) {
	t.Helper()
	ask := st.state.Listen.Trial.Asks[0]
	if ask.Under != nil {
		st.hear(t, "KeyA", "a")
	}
	st.key("Enter", "Enter")
	if !st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Playing }) {
		t.Fatalf("no taps are recorded: phase %d, notice %+v, %q", st.state.Phase, st.state.Notice, st.state.Listen.Refused)
	}
	for _, tap := range right.Taps {
		due := tap.Seconds + 0.03
		st.clock.RunUntil(300_000, func() bool {
			at := st.transport.Place(st.clock.Now())
			return at.OK && at.Seconds >= due
		})
		event := st.clock.Now()
		event -= (st.transport.Place(event).Seconds - due) * 1000
		if !st.desk.Press(Press{Code: "KeyF", Label: "f", At: event, Down: true}) {
			t.Fatalf("a tap was not used: phase %d", st.state.Phase)
		}
		st.desk.Press(Press{Code: "KeyF", Label: "f", At: event + 40})
	}
	st.clock.RunUntil(300_000, func() bool { return st.state.Phase == Idle })
}

// heard are the answers on the device.
func (st stage) heard() []string { return st.archived(logbook.HeardPrefix) }

// written are answers as they are stored.
func written(t *testing.T, all []ear.Done) []string {
	t.Helper()
	var lines []string
	for _, d := range all {
		text, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, string(text))
	}
	return lines
}

// Every task: heard, answered rightly by keys alone, kept, and the next question
// is there when it is asked for.
func TestEveryTaskByKeysAlone(t *testing.T) {
	for _, task := range ear.Tasks() {
		t.Run(task.Name, func(t *testing.T) {
			st := listening(t, task.Name)
			for n := range 2 {
				trial := st.asked(t)
				if st.state.Listen.Number != n+1 || trial.Task.Name != task.Name {
					t.Fatalf("question %d of %q", st.state.Listen.Number, trial.Task.Name)
				}
				st.answer(t)
				l := st.state.Listen
				if l.Stage != ListenAnswered || !l.Result.Right {
					t.Fatalf("stage %d, result %+v, refused %q, notice %+v\nanswer %+v\nright %+v", l.Stage, l.Result, l.Refused, st.state.Notice, answerOf(st.state), trial.Right())
				}
				st.clock.Run(2000)
				if st.state.Listen.next == nil {
					t.Error("the next question was not made while the answer is read")
				}
				if len(st.heard()) != n+1 || len(st.state.Listen.Here) != n+1 || len(st.state.Listen.All) != n+1 {
					t.Errorf("%d answers are kept, %d here, %d in all", len(st.heard()), len(st.state.Listen.Here), len(st.state.Listen.All))
				}
				st.key("Enter", "Enter")
			}
		})
	}
}

// A session ends by itself with what was learnt, and the next
// one begins with one key, where the last one ended.
func TestASession(t *testing.T) {
	st := listening(t)
	st.state.Listen.Session.Minutes = 4
	questions := 0
	for st.state.Listen.Stage != ListenEnded {
		if questions++; questions > 100 {
			t.Fatalf("it never ends: %s spent", st.state.Listen.spent)
		}
		st.asked(t)
		st.answer(t)
		if st.state.Listen.Stage != ListenAnswered {
			t.Fatalf("question %d, %s: %q", questions, st.state.Listen.Trial.Task.Name, st.state.Listen.Refused)
		}
		st.clock.Run(5000)
		st.letter("n")
	}
	l := st.state.Listen
	if len(l.Here) != questions || len(l.Summary.Lines) == 0 || l.Summary.Next == "" || !strings.Contains(l.Said, l.Summary.Next) {
		t.Errorf("%d questions, %d answers, summary %+v, said %q", questions, len(l.Here), l.Summary, l.Said)
	}
	again := st.again()
	again.timed(evening.Add(24 * time.Hour))
	if diff := cmp.Diff(written(t, l.All), written(t, again.state.Listen.All)); diff != "" || !again.state.Listen.read {
		t.Errorf("the answers at the next visit (-then +now):\n%s", diff)
	}
	again.Dispatch(Went{listenPath})
	again.key("Enter", "Enter")
	if trial := again.asked(t); again.state.Listen.Number != 1 || len(again.state.Listen.Here) != 0 {
		t.Errorf("the next session begins with question %d, %s", again.state.Listen.Number, trial.Task.Name)
	}
}

// What is closed, full or slow in the middle of a session loses no answer and
// keeps none twice.
func TestASessionOnAFailingDevice(t *testing.T) {
	st := listening(t, "count")
	st.answer(t) // stored
	st.key("Enter", "Enter")
	st.asked(t)
	st.desk.Archive.Room = 100
	st.answer(t)
	if n := st.state.Notice; n.Fact != "This device has no room for the answer." || n.Label != "Save this answer" || len(st.heard()) != 1 || len(st.state.Listen.All) != 2 {
		t.Errorf("no room: %+v, %d stored, %d known", n, len(st.heard()), len(st.state.Listen.All))
	}
	st.act("save-lost", "", "")
	saved := st.desk.Saved["stampmill-takes.json"]
	st.desk.Archive.Room = 0
	st.key("Enter", "Enter")
	st.asked(t)
	st.answer(t)
	if len(st.heard()) != 3 || st.state.unstored() {
		t.Errorf("with room again: %d stored, notice %+v", len(st.heard()), st.state.Notice)
	}
	st.readBackup([]byte(saved))
	st.clock.Run(1000)
	if len(st.heard()) != 3 || st.state.Notice.Mend != "Nothing new came in." {
		t.Errorf("what was offered came in again: %+v", st.state.Notice)
	}
	st.desk.Archive.Slow = true
	st.key("Enter", "Enter")
	st.asked(t)
	st.answer(t)
	st.clock.Run(answerAfter + 1)
	if n := st.state.Notice; n.Fact != "This answer is not stored." || n.Mend != "The browser has not answered yet. It is tried again with the next one; this page alone has it until then." {
		t.Errorf("no answer of the browser: %+v", n)
	}
	for st.desk.Archive.Answer() {
	}
	if st.desk.Archive.Slow = false; len(st.heard()) != 4 || st.state.unstored() {
		t.Errorf("answered late: %d stored, notice %+v", len(st.heard()), st.state.Notice)
	}
	again := st.again()
	if diff := cmp.Diff(written(t, st.state.Listen.All), written(t, again.state.Listen.All)); diff != "" {
		t.Errorf("at the next visit (-then +now):\n%s", diff)
	}
}

// The page goes out of sight while B plays: that question is dropped, and the
// next one is another.
func TestOutOfSightInTheMiddle(t *testing.T) {
	st := listening(t, "same")
	for n := range 2 {
		trial := st.state.Listen.Trial
		st.hear(t, "KeyA", "a")
		st.letter("b")
		st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Hearing })
		if n == 0 {
			st.clock.Hide(true)
		}
		st.desk.Leave()
		st.clock.Hide(false)
		next := st.asked(t)
		if next.Sum() == trial.Sum() || len(st.heard()) != 0 || st.state.Listen.Number != 1 || !strings.Contains(st.state.Notice.Fact, "out of sight") {
			t.Errorf("question %d, %d kept, notice %+v", st.state.Listen.Number, len(st.heard()), st.state.Notice)
		}
	}
}

// Deleting everything takes the answers, and a backup brings them back.
func TestAnswersGoAndComeBack(t *testing.T) {
	st := listening(t, "count")
	st.answer(t)
	st.clock.Run(1000)
	st.Dispatch(Went{setupPath})
	st.act("backup", "", "")
	st.clock.Run(1000)
	file := st.desk.Saved[backupName(st.state)]
	st.act("answers", "", "")
	st.clock.Run(1000)
	if rows := strings.Split(strings.TrimSpace(st.desk.Saved[answersName]), "\n"); len(rows) != 2 {
		t.Errorf("the table of answers: %q", rows)
	}
	st.act("delete", "", "")
	st.act("delete-yes", "", "")
	st.clock.Run(1000)
	if len(st.heard()) != 0 || len(st.state.Listen.All) != 0 || st.state.Listen.Stage != ListenReady {
		t.Errorf("%d stored, %d known, stage %d", len(st.heard()), len(st.state.Listen.All), st.state.Listen.Stage)
	}
	st.readBackup([]byte(file))
	st.clock.Run(1000)
	if len(st.heard()) != 1 || len(st.state.Listen.All) != 1 || !strings.Contains(st.state.Notice.Mend, "One answer came in.") {
		t.Errorf("%d stored, %d known, notice %+v", len(st.heard()), len(st.state.Listen.All), st.state.Notice)
	}
}

// An exercise on the shelf is asked about, and its text lies beside the answer.
func TestOwnExercisesAreAskedAbout(t *testing.T) {
	kept := listener("what")
	st := newStage(kept)
	st.timed(evening)
	st.Dispatch(Went{writePath})
	st.act("write-copy", "", "headframe")
	st.clock.Run(2000)
	id := st.state.Write.ID
	st.Dispatch(Went{listenPath})
	st.key("Space", " ")
	for range 40 {
		if climb := st.asked(t).Source.Climb; climb == ownName(id) {
			text := st.state.Listen.trial.text
			if st.answer(t); st.state.Listen.Here[0].Text != logbook.Hash(text) || st.desk.Archive.Kept[logbook.TextPrefix+logbook.Hash(text)] == nil {
				t.Errorf("its text is not kept: %v", st.archived(""))
			}
			return
		}
		st.hear(t, "KeyA", "a")
		st.desk.Leave() // another one
	}
	t.Errorf("never asked about %q; the shelf has %v", ownName(id), st.state.Write.Shelf)
}
