package main

import (
	"flag"
	"fmt"
	"slices"

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
		"grade headframe take.json --hits 0.9 --extra 0.1 --max-spread 30",
		"simulate headframe -o - --lean 12 | stampmill grade headframe - --json",
	},
	setup: func(flags *flag.FlagSet) action {
		usual := grade.DefaultPassing
		g := grading{
			latency: numberFlag{least: -grade.MaxLatencyMS, most: grade.MaxLatencyMS, unset: true}, pedals: pedalsFlag(),
			hits: numberFlag{value: usual.Hits, least: grade.LeastHits, most: 1}, extra: numberFlag{value: usual.Extra, most: grade.MostExtra},
			spread: numberFlag{value: usual.SpreadMS, least: grade.LeastSpread, most: grade.MostSpread},
		}
		flags.StringVar(&g.step, "step", "", "STEP|refuse a take of another step")
		flags.Var(&g.tempo, "tempo", "BPM|refuse a take at another tempo")
		flags.Var(&g.part, "part", "VOICES|voices to be judged, joined by commas; those of the take when not given")
		flags.Var(&g.latency, "latency", "MS|delay of the input in milliseconds, in place of the take's")
		flags.Var(&g.hits, "hits", "SHARE|least share of the written strokes that passes")
		flags.Var(&g.extra, "extra", "SHARE|largest number of extra hits that passes, as a share of the written strokes")
		flags.Var(&g.spread, "max-spread", "MS|largest spread that passes, in milliseconds")
		g.pedals.register(flags)
		asJSON := jsonFlag(flags)
		return func(t terminal, operands []string) error { return g.run(t, operands[0], operands[1], *asJSON) }
	},
}

// A grading is what the flags of grade say.
type grading struct {
	step                string
	tempo               tempoFlag
	part                voicesFlag
	latency             numberFlag
	hits, extra, spread numberFlag // what passes
	pedals              pedals
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
	verdict, err := grade.Grade(p, take, g.options(climb, take.Step))
	if err != nil {
		return atFault(takeFile, err)
	}
	if asJSON {
		return writeJSON(t.stdout, verdict)
	}
	return printVerdict(t, climb, take, verdict)
}

func (g *grading) options(climb passage.Climb, step int) grade.Options {
	o := grade.Options{
		Passing: &grade.Passing{Hits: g.hits.value, Extra: g.extra.value, SpreadMS: g.spread.value},
		Pedals:  g.pedals.limbs(), Steps: climb.Steps, Step: step,
	}
	if g.latency.given {
		o.LatencyMS = grade.Some(g.latency.value)
	}
	return o
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
