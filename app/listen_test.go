package app

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"stampmill/app/draft"
	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/app/shelf"
	"stampmill/app/transport"
	"stampmill/exercises"
	"stampmill/exercises/ear"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// questionOf is a question of a task about a step of the library.
func questionOf(t testing.TB, task string) ear.Trial {
	t.Helper()
	as, ok := ear.Named(task)
	if !ok {
		t.Fatalf("no task %q", task)
	}
	front, rest := sources(first(exercises.Library()), nil)
	trial, err := ear.Next(as, append(front, rest...), as.Scale.High, 3, ear.Trial{})
	if err != nil {
		t.Fatal(err)
	}
	return trial
}

// questioned is a player on the Listen page before a question of a task, the first
// of a session.
func questioned(t testing.TB, task string) State {
	t.Helper()
	s := first(exercises.Library())
	s.Page, s.Width, s.Booked, s.Now = listenPath, 1280, BookReady, noon
	s.Listen.read = true
	s.Settings.Delays["keyboard"] = Delay{MS: 10}
	s, effects := after(s, does("listen-start"))
	pose, ok := has[Pose](effects)
	if !ok || !s.Listen.Making {
		t.Fatalf("no question is asked for: %+v", effects)
	}
	s, _ = after(s, Posed{Turn: pose.Turn, Question: posed{trial: questionOf(t, task), text: "title: Headframe\n"}})
	return s
}

// heardBoth lets every sound of the question be heard.
func heardBoth(s State) State {
	for i := range s.Listen.Trial.Sounds {
		s, _ = after(s, doesTo("listen-play", fmt.Sprint(i)), Began{Rate: 48000}, Ended{noon})
	}
	return s
}

// rightly is the question answered rightly.
func rightly(s State) (State, []Effect) {
	s = heardBoth(s)
	right := s.Listen.Trial.Right()
	for i, c := range right.Choice {
		s, _ = after(s, doesTo("listen-choose", fmt.Sprintf("%d:%d", i, c)))
	}
	if p := right.Place; p.Bar > 0 {
		s, _ = after(s, doesTo("listen-place", fmt.Sprintf("%d.%d", p.Bar, p.Beat)))
	}
	return after(s, does("listen-answer"))
}

