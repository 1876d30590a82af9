package complexity

import (
	"slices"

	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Rate limits: where strokes of one limb, and taps to a sound, come to an end.
// Repp 2006, Adv. Cogn. Psychol. 2(2-3) 163-181: 8 to 10 strokes a second.
const (
	HardRate = 8.0  // strokes a second; above it few limbs keep time
	MaxRate  = 10.0 // strokes a second; sixteenths at 150 BPM
)

// A Part is what one limb or one player of a string plays.
type Part struct {
	Name   string      // "right hand", "guitar"; the voice where no limb is known
	Onsets []meter.Rat // quarter notes, in order, each once
	Moves  []meter.Rat // those struck by the limb itself: not the tapped notes of a string
}

// Parts returns what each limb of the drummer plays, then the picking hand of
// each string voice. Parts that strike nothing are left out. Where two hands
// are not enough, each drum and cymbal of theirs is a part of its own, and so
// is the kick where feet are not enough.
//
// Chokes strike nothing.
func Parts(p passage.Passage, pedals limbs.Pedals) []Part {
	g := gridOf(p)
	all, ok := g.limbs(p, pedals, drums)
	if !ok {
		all = g.voices(p, byHand)
		feet, ok := g.limbs(p, pedals, kick)
		if !ok {
			feet = g.voices(p, kick)
		}
		all = append(all, feet...)
	}
	return append(all, g.voices(p, strung)...)
}

func drums(v passage.Voice) bool {
	f := v.Family()
	return f == passage.Cymbals || f == passage.Drums
}

func kick(v passage.Voice) bool { return v == passage.Kick }

func byHand(v passage.Voice) bool { return drums(v) && !kick(v) }

func strung(v passage.Voice) bool { return v.Family() == passage.Strings }

// limbs gives the voices of a kind to limbs; false where that cannot be done.
func (g grid) limbs(p passage.Passage, pedals limbs.Pedals, kind func(passage.Voice) bool) ([]Part, bool) {
	p.Lines = slices.DeleteFunc(slices.Clone(p.Lines), func(l passage.Line) bool { return !kind(l.Voice) })
	sticks, clash := limbs.Play(p, pedals)
	if clash != nil {
		return nil, false
	}
	type stroke struct {
		voice passage.Voice
		at    meter.Rat
	}
	strikes := map[stroke]bool{}
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if s.Sounds() && g.holds(s.At) {
				strikes[stroke{l.Voice, s.At}] = true
			}
		}
	}
	var played [limbs.LeftFoot + 1]Part
	for _, s := range sticks {
		if key := (stroke{s.Voice, s.At}); strikes[key] {
			delete(strikes, key)
			played[s.Limb].Name = s.Limb.String()
			played[s.Limb].Onsets = append(played[s.Limb].Onsets, s.At)
		}
	}
	return inUse(played[:]), len(strikes) == 0
}

// inUse returns the parts that strike, with their onsets in order.
func inUse(parts []Part) []Part {
	var all []Part
	for _, part := range parts {
		if len(part.Onsets) > 0 {
			part.Onsets = inOrder(part.Onsets)
			part.Moves = part.Onsets
			all = append(all, part)
		}
	}
	return all
}

// voices returns each voice of a kind as a part of its own.
func (g grid) voices(p passage.Passage, kind func(passage.Voice) bool) []Part {
	var all []Part
	for _, l := range p.Lines {
		if onsets := g.onsets(p, l.Voice); kind(l.Voice) && len(onsets) > 0 {
			all = append(all, Part{l.Voice.String(), onsets, g.picked(l)})
		}
	}
	return all
}

// picked returns the onsets of a line but for tapped notes.
func (g grid) picked(l passage.Line) []meter.Rat {
	var all []meter.Rat
	for _, s := range l.Strokes {
		if s.Sounds() && s.Kind != passage.Tapped && g.holds(s.At) {
			all = append(all, s.At)
		}
	}
	return inOrder(all)
}

// A Peak is the shortest time between two strokes of a part, as a rate.
type Peak struct {
	PerSecond float64   // strokes a second; 0 without strokes
	At        meter.Rat // of the first of the two, in quarter notes
}

// Fastest returns the highest rate of some onsets, in order of time, at the
// passage's own tempo: one over the shortest time from a stroke to the next,
// over the end of the passage too.
func Fastest(p passage.Passage, onsets []meter.Rat) Peak {
	tempo, err := p.TempoMap()
	if err != nil || len(onsets) == 0 {
		return Peak{}
	}
	var peak Peak
	last := len(onsets) - 1
	now := tempo.Seconds(onsets[0])
	again := tempo.Seconds(p.Length()) + now // the first stroke, a pass later
	for i, at := range onsets {
		next := again
		if i < last {
			next = tempo.Seconds(onsets[i+1])
		}
		if rate := 1 / (next - now); rate > peak.PerSecond {
			peak = Peak{rate, at}
		}
		now = next
	}
	return peak
}
