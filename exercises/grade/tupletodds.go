package grade

import (
	"fmt"
	"math"
	"slices"
)

// When a tuplet is said to have come out as another ratio.
const (
	tupletOdds    = 20   // odds against "as written", as for any misreading
	guessSpreadMS = 15.0 // spread assumed where it cannot be told; our choice
	leastSpreadMS = 5.0  // the least that the odds reckon with; our choice
	shareVariance = 1.5  // of a stroke against the span it divides, in squares of the spread
)

// tupletNames are the names of tuplets by their number of cells.
var tupletNames = map[int]string{2: "duplet", 3: "triplet", 4: "quadruplet", 5: "quintuplet", 6: "sextuplet", 7: "septuplet"}

// tupletFindings says which tuplets came out as another ratio.
func (r report) tupletFindings() []finding {
	var all []finding
	noise := r.spreadOutsideTuplets()
	for i, t := range r.Tuplets {
		if t.N == 0 || slices.Equal(t.Nearest, t.Split) || t.AwayMS < leastMS || t.oddsAgainst(noise) <= tupletOdds {
			continue
		}
		name := tupletNames[t.Written.Actual]
		if name == "" {
			name = t.Written.String()
		}
		all = append(all, finding{
			weight: t.AwayMS / weighMS,
			text:   fmt.Sprintf("The %s at %s came out %s.", name, t.Place, ratio(t.Nearest)),
			bar:    t.Place.Bar,
			tuplet: &r.Tuplets[i],
		})
	}
	return all
}

// outside returns the samples whose strokes are in none of the tuplets.
func (r report) outside(tuplets []*TupletFigures) []sample {
	inside := make([]bool, len(r.Positions))
	for i, pos := range r.Positions {
		inside[i] = slices.ContainsFunc(tuplets, func(t *TupletFigures) bool {
			return pos.Voices.Has(t.Voice) && !pos.At.Less(t.At) && pos.At.Less(t.End)
		})
	}
	return slices.DeleteFunc(slices.Clone(r.samples), func(s sample) bool {
		return inside[r.g.expected.Onsets[s.onset].Position]
	})
}

// apartFrom returns the samples outside the tuplets that are findings.
func (r report) apartFrom(found []finding) []sample {
	var tuplets []*TupletFigures
	for _, f := range found {
		tuplets = append(tuplets, f.tuplet)
	}
	return r.outside(tuplets)
}

// spreadOutsideTuplets returns the spread in ms of the strokes that are in no
// tuplet: a tuplet played as another ratio would widen its own yardstick.
func (r report) spreadOutsideTuplets() float64 {
	var tuplets []*TupletFigures
	for i := range r.Tuplets {
		tuplets = append(tuplets, &r.Tuplets[i])
	}
	if f := spread(errs(r.outside(tuplets)), 1); f.OK {
		return max(f.Value, leastSpreadMS)
	}
	return guessSpreadMS
}

// oddsAgainst returns the odds of the nearest ratio against the written one:
// the ratio of their likelihoods for normal errors with the given spread. The
// span itself is played, so a stroke in it strays by more than one spread:
// with c of the span before it, by 1 + c*c + (1-c)*(1-c) squares, 1.5 at the
// middle.
func (t TupletFigures) oddsAgainst(spreadMS float64) float64 {
	near := t.SpanMS * distance(t.Played, t.Nearest)
	strokes := float64(t.N * (len(t.Split) - 1))
	return math.Exp(strokes * (t.AwayMS*t.AwayMS - near*near) / (2 * shareVariance * spreadMS * spreadMS))
}
