package app

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/app/transport"
	"stampmill/exercises/ear"
)

// Whatever is pressed and whatever happens, a question stays whole, nothing that
// was not answered is kept, and the state before is left as it was.
func TestListenHoldsInEveryOrder(t *testing.T) {
	states, next := map[string]State{}, map[string]ear.Trial{}
	for _, task := range ear.Tasks() {
		states[task.Name], next[task.Name] = questioned(t, task.Name), questionOf(t, task.Name)
		if !told[task.Name] {
			states[task.Name+", answered"], _ = rightly(states[task.Name])
		}
	}
	names := make([]string, 0, len(states))
	for name := range states {
		names = append(names, name)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		s := states[rapid.SampledFrom(names).Draw(t, "state")]
		for range rapid.IntRange(1, 60).Draw(t, "messages") {
			m := anyListenMsg(t, s, next)
			old := s
			before := listenText(old)
			var effects []Effect
			s, effects = Update(s, m)
			if got := listenText(old); got != before {
				t.Fatalf("%+v changed what was: %s, then %s", m, before, got)
			}
			checkListen(t, old, s, effects)
		}
	})
}

// However a phrase is tapped back, with strokes too many, before the first
// downbeat and long after the end, by an input with and without a measured delay,
// what came of it is drawn.
func TestAnyTapsAreDrawn(t *testing.T) {
	asked := questioned(t, "tap")
	rapid.Check(t, func(t *rapid.T) {
		s := heardBoth(asked)
		if rapid.Bool().Draw(t, "no delay is known") {
			s.Settings.Delays = nil
		}
		s, _ = after(s, does("listen-tap"), Began{})
		at := -0.09
		for range rapid.IntRange(1, 30).Draw(t, "taps") {
			s, _ = after(s, down("KeyF", "f").at(at))
			at += rapid.Float64Range(0.001, 3).Draw(t, "seconds to the next")
		}
		s, _ = after(s, Ended{noon})
		if pic := draw(s); s.Listen.Stage != ListenAnswered || len(pic.Listen.SVG) != 1 || pic.Listen.SVG[0] == "" {
			t.Fatalf("stage %d, %d pictures", s.Listen.Stage, len(pic.Listen.SVG))
		}
	})
}

// told are the tasks that are answered by more than choosing and placing.
var told = map[string]bool{"write": true, "tap": true, "beat": true, "silence": true}

// listenText is all that a state says of listening.
func listenText(s State) string {
	l := s.Listen
	return fmt.Sprint(l.Stage, l.Number, l.Sounding, l.Plays, l.Chosen, l.Place, l.Draft.Text(), l.Taking, l.Said, l.Refused, l.Session.Tasks, len(l.Here), len(l.All), l.Making, l.turn, l.next != nil, s.Take.Taps)
}

// checkListen says what holds after each message.
func checkListen(t *rapid.T, old, s State, effects []Effect) {
	l := s.Listen
	shows := len(l.Trial.Asks) > 0
	_, kept := has[KeepHeard](effects)
	_, plays := has[Play](effects)
	switch {
	case kept != (len(l.All) == len(old.Listen.All)+1) || len(l.All) < len(l.Here):
		t.Fatalf("kept %t, %d answers of %d", kept, len(l.Here), len(l.All))
	case l.Stage == ListenAnswered && !shows, l.Stage == ListenReady && shows, l.Stage == ListenEnded && len(l.Here) == 0:
		t.Fatalf("stage %d, a question %t, %d answers", l.Stage, shows, len(l.Here))
	case l.Stage == ListenAsking && !shows && !l.Making && s.Page == listenPath:
		t.Fatal("no question, and none is made")
	case s.Phase == Idle && (l.Sounding != -1 || l.Taking):
		t.Fatalf("nothing plays, but sound %d, taking %t", l.Sounding, l.Taking)
	case s.Phase != Idle && s.Aim.forListening() && s.Page != listenPath:
		t.Fatalf("a question sounds on %s", s.Page)
	case plays && s.Phase != Starting:
		t.Fatalf("plays in phase %d", s.Phase)
	case l.Sounding >= len(l.Trial.Sounds)+len(l.Result.Slow):
		t.Fatalf("sound %d", l.Sounding)
	case shows && len(l.Plays) != len(l.Trial.Sounds):
		t.Fatalf("heard %v of %d sounds", l.Plays, len(l.Trial.Sounds))
	}
	for i, n := range l.Chosen {
		if n < -1 || n >= len(chooses(l.Trial)[i].Choices) {
			t.Fatalf("chosen %v", l.Chosen)
		}
	}
	if ask, ok := l.ask(ear.Place); l.Place.Bar != 0 && (!ok || !slices.Contains(ask.Places, l.Place)) {
		t.Fatalf("place %s", l.Place)
	}
	if len(l.Draft.Problems()) > 0 {
		t.Fatalf("the paper holds %v", l.Draft.Problems())
	}
}

