package player

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Habit is what a player does in some places besides: it leans, scatters and
// leaves out more. Where more than one field says where, all must hold; empty
// ones hold everywhere.
type Habit struct {
	Voices []passage.Voice // such as those of one limb
	Bars   []int           // from 1
	Passes []int           // from 1
	Into   []meter.Rat     // places in the beat, in quarter notes after it
	At     []meter.Rat     // places in the passage, in quarter notes
	After  passage.Voice   // only strokes before which, in the part, this voice was the last to strike

	LeanMS, SpreadMS float64
	Miss             float64 // chance, 0 to 1
}

// habits adds what is done otherwise in some places.
func (pl *player) habits() {
	for _, h := range pl.o.Habits {
		for i := range pl.notes {
			scatter, chance := pl.rng.NormFloat64(), pl.rng.Float64()
			if n := &pl.notes[i]; pl.holds(h, i) {
				n.seconds += (h.LeanMS + h.SpreadMS*scatter) / 1000
				n.missed = n.missed || chance < h.Miss
			}
		}
	}
}

// holds reports whether a habit is about a note.
func (pl *player) holds(h Habit, i int) bool {
	n := pl.notes[i]
	pos := pl.e.Positions[n.onset.Position]
	return (h.Voices == nil || slices.ContainsFunc(h.Voices, pos.Voices.Has)) &&
		(h.Bars == nil || slices.Contains(h.Bars, pos.Place.Bar)) &&
		(h.Passes == nil || slices.Contains(h.Passes, n.onset.Pass)) &&
		(h.Into == nil || slices.Contains(h.Into, pos.Place.Into)) &&
		(h.At == nil || slices.Contains(h.At, pos.At)) &&
		(!h.After.Valid() || pl.lastBefore(i, h.After))
}

// lastBefore reports whether the voice struck at the last time before a note.
func (pl *player) lastBefore(i int, v passage.Voice) bool {
	at := pl.notes[i].onset.Seconds
	k := i - 1
	for k >= 0 && pl.notes[k].onset.Seconds >= at {
		k--
	}
	if k < 0 {
		return false
	}
	for last := pl.notes[k].onset.Seconds; k >= 0 && pl.notes[k].onset.Seconds == last; k-- {
		if pl.e.Positions[pl.notes[k].onset.Position].Voices.Has(v) {
			return true
		}
	}
	return false
}

// unevenShares is where the strokes of a triplet fall in its span when it comes
// out as 3:3:2, and evenShares where they are written.
var (
	unevenShares = []float64{0, 3. / 8, 6. / 8}
	evenShares   = []float64{0, 1. / 3, 2. / 3}
)

// uneven moves the strokes of triplets toward 3:3:2.
func (pl *player) uneven() {
	if pl.o.Uneven == 0 {
		return
	}
	seconds := secondsOf(pl.p, pl.e.Tempo)
	for _, t := range pl.p.Tuplets() {
		if t.Cells != len(evenShares) {
			continue
		}
		span := seconds(t.End()) - seconds(t.At)
		for i := range pl.notes {
			pos := pl.e.Positions[pl.notes[i].onset.Position]
			cell := pos.At.Sub(t.At).Div(t.Cell())
			inside := !pos.At.Less(t.At) && pos.At.Less(t.End()) && cell.Den() == 1
			if inside && slices.ContainsFunc(t.Voices, pos.Voices.Has) {
				k := cell.Num()
				pl.notes[i].seconds += pl.o.Uneven * span * (unevenShares[k] - evenShares[k]) * pl.pace()
			}
		}
	}
}
