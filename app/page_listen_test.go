package app

import (
	"fmt"
	"regexp"
	"strings"
	"sync"
	"testing"

	goapp "github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/exercises"
	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
)

// trialOf makes a question of a task from the library.
func trialOf(task string, seed uint64) ear.Trial {
	var sources []ear.Source
	for _, e := range exercises.Library() {
		for _, s := range e.Climb.Steps {
			sources = append(sources, ear.Source{Climb: e.Name, Title: s.Title, Passage: s.Passage})
		}
	}
	t, _ := ear.Named(task)
	trial, err := ear.Next(t, sources, t.Scale.Of(t.After(nil).Level), seed, ear.Trial{})
	if err != nil {
		panic(err)
	}
	return trial
}

// asking is the page with a question, which was heard, and of which the first
// answer is chosen.
func asking(trial ear.Trial, width int) State {
	s := first(exercises.Library())
	s.Page, s.Width, s.Height = listenPath, width, 800
	s.Listen.Stage, s.Listen.Number, s.Listen.Trial, s.Listen.Sounding = ListenAsking, 4, trial, -1
	s.Listen.Plays, s.Listen.Chosen, s.Listen.Place = []int{2, 1}, []int{0}, passage.Place{Bar: 1, Beat: 2}
	return s
}

// marked is the page after an answer, right or not.
func marked(s State, right bool) State {
	l := &s.Listen
	l.Answer = l.Trial.Right()
	if !right {
		for i, c := range l.Answer.Choice {
			l.Answer.Choice[i] = (c + 1) % len(l.Trial.Asks[0].Choices)
		}
		l.Answer.Place = passage.Place{Bar: 1 + l.Answer.Place.Bar%2, Beat: 1}
		l.Answer.Line.Strokes = l.Answer.Line.Strokes[:(len(l.Answer.Line.Strokes)+1)/2]
		l.Answer.Taps = l.Answer.Taps[:(len(l.Answer.Taps)+1)/2]
	}
	var err error
	if l.Result, err = l.Trial.Mark(l.Answer); err != nil {
		panic(fmt.Errorf("%s: %w", l.Trial.Task.Name, err))
	}
	l.Stage, l.Plays = ListenAnswered, []int{2, 1}
	return s
}

// listenStates is the Listen page in each state that people see.
var listenStates = sync.OnceValue(func() map[string]State {
	ready := asking(ear.Trial{}, 1280)
	ready.Listen = Listen{Sounding: -1}
	all := map[string]State{"ready": ready}
	no := ready
	no.Notice = Notice{Fact: "There is no sound output here.", Mend: "Plug in or choose one, then start again.", Act: "listen-start", Label: "Start again"}
	all["no sound"] = no
	making := ready
	making.Listen.Stage, making.Listen.Making = ListenAsking, true
	all["making"] = making
	ended := ready
	ended.Listen.Stage, ended.Listen.Here = ListenEnded, make([]ear.Done, 9)
	ended.Listen.Summary = ear.Summary{Lines: []string{"Ahead or behind: 22 ms, between 14 and 35."}, Next: "Ten more minutes, all tasks."}
	all["ended"] = ended
	ended.Listen.Here, ended.Listen.Summary.Lines = nil, nil
	all["ended at once"] = ended
	for _, t := range ear.Tasks() {
		s := asking(trialOf(t.Name, 1), 1280)
		if t.Answered == ear.Strip {
			s.Listen.Draft = emptyPaper(s.Listen.Trial.Asks[0])
		}
		all[t.Name+", asking"] = s
		unheard := s
		unheard.Listen.Plays, unheard.Listen.Chosen, unheard.Listen.Place = nil, []int{-1}, passage.Place{}
		all[t.Name+", not heard"] = unheard
		playing := unheard
		playing.Phase, playing.Aim, playing.Listen.Sounding = Hearing, ForListening, 0
		all[t.Name+", playing"] = playing
		all[t.Name+", right"], all[t.Name+", not right"] = marked(s, true), marked(s, false)
		if t.Answered == ear.Taps {
			taking := s
			taking.Phase, taking.Listen.Taking, taking.Pass = Playing, true, -1
			all[t.Name+", tapping"] = taking
		}
	}
	dropped := all["what, asking"]
	dropped.Notice = Notice{Fact: "The page went out of sight, so the question was dropped.", Mend: "Here is another one."}
	all["dropped"] = dropped
	return all
})

