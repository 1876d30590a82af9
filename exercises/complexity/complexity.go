// Package complexity says how hard a passage is: how far it pulls against the
// beat, how fast its busiest limb moves, and how much of it is new.
//
// The one idea is a tree of weights under every bar: the bar falls into the
// beats of its metre, a beat into cells by 2, 3, 5 or 7 and again, and the
// weight of a place is minus its depth. A stroke followed by a place at least
// as strong in which its stream is silent is a syncopation, and the more so the
// stronger that place and the fewer the streams that mark it: the index of
// Witek, Clarke, Wallentin, Kringelbach & Vuust 2014, PLoS ONE 9(4) e94446.
// Splitting a beat by anything but 2 is our extension, and so is what the
// comments of [Syncopes] mark as ours.
//
// Call [Rate] for everything about a step, and [Rating.Load] for the one number
// by which climbs rise. [Syncopation] gives the index bar by bar, [WNBD] the
// weighted distance of strokes from the beats, [Fastest] strokes a second.
//
// Degrees are whole numbers a bar; distances are exact; rates are strokes a
// second at the passage's own tempo. Passages loop: what follows the last
// stroke is the first one of the next pass. Work is linear in the strokes but
// for sorting them, and any passage may be given: strokes outside of its bars
// are left to [passage.Check].
package complexity

import (
	"slices"
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A beat of a passage, with the number of its bar from 0.
type beat struct {
	at, length meter.Rat // quarter notes
	bar        int
	first      bool // the downbeat
}

// A grid is the beats of a passage and its end, in quarter notes.
type grid struct {
	beats []beat
	end   meter.Rat
}

func gridOf(p passage.Passage) grid {
	var g grid
	for _, b := range p.Beats() {
		g.beats = append(g.beats, beat{b.At, b.Length, b.Bar - 1, b.Number == 1})
		g.end = b.At.Add(b.Length)
	}
	return g
}

// holds reports whether a place lies in the passage, and on a cell of its beat
// that the bounds of meter can tell.
func (g grid) holds(at meter.Rat) bool {
	return at.Sign() >= 0 && at.Less(g.end) && g.beats[g.index(at)].cell(at).Valid()
}

// index returns which beat a place of the passage lies in.
func (g grid) index(at meter.Rat) int {
	i, found := slices.BinarySearchFunc(g.beats, at, func(b beat, at meter.Rat) int { return b.at.Cmp(at) })
	if found {
		return i
	}
	return max(i-1, 0)
}

// wrap brings a place at or after the end back by one pass.
func (g grid) wrap(at meter.Rat) meter.Rat {
	if at.Less(g.end) {
		return at
	}
	return at.Sub(g.end)
}

// onsets returns the places at which any of some voices strikes, in order of
// time, each once.
func (g grid) onsets(p passage.Passage, voices ...passage.Voice) []meter.Rat {
	var all []meter.Rat
	for _, l := range p.Lines {
		if !slices.Contains(voices, l.Voice) {
			continue
		}
		for _, s := range l.Strokes {
			if s.Sounds() && g.holds(s.At) {
				all = append(all, s.At)
			}
		}
	}
	return inOrder(all)
}

// inOrder sorts places and drops repeated ones, in place.
func inOrder(places []meter.Rat) []meter.Rat {
	sort.Slice(places, func(i, j int) bool { return places[i].Less(places[j]) })
	return slices.Compact(places)
}
