package grade

import (
	"fmt"
	"sort"

	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// An into is a place in a beat: quarter notes after it, and its length.
type into struct{ at, beat meter.Rat }

func (p into) word() string { return CountWord(p.at, p.beat) }

// CountWord returns a place in a beat as players count it, common practice:
// "e & a" for quarters of a plain beat, "& a" for thirds of a dotted one, else
// the number of the cell in the fewest that have one there, such as "2nd of 3".
// Both are quarter notes: how far into the beat, and its length, over 0.
func CountWord(into, beat meter.Rat) string {
	share := into.Div(beat)
	k, n := share.Num(), share.Den()
	if dotted := beat.Num()%3 == 0; dotted && n == 3 {
		return map[int64]string{1: "&", 2: "a"}[k]
	} else if !dotted && (n == 2 || n == 4) {
		return map[int64]string{1: "e", 2: "&", 3: "a"}[4*k/n]
	}
	if k == 0 {
		return "on the beat"
	}
	return fmt.Sprintf("%s of %d", passage.Ordinal(k+1), n)
}

// places returns the places in the beat that have strokes, by length of the
// beat and then in order of time, and for each position which of them it is.
func (g *grader) places(p passage.Passage) (all []into, of []int) {
	lengths := map[[2]int]meter.Rat{}
	for _, b := range p.Beats() {
		lengths[[2]int{b.Bar, b.Number}] = b.Length
	}
	index := map[into]int{}
	for _, pos := range g.expected.Positions {
		in := into{pos.Place.Into, lengths[[2]int{pos.Place.Bar, pos.Place.Beat}]}
		if _, ok := index[in]; !ok {
			index[in] = 0
			all = append(all, in)
		}
	}
	sort.Slice(all, func(i, j int) bool {
		a, b := all[i], all[j]
		return a.beat.Less(b.beat) || a.beat == b.beat && a.at.Less(b.at)
	})
	for i, in := range all {
		index[in] = i
	}
	for _, pos := range g.expected.Positions {
		of = append(of, index[into{pos.Place.Into, lengths[[2]int{pos.Place.Bar, pos.Place.Beat}]}])
	}
	return all, of
}

func (g *grader) byPlace(p passage.Passage, samples []sample, drift line) []PlaceFigures {
	places, of := g.places(p)
	tallies := g.tallies(len(places), samples, func(position int) []int { return of[position : position+1] })
	out := make([]PlaceFigures, len(places))
	for k, t := range tallies {
		out[k] = PlaceFigures{Into: places[k].at, Beat: places[k].beat, Word: places[k].word(), Counts: t.Counts}
		out[k].Leaning, out[k].Spread = t.figures(drift, 0)
	}
	return out
}

// byLimb returns the figures of the limbs that play drums of the part, nil
// where there are none, or where limbs are not enough for the step.
func (g *grader) byLimb(p passage.Passage, pedals limbs.Pedals, samples []sample, drift line) []LimbFigures {
	of := g.limbsOf(p, pedals)
	if of == nil {
		return nil
	}
	const all = int(limbs.LeftFoot) + 1
	tallies := g.tallies(all, samples, func(position int) []int { return of[position] })
	var out []LimbFigures
	for k, t := range tallies {
		if t.Expected > 0 {
			f := LimbFigures{Limb: limbs.Limb(k), Counts: t.Counts}
			f.Leaning, f.Spread = t.figures(drift, 0)
			out = append(out, f)
		}
	}
	return out
}

// limbsOf returns for each position the limbs that play it, by the sticking of
// the whole step; nil where there is none.
func (g *grader) limbsOf(p passage.Passage, pedals limbs.Pedals) [][]int {
	var part VoiceSet
	for _, pos := range g.expected.Positions {
		part |= pos.Voices
	}
	if !part.hasDrums() || p.Machine {
		return nil
	}
	sticks, clash := limbs.Play(p, pedals)
	if clash != nil {
		return nil
	}
	type stroke struct {
		voice passage.Voice
		at    meter.Rat
	}
	limb := map[stroke]int{}
	for _, s := range sticks {
		limb[stroke{s.Voice, s.At}] = int(s.Limb)
	}
	of := make([][]int, len(g.expected.Positions))
	for i, pos := range g.expected.Positions {
		for _, v := range pos.Voices.Voices() {
			if k, ok := limb[stroke{v, pos.At}]; ok {
				of[i] = append(of[i], k)
			}
		}
	}
	return of
}

// hasDrums reports whether a voice of the set is struck by a limb.
func (s VoiceSet) hasDrums() bool {
	for _, v := range s.Voices() {
		if f := v.Family(); f == passage.Cymbals || f == passage.Drums {
			return true
		}
	}
	return false
}

func (g *grader) byPass(strays []Stray, samples []sample, drift line, r float64) []PassFigures {
	passes := len(g.expected.Onsets) / len(g.expected.Positions)
	tallies := make([]tally, passes)
	for i, o := range g.expected.Onsets {
		if !g.open[i] {
			tallies[o.Pass-1].count(g.tapOf[i])
		}
	}
	for _, s := range samples {
		t := &tallies[g.expected.Onsets[s.onset].Pass-1]
		t.samples = append(t.samples, s)
	}
	for _, s := range strays {
		tallies[s.Pass-1].Extra++
	}
	out := make([]PassFigures, passes)
	for k, t := range tallies {
		out[k] = PassFigures{Pass: k + 1, Counts: t.Counts}
		out[k].Leaning, out[k].Spread = t.figures(drift, r)
	}
	return out
}
