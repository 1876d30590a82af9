package listen

import (
	"strings"
	"testing"

	"stampmill/exercises"
	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

const rate = 48000

// source is a step of the library that every task fits.
func source() ear.Source {
	climb, err := exercises.Open("headframe")
	if err != nil {
		panic(err)
	}
	return ear.Source{Climb: "headframe", Title: climb.Steps[0].Title, Passage: climb.Steps[0].Passage}
}

func TestPlanSaysWhatTheSoundSays(t *testing.T) {
	s := ear.Sound{Passage: source().Passage, CountIn: 1, Passes: 3, Click: ear.ClickCountIn, Silence: ear.Silence{Heard: 2, Silent: 1}, Mute: []passage.Voice{passage.Kick}}
	plan, err := Plan(s, rate)
	if err != nil {
		t.Fatal(err)
	}
	if plan.CountIn != 1 || plan.Passes != 3 || plan.Click != synth.ClickCountIn || plan.Silence != (synth.Silence{Heard: 2, Silent: 1}) || plan.Rate != rate {
		t.Errorf("plan %+v", plan)
	}
	mix := Mix(s, 0.5)
	if mix.Master != 0.5 || mix.Level(passage.Kick) != 0 || mix.Level(passage.Snare) != 1 {
		t.Errorf("mix %+v", mix)
	}
}

// Whatever is the same in A and B is carried out by the same commands: the same
// one-shots with the same gains at the same places in the picture.
func TestEqualSoundsAreEqualCommands(t *testing.T) {
	task, _ := ear.Named("same")
	for seed := range uint64(50) {
		trial, err := task.Trial(source(), task.Scale.High, seed)
		if err != nil {
			t.Fatal(err)
		}
		if trial.Yes() {
			continue
		}
		a, b := commands(t, trial.Sounds[0]), commands(t, trial.Sounds[1])
		if len(a) != len(b) {
			t.Fatalf("seed %d: %d commands and %d", seed, len(a), len(b))
		}
		for i := range a {
			if a[i] != b[i] {
				t.Fatalf("seed %d: A has %+v, B %+v", seed, a[i], b[i])
			}
		}
		return
	}
	t.Error("no trial of 50 is the same twice")
}

func commands(t *testing.T, s ear.Sound) []synth.Command {
	t.Helper()
	plan, err := Plan(s, rate)
	if err != nil {
		t.Fatal(err)
	}
	seq, err := synth.NewSequence(plan)
	if err != nil {
		t.Fatal(err)
	}
	end, _ := seq.PassStart(plan.Passes)
	return seq.Next(nil, end+1)
}

func TestEverySoundOfEveryTaskHasAPlan(t *testing.T) {
	for _, task := range ear.Tasks() {
		trial, err := ear.Next(task, []ear.Source{source()}, task.Scale.Low, 1, ear.Trial{})
		if err != nil {
			t.Errorf("%s: %v", task.Name, err)
			continue
		}
		result, err := trial.Mark(trial.Right())
		if err != nil {
			t.Errorf("%s: %v", task.Name, err)
		}
		for _, s := range append(trial.Sounds, result.Slow...) {
			if _, err := Plan(s, rate); err != nil {
				t.Errorf("%s: %v", task.Name, err)
			}
		}
	}
}

func TestWhatIsOutsideIsRefused(t *testing.T) {
	good := ear.Sound{Passage: source().Passage, Passes: 1}
	for _, c := range []struct {
		name string
		rate int
		edit func(*ear.Sound)
	}{
		{"rate", 12345, func(*ear.Sound) {}},
		{"click", rate, func(s *ear.Sound) { s.Click = 99 }},
		{"count-in", rate, func(s *ear.Sound) { s.CountIn = synth.MaxCountIn + 1 }},
		{"silence", rate, func(s *ear.Sound) { s.Silence = ear.Silence{Heard: -1, Silent: 1} }},
		{"passage", rate, func(s *ear.Sound) { s.Passage = passage.Passage{} }},
	} {
		s := good
		c.edit(&s)
		if _, err := Plan(s, c.rate); err == nil || !strings.Contains(err.Error(), "; ") && !strings.Contains(err.Error(), ":") {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
