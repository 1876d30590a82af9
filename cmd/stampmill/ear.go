package main

import (
	"flag"
	"fmt"
	"math"
	"strings"

	"stampmill/exercises/drill"
	"stampmill/exercises/ear"
)

var earCommand = command{
	name: "ear", operands: "[TASK FILE]", least: 0, most: 2,
	does: "make a listening trial and mark an answer to it, or list the tasks",
	examples: []string{
		"ear",
		"ear same headframe",
		"ear ahead headframe --step 3 --difficulty 6 --seed 7 --json",
		"ear what headframe --wav trial.wav",
		"ear where headframe --seed 2 --answer answer.json",
	},
	setup: func(flags *flag.FlagSet) action {
		e := listening{
			difficulty: numberFlag{least: 0, most: math.MaxFloat64, unset: true}, rate: countFlag{clockRate, 1, math.MaxInt32},
		}
		e.pick.register(flags)
		flags.Uint64Var(&e.seed, "seed", 1, "N|number of the trial; the same one makes the same trial")
		flags.Var(&e.difficulty, "difficulty", "D|in the unit of the task; where its staircase begins when not given")
		flags.StringVar(&e.answer, "answer", "", "FILE|answer to be marked, as JSON, - for standard input")
		flags.StringVar(&e.wav, "wav", "", "FILE|writes the sounds of the trial, one after the other, a second between them")
		flags.Var(&e.rate, "rate", "HZ|samples a second of the sounds")
		flags.BoolVar(&e.slow, "slow", false, "with --wav: the sounds as they are heard after the answer, slowly, at the difference")
		asJSON := jsonFlag(flags)
		return func(t terminal, operands []string) error {
			e.given = map[string]bool{}
			flags.Visit(func(f *flag.Flag) { e.given[f.Name] = true })
			e.asJSON = *asJSON
			return e.run(t, operands)
		}
	},
}

// A listening is what the flags of ear say.
type listening struct {
	pick         choice
	seed         uint64
	difficulty   numberFlag
	answer, wav  string
	rate         countFlag
	slow, asJSON bool
	given        map[string]bool // the flags that were
}

func (e *listening) run(t terminal, operands []string) error {
	switch len(operands) {
	case 0:
		return e.list(t)
	case 1:
		if _, err := taskNamed(operands[0]); err != nil {
			return err
		}
		return misusef("it needs a FILE to make the trial from, as in stampmill ear %s headframe", operands[0])
	}
	if err := e.check(operands[1]); err != nil {
		return err
	}
	trial, step, err := e.trial(t, operands[0], operands[1])
	switch {
	case err != nil:
		return err
	case e.answer != "":
		return e.mark(t, trial)
	}
	return e.show(t, trial, step)
}

// check refuses flags that do not go together.
func (e *listening) check(file string) error {
	switch {
	case e.answer == standardInput && file == standardInput:
		return misusef("FILE and --answer cannot both be standard input; name one of them")
	case e.answer != "" && e.wav != "":
		return misusef("--answer marks and --wav renders; give one of them")
	case e.given["wav"]:
		return outputNamed(e.wav, ".wav")
	case e.given["answer"] && e.answer == "":
		return misusef("--answer names no file; name one, or - for standard input")
	}
	for _, name := range []string{"rate", "slow"} {
		if e.given[name] {
			return misusef("%s is for --wav; leave it out", dashes(name))
		}
	}
	return nil
}

// list tells the tasks.
func (e *listening) list(t terminal) error {
	for name := range e.given {
		if name != "json" {
			return misusef("%s is for a trial; name a TASK and a FILE", dashes(name))
		}
	}
	if e.asJSON {
		return writeJSON(t.stdout, toldTasks())
	}
	fmt.Fprintln(t.stdout, "Listening tasks, each with what its difficulty counts, from easy to hard, and where the staircase begins.")
	for _, task := range ear.Tasks() {
		fmt.Fprintf(t.stdout, "\n%s: %s\n%s", task.Name, task.Title, wrap(task.About, 2))
		easy, hard, start := difficulties(task)
		fmt.Fprint(t.stdout, wrap(fmt.Sprintf("%s to %s %s, begins at %s: %s.", plain(easy), plain(hard), task.Scale.Unit, plain(start), task.Scale.Means), 2))
	}
	fmt.Fprintln(t.stdout, "\nstampmill ear TASK FILE makes a trial.")
	return nil
}

