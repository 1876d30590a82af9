package grade

import (
	"math"
	"slices"
	"sort"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A stroke that is left out, or one too many, in nearly every pass is a habit.
// Any set of places may be one, so that the sets are not enumerated: they are
// read off the take. Our choice: three passes of four.
const habitual = 0.75

// setHabits lists the sets of strokes that were left out, and of those that
// came in, in each lane alone and in those that have the same.
func (s *Search) setHabits() {
	drop, _ := change.Named("drop")
	add, _ := change.Named("add")
	for _, found := range []struct {
		entry  *change.Entry
		places func(int) []passage.Place
	}{{drop, s.leftOut}, {add, s.cameIn}} {
		var sets [][]passage.Place
		var voices [][]passage.Voice
		for _, k := range s.lanes {
			places := found.places(k)
			if len(places) < 2 || len(places) > mostHabits { // single ones are enumerated
				continue
			}
			i := slices.IndexFunc(sets, func(o []passage.Place) bool { return slices.Equal(o, places) })
			if i < 0 {
				i = len(sets)
				sets, voices = append(sets, places), append(voices, nil)
			}
			voices[i] = append(voices[i], s.voicesAt(k, places)...)
		}
		for i, places := range sets {
			s.habit(found.entry, places, voices[i])
		}
	}
}

// habit lists a set of places for some voices together and, where there are
// several, for each.
func (s *Search) habit(e *change.Entry, places []passage.Place, voices []passage.Voice) {
	if len(voices) == 0 {
		return
	}
	s.habits = append(s.habits, change.Change{Entry: e, Args: change.Args{Voices: voices, Places: places}})
	for _, v := range voices {
		if len(voices) > 1 {
			s.habits = append(s.habits, change.Change{Entry: e, Args: change.Args{Voices: []passage.Voice{v}, Places: places}})
		}
	}
}

// mostHabits bounds the places of one habit. Our choice: what the text of a
// change can hold.
const mostHabits = 16

// voicesAt returns the voices of a lane that may strike at some places: on a
// single key those that are written at the first.
func (s *Search) voicesAt(lane int, places []passage.Place) []passage.Voice {
	if !s.g.oneKey {
		return []passage.Voice{passage.Voice(lane)}
	}
	for _, pos := range s.g.expected.Positions {
		if pos.Place == places[0] {
			return pos.Voices.Voices()
		}
	}
	return s.part[:1]
}

// hits returns the taps of a lane that play each place of a pass, and those
// that play nothing, under the trend that suits the take best.
func (s *Search) hits(lane int) (of []int, strays []float64) {
	best := 0
	for i := range s.tense {
		if s.tense[i].log > s.tense[best].log {
			best = i
		}
	}
	a := newAligner(searchSpread, s.ev.strayRate())
	taps := s.trends[best].off(nil, s.ev.taps[lane])
	used := make([]bool, len(taps))
	of = make([]int, len(s.once[lane]))
	for i, tap := range a.pairs(s.written[lane].at, taps) {
		if tap >= 0 {
			used[tap] = true
			of[s.written[lane].place[i]]++
		}
	}
	for j, at := range taps {
		if !used[j] {
			strays = append(strays, at)
		}
	}
	return of, strays
}

// leftOut returns the places of a lane that were left out as a habit.
func (s *Search) leftOut(lane int) []passage.Place {
	var all []passage.Place
	of, _ := s.hits(lane)
	i := 0
	for _, pos := range s.g.expected.Positions {
		if s.g.laneOf(pos.Voices) != lane {
			continue
		}
		if float64(of[i]) <= (1-habitual)*float64(s.ev.passes) {
			all = append(all, pos.Place)
		}
		i++
	}
	return all
}

// Strays this near to each other in different passes are one habit, and they
// stand on the grid when this near to it. Our choice.
const (
	nearHabit = 0.040 // seconds
	nearGrid  = 0.030 // seconds
)

// cameIn returns the places where strokes of a lane came in as a habit.
func (s *Search) cameIn(lane int) []passage.Place {
	_, strays := s.hits(lane)
	for i := range strays {
		strays[i] = math.Mod(strays[i], s.ev.pass)
		if strays[i] < 0 {
			strays[i] = 0
		}
	}
	sort.Float64s(strays)
	var all []passage.Place
	for i := 0; i < len(strays); {
		j, sum := i, 0.0
		for j < len(strays) && strays[j]-strays[i] <= 2*nearHabit {
			sum += strays[j]
			j++
		}
		if float64(j-i) >= habitual*float64(s.ev.passes) {
			if place, ok := s.onGrid(sum / float64(j-i)); ok && !slices.Contains(all, place) {
				all = append(all, place)
			}
		}
		i = j
	}
	return all
}

// gridCells are the parts of a beat on which added strokes are looked for, the
// usual first. Our choice.
var gridCells = []int64{1, 2, 4, 3, 6, 8, 5}

// onGrid returns the place of the grid nearest to seconds of a pass.
func (s *Search) onGrid(seconds float64) (passage.Place, bool) {
	for _, b := range s.p.Beats() {
		from, to := s.clock.of(b.At), s.clock.of(b.At.Add(b.Length))
		if !s.plays(b.Bar) || seconds < from-nearGrid || seconds >= to-nearGrid {
			continue
		}
		for _, n := range gridCells {
			cell := (to - from) / float64(n)
			i := math.Round((seconds - from) / cell)
			if math.Abs(seconds-from-i*cell) <= min(nearGrid, cell/3) && int64(i) < n {
				return s.p.Place(b.At.Add(b.Length.Mul(meter.R(int64(i), n)))), true
			}
		}
	}
	return passage.Place{}, false
}

// tryHabit sifts a set of places.
func (s *Search) tryHabit(c change.Change) {
	sketch, ok := c.Sketch(s.p)
	if !ok {
		return
	}
	k := len(c.Args.Places)
	n := max(s.places, k)
	cost := math.Log(9/likelyEntry(c.Entry.Name)) + choose(k, n) + math.Log(float64(n)) + voicesCost(len(c.Args.Voices), len(s.part))
	for _, lanes := range s.strokesOf(c, sketch) {
		s.consider(s.marked(lanes), named{rank: 1, change: c}, cost)
	}
}
