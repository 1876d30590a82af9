package main

import (
	"flag"
	"math/rand/v2"
	"os"

	"stampmill/exercises/change"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

var simulateCommand = command{
	name: "simulate", operands: "FILE", least: 1, most: 1,
	does: "make up a player and write the take",
	examples: []string{
		"simulate headframe -o take.json --lean -12 --spread 8",
		"simulate headframe --step 6 --part kick --passes 4 --miss 0.05 --extra 0.02 --seed 7 -o take.json",
		"simulate headframe --misread 'half-time china' -o take.json",
		"simulate headframe -o - --drift 2 | stampmill grade headframe -",
	},
	setup: func(flags *flag.FlagSet) action {
		s := simulation{
			passes: countFlag{1, 1, grade.MaxPasses},
			lean:   numberFlag{least: -500, most: 500}, spread: numberFlag{most: 500},
			drift: numberFlag{least: -100, most: 100}, miss: numberFlag{most: 1}, extra: numberFlag{most: 1},
		}
		s.pick.register(flags)
		flags.StringVar(&s.out, "o", "", "FILE|file to write, - for standard output; has to be given")
		flags.Var(&s.part, "part", "VOICES|voices the player takes over, joined by commas; all when not given")
		flags.Var(&s.passes, "passes", "N|how often it is played")
		flags.Var(&s.lean, "lean", "MS|mean error in milliseconds; early is negative")
		flags.Var(&s.spread, "spread", "MS|standard deviation of the error in milliseconds")
		flags.Var(&s.drift, "drift", "BPM|tempo won or, below 0, lost over the take")
		flags.Var(&s.miss, "miss", "SHARE|strokes left out, as a share of those written, 0 to 1")
		flags.Var(&s.extra, "extra", "SHARE|strokes added, as a share of those written, 0 to 1")
		flags.StringVar(&s.misread, "misread", "", "CHANGE|change of the catalogue that the player takes for what is written")
		flags.Uint64Var(&s.seed, "seed", 1, "N|number of the player; the same one plays the same take")
		return s.run
	},
}

// A simulation is what the flags of simulate say.
type simulation struct {
	pick                             choice
	out                              string
	part                             voicesFlag
	misread                          string
	passes                           countFlag
	lean, spread, drift, miss, extra numberFlag
	seed                             uint64
}

func (s *simulation) run(t terminal, operands []string) error {
	if s.out != standardInput {
		if err := outputNamed(s.out, ".json"); err != nil {
			return err
		}
	}
	c, err := s.pick.open(t, operands[0])
	if err != nil {
		return err
	}
	if _, err := heard(c.passage, s.part.voices); err != nil {
		return err
	}
	take, err := s.take(c, exerciseName(operands[0], c.climb))
	if err != nil {
		return err
	}
	data, err := grade.WriteTake(take)
	if err != nil {
		return err
	}
	if s.out == standardInput {
		_, err = t.stdout.Write(data)
		return err
	}
	return writeFile(s.out, func(f *os.File) error {
		_, err := f.Write(data)
		return err
	})
}

// take plays the passage.
func (s *simulation) take(c chosen, name string) (grade.Take, error) {
	take := grade.Take{
		Exercise: name, Step: c.number, Tempo: c.bpm().Float(), Passes: s.passes.value,
		Part: s.part.voices, Input: "simulated",
	}
	// grade wants the passage at its written tempo, and takes that of the take
	read, err := s.misreading(c.step.Passage)
	if err != nil {
		return grade.Take{}, err
	}
	expected, err := grade.Expect(read, take, false)
	if err != nil {
		return grade.Take{}, atFault(name, err)
	}
	take.Taps = player.Simulate(expected, player.Options{
		LeanMS: s.lean.value, SpreadMS: s.spread.value, DriftBPM: s.drift.value,
		Miss: s.miss.value, Extra: s.extra.value,
	}, rand.New(rand.NewPCG(s.seed, 0)))
	return take, nil
}

// misreading returns the passage as the player reads it.
func (s *simulation) misreading(p passage.Passage) (passage.Passage, error) {
	if s.misread == "" {
		return p, nil
	}
	c, err := change.Parse(s.misread)
	if err != nil {
		return p, misusef("--misread %.60q: %w", s.misread, err)
	}
	read, err := c.Apply(p)
	if err != nil {
		return p, misusef("--misread %.60q: it does not fit this step: %w", s.misread, err)
	}
	return read, nil
}