// difficulties returns the easiest and the hardest difficulty of a task, and where its
// staircase begins.
func difficulties(task ear.Task) (easy, hard, start float64) {
	easy, hard = task.Scale.Low, task.Scale.High
	if task.Scale.Harder(easy, hard) {
		easy, hard = hard, easy
	}
	return easy, hard, rounded(task.Scale.Of(task.Stair.Start))
}

// rounded takes off what a logarithm and back leave behind.
func rounded(x float64) float64 {
	const steps = 1e9
	return math.Round(x*steps) / steps
}

// plain writes a number without needless digits.
func plain(x float64) string { return fmt.Sprintf("%.6g", x) }

func taskNamed(name string) (ear.Task, error) {
	task, ok := ear.Named(strings.ToLower(name))
	if ok {
		return task, nil
	}
	var names []string
	for _, task := range ear.Tasks() {
		names = append(names, task.Name)
	}
	if near, ok := drill.Nearest(name, names); ok {
		return task, misusef("there is no task %.40q; did you mean %s?", name, near)
	}
	return task, misusef("there is no task %.40q; they are %s", name, strings.Join(names, " "))
}

// trial makes the trial that the flags name, and tells the step it is made
// from.
func (e *listening) trial(t terminal, name, file string) (ear.Trial, int, error) {
	task, err := taskNamed(name)
	if err != nil {
		return ear.Trial{}, 0, err
	}
	easy, hard, d := difficulties(task)
	if e.difficulty.given {
		d = e.difficulty.value
	}
	if d != task.Scale.Within(d) {
		return ear.Trial{}, 0, misusef("a difficulty of %s is outside the task; give %s to %s %s", plain(d), plain(min(easy, hard)), plain(max(easy, hard)), task.Scale.Unit)
	}
	c, err := e.pick.open(t, file)
	if err != nil {
		return ear.Trial{}, 0, err
	}
	source := ear.Source{Climb: exerciseName(file, c.climb), Title: c.step.Title, Passage: c.passage}
	trial, err := task.Trial(source, d, e.seed)
	if err != nil {
		what, do, ok := strings.Cut(err.Error(), "; ")
		if !ok {
			do = "take another step"
		}
		return trial, 0, unread{file, fmt.Sprintf("step %d, %s: %s", c.number, c.step.Title, what), do}
	}
	return trial, c.number, nil
}

// show tells the trial with its right answer, and renders it where that is
// asked for.
func (e *listening) show(t terminal, trial ear.Trial, step int) error {
	told, result, err := tellTrial(trial, step)
	if err != nil {
		return err
	}
	if e.wav != "" {
		sounds := trial.Sounds
		if e.slow {
			sounds = result.Slow
		}
		if told.Wav, err = e.record(t, sounds); err != nil {
			return err
		}
	}
	switch {
	case e.asJSON:
		return writeJSON(t.stdout, told)
	case e.wav != "":
		return nil
	}
	printTrial(t, trial, told)
	return nil
}

// mark tells what an answer comes to.
func (e *listening) mark(t terminal, trial ear.Trial) error {
	data, err := readInput(t, e.answer, ear.MaxAnswerBytes)
	if err != nil {
		return plainFileError(e.answer, err)
	}
	answer, err := ear.ReadAnswer(data)
	if err != nil {
		return atFault(e.answer, err)
	}
	result, err := trial.Mark(answer)
	if err != nil {
		return atFault(e.answer, err)
	}
	told := tellResult(trial, result)
	if e.asJSON {
		return writeJSON(t.stdout, told)
	}
	printResult(t, told)
	return nil
}