// What becomes of a question that cannot be gone on with. What was begun is
// dropped, not marked, and said; another one is asked for.
func TestQuestionsThatAreBrokenOff(t *testing.T) {
	playing := []Msg{doesTo("listen-play", "0"), Began{Rate: 48000}}
	const doesNot = " It does not count. Another one is here."
	for _, c := range []struct {
		what    string
		begun   []Msg // before
		ends    []Msg
		dropped bool
		said    string
	}{
		{"out of sight while it plays, as the page tells", playing, []Msg{Left{}}, true, "The page went out of sight, so this question was dropped." + doesNot},
		{"out of sight while it plays, as the sound tells", playing, []Msg{Halted{transport.WentHidden, noon}}, true, "The page went out of sight, so this question was dropped." + doesNot},
		{"and both", playing, []Msg{Halted{transport.WentHidden, noon}, Left{}}, true, "The page went out of sight, so this question was dropped." + doesNot},
		{"out of sight while the player thinks", append(slices.Clone(playing), Ended{noon}), []Msg{Left{}}, true, "The page went out of sight, so this question was dropped." + doesNot},
		{"out of sight before anything was heard", nil, []Msg{Left{}}, false, ""},
		{"the output went away", playing, []Msg{Halted{transport.OutputLost, noon}}, true, "The sound output went away, so this question was dropped." + doesNot},
		{"another output", playing, []Msg{Halted{transport.OutputChanged, noon}}, true, "The sound moved to another output, so this question was dropped. Its delay is not known: measure it again." + doesNot},
		{"held back by the system", playing, []Msg{Halted{transport.WasSuspended, noon}}, true, "The system held the sound back, so this question was dropped." + doesNot},
		{"no output at all", []Msg{doesTo("listen-play", "0")}, []Msg{Halted{transport.NoOutput, noon}}, false, "There is no sound output here. Plug in or choose one, then start again."},
		{"the browser waits for a press", []Msg{doesTo("listen-play", "0")}, []Msg{Halted{transport.NeedsPress, noon}}, false, "The browser waits for a press before it plays sound. Start will do."},
		{"the player stops", playing, []Msg{down("Escape", "Escape")}, false, ""},
		{"another page, and back", playing, []Msg{Went{"/practise/"}, Went{listenPath}}, true, "The question you left was dropped." + doesNot},
		{"another page, and back, before anything was heard", nil, []Msg{Went{"/practise/"}, Went{listenPath}}, false, ""},
	} {
		s := questioned(t, "what")
		trial := s.Listen.Trial
		s, _ = after(s, c.begun...)
		var poses int
		for _, m := range c.ends {
			var effects []Effect
			s, effects = Update(s, m)
			if _, ok := has[Pose](effects); ok {
				poses++
			}
			if _, ok := has[KeepHeard](effects); ok {
				t.Errorf("%s: it was kept", c.what)
			}
		}
		l := s.Listen
		if gone := len(l.Trial.Asks) == 0; gone != c.dropped || (poses == 1) != c.dropped || len(l.Here) != 0 || s.Phase != Idle || l.Sounding != -1 {
			t.Errorf("%s: dropped %t, %d asked for, phase %d, sounding %d", c.what, gone, poses, s.Phase, l.Sounding)
		}
		if got := s.Notice.words(); got != c.said {
			t.Errorf("%s: said %q, want %q", c.what, got, c.said)
		}
		if !c.dropped {
			continue
		}
		s, _ = after(s, Posed{Turn: l.turn - 1, Question: posed{trial: trial}}) // what was asked for before
		if len(s.Listen.Trial.Asks) != 0 {
			t.Errorf("%s: an answer to another turn was taken", c.what)
		}
		if s, _ = after(s, Posed{Turn: l.turn, Question: posed{trial: trial}}); s.Listen.Number != 1 || s.Listen.Plays[0] != 0 || s.Listen.Chosen[0] != -1 {
			t.Errorf("%s: the next one is %d, heard %v, chosen %v", c.what, s.Listen.Number, s.Listen.Plays, s.Listen.Chosen)
		}
	}
}

// An answered question stays answered whatever happens then.
func TestAnsweredQuestionsStay(t *testing.T) {
	s, effects := rightly(questioned(t, "what"))
	keep, ok := has[KeepHeard](effects)
	if !ok || !keep.Heard.Done.Tried.Right || keep.Heard.Done.Text != logbook.Hash(keep.Heard.Text) || !slices.Equal(keep.Heard.Done.Heard, []int{1, 1}) || !keep.Heard.Done.At.Equal(noon) {
		t.Fatalf("kept %+v", keep)
	}
	s, _ = after(s, doesTo("listen-play", "1"), Began{Rate: 48000}, Left{}, Halted{transport.WentHidden, noon}, Went{"/setup/"}, Went{listenPath}, does("listen-answer"))
	if l := s.Listen; l.Stage != ListenAnswered || !l.Result.Right || len(l.Here) != 1 || len(l.All) != 1 || !slices.Equal(l.Plays, []int{1, 1}) {
		t.Errorf("stage %d, %d answers, heard %v", l.Stage, len(l.Here), l.Plays)
	}
}

func TestAnswersThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		task string
		do   []Msg
		want string
	}{
		{"what", []Msg{does("listen-answer")}, "A was not heard yet. Play it first."},
		{"what", []Msg{doesTo("listen-play", "0"), Began{}, Ended{}, down("Enter", "Enter")}, "B was not heard yet. Play it first."},
		{"count", []Msg{down("Enter", "Enter")}, "Nothing was heard yet. Play it first."},
		{"count", []Msg{doesTo("listen-play", "0"), Began{}, Ended{}, down("Enter", "Enter")}, "Nothing was chosen. Choose one of the answers."},
		{"tap", []Msg{does("listen-tap")}, "Hear it first."},
		{"tap", []Msg{does("listen-answer")}, "Nothing was tapped yet."},
		{"tap", []Msg{doesTo("listen-play", "0"), Began{}, Ended{}, does("listen-tap"), Began{}, Ended{}}, "No hit was heard, so it is not marked. Tap with any letter key, or on the areas at the foot."},
		{"tap", []Msg{doesTo("listen-play", "0"), Began{}, Ended{}, does("listen-tap"), Began{}, down("KeyF", "f").at(0.5), down("Escape", "Escape")}, "Stopped before the end, so it is not marked. Tap it again."},
		{"write", []Msg{doesTo("listen-play", "0"), Began{}, Ended{}, does("listen-clear"), down("Enter", "Enter")}, "Nothing is written for the"},
	} {
		s, effects := after(questioned(t, c.task), c.do...)
		if _, kept := has[KeepHeard](effects); kept || s.Listen.Stage != ListenAsking || !strings.HasPrefix(s.Listen.Refused, c.want) || s.Phase != Idle {
			t.Errorf("%s: stage %d, %q, want %q", c.task, s.Listen.Stage, s.Listen.Refused, c.want)
		}
	}
}

// Keys between and in questions. With single keys off, letters and digits mean
// nothing, and what is no single key still does.
func TestKeysOnListen(t *testing.T) {
	letter := func(l string) Pressed { return down("Key"+strings.ToUpper(l), l) }
	state := func(s State) string {
		l := s.Listen
		return fmt.Sprintf("stage %d sounding %d chosen %v place %s slow %t", l.Stage, l.Sounding, l.Chosen, l.Place, l.Slow)
	}
	question := questioned(t, "what")
	answered, _ := rightly(question)
	begin := "stage 1 sounding -1 chosen [-1] place 0.0 slow false"
	told := state(answered)
	change := func(from string, what ...string) string { return strings.NewReplacer(what...).Replace(from) }
	for _, c := range []struct {
		from         State
		keys         []Pressed
		want, single string // single: with single keys off
	}{
		{question, []Pressed{letter("a")}, change(begin, "sounding -1", "sounding 0"), begin},
		{question, []Pressed{letter("b")}, change(begin, "sounding -1", "sounding 1"), begin},
		{question, []Pressed{letter("b"), letter("b")}, begin, begin},
		{question, []Pressed{letter("b"), letter("a")}, change(begin, "sounding -1", "sounding 0"), begin},
		{question, []Pressed{down("Space", " ")}, change(begin, "sounding -1", "sounding 0"), change(begin, "sounding -1", "sounding 0")},
		{question, []Pressed{down("Space", " "), down("Escape", "Escape")}, begin, begin},
		{question, []Pressed{down("Digit2", "2")}, change(begin, "[-1]", "[1]"), begin},
		{question, []Pressed{down("Digit2", "2"), down("Digit1", "1")}, change(begin, "[-1]", "[0]"), begin},
		{question, []Pressed{down("Digit9", "9")}, begin, begin},
		{question, []Pressed{down("ArrowRight", "ArrowRight")}, change(begin, "0.0", "1.1"), change(begin, "0.0", "1.1")},
		{question, []Pressed{down("ArrowRight", "ArrowRight"), down("ArrowRight", "ArrowRight")}, change(begin, "0.0", "1.2"), change(begin, "0.0", "1.2")},
		{question, []Pressed{down("ArrowLeft", "ArrowLeft"), down("ArrowDown", "ArrowDown")}, change(begin, "0.0", "2.1"), change(begin, "0.0", "2.1")},
		{question, []Pressed{down("ArrowDown", "ArrowDown"), down("ArrowDown", "ArrowDown"), down("ArrowRight", "ArrowRight"), down("ArrowUp", "ArrowUp")}, change(begin, "0.0", "1.2"), change(begin, "0.0", "1.2")},
		{question, []Pressed{letter("s")}, begin, begin},
		{answered, []Pressed{letter("s")}, change(told, "sounding -1", "sounding 3", "slow false", "slow true"), told},
		{answered, []Pressed{letter("s"), letter("a")}, change(told, "sounding -1", "sounding 2", "slow false", "slow true"), told},
		{answered, []Pressed{letter("s"), letter("s")}, change(told, "sounding -1", "sounding 1"), told},
		{answered, []Pressed{down("Digit1", "1")}, told, told},
	} {
		for _, single := range []bool{true, false} {
			s := c.from
			s.Settings.Single = single
			for _, k := range c.keys {
				s, _ = after(s, k)
			}
			want := c.want
			if !single {
				want = c.single
			}
			if got := state(s); got != want {
				t.Errorf("%v, single keys %t: %s, want %s", names(c.keys), single, got, want)
			}
		}
	}
	typing := letter("a")
	typing.Typing = true
	enter := down("Enter", "Enter")
	enter.Typing = true // it works the control that has the keyboard
	if s, effects := after(question, typing, enter); state(s) != begin || !same(effects) {
		t.Errorf("keys that work a control: %s", state(s))
	}
}