// anyListenMsg draws a message that may come on the Listen page.
func anyListenMsg(t *rapid.T, s State, next map[string]ear.Trial) Msg {
	var names []string
	for name := range acts {
		if strings.HasPrefix(name, "listen-") {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	switch rapid.IntRange(0, 9).Draw(t, "kind") {
	case 0, 1, 2:
		args := rapid.SampledFrom([]string{"", "0", "1", "2", "1:0", "1.1", "2.3", "9.9", "x", ".", "-", "4", "same", "-1"})
		return Acted{Act: rapid.SampledFrom(names).Draw(t, "act"), Arg: args.Draw(t, "arg"), Value: rapid.SampledFrom([]string{"", "", "5"}).Draw(t, "value")}
	case 3, 4, 5:
		code := rapid.SampledFrom([]string{"KeyA", "KeyB", "KeyS", "KeyN", "KeyP", "KeyX", "Digit1", "Digit2", "Space", "Enter", "Escape", "ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Backspace"}).Draw(t, "code")
		p := down(code, strings.ToLower(strings.TrimPrefix(strings.TrimPrefix(code, "Key"), "Digit"))).at(rapid.Float64Range(-1, 9).Draw(t, "seconds"))
		p.Down, p.On = rapid.Bool().Draw(t, "down"), rapid.SampledFrom([]string{"", listenPaper}).Draw(t, "on")
		return p
	case 6:
		return Began{48000}
	case 7:
		task := rapid.SampledFrom(taskNames()).Draw(t, "next")
		if rapid.IntRange(0, 4).Draw(t, "fits") > 0 {
			return Posed{Turn: s.Listen.turn, Question: posed{trial: next[task]}}
		}
		failed := Posed{Turn: s.Listen.turn, Why: fmt.Errorf("too short; take another")}
		failed.Question.trial.Task, _ = ear.Named(task)
		return failed
	}
	return rapid.SampledFrom([]Msg{
		Ended{noon}, Ended{noon}, Halted{transport.WentHidden, noon}, Halted{transport.OutputLost, noon}, Halted{transport.NoOutput, noon}, Left{}, Went{"/practise/"}, Went{listenPath}, Went{listenPath},
		Unplayable{"No."}, Read{logbook.News{Stage: logbook.Ready, Heard: logbook.HeardNews{Read: true, All: s.Listen.All}}}, TakeLost{Why: roomWhy, Left: 1, Answer: true}, TakeKept{}, Due{askAnyway}, Made{}, Said{transport.LeftOut, 3},
		Pointed{Point{Stage: port.Began, On: listenPaper, X: 0.7, Y: 0.4}}, Pressed{Press: Press{Source: Touch, Area: "0", Down: true}, Placed: placed(1)}, Sized{360, 640}, Sized{1280, 800},
	}).Draw(t, "message")
}
