package draft

import (
	"fmt"
	"slices"
	"strconv"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// maxNamed is how many bars or voices are named one by one. Our choice: what
// can be taken in at one look.
const maxNamed = 3

// Agree says in which beats two voices strike together throughout: "Kick and
// guitar agree in every beat but bar 4, beats 3 and 4." How long strokes
// sound does not matter. It returns "" when one of the voices has no line.
func Agree(p passage.Passage, a, b passage.Voice) string {
	one, hasOne := p.Line(a)
	two, hasTwo := p.Line(b)
	if !hasOne || !hasTwo {
		return ""
	}
	both := fmt.Sprintf("%s and %s", a.Label(), b)
	beats := p.Beats()
	var apart []passage.Beat
	for _, beat := range beats {
		if !slices.Equal(onsets(one, beat), onsets(two, beat)) {
			apart = append(apart, beat)
		}
	}
	switch bars := barsOf(apart); {
	case len(apart) == 0:
		return both + " agree in every beat."
	case len(apart) == len(beats):
		return both + " agree in no beat."
	case len(bars) > maxNamed:
		return fmt.Sprintf("%s agree in %d of %d beats; they differ first in %s.", both, len(beats)-len(apart), len(beats), inBar(p, bars[0], apart))
	default:
		var where []string
		for _, bar := range bars {
			where = append(where, inBar(p, bar, apart))
		}
		return fmt.Sprintf("%s agree in every beat but %s.", both, semicolons(where))
	}
}

// onsets returns where strokes of a line begin in a beat.
func onsets(l passage.Line, b passage.Beat) []meter.Rat {
	var all []meter.Rat
	end := b.At.Add(b.Length)
	for i := strokeFrom(l, b.At); i < len(l.Strokes) && l.Strokes[i].At.Less(end); i++ {
		if l.Strokes[i].Sounds() {
			all = append(all, l.Strokes[i].At)
		}
	}
	return all
}

// barsOf returns the bars of beats, each once.
func barsOf(beats []passage.Beat) []int {
	var all []int
	for _, b := range beats {
		all = append(all, b.Bar)
	}
	return slices.Compact(all)
}

// inBar returns "bar 4, beats 3 and 4", or "bar 4" for all of its beats.
func inBar(p passage.Passage, bar int, beats []passage.Beat) string {
	var numbers []string
	for _, b := range beats {
		if b.Bar == bar {
			numbers = append(numbers, strconv.Itoa(b.Number))
		}
	}
	switch n := len(numbers); n {
	case len(p.Bars[bar-1].Metre.Beats()):
		return fmt.Sprintf("bar %d", bar)
	case 1:
		return fmt.Sprintf("bar %d, beat %s", bar, numbers[0])
	default:
		return fmt.Sprintf("bar %d, beats %s", bar, list(numbers))
	}
}

// semicolons joins places that hold commas: "bar 2; bar 4, beats 3 and 4".
func semicolons(places []string) string {
	out := places[0]
	for _, p := range places[1:] {
		out += "; " + p
	}
	return out
}