func names(keys []Pressed) []string {
	var all []string
	for _, k := range keys {
		all = append(all, k.Code)
	}
	return all
}

func same(effects []Effect) bool { _, ok := has[Same](effects); return ok }

// What comes next after an answer: the next question once it is made, its
// making, or the end.
func TestNextQuestion(t *testing.T) {
	s, effects := rightly(questioned(t, "count"))
	pose, ok := has[Pose](effects)
	if !ok || pose.Last.Seed != s.Listen.Trial.Seed {
		t.Fatalf("the next question is not made while the answer is read: %+v", pose)
	}
	question := Posed{Turn: pose.Turn, Question: posed{trial: questionOf(t, "what"), note: "Stamp was passed over: too short."}}
	waited, _ := after(s, does("listen-next"))
	if l := waited.Listen; l.Stage != ListenAnswered || !l.Making {
		t.Errorf("next, before it is made: stage %d, making %t", l.Stage, l.Making)
	}
	ready, quiet := after(s, question)
	if l := ready.Listen; l.Stage != ListenAnswered || !same(quiet) {
		t.Errorf("made while the answer is read: stage %d", l.Stage)
	}
	waited, _ = after(waited, question)
	ready, _ = after(ready, down("KeyN", "n"))
	for what, got := range map[string]State{"asked for before it was made": waited, "and after": ready} {
		if l := got.Listen; l.Stage != ListenAsking || l.Number != 2 || l.Trial.Task.Name != "what" || l.Note != question.Question.note || l.Making {
			t.Errorf("%s: stage %d, question %d, note %q", what, l.Stage, l.Number, l.Note)
		}
	}
	s.Listen.spent = time.Hour
	over, _ := after(s, does("listen-next"))
	if l := over.Listen; l.Stage != ListenEnded || l.Summary.Next == "" || !strings.Contains(l.Said, l.Summary.Next) {
		t.Errorf("with the time up: stage %d, summary %+v", l.Stage, l.Summary)
	}
	over, effects = after(over, down("Enter", "Enter"))
	if _, ok := has[Pose](effects); !ok || over.Listen.Stage != ListenAsking || len(over.Listen.Here) != 0 || len(over.Listen.All) != 1 {
		t.Errorf("again by one key: stage %d, %d here", over.Listen.Stage, len(over.Listen.Here))
	}
	none, _ := after(questioned(t, "what"), does("listen-end"))
	if none.Listen.Stage != ListenReady {
		t.Errorf("ended without an answer: stage %d", none.Listen.Stage)
	}
}

