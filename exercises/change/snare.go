package change

import (
	"fmt"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// snare are the changes that move accents: the backbeat leaves its place, or
// changes it with another drum.
func snare() []Entry {
	return []Entry{
		{
			Form:     "offbeat snare at {places}",
			About:    "The snare accent stands half a beat after the place; a snare stroke on the place itself goes there.",
			Example:  "offbeat snare at 2.3",
			effect:   offbeat,
			sentence: offbeatSaid,
			inverse:  offbeatBack,
		},
		{
			Form:     "shift {voices} [at {ranges}] by {shift}",
			About:    "The strokes move later or, with -, sooner; never onto another stroke of the voice, nor out of the passage.",
			Example:  "shift snare at 2.3 by 1/8",
			effect:   shift,
			sentence: shifted,
			inverse:  shiftBack,
		},
		{
			Form:     "swap {two voices} [at {ranges}]",
			About:    "Two voices change places. A stroke that the other cannot play becomes a plain hit there.",
			Example:  "swap kick snare at 2.3",
			effect:   swap,
			sentence: swapped,
			inverse:  by("swap"),
		},
	}
}

// halfBeat returns half of the beat in which a place lies, in quarter notes.
func halfBeat(p passage.Passage, at meter.Rat) meter.Rat {
	return beatAt(p, at).length().Div(meter.Int(2))
}

func offbeat(p *passage.Passage, a Args) error {
	places, err := a.places(*p)
	if err != nil {
		return err
	}
	l, err := lineOf(p, passage.Snare)
	if err != nil {
		return err
	}
	for _, at := range places {
		to := at.Add(halfBeat(*p, at))
		if !to.Less(p.Length()) {
			return refuse("name an earlier place", "the passage ends before half a beat after %s", p.Place(at))
		}
		_, moves := strokeAt(*l, at)
		if s, ok := strokeAt(*l, to); ok && !moves && s.Kind == passage.Accent {
			return refuse("name another place", "the snare has its accent at %s already", p.Place(to))
		}
		strike(l, passage.Stroke{At: to, Kind: passage.Accent})
		takeOut(l, at)
	}
	return nil
}

// takeOut leaves out the stroke that begins at a place, if one does.
func takeOut(l *passage.Line, at meter.Rat) {
	if i, ok := indexAt(*l, at); ok {
		l.Strokes = slices.Delete(slices.Clone(l.Strokes), i, i+1)
	}
}

func offbeatSaid(p passage.Passage, a Args) string {
	moved, plain := 0, false
	var to []Spot
	l, _ := p.Line(passage.Snare)
	for _, s := range a.Places {
		at, _, err := spotIn(p, s)
		if err != nil {
			return said("the snare moves half a beat later", a.where(p))
		}
		to = append(to, p.Place(at.Add(halfBeat(p, at))))
		if n, ok := strokeAt(l, at); ok {
			moved++
			plain = plain || n.Kind != passage.Accent
		}
	}
	switch {
	case moved == 0 && len(to) == 1:
		return said("the snare adds an accent", placesWords(p, to))
	case moved == 0:
		return said("the snare adds accents", placesWords(p, to))
	case moved < len(to):
		return said("the snare has its accents", placesWords(p, to))
	case plain:
		return said("the snare moves half a beat later", a.where(p), "and is accented")
	}
	return said("the snare moves half a beat later", a.where(p))
}

// offbeatBack shifts back what was moved, or drops what was new.
func offbeatBack(p passage.Passage, a Args) []Change {
	places, err := a.places(p)
	if err != nil {
		return nil
	}
	snare := []passage.Voice{passage.Snare}
	back := Args{Voices: snare, By: halfBeat(p, places[0]).Neg()}
	drop := Args{Voices: snare}
	for _, at := range places {
		to := p.Place(at.Add(halfBeat(p, at)))
		back.At = append(back.At, Range{to, Spot{Bar: to.Bar, Beat: to.Beat}})
		drop.Places = append(drop.Places, to)
	}
	return []Change{with("shift", back), with("drop", drop)}
}

func shift(p *passage.Passage, a Args) error {
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l, err := lineOf(p, v)
		if err != nil {
			return err
		}
		stay, move := parted(l.Strokes, all)
		if len(move) == 0 {
			return nothingThere(*p, v, a)
		}
		move = moved(move, a.By)
		for _, s := range move {
			if err := room(*p, passage.Line{Voice: v, Strokes: stay}, s.At); err != nil {
				return err
			}
		}
		put(l, stretch{meter.Rat{}, p.Length()}, append(stay, move...))
	}
	return nil
}

func shifted(p passage.Passage, a Args) string {
	moves := fmt.Sprintf("%s %s %s%s", subject(a.Voices), agree(a.Voices, "moves", "move"), later(a.By), a.there(p))
	if bars := a.entered(p); len(bars) > 0 {
		return said(moves+", into", barsWords(bars))
	}
	return said(moves)
}

