// Package listen gives the sounds of an ear trial to the synthesiser: what
// [ear.Sound] says in musical terms becomes a [synth.Plan] and a [synth.Mix].
//
// The one idea: the page and the command line play and render one and the same
// plan, and nothing but what is asked for tells the sounds of a trial apart.
// All of them are played with one order of the round robin, at one level, with
// nothing moved in the stereo picture, so a stroke that is in both A and B
// sounds alike in both.
//
// Rates are in samples a second. Call [Plans] for the sounds of a trial, or
// [Plan] for one that stands alone, and [Mix] for which voices are heard of it.
package listen

import (
	"fmt"

	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// seed is the order of the round robin in every sound of every trial: with one
// for each, A and B would differ in more than what was changed. Our choice.
const seed = 1

// Plans returns the sounds of a trial, or those heard again after its answer,
// as the synthesiser plays them: see [Plan]. They are compared by the player,
// so they belong together.
func Plans(sounds []ear.Sound, rate int) ([]synth.Plan, error) {
	var all []synth.Plan
	for _, s := range sounds {
		plan, err := Plan(s, rate)
		if err != nil {
			return nil, err
		}
		all = append(all, plan)
	}
	return all, nil
}

// Plan returns a sound as the synthesiser plays it at rate, one of
// [synth.Rates]. The error says what is outside its limits.
func Plan(s ear.Sound, rate int) (synth.Plan, error) {
	click, ok := clicks[s.Click]
	if !ok {
		return synth.Plan{}, fmt.Errorf("click %d is none; take one of package ear", s.Click)
	}
	plan := synth.Plan{
		Passage: s.Passage, Rate: rate, CountIn: s.CountIn, Passes: s.Passes,
		Click: click, Silence: synth.Silence{Heard: s.Silence.Heard, Silent: s.Silence.Silent}, Seed: seed,
	}
	if _, err := synth.NewSequence(plan); err != nil {
		return synth.Plan{}, err
	}
	return plan, nil
}

var clicks = map[ear.Click]synth.Click{
	ear.ClickNone:    synth.ClickNone,
	ear.ClickCountIn: synth.ClickCountIn,
	ear.ClickBeats:   synth.ClickBeats,
}

// Mix returns the balance in which a sound is heard at a master gain, 1 as
// mixed: the voices that it mutes are silent, the others as mixed.
func Mix(s ear.Sound, master float32) synth.Mix {
	mix := synth.Mix{Master: master, Levels: map[passage.Voice]float32{}}
	for _, v := range s.Mute {
		mix.Levels[v] = 0
	}
	return mix
}