// Where no exercise fits a task, that is said and others are asked; where none
// is left, the session ends.
func TestTasksThatNothingFits(t *testing.T) {
	s := questioned(t, "what")
	s, _ = after(s, does("listen-end"))
	s.Settings.ListenTasks = []string{"beat", "tempo"}
	s, effects := after(s, does("listen-start"))
	for n, want := range []string{ListenAskingWords, ListenReadyWords} {
		pose, _ := has[Pose](effects)
		failed := Posed{Turn: pose.Turn, Why: fmt.Errorf("no cymbal strikes evenly; take a step with one")}
		failed.Question.trial.Task = pose.Asked.Task
		s, effects = after(s, failed)
		got := fmt.Sprintf("stage %d, %d tasks: %s", s.Listen.Stage, len(s.Listen.Session.Tasks), s.Notice.words())
		if got != want || !strings.Contains(s.Listen.Note, pose.Asked.Task.Title+": No cymbal strikes evenly.") {
			t.Errorf("%d: %s, want %s; note %q", n, got, want, s.Listen.Note)
		}
	}
}

const (
	ListenAskingWords = "stage 1, 1 tasks: "
	ListenReadyWords  = "stage 0, 0 tasks: No exercise fits what is asked. No cymbal strikes evenly. Take a step with one."
)

// Who keeps the time in silence is held against where they tapped before it, so
// no delay has to be known: taps that are all as late are marked as those on time.
func TestSilenceWantsNoDelay(t *testing.T) {
	if got := first(exercises.Library()).wantedTasks(); !slices.Contains(got, silenceTask) {
		t.Errorf("asked are %v", got)
	}
	for _, late := range []float64{0, 0.08} {
		s := questioned(t, silenceTask)
		if s.Listen.wantsDelay() {
			t.Error("a delay is wanted")
		}
		s, _ = after(s, does("listen-tap"), Began{})
		for _, tap := range s.Listen.Trial.Right().Taps {
			s, _ = after(s, Pressed{Press: Press{Source: Touch, Area: "0", Down: true}, Placed: placed(tap.Seconds + late)})
		}
		s, effects := after(s, Ended{})
		if kept, ok := has[KeepHeard](effects); !ok || !kept.Heard.Done.Tried.Right || s.Take.Known {
			t.Errorf("%v s late: kept %v, %+v, delay known %v", late, ok, kept.Heard.Done.Tried, s.Take.Known)
		}
	}
}

// Taps are recorded at their own times with the delay of their input; what sounds
// under them is what the question says.
func TestTapsAreRecorded(t *testing.T) {
	s := heardBoth(questioned(t, "tap"))
	ask, _ := s.Listen.ask(ear.Taps)
	s, effects := after(s, down("Enter", "Enter"))
	balance, _ := has[Balance](effects)
	play, ok := has[Play](effects)
	if !ok || !slices.Equal(balance.Silent, ask.Under.Mute) || play.Plan.CountIn != ask.Under.CountIn || !s.Listen.Taking || !s.taking() {
		t.Fatalf("plays %+v, silent %v", play.Plan.CountIn, balance.Silent)
	}
	s, _ = after(s, Began{Rate: 48000}, down("KeyJ", "j").at(-0.4), down("KeyA", "a").at(0.01), Pressed{Press: Press{Code: "KeyA"}, Placed: placed(0.2)}, down("KeyB", "b").at(0.61), down("Digit1", "1").at(0.8))
	taps := s.Take.Taps
	if len(taps) != 2 || taps[0].Seconds != 0.01 || taps[0].Voice != ask.Voices[0] || taps[0].Release.Value != 0.2 || s.Phase != Playing {
		t.Fatalf("taps %+v", taps)
	}
	s, effects = after(s, Ended{noon})
	keep, ok := has[KeepHeard](effects)
	if a := keep.Heard.Done.Answer; !ok || len(a.Taps) != 2 || a.LatencyMS != 10 || s.Listen.Taking || s.Listen.Stage != ListenAnswered {
		t.Errorf("kept %+v", a)
	}
}

