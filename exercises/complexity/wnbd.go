package complexity

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Distance is the weighted note-to-beat distance of some strokes.
type Distance struct {
	Sum   meter.Rat // exact; Invalid when it leaves the bounds of meter
	Notes int
	sum   float64 // also where Sum is Invalid
}

// Float returns the sum as the nearest float64, or a close one where the exact
// sum is out of bounds.
func (d Distance) Float() float64 {
	if d.Sum.Valid() {
		return d.Sum.Float()
	}
	return d.sum
}

// PerNote returns the sum over the number of notes, as published; 0 for none.
func (d Distance) PerNote() float64 {
	if d.Notes == 0 {
		return 0
	}
	return d.Float() / float64(d.Notes)
}

// WNBD returns the weighted note-to-beat distance of the strokes of some
// voices taken as one line (Gomez, Melvin, Rappaport & Toussaint 2005,
// "Mathematical measures of syncopation", Bridges). A note lasts until the next
// one begins, over the end of the passage until the first of the next pass. T
// is its distance to the nearer beat, as a share of the beat it lies in. It
// counts 0 on a beat, 2/T when it ends after the next beat but not later than
// the one after that, else 1/T. It needs no tree, so tuplets and displaced
// streams have values at once.
//
// "Not later" is the rule as it is worded, and what SynPy computes; the value
// that the paper prints for the soukous timeline (3.6 in place of 4.4) would
// need "before". The two differ for notes that end exactly on a beat.
func WNBD(p passage.Passage, voices ...passage.Voice) Distance {
	g := gridOf(p)
	return g.wnbd(g.onsets(p, voices...))
}

func (g grid) wnbd(onsets []meter.Rat) Distance {
	d := Distance{Notes: len(onsets)}
	for i, at := range onsets {
		end := onsets[0].Add(g.end)
		if i+1 < len(onsets) {
			end = onsets[i+1]
		}
		if times, t := g.distance(at, end); times > 0 {
			d.Sum = d.Sum.Add(meter.Int(times).Div(t))
			d.sum += float64(times) / t.Float()
		}
	}
	return d
}

// distance returns the distance T of a note that lasts up to end from the
// nearer beat, as a share of its own, and how often 1/T it counts.
func (g grid) distance(at, end meter.Rat) (times int64, t meter.Rat) {
	i := g.index(at)
	b := g.beats[i]
	if at == b.at {
		return 0, meter.Rat{}
	}
	t = b.cell(at)
	if rest := meter.Int(1).Sub(t); rest.Less(t) {
		t = rest
	}
	next := b.at.Add(b.length)
	second := next.Add(g.beats[(i+1)%len(g.beats)].length)
	if next.Less(end) && !second.Less(end) {
		return 2, t
	}
	return 1, t
}