func textOf(page goapp.UI) string { return tags.ReplaceAllString(goapp.HTMLString(page), " ") }

// Nothing on the page tells what B is before the answer, to the eye or to a
// screen reader: with A in its place the page is the same.
func TestCoversTellNothing(t *testing.T) {
	attributes := regexp.MustCompile(`<[^>]*>`)
	page := func(s State) string { // the order of attributes is random
		return attributes.ReplaceAllStringFunc(goapp.HTMLString(view(s, draw(s))), func(tag string) string { return fmt.Sprint(len(tag), strings.Count(tag, `"`)) })
	}
	for _, task := range []string{"same", "what", "where", "ahead", "tempo"} {
		for seed := range uint64(6) {
			for _, width := range []int{1280, 390} {
				s := asking(trialOf(task, seed), width)
				other := s
				other.Listen.Trial.Sounds = append([]ear.Sound(nil), s.Listen.Trial.Sounds...)
				other.Listen.Trial.Sounds[1].Passage, other.Listen.Trial.Sounds[1].Strip = s.Listen.Trial.Sounds[0].Passage, s.Listen.Trial.Sounds[0].Strip
				if page(s) != page(other) {
					t.Errorf("%s, seed %d, %d wide: the page shows what B is", task, seed, width)
				}
			}
		}
	}
}

// The head moves over the sound that plays, at the difference while it plays
// slowly, and never where it would be a clue.
func TestListenHead(t *testing.T) {
	s := asking(trialOf("what", 1), 1280)
	s.Phase, s.Listen.Sounding = Hearing, 1
	if id, at := listenHead(s, draw(s), 0); id != "listen-1-playhead" || at != draw(s).Listen.Sounds[1].HeadTransform(0) {
		t.Errorf("%s %s", id, at)
	}
	tempo := asking(trialOf("tempo", 1), 1280)
	tempo.Phase, tempo.Listen.Sounding = Hearing, 1
	if id, _ := listenHead(tempo, draw(tempo), 0); id != "" {
		t.Errorf("the head of %s shows how fast B is", id)
	}
	for seed := range uint64(20) {
		late := marked(asking(trialOf("where", seed), 1280), true)
		if late.slowFrom() != 2 {
			continue
		}
		late.Phase, late.Listen.Sounding = Hearing, 3
		b := late.Listen.Trial.Sounds[1].Strip
		if id, at := listenHead(late, draw(late), 0); id != "listen-1-playhead" || at != draw(late).Listen.Sounds[1].HeadTransform(b.Starts()[1].Float()) {
			t.Errorf("slowly: %s %s", id, at)
		}
		return
	}
	t.Error("no question with a difference in the second bar")
}

// What was right and what was chosen are told in words, not by colour alone.
func TestAnswersAreToldInWords(t *testing.T) {
	for name, want := range map[string][]string{
		"what, right":      {"✓ your answer, right", "What", "✓ right"},
		"what, not right":  {"your answer", "✓ right answer", "not right"},
		"where, not right": {"you", "✓", "off"},
		"count, right":     {"here", "✓ your answer, right"},
	} {
		s := listenStates()[name]
		got := textOf(view(s, draw(s)))
		if strings.HasPrefix(name, "count") {
			want = want[1:]
		}
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: %q is not in %q", name, w, got)
			}
		}
	}
}

// Digits choose the answer that they are, where answers are numbers.
func TestKeysOfChoices(t *testing.T) {
	for task, want := range map[string]string{"count": "234567", "ahead": "12", "tempo": "12"} {
		ask, got := trialOf(task, 1).Asks[0], ""
		for n := range ask.Choices {
			got += choiceKey(ask, n)
		}
		if got != want {
			t.Errorf("%s: keys %q, want %q", task, got, want)
		}
	}
}

// Who taps is told when the count-in is over.
func TestTapNow(t *testing.T) {
	s := listenStates()["tap, tapping"]
	s.Aim = ForTapping
	if got := textOf(view(s, draw(s))); !strings.Contains(got, "Count-in") {
		t.Errorf("in the count-in: %q", got)
	}
	s, _ = Update(s, Reached{Pass: 0, Bar: 1})
	if got := textOf(view(s, draw(s))); !strings.Contains(got, "Tap now") {
		t.Errorf("after it: %q", got)
	}
}