// After a session the one task that went worst is asked again for some minutes,
// and then all are mixed again; all can be chosen at once, and what is asked can
// be changed.
func TestAfterASessionAllTasksAreInReach(t *testing.T) {
	end := func(s State) State {
		s, _ = after(s, doesTo("listen-choose", "0"))
		s, _ = after(heardBoth(s), doesTo("listen-choose", "0"), does("listen-answer"), does("listen-end"))
		return s
	}
	s := questioned(t, "same")
	s.Listen.Here = []ear.Done{{Task: "same", At: noon, Tried: ear.Tried{D: 8}}}
	s = end(s)
	if l := s.Listen; l.Stage != ListenEnded || l.Summary.Task != "same" {
		t.Fatalf("stage %d, %+v", l.Stage, l.Summary)
	}
	all, _ := after(s, does("listen-start"))
	one, effects := after(s, down("Space", " "))
	if l := all.Listen; l.Stage != ListenAsking || len(l.Session.Tasks) != len(taskNames()) || l.Session.Minutes != float64(s.Settings.ListenMinutes) {
		t.Errorf("all: %+v", l.Session)
	}
	if l := one.Listen; len(l.Session.Tasks) != 1 || l.Session.Minutes != oneTaskMinutes {
		t.Errorf("one: %+v", l.Session)
	}
	pose, _ := has[Pose](effects)
	one, _ = after(one, Posed{Turn: pose.Turn, Question: posed{trial: questionOf(t, "same")}})
	if l := end(one).Listen; l.Stage != ListenEnded || l.Summary.Task != "" || !strings.Contains(l.Summary.Next, "mixed") {
		t.Errorf("after the one: stage %d, %+v", l.Stage, l.Summary)
	}
	if back, _ := after(s, does("listen-back")); back.Listen.Stage != ListenReady {
		t.Errorf("stage %d", back.Listen.Stage)
	}
}

// A dictation is written by signs, keys and pointer, in the asked voice alone.
func TestDictation(t *testing.T) {
	s := questioned(t, "write")
	ask, _ := s.Listen.ask(ear.Strip)
	lines := s.Listen.Draft.Passage().Lines
	if len(lines) != 1 || lines[0].Voice != ask.Voices[0] || len(lines[0].Strokes) != 0 || len(s.Listen.Draft.Passage().Bars) != len(ask.Passage.Bars) || len(s.Listen.Draft.Problems()) > 0 {
		t.Fatalf("the paper is %+v, %v\n%s", lines, s.Listen.Draft.Problems(), s.Listen.Draft.Text())
	}
	for i, b := range ask.Passage.Beats() {
		if cell := b.Length.Div(meterInt(ask.Grid[i])); s.Listen.Draft.Put(ask.Voices[0], b.At, false).Cursor().Length != cell {
			t.Errorf("beat %d is not in %d cells", i+1, ask.Grid[i])
		}
	}
	on := func(code, label string) Pressed { p := down(code, label); p.On = listenPaper; return p }
	undo := on("KeyZ", "z")
	undo.Ctrl, undo.Modified = true, true
	placesOf := func(d draft.Draft) string {
		l, _ := d.Passage().Line(ask.Voices[0])
		var all []string
		for _, st := range l.Strokes {
			all = append(all, st.At.String())
		}
		return strings.Join(all, " ")
	}
	s, _ = after(s, on("KeyX", "x"), on("Period", "."), doesTo("listen-sign", "x"), on("KeyX", "x"))
	cell := ask.Passage.Beats()[0].Length.Div(meterInt(ask.Grid[0]))
	if got, want := placesOf(s.Listen.Draft), fmt.Sprintf("0 %s %s", cell.Mul(meterInt(2)), cell.Mul(meterInt(3))); got != want {
		t.Errorf("written %q, want %q", got, want)
	}
	s, _ = after(s, undo, on("Home", "Home"), on("Delete", "Delete"))
	if got, want := placesOf(s.Listen.Draft), cell.Mul(meterInt(2)).String(); got != want {
		t.Errorf("after undoing one and clearing the first %q, want %q", got, want)
	}
	pointed, effects := after(s, Pointed{Point{Stage: port.Began, On: listenPaper, X: 0.99, Y: 0.5}})
	if at := pointed.Listen.Draft.Cursor().At; ask.Passage.Place(at).Bar != len(ask.Passage.Bars) || !hasEffect(effects, Used{}) {
		t.Errorf("a press at the end goes to %s", at)
	}
	if refused, _ := after(s, on("KeyQ", "q")); refused.Listen.Refused == "" || placesOf(refused.Listen.Draft) != placesOf(s.Listen.Draft) {
		t.Errorf("a letter of no stroke: %q", refused.Listen.Refused)
	}
}

