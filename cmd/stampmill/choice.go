package main

import (
	"flag"
	"fmt"
	"strconv"
	"strings"

	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A choice is the flags that pick one passage out of a file.
type choice struct {
	step  string
	tempo tempoFlag
}

func (c *choice) register(flags *flag.FlagSet) {
	flags.StringVar(&c.step, "step", "1", "STEP|step of the climb: its number or its title")
	flags.Var(&c.tempo, "tempo", "BPM|beats a minute, in place of the written tempo")
}

// A chosen passage: one step of a climb at the tempo asked for.
type chosen struct {
	climb   passage.Climb
	number  int // of the step, from 1
	step    passage.Step
	passage passage.Passage
}

// open reads the file and picks the step.
func (c *choice) open(t terminal, file string) (chosen, error) {
	climb, err := readClimb(t, file)
	if err != nil {
		return chosen{}, err
	}
	n, err := stepNumber(climb, c.step)
	if err != nil {
		return chosen{}, err
	}
	return choose(climb, n, c.tempo.bpm)
}

// choose picks step n, from 1, at bpm, or as written when bpm is 0.
func choose(climb passage.Climb, n int, bpm meter.Rat) (chosen, error) {
	step := climb.Steps[n-1]
	p := step.Passage
	if bpm.Sign() > 0 {
		var err error
		if p, err = p.AtTempo(bpm); err != nil {
			return chosen{}, misuse{err}
		}
	}
	return chosen{climb, n, step, p}, nil
}

// bpm returns the tempo of the first bar in beats a minute.
func (c chosen) bpm() meter.Rat { return c.passage.Bars[0].Tempo.BPM }

// stepNumber finds a step by number or title.
func stepNumber(climb passage.Climb, want string) (int, error) {
	if n, err := strconv.Atoi(want); err == nil {
		if n < 1 || n > len(climb.Steps) {
			return 0, misusef("there is no step %d; %s has steps 1 to %d", n, climb.Title, len(climb.Steps))
		}
		return n, nil
	}
	var titles []string
	for i, s := range climb.Steps {
		if strings.EqualFold(s.Title, strings.TrimSpace(want)) {
			return i + 1, nil
		}
		titles = append(titles, s.Title)
	}
	hint := fmt.Sprintf("they are %q", titles)
	if near, ok := drill.Nearest(want, titles); ok {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return 0, misusef("there is no step %q; %s", want, hint)
}