// entered returns the bars that strokes are shifted into from other bars.
func (a Args) entered(p passage.Passage) []int {
	all, err := a.stretches(p)
	if err != nil || len(a.At) == 0 {
		return nil
	}
	var bars []int
	for _, v := range a.Voices {
		l, _ := p.Line(v)
		_, inside := parted(l.Strokes, all)
		for _, s := range inside {
			if to := p.Place(s.At.Add(a.By)).Bar; to != p.Place(s.At).Bar && !slices.Contains(bars, to) {
				bars = append(bars, to)
			}
		}
	}
	slices.Sort(bars)
	return bars
}

// nothingThere refuses a voice that has no strokes where they are wanted.
func nothingThere(p passage.Passage, v passage.Voice, a Args) error {
	return refuse("name another voice or place", "the %s has no strokes%s", v, a.there(p))
}

// parted returns the strokes outside of some stretches, and those inside.
func parted(strokes []passage.Stroke, all []stretch) (outside, inside []passage.Stroke) {
	for _, s := range strokes {
		if slices.ContainsFunc(all, func(in stretch) bool { return in.holds(s.At) }) {
			inside = append(inside, s)
		} else {
			outside = append(outside, s)
		}
	}
	return outside, inside
}

// room refuses a place outside of the passage, on a stroke of the line, or
// under one that is held there.
func room(p passage.Passage, l passage.Line, at meter.Rat) error {
	if !at.Valid() || at.Sign() < 0 || !at.Less(p.Length()) {
		return refuse("move it less far", "a stroke of the %s would leave the passage", l.Voice)
	}
	if _, ok := strokeAt(l, at); ok {
		return refuse("move it elsewhere, or drop the other one first", "the %s has a stroke at %s already", l.Voice, p.Place(at))
	}
	if _, ok := soundingAt(l, at); ok && l.Voice.Sustained() {
		return refuse("move it elsewhere", "the %s still holds a stroke at %s", l.Voice, p.Place(at))
	}
	return nil
}

// shiftBack shifts the strokes where they now stand, as one range or, when
// others stand between them, as one for each stretch.
func shiftBack(p passage.Passage, a Args) []Change {
	all, err := a.stretches(p)
	if err != nil {
		return nil
	}
	back := a.sooner()
	back.At = nil
	whole := back
	for _, s := range all {
		first, last := p.Length(), meter.R(-1, 1)
		for _, v := range a.Voices {
			l, _ := p.Line(v)
			for _, n := range strokesIn(l, s) {
				if n.At.Less(first) {
					first = n.At
				}
				if last.Less(n.At) {
					last = n.At
				}
			}
		}
		if last.Sign() >= 0 {
			back.At = append(back.At, rangeOver(p, first.Add(a.By), last.Add(a.By)))
		}
	}
	if len(a.At) == 0 {
		return []Change{with("shift", whole)}
	}
	return []Change{with("shift", back), with("shift", whole)}
}

// rangeOver returns the shortest range over two places.
func rangeOver(p passage.Passage, from, last meter.Rat) Range {
	r := Range{p.Place(from), p.Place(last)}
	r.To.Into = meter.Rat{}
	return r
}

// side names the instrument of a voice: strokes can go from one voice of it to
// another. Sub and click have none like them.
func side(v passage.Voice) string {
	switch v.Family() {
	case passage.Cymbals, passage.Drums:
		return "kit"
	case passage.Strings:
		return "strings"
	}
	return ""
}

// exchangeable refuses two voices of different instruments.
func exchangeable(v, w passage.Voice) error {
	if v == w {
		return refuse("name two different voices", "%s stands there twice", v)
	}
	if s := side(v); s == "" || s != side(w) {
		return refuse("name two drums or cymbals, or two of guitar, bass and lead", "%s and %s are different instruments", v, w)
	}
	return nil
}

// recast returns strokes as another voice plays them: what it cannot play
// becomes a plain hit. A choke has no such likeness.
func recast(p passage.Passage, strokes []passage.Stroke, from, to passage.Voice) ([]passage.Stroke, error) {
	all := slices.Clone(strokes)
	for i, s := range all {
		switch {
		case to.Plays(s.Kind):
		case !s.Sounds():
			return nil, refuse("choose a part without it", "the %s is choked at %s, and the %s cannot be", from, p.Place(s.At), to)
		default:
			all[i].Kind = passage.Hit
		}
	}
	return all, nil
}

func swap(p *passage.Passage, a Args) error {
	v, w := a.Voices[0], a.Voices[1]
	all, err := a.stretches(*p)
	if err == nil {
		err = exchangeable(v, w)
	}
	if err != nil {
		return err
	}
	addedLine(p, v)
	addedLine(p, w) // may move the line before it
	one, two := addedLine(p, v), addedLine(p, w)
	for _, s := range all {
		toTwo, err := recast(*p, strokesIn(*one, s), v, w)
		if err != nil {
			return err
		}
		toOne, err := recast(*p, strokesIn(*two, s), w, v)
		if err != nil {
			return err
		}
		put(one, s, toOne)
		put(two, s, toTwo)
	}
	leaveOutEmpty(p, v, w)
	return nil
}

func swapped(p passage.Passage, a Args) string {
	return said(subject(a.Voices), "change places", a.where(p))
}
