package grade

import (
	"fmt"
	"math"
	"slices"
)

// When a tuplet is said to have come out as another ratio.
const (
	tupletOdds    = 20   // odds against "as written", as for any misreading
	asWritten     = 4    // odds beforehand that all tuplets are; our choice, by TestTupletSaid
	guessSpreadMS = 15.0 // spread assumed before any stroke is seen; our choice
	guessWeight   = 10.0 // strokes that the assumption counts as; our choice
	leastSpreadMS = 5.0  // the least that the odds reckon with; our choice
	mostSpoken    = 5    // parts of a ratio that a player can make out; our choice
)

// tupletNames are the names of tuplets by their number of cells.
var tupletNames = map[int]string{2: "duplet", 3: "triplet", 4: "quadruplet", 5: "quintuplet", 6: "sextuplet", 7: "septuplet"}

// tupletFindings says which tuplets came out as another ratio.
func (r *report) tupletFindings() []finding {
	var all []finding
	noise := r.spreadOutsideTuplets()
	measured := 0
	for _, t := range r.Tuplets {
		measured += min(t.N, 1)
	}
	for i, t := range r.Tuplets {
		if t.N == 0 || slices.Equal(t.Nearest, t.Split) || t.AwayMS < leastMS || t.oddsAgainst(noise, measured) <= tupletOdds {
			continue
		}
		all = append(all, finding{
			weight:   t.AwayMS / weighMS,
			text:     t.cameOut(),
			anyDelay: t.cameOut(),
			bar:      t.Place.Bar,
			tuplet:   &r.Tuplets[i],
		})
	}
	return all
}

// cameOut says how the tuplet came out: the ratio, where it is short enough to
// be counted.
func (t TupletFigures) cameOut() string {
	name := tupletNames[t.Written.Actual]
	if name == "" {
		name = t.Written.String()
	}
	if len(t.Nearest) > mostSpoken {
		return fmt.Sprintf("The %s at %s came out uneven, its strokes about %.0f ms off.", name, t.Place, t.AwayMS)
	}
	return fmt.Sprintf("The %s at %s came out %s.", name, t.Place, ratio(t.Nearest))
}

// otherwise reports whether one of the findings is a tuplet that came out as
// another ratio.
func otherwise(found []finding) bool {
	return slices.ContainsFunc(found, func(f finding) bool { return f.tuplet != nil })
}

// outside returns the samples whose strokes are in none of the tuplets.
func (r *report) outside(tuplets []*TupletFigures) []sample {
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
func (r *report) apartFrom(found []finding) []sample {
	var tuplets []*TupletFigures
	for _, f := range found {
		tuplets = append(tuplets, f.tuplet)
	}
	return r.outside(tuplets)
}

// spreadOutsideTuplets returns the spread in ms of the strokes that are in no
// tuplet: a tuplet played as another ratio would widen its own yardstick. Few
// strokes tell little of it, so the assumed spread counts as some more.
func (r *report) spreadOutsideTuplets() float64 {
	var tuplets []*TupletFigures
	for i := range r.Tuplets {
		tuplets = append(tuplets, &r.Tuplets[i])
	}
	outside := errs(r.outside(tuplets))
	middle, n := mean(outside), float64(len(outside))
	squares := guessWeight * square(guessSpreadMS/1000)
	for _, e := range outside {
		squares += square(e - middle)
	}
	return max(1000*math.Sqrt(squares/(guessWeight+n)), leastSpreadMS)
}

// oddsAgainst returns the odds of the nearest ratio against the written one:
// the ratio of their likelihoods for normal errors with the given spread,
// where start and length of the tuplet are the player's own. Beforehand as
// written is held asWritten times as likely as all simple ratios of all the
// tuplets of the take together, so that many tuplets are not as many chances
// of a false word.
func (t TupletFigures) oddsAgainst(spreadMS float64, tuplets int) float64 {
	gained := misfit(t.Played, t.Split) - misfit(t.Played, t.Nearest)
	others := asWritten * tuplets * len(simpleRatios(len(t.Split)))
	return math.Exp(float64(t.N)*gained*square(t.SpanMS/spreadMS)/2) / float64(others)
}

// misfit returns the least sum of squares, in shares of the span, between the
// strokes and the end of a played split and those of a ratio that may begin
// anywhere and last as long as it likes: the residue of a straight line
// through played over written places.
func misfit(played []float64, parts []int) float64 {
	x, y := make([]float64, len(parts)+1), make([]float64, len(parts)+1)
	for i, p := range parts {
		x[i+1], y[i+1] = x[i]+float64(p), y[i]+played[i]
	}
	mx, my := mean(x), mean(y)
	var xx, xy, yy float64
	for i := range x {
		xx += square(x[i] - mx)
		xy += (x[i] - mx) * (y[i] - my)
		yy += square(y[i] - my)
	}
	return yy - xy*xy/xx
}

func square(x float64) float64 { return x * x }