func meterInt(n int) meter.Rat { return meter.Int(int64(n)) }

func hasEffect(all []Effect, want Effect) bool { return slices.Contains(all, want) }

// Questions come from the player's own exercises and from what was played
// lately before they come from the rest of the library.
func TestSourcesOfQuestions(t *testing.T) {
	s := first(exercises.Library())
	s.Now = noon
	name, steps := s.Library[2].Name, s.Library[2].Climb.Steps
	played := func(step int, ago time.Duration) logbook.Entry {
		return logbook.Entry{Name: fmt.Sprint(ago), At: noon.Add(-ago), Exercise: name, Title: steps[step].Title}
	}
	s.Book = []logbook.Entry{played(2, 90*24*time.Hour), played(1, 48*time.Hour), played(0, time.Hour)}
	mine := exercises.Entry{Name: ownName("1"), Climb: passage.Climb{Title: "Mine", Steps: []passage.Step{{Title: "One", Passage: steps[0].Passage}}}}
	front, rest := sources(s, []exercises.Entry{mine})
	var got []string
	for _, source := range front[:4] {
		got = append(got, source.Climb+"/"+source.Title)
	}
	want := []string{stepName(name, steps[0].Title), stepName(name, steps[1].Title), stepName(ownName("1"), "One"), stepName(s.Library[0].Name, s.Library[0].Climb.Steps[0].Title)}
	if !slices.Equal(got, want) || len(front) != frontSources {
		t.Errorf("%d in front, first %q, want %q", len(front), got, want)
	}
	all := 1
	for _, e := range s.Library {
		all += len(e.Climb.Steps)
	}
	if len(front)+len(rest) != all {
		t.Errorf("%d sources of %d", len(front)+len(rest), all)
	}
}

func TestListenSettings(t *testing.T) {
	s := first(exercises.Library())
	s.Page = listenPath
	for _, c := range []struct {
		do   Acted
		want string
	}{
		{sets("listen-minutes", "25"), "25 min of [] asks same true"},
		{sets("listen-minutes", "0"), "25 min of [] asks same true"},
		{sets("listen-minutes", "x"), "25 min of [] asks same true"},
		{doesTo("listen-task", "same"), "25 min of [what where write tap ahead beat tempo count silence] asks same false"},
		{doesTo("listen-task", "same"), "25 min of [] asks same true"},
	} {
		var effects []Effect
		s, effects = after(s, c.do)
		got := fmt.Sprintf("%d min of %v asks same %t", s.Settings.ListenMinutes, s.Settings.ListenTasks, s.Settings.asks("same"))
		var names []string
		for _, name := range taskNames() {
			if name != "same" {
				names = append(names, name)
			}
		}
		want := strings.Replace(c.want, "what where write tap ahead beat tempo count silence", strings.Join(names, " "), 1)
		if got != want {
			t.Errorf("%+v: %s, want %s", c.do, got, want)
		}
		if k, ok := has[Keep](effects); ok {
			if read, bad := readSettings(k.Value); bad != "" || read.ListenMinutes != s.Settings.ListenMinutes || !slices.Equal(read.ListenTasks, s.Settings.ListenTasks) {
				t.Errorf("%+v: stored as %s, bad %q", c.do, k.Value, bad)
			}
		}
	}
	for _, name := range taskNames() { // the last one stays
		s, _ = after(s, doesTo("listen-task", name))
	}
	if len(s.Settings.ListenTasks) != 1 {
		t.Errorf("left %v", s.Settings.ListenTasks)
	}
	for _, n := range listenMinutes {
		if taken, _ := after(s, sets("listen-minutes", fmt.Sprint(n))); taken.Settings.ListenMinutes != n {
			t.Errorf("%d minutes are offered and not taken", n)
		}
	}
	read, bad := readSettings(`{"v":1,"listen_minutes":900,"listen_tasks":["same","none"]}`)
	if bad != "the minutes of listening, what is asked by ear" || read.ListenMinutes != ear.SessionMinutes || len(read.ListenTasks) != 0 {
		t.Errorf("%q, %+v", bad, read.ListenTasks)
	}
}

