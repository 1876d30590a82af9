package main

import (
	"fmt"
	"slices"

	"stampmill/app/listen"
	"stampmill/exercises/drill"
	"stampmill/exercises/ear"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// A toldTask is a listening task for other programs.
type toldTask struct {
	Name      string          `json:"name"`
	Title     string          `json:"title"`
	Question  string          `json:"question"`
	About     string          `json:"about"`
	Unit      string          `json:"unit"`
	Means     string          `json:"means"`
	Easiest   float64         `json:"easiest"`
	Hardest   float64         `json:"hardest"`
	Start     float64         `json:"start"` // of the staircase
	Published []toldThreshold `json:"published"`
}

type toldThreshold struct {
	Value  float64 `json:"value"`
	Where  string  `json:"where"`
	Source string  `json:"source"`
}

func toldTasks() []toldTask {
	all := []toldTask{}
	for _, task := range ear.Tasks() {
		told := toldTask{
			Name: task.Name, Title: task.Title, Question: task.Question, About: task.About,
			Unit: task.Scale.Unit, Means: task.Scale.Means, Published: []toldThreshold{},
		}
		told.Easiest, told.Hardest, told.Start = difficulties(task)
		for _, p := range task.Published() {
			told.Published = append(told.Published, toldThreshold{p.Value, p.Where, p.Source})
		}
		all = append(all, told)
	}
	return all
}

// A toldTrial is a trial with its right answer for other programs.
type toldTrial struct {
	Task       string      `json:"task"`
	Title      string      `json:"title"`
	Climb      string      `json:"climb"`
	Step       int         `json:"step"`
	Bars       [2]int      `json:"bars"` // first and last of the step that are heard
	Seed       uint64      `json:"seed"`
	Difficulty float64     `json:"difficulty"` // asked for
	Made       float64     `json:"made"`       // as it came out; 0 where nothing changed
	Unit       string      `json:"unit"`
	Question   string      `json:"question"`
	Sounds     []toldSound `json:"sounds"`
	Asks       []toldAsk   `json:"asks"`
	Right      ear.Answer  `json:"right"`
	Said       string      `json:"said"`
	Hint       string      `json:"hint"`
	Wav        *toldWav    `json:"wav,omitempty"`
}

type toldSound struct {
	Label string `json:"label"`
	Text  string `json:"text"` // as it is written in an exercise; milliseconds have no cells
	// Seconds are the onsets of what is heard, of each voice, from the first
	// downbeat on: those of the sound, not of the text.
	Seconds map[passage.Voice][]float64 `json:"seconds"`
	CountIn int                         `json:"count_in"` // bars before the first downbeat
	Passes  int                         `json:"passes"`
	Length  float64                     `json:"length"`           // seconds of all passes
	Click   string                      `json:"click"`            // none, count-in, beats
	Silent  string                      `json:"silent,omitempty"` // bars heard and bars silent in turn, "2+1"
	Muted   []passage.Voice             `json:"muted,omitempty"`
}

type toldAsk struct {
	Kind     string          `json:"kind"`
	Question string          `json:"question"`
	Choices  []toldChoice    `json:"choices,omitempty"`
	Places   []string        `json:"places,omitempty"` // bar.beat
	Voices   []passage.Voice `json:"voices,omitempty"` // of strip and taps: those asked for
	Text     string          `json:"text,omitempty"`   // of strip: the bars with what is given; of taps: what is to be tapped
	Grid     []int           `json:"grid,omitempty"`   // of strip: cells that each beat is offered with
	Kinds    bool            `json:"kinds,omitempty"`  // of strip: how strokes are played counts as well
	Under    *toldSound      `json:"under,omitempty"`  // of taps: what sounds meanwhile, where that is not the first sound
}

type toldChoice struct {
	Words string `json:"words"`
	Says  string `json:"says"`
	From  string `json:"from,omitempty"` // what it means, as two texts
	To    string `json:"to,omitempty"`
}

// tellTrial tells a trial, with the result of a right answer.
func tellTrial(trial ear.Trial, step int) (toldTrial, ear.Result, error) {
	result, err := trial.Mark(trial.Right())
	if err != nil {
		return toldTrial{}, result, err
	}
	told := toldTrial{
		Task: trial.Task.Name, Title: trial.Task.Title, Climb: trial.Source.Climb, Step: step, Bars: trial.Bars,
		Seed: trial.Seed, Difficulty: trial.D, Made: trial.Made, Unit: trial.Task.Scale.Unit, Question: trial.Task.Question,
		Right: trial.Right(), Said: result.Said, Hint: result.Hint,
	}
	for _, s := range trial.Sounds {
		sound, err := tellSound(trial, s)
		if err != nil {
			return told, result, err
		}
		told.Sounds = append(told.Sounds, sound)
	}
	for _, a := range trial.Asks {
		ask, err := tellAsk(trial, a)
		if err != nil {
			return told, result, err
		}
		told.Asks = append(told.Asks, ask)
	}
	return told, result, nil
}

func tellAsk(trial ear.Trial, a ear.Ask) (told toldAsk, err error) {
	told = toldAsk{Kind: a.Kind.String(), Question: a.Question, Voices: a.Voices, Grid: a.Grid, Kinds: a.Kinds}
	for _, c := range a.Choices {
		choice := toldChoice{Words: c.Words, Says: c.Says}
		if c.Says == "" {
			choice.Says = c.Words
		}
		if c.From != nil && c.To != nil {
			choice.From, _ = exerciseText(trial.Source.Title, "From", *c.From)
			choice.To, _ = exerciseText(trial.Source.Title, "To", *c.To)
		}
		told.Choices = append(told.Choices, choice)
	}
	for _, p := range a.Places {
		told.Places = append(told.Places, fmt.Sprintf("%d.%d", p.Bar, p.Beat))
	}
	if a.Kind == ear.Strip || a.Kind == ear.Taps {
		told.Text, err = exerciseText(trial.Source.Title, "Asked", a.Passage)
	}
	if a.Under != nil && err == nil {
		var under toldSound
		under, err = tellSound(trial, *a.Under)
		told.Under = &under
	}
	return told, err
}

func tellSound(trial ear.Trial, s ear.Sound) (toldSound, error) {
	plan, err := listen.Plan(s, clockRate)
	if err != nil {
		return toldSound{}, err
	}
	text, err := exerciseText(trial.Source.Title, soundTitle(s), s.Strip)
	if err != nil {
		return toldSound{}, err
	}
	told := toldSound{
		Label: s.Label, Text: text, CountIn: s.CountIn, Passes: s.Passes, Click: clickNames[s.Click], Muted: s.Mute,
	}
	if s.Silence.Silent > 0 {
		told.Silent = plan.Silence.String()
	}
	tempo, err := s.Passage.TempoMap()
	if err != nil {
		return toldSound{}, err
	}
	told.Length = micro(tempo.Seconds(s.Passage.Length()) * float64(s.Passes))
	told.Seconds = soundingAt(plan, s, tempo)
	return told, nil
}

var clickNames = map[ear.Click]string{ear.ClickNone: "none", ear.ClickCountIn: "count-in", ear.ClickBeats: "beats"}

func soundTitle(s ear.Sound) string {
	if s.Label == "" {
		return "Heard"
	}
	return s.Label
}

// soundingAt returns when each voice that is heard strikes, in seconds from the
// first downbeat, through all passes.
func soundingAt(plan synth.Plan, s ear.Sound, tempo meter.TempoMap) map[passage.Voice][]float64 {
	pass := tempo.Seconds(s.Passage.Length())
	all := map[passage.Voice][]float64{}
	for _, l := range s.Passage.Lines {
		if slices.Contains(s.Mute, l.Voice) {
			continue
		}
		for k := range s.Passes {
			for _, stroke := range l.Strokes {
				if stroke.Sounds() && !plan.SilentBar(k, s.Passage.Place(stroke.At).Bar) {
					all[l.Voice] = append(all[l.Voice], micro(float64(k)*pass+tempo.Seconds(stroke.At)))
				}
			}
		}
	}
	return all
}

// micro rounds seconds to whole microseconds, a twentieth of a sample.
func micro(seconds float64) float64 { return rounded(float64(int64(seconds*1e6+0.5)) / 1e6) }

// exerciseText writes a passage as an exercise of one step. The error says what
// has no cells.
func exerciseText(title, step string, p passage.Passage) (string, error) {
	p, _ = p.Regroup()
	written := drill.Written(step, "", p)
	climb := passage.Climb{Title: title, Tempo: written.Tempo, Metre: written.Metre, Tuning: p.Tuning, Machine: p.Machine}
	written.Tempo, written.Metre = nil, nil // those of the climb
	climb.Steps = []passage.Step{written}
	text, err := drill.Print(climb)
	return string(text), err
}

// A toldResult is what an answer comes to, for other programs.
type toldResult struct {
	Right bool       `json:"right"`
	Said  string     `json:"said"`
	Hint  string     `json:"hint"`
	Parts []toldPart `json:"parts"`
	Tried toldTried  `json:"tried"`
}

type toldPart struct {
	Right bool    `json:"right"`
	Near  bool    `json:"near"`
	Off   float64 `json:"off_beats"` // below 0 is too soon
	Says  string  `json:"says"`
	Was   string  `json:"was"` // the right answer
	Void  bool    `json:"void"`
}

// A toldTried is what of the trial counts for a threshold.
type toldTried struct {
	Difficulty float64 `json:"difficulty"`
	Made       float64 `json:"made"`
	Chance     float64 `json:"chance"`
	Yes        bool    `json:"yes"`
	Right      bool    `json:"right"`
}

func tellResult(trial ear.Trial, r ear.Result) toldResult {
	tried := trial.Tried(r)
	told := toldResult{
		Right: r.Right, Said: r.Said, Hint: r.Hint, Parts: []toldPart{},
		Tried: toldTried{tried.D, tried.Made, tried.Chance, tried.Yes, tried.Right},
	}
	for _, p := range r.Parts {
		told.Parts = append(told.Parts, toldPart{p.Right, p.Near, p.Off, p.Says, p.Was, p.Void})
	}
	return told
}
