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
	"hash/fnv"
	"math"
	"math/rand/v2"
	"reflect"

	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// seed is the order of the round robin in every sound of every trial: with one
// for each, A and B would differ in more than what was changed. Our choice.
const seed = 1

// Plans returns the sounds of a trial, or those heard again after its answer,
// as the synthesiser plays them (see [Plan]), with one make-up gain for all,
// that of the first: a stroke that comes or goes makes no other louder. Where
// nothing but the tempo differs each has its own, or the faster one would be
// told by its loudness, being denser; and it varies a little, as the strokes of
// the faster one are softer then.
func Plans(sounds []ear.Sound, rate int) ([]synth.Plan, error) {
	var all []synth.Plan
	for _, s := range sounds {
		plan, err := Plan(s, rate)
		if err != nil {
			return nil, err
		}
		all = append(all, plan)
	}
	for i := 1; i < len(all); i++ {
		if first := all[0].Passage; onlyFaster(first, all[i].Passage) {
			all[i].Makeup *= softer(lot(first, all[i].Passage))
			all[0].Makeup *= softer(0.5)
			return all, nil
		}
		all[i].Makeup = all[0].Makeup
	}
	return all, nil
}

// mostSofter is by how many decibels at most one of two tempi is softer than
// what is as loud, the other by half of that. Our choice: they differ by much
// less than the 1 dB that is just heard (from memory), and by more than the
// loudness of single strokes tells of a tempo near the threshold.
const mostSofter = 0.8

// softer returns the linear gain of a share of mostSofter.
func softer(share float64) float32 { return float32(math.Pow(10, -mostSofter*share/20)) }

// lot returns a number from 0 to 1 that seems to be drawn by lot, the same for
// the same passages, whichever of them is faster.
func lot(p, q passage.Passage) float64 {
	h := fnv.New64a()
	for _, bars := range [][]passage.Bar{p.Bars, q.Bars} {
		for _, b := range bars {
			fmt.Fprint(h, b.Tempo)
		}
	}
	for _, l := range p.Lines {
		fmt.Fprint(h, l.Voice, len(l.Strokes))
	}
	return rand.New(rand.NewPCG(h.Sum64(), seed)).Float64()
}

// onlyFaster reports whether two passages differ in their tempo alone.
func onlyFaster(p, q passage.Passage) bool {
	if reflect.DeepEqual(p.Bars, q.Bars) {
		return false
	}
	p.Bars, q.Bars = nil, nil
	return reflect.DeepEqual(p, q)
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
	seq, err := synth.NewSequence(plan)
	if err != nil {
		return synth.Plan{}, err
	}
	plan.Makeup = seq.Makeup()
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