// The step of a question opens on Practise, also of an exercise that is on the
// shelf only.
func TestPlayItYourself(t *testing.T) {
	s, _ := rightly(questioned(t, "what"))
	s.Listen.trial.step = 1
	s.Listen.Trial.Source.Climb = s.Library[3].Name
	practise, effects := after(s, down("KeyP", "p"))
	if g, _ := has[Go](effects); g.Path != "/practise/" || practise.Climb != 3 || practise.Step != 1 {
		t.Errorf("climb %d, step %d, %+v", practise.Climb, practise.Step, effects)
	}
	s.Listen.Trial.Source.Climb = ownName("12")
	s.Write.Shelf = []shelf.Entry{{ID: "12"}}
	_, effects = after(s, does("listen-self"))
	if f, ok := has[Fetch](effects); !ok || f != (Fetch{ID: "12", Practise: true, Step: 1}) {
		t.Errorf("own: %+v", effects)
	}
}

// A session waits for the answers of earlier visits, but not for ever.
func TestASessionWaitsForTheBook(t *testing.T) {
	s := first(exercises.Library())
	s.Page = listenPath
	s, effects := after(s, does("listen-start"))
	if _, ok := has[Pose](effects); ok || !s.Listen.Making {
		t.Fatalf("%+v", effects)
	}
	done := ear.Done{Task: "same", At: noon}
	for what, m := range map[string]Msg{
		"read":           Read{logbook.News{Stage: logbook.Ready, Heard: logbook.HeardNews{Read: true, All: []ear.Done{done}}}},
		"failed":         Read{logbook.News{Stage: logbook.Ready, Heard: logbook.HeardNews{Failed: port.ErrClosed}}},
		"the book fails": Read{logbook.News{Stage: logbook.Failed, Failed: port.ErrClosed}},
		"too long":       Due{askAnyway},
	} {
		if _, effects := after(s, m); !posesOne(effects) {
			t.Errorf("%s: %+v", what, effects)
		}
	}
	if _, effects := after(s, Read{logbook.News{Stage: logbook.Ready}}); posesOne(effects) {
		t.Error("asked before the answers were read")
	}
}

func posesOne(effects []Effect) bool { _, ok := has[Pose](effects); return ok }

// A voice that was turned off is heard in a question, softly, in both sounds
// alike.
func TestQuestionsAreHeard(t *testing.T) {
	s := questioned(t, "what")
	s.Settings.Levels["kick"], s.Settings.Levels["snare"] = 0, 100
	var levels []Balance
	for _, i := range []string{"0", "1"} {
		_, effects := after(s, doesTo("listen-play", i))
		b, _ := has[Balance](effects)
		levels = append(levels, b)
	}
	if k := levels[0].Levels[passage.Kick]; k <= 0 || k >= 1 || levels[0].Levels[passage.Snare] <= 1 {
		t.Errorf("kick %g, snare %g", k, levels[0].Levels[passage.Snare])
	}
	if fmt.Sprint(levels[0]) != fmt.Sprint(levels[1]) {
		t.Errorf("A %v, B %v", levels[0], levels[1])
	}
}