// printTrial tells a trial to a person.
func printTrial(t terminal, trial ear.Trial, told toldTrial) {
	w := t.stdout
	fmt.Fprintf(w, "%s: %s, step %d, %s\n", told.Title, told.Climb, told.Step, barsOf(trial.Bars))
	fmt.Fprintf(w, "difficulty %s %s, seed %d\n", plain(told.Difficulty), told.Unit, told.Seed)
	for i, s := range trial.Sounds {
		fmt.Fprint(w, "\n", wrap(soundWords(s, told.Sounds[i]), 0))
		fmt.Fprint(w, strings.Join(strip(s.Strip, nil), "\n"), "\n")
	}
	for i, ask := range trial.Asks {
		fmt.Fprint(w, "\n", wrap(ask.Question, 0))
		for n, c := range ask.Choices {
			fmt.Fprintf(w, "  %d  %s\n", n+1, c.Words)
		}
		fmt.Fprint(w, wrap(askedWords(ask, told.Asks[i]), 2))
	}
	fmt.Fprintf(w, "\nright: %s\n%s%s", rightWords(trial), wrap(told.Said, 0), wrap(told.Hint, 0))
}

// askedWords says what is to be answered to an ask that has no choices.
func askedWords(ask ear.Ask, told toldAsk) string {
	switch n := len(told.Places); {
	case n > 0:
		return fmt.Sprintf("a beat from %s to %s", told.Places[0], told.Places[n-1])
	case ask.Kind == ear.Strip:
		return fmt.Sprintf("strokes on a strip with %s cells in its beats", strings.Trim(fmt.Sprint(ask.Grid), "[]"))
	case ask.Under != nil:
		return "taps to: " + soundWords(*ask.Under, *told.Under)
	case ask.Kind == ear.Taps:
		return "taps to what is heard"
	}
	return ""
}

func barsOf(bars [2]int) string {
	if bars[0] == bars[1] {
		return fmt.Sprintf("bar %d", bars[0])
	}
	return fmt.Sprintf("bars %d to %d", bars[0], bars[1])
}

// soundWords says what is played around the strokes of a sound.
func soundWords(s ear.Sound, told toldSound) string {
	words := []string{strings.TrimSpace(s.Label + " " + metresAndTempi(s.Passage.Bars))}
	if s.CountIn > 0 {
		words = append(words, fmt.Sprintf("count-in of %s", barCount(s.CountIn)))
	}
	if s.Passes > 1 {
		words = append(words, passesOf(s.Passes))
	}
	if s.Click == ear.ClickBeats {
		words = append(words, "a click on every beat")
	}
	if told.Silent != "" {
		words = append(words, "silent bars "+told.Silent)
	}
	if len(told.Muted) > 0 {
		words = append(words, "without "+(&voicesFlag{s.Mute}).String())
	}
	return strings.Join(words, ", ")
}

func barCount(n int) string {
	if n == 1 {
		return "1 bar"
	}
	return fmt.Sprintf("%d bars", n)
}

// rightWords says the right answer to each ask, which is that of a marked right
// answer.
func rightWords(trial ear.Trial) string {
	result, err := trial.Mark(trial.Right())
	if err != nil {
		return "none"
	}
	var words []string
	for _, p := range result.Parts {
		if p.Was != "" {
			words = append(words, p.Was)
		}
	}
	return strings.Join(words, "; ")
}

// printResult tells what an answer came to.
func printResult(t terminal, told toldResult) {
	fmt.Fprintln(t.stdout, map[bool]string{true: "right", false: "not right"}[told.Right])
	for _, p := range told.Parts {
		fmt.Fprint(t.stdout, wrap(partWords(p), 2))
	}
	fmt.Fprint(t.stdout, wrap(told.Said, 0), wrap(told.Hint, 0))
}

// partWords says what the answer to one ask comes to.
func partWords(p toldPart) string {
	if p.Right && !p.Void {
		return p.Was
	}
	return fmt.Sprintf("%s; it was: %s", p.Says, p.Was)
}
