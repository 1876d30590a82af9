package main

import (
	"flag"
	"math/rand/v2"
	"os"
	"strings"

	"stampmill/exercises/grade"
	"stampmill/exercises/player"
)

// allMisreadings is what --misread takes for the table of them.
const allMisreadings = "all"

var simulateCommand = command{
	name: "simulate", operands: "FILE...", least: 0, most: many,
	does: "make up a player: a take, days of practice, or all misreadings",
	examples: []string{
		"simulate headframe -o take.json --lean -12 --spread 8",
		"simulate headframe --step 6 --part kick --passes 4 --miss 0.05 --extra 0.02 --seed 7 -o take.json",
		"simulate headframe --misread 'half-time china' -o take.json",
		"simulate headframe --step 3 --misread 'step 2' --strength --release -o take.json",
		"simulate headframe --step 3 --passes 4 --misread 'lose 1/4 at 1.3 in pass 2' -o take.json",
		"simulate headframe -o - --drift 2 | stampmill grade headframe -",
		"simulate headframe adit cage --days 14 --until 2026-03-14 -o backup.json",
		"simulate --misread all headframe cage --part kick,guitar",
	},
	setup: func(flags *flag.FlagSet) action {
		s := simulation{
			passes: countFlag{1, 1, grade.MaxPasses}, takes: countFlag{1, 1, 100},
			lean: numberFlag{least: -500, most: 500}, spread: numberFlag{most: 500},
			drift: numberFlag{least: -100, most: 100}, miss: numberFlag{most: 1}, extra: numberFlag{most: 1},
			days:   countFlag{14, 1, player.MaxDays},
			uneven: numberFlag{most: 1}, grace: numberFlag{most: 100, unset: true},
		}
		s.pick.register(flags)
		flags.StringVar(&s.out, "o", "", "FILE|file to write, - for standard output; has to be given for a take")
		flags.Var(&s.part, "part", "VOICES|voices the player takes over, joined by commas; all when not given")
		flags.Var(&s.passes, "passes", "N|how often it is played; 4 for --misread all when not given")
		flags.Var(&s.lean, "lean", "MS|mean error in milliseconds; early is negative")
		flags.Var(&s.spread, "spread", "MS|standard deviation of the error; 5, 10, 15 and 25 for --misread all when not given")
		flags.Var(&s.drift, "drift", "BPM|tempo won or, below 0, lost over the take")
		flags.Var(&s.miss, "miss", "SHARE|strokes left out, as a share of those written, 0 to 1")
		flags.Var(&s.extra, "extra", "SHARE|strokes added, as a share of those written, 0 to 1")
		flags.Var(&s.uneven, "uneven", "SHARE|how far triplets come out as 3:3:2, from 0 to 1")
		flags.Var(&s.grace, "grace", "MS|how long before its stroke the grace stroke of a flam comes; 0 leaves graces out")
		flags.BoolVar(&s.oneKey, "one-key", false, "taps name no voice, as on a single key")
		flags.BoolVar(&s.strength, "strength", false, "taps have a strength")
		flags.BoolVar(&s.release, "release", false, "taps have a release")
		flags.StringVar(&s.misread, "misread", "", "CHANGE|what the player takes for what is written: a change, an earlier step, a slip; all: try each of them")
		flags.Var(&s.days, "days", "N|makes up so many days of practice of a learner, as a backup that Setup reads")
		flags.Var(&s.until, "until", "DATE|last of the days, such as 2026-03-14; today when not given")
		flags.Var(&s.takes, "takes", "N|takes of each misreading at each spread, for --misread all")
		flags.Uint64Var(&s.seed, "seed", 1, "N|number of the player; the same one plays the same take")
		asJSON := jsonFlag(flags)
		return func(t terminal, operands []string) error {
			s.given = map[string]bool{}
			flags.Visit(func(f *flag.Flag) { s.given[f.Name] = true })
			s.asJSON = *asJSON
			return s.run(t, operands)
		}
	},
}

// A simulation is what the flags of simulate say.
type simulation struct {
	pick                                            choice
	out                                             string
	part                                            voicesFlag
	misread                                         string
	passes, takes, days                             countFlag
	until                                           dateFlag
	lean, spread, drift, miss, extra, uneven, grace numberFlag
	oneKey, strength, release, asJSON               bool
	seed                                            uint64
	given                                           map[string]bool // the flags that were
}

func (s *simulation) run(t terminal, operands []string) error {
	if strings.EqualFold(s.misread, allMisreadings) {
		return s.confuse(t, operands)
	}
	if s.given["days"] {
		return s.practise(t, operands)
	}
	if len(operands) != 1 {
		return misusef("it needs one FILE; see stampmill simulate -h")
	}
	if name := s.needless("takes", "json"); name != "" {
		return misusef("%s is for --misread all; leave it out", dashes(name))
	}
	if s.given["until"] {
		return misusef("--until is for --days; leave it out")
	}
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
	return s.write(t, data)
}

// needless returns the first of some flags that was given; "" for none.
func (s *simulation) needless(names ...string) string {
	for _, name := range names {
		if s.given[name] {
			return name
		}
	}
	return ""
}

func (s *simulation) write(t terminal, data []byte) error {
	if s.out == standardInput {
		_, err := t.stdout.Write(data)
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
		Part: s.part.voices, Input: grade.Simulated,
	}
	// grade wants the passage at its written tempo, and takes that of the take
	read, o := c.step.Passage, s.options()
	if s.misread != "" {
		var err error
		if read, o.Slips, err = player.Misread(c.climb.Steps, c.number-1, s.misread); err != nil {
			return take, misusef("--misread %.60q: %w", s.misread, err)
		}
	}
	var err error
	if take.Taps, err = player.PlayInstead(c.step.Passage, read, take, o, rand.New(rand.NewPCG(s.seed, 0))); err != nil {
		return take, atFault(name, err)
	}
	if n := len(take.Taps); n > 0 && take.Taps[n-1].Seconds > grade.MaxSeconds {
		return take, misusef("the take would last %.0f minutes, and takes last at most %.0f; choose fewer passes", take.Taps[n-1].Seconds/60, grade.MaxSeconds/60)
	}
	return take, nil
}

// Strengths of a made-up player. Our choice: what pads send for a firm accent,
// a hit and a ghost, and about as uneven as players are.
var madeUpTouch = player.Touch{
	Accent: player.Level{Mean: .9, Spread: .05},
	Hit:    player.Level{Mean: .65, Spread: .06},
	Ghost:  player.Level{Mean: .25, Spread: .05},
}

// options returns how the player plays.
func (s *simulation) options() player.Options {
	o := player.Options{
		LeanMS: s.lean.value, SpreadMS: s.spread.value, DriftBPM: s.drift.value,
		Miss: s.miss.value, Extra: s.extra.value, Uneven: s.uneven.value, OneKey: s.oneKey,
	}
	if s.strength {
		o.Touch = &madeUpTouch
	}
	if s.release {
		o.Release = &player.Release{SpreadMS: s.spread.value}
	}
	if s.grace.given {
		o.Grace = player.Grace{FlamMS: s.grace.value, DragMS: s.grace.value}
		if s.grace.value == 0 {
			o.Grace.Missing = 1
		}
	}
	return o
}
