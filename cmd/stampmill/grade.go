package main

import (
	"flag"
	"fmt"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

var gradeCommand = command{
	name: "grade", operands: "FILE TAKE", least: 2, most: 2,
	does: "tell what happened in a take of an exercise",
	examples: []string{
		"grade headframe take.json",
		"grade headframe take.json --part kick --latency 38.5",
		"simulate headframe -o - --lean 12 | stampmill grade headframe - --json",
	},
	setup: func(flags *flag.FlagSet) action {
		g := grading{latency: numberFlag{least: -grade.MaxLatencyMS, most: grade.MaxLatencyMS, unset: true}}
		flags.StringVar(&g.step, "step", "", "STEP|refuse a take of another step")
		flags.Var(&g.tempo, "tempo", "BPM|refuse a take at another tempo")
		flags.Var(&g.part, "part", "VOICES|voices to be judged, joined by commas; those of the take when not given")
		flags.Var(&g.latency, "latency", "MS|delay of the input in milliseconds, in place of the take's")
		asJSON := jsonFlag(flags)
		return func(t terminal, operands []string) error { return g.run(t, operands[0], operands[1], *asJSON) }
	},
}

// A grading is what the flags of grade say.
type grading struct {
	step    string
	tempo   tempoFlag
	part    voicesFlag
	latency numberFlag
}

func (g *grading) run(t terminal, file, takeFile string, asJSON bool) error {
	if file == standardInput && takeFile == standardInput {
		return misusef("FILE and TAKE cannot both be standard input; name one of them")
	}
	climb, err := readClimb(t, file)
	if err != nil {
		return err
	}
	take, err := readTake(t, takeFile)
	if err != nil {
		return err
	}
	if err := g.agrees(climb, take); err != nil {
		return err
	}
	if take.Step < 1 || take.Step > len(climb.Steps) {
		return unread{takeFile, fmt.Sprintf("the take is of step %d, and %s has %d", take.Step, climb.Title, len(climb.Steps)), "grade it against the exercise it was made with"}
	}
	namesDiffer(t, take.Exercise, exerciseName(file, climb))
	p := climb.Steps[take.Step-1].Passage
	if take, err = g.only(p, take); err != nil {
		return err
	}
	verdict, err := grade.Grade(p, take, g.options())
	if err != nil {
		return atFault(takeFile, err)
	}
	if asJSON {
		return writeJSON(t.stdout, verdict)
	}
	return printVerdict(t, climb, take, verdict)
}

func (g *grading) options() grade.Options {
	if !g.latency.given {
		return grade.Options{}
	}
	return grade.Options{LatencyMS: grade.Some(g.latency.value)}
}

// agrees refuses a step or tempo that contradicts the take.
func (g *grading) agrees(climb passage.Climb, take grade.Take) error {
	if g.step != "" {
		n, err := stepNumber(climb, g.step)
		if err != nil {
			return err
		}
		if n != take.Step {
			return disagreement("step", fmt.Sprint(take.Step), fmt.Sprint(n))
		}
	}
	if g.tempo.bpm != (meter.Rat{}) && g.tempo.bpm.Float() != take.Tempo {
		return disagreement("tempo", fmt.Sprintf("%g", take.Tempo), fmt.Sprintf("%g", g.tempo.bpm.Float()))
	}
	return nil
}

// only narrows a take to the voices asked for: the taps of its other voices
// are left out, those that name none stay.
func (g *grading) only(p passage.Passage, take grade.Take) (grade.Take, error) {
	if g.part.voices == nil {
		return take, nil
	}
	if _, err := heard(p, g.part.voices); err != nil {
		return take, err
	}
	take.Part = g.part.voices
	take.Taps = slices.DeleteFunc(slices.Clone(take.Taps), func(tap grade.Tap) bool {
		return tap.Voice.Valid() && !slices.Contains(g.part.voices, tap.Voice)
	})
	return take, nil
}

// printVerdict tells a verdict to a person.
func printVerdict(t terminal, climb passage.Climb, take grade.Take, v grade.Verdict) error {
	fmt.Fprintf(t.stdout, "%s, step %d: %s\n", climb.Title, take.Step, climb.Steps[take.Step-1].Title)
	fmt.Fprintf(t.stdout, "tempo %.6g, %s, part %s\n\n", take.Tempo, passesOf(take.Passes), partName(take.Part))
	for _, s := range v.Sentences {
		fmt.Fprint(t.stdout, wrap(s, 0))
	}
	fmt.Fprintln(t.stdout)
	tab := tabwriter.NewWriter(t.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintf(tab, "hits\t%d of %d, missed %d, extra %d\n", v.Matched, v.Expected, v.Missed, v.Extra)
	fmt.Fprintf(tab, "within 25 ms\tF %.3f\n", v.F25)
	fmt.Fprintf(tab, "within 50 ms\tF %.3f\n", v.F50)
	fmt.Fprintf(tab, "leaning\t%s\n", figure(v.Leaning, "ms", "early", "late"))
	fmt.Fprintf(tab, "spread\t%s\n", figure(v.Spread, "ms", "", ""))
	fmt.Fprintf(tab, "drift\t%s\n", figure(v.Drift, "BPM", "slower", "faster"))
	for _, f := range v.ByVoice {
		fmt.Fprintf(tab, "%s\t%d of %d, %s\n", f.Voice, f.Matched, f.Expected, figure(f.Leaning, "ms", "early", "late"))
	}
	for _, f := range v.ByBar {
		fmt.Fprintf(tab, "bar %d\t%d of %d, %s\n", f.Bar, f.Matched, f.Expected, figure(f.Leaning, "ms", "early", "late"))
	}
	for _, f := range v.Tuplets {
		fmt.Fprintf(tab, "%s at %s\t%s\n", f.Written, f.Place, split(f))
	}
	tab.Flush()
	fmt.Fprintf(t.stdout, "\n%s\nnext: %s\n", map[bool]string{true: "passed", false: "not passed"}[v.Passed], nextWords(climb, take, v.Next))
	return nil
}

// nextWords says what to do next; after the last step there is no next one.
func nextWords(climb passage.Climb, take grade.Take, next grade.Next) string {
	if next.Kind == grade.NextStep && take.Step == len(climb.Steps) {
		return "This was the last step."
	}
	return next.String()
}

func partName(part []passage.Voice) string {
	if len(part) == 0 {
		return "all"
	}
	return (&voicesFlag{part}).String()
}

// figure writes a number with its direction, interval and count.
func figure(f grade.Figure, unit, below, above string) string {
	if !f.OK {
		return fmt.Sprintf("not enough strokes (%d)", f.N)
	}
	value := math.Round(10*f.Value) / 10
	word := ""
	switch {
	case value < 0:
		word = below
	case value > 0:
		word = above
	}
	text := fmt.Sprintf("%.1f %s %s", math.Abs(value), unit, word)
	return fmt.Sprintf("%s (95 %%: %.1f to %.1f, n %d)", strings.TrimSpace(text), f.Low, f.High, f.N)
}

// split writes how a tuplet was played.
func split(f grade.TupletFigures) string {
	if f.N == 0 {
		return "never complete"
	}
	shares := make([]string, len(f.Played))
	for i, s := range f.Played {
		shares[i] = fmt.Sprintf("%.2f", s)
	}
	nearest := make([]string, len(f.Nearest))
	for i, n := range f.Nearest {
		nearest[i] = fmt.Sprint(n)
	}
	return fmt.Sprintf("played %s, nearest %s, %.0f ms away", strings.Join(shares, " "), strings.Join(nearest, ":"), f.AwayMS)
}

func passesOf(n int) string {
	if n == 1 {
		return "1 pass"
	}
	return fmt.Sprintf("%d passes", n)
}
