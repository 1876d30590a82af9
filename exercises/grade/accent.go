package grade

import (
	"math"

	"stampmill/exercises/passage"
)

// A struck is one stroke of a voice with the strength of its tap.
type struck struct {
	kind     passage.Kind // Accent, Ghost, or Hit for what is neither
	strength float64
}

// accents returns how accents, hits and ghosts were struck.
//
// Voices differ in strength (a kick pedal is not a stick), so accents are held
// against the hits of their own voice: the difference is that of the voices
// that have both, weighted as least squares with a level for each voice does,
// with Student's interval. An accent stands out where it is stronger than the
// nearest hits of its voice before and after it; the interval of the share is
// Wilson's (1927, J. Am. Stat. Assoc. 22, 209-212, from memory).
func (g *grader) accents(samples []sample) Accents {
	lanes := g.struck(samples)
	var a Accents
	var all [3][]float64 // accents, hits, ghosts
	var apart apart
	out, of := 0, 0
	for _, strokes := range lanes {
		kinds := byKind(strokes)
		for k := range all {
			all[k] = append(all[k], kinds[k]...)
		}
		apart.add(kinds[0], kinds[1])
		o, n := standOut(strokes)
		out, of = out+o, of+n
	}
	a.Accent, a.Hit, a.Ghost = strength(all[0]), strength(all[1]), strength(all[2])
	a.Louder = apart.figure()
	a.StandOut = proportion(out, of)
	a.OK = len(all[0]) > 0
	return a
}

// struck returns the played strokes that have a strength, by lane, in order of
// time.
func (g *grader) struck(samples []sample) [][]struck {
	var lanes [len(grader{}.byLane)][]struck
	for _, s := range samples {
		tap := g.take.Taps[s.tap]
		if !tap.Strength.OK || !finite(tap.Strength.Value) {
			continue
		}
		pos := g.expected.Positions[g.expected.Onsets[s.onset].Position]
		kind := pos.Kind
		if kind != passage.Accent && kind != passage.Ghost {
			kind = passage.Hit
		}
		k := g.laneOf(pos.Voices)
		lanes[k] = append(lanes[k], struck{kind, tap.Strength.Value})
	}
	return lanes[:]
}

// byKind returns the strengths of accents, hits and ghosts.
func byKind(strokes []struck) (of [3][]float64) {
	for _, s := range strokes {
		k := 1
		switch s.kind {
		case passage.Accent:
			k = 0
		case passage.Ghost:
			k = 2
		}
		of[k] = append(of[k], s.strength)
	}
	return of
}

// standOut returns how many accents are stronger than the nearest hits before
// and after them, and how many have such a hit.
func standOut(strokes []struck) (out, of int) {
	after := make([]float64, len(strokes)) // strength of the next hit; NaN for none
	hit := math.NaN()
	for i := len(strokes) - 1; i >= 0; i-- {
		after[i] = hit
		if strokes[i].kind == passage.Hit {
			hit = strokes[i].strength
		}
	}
	before := math.NaN()
	for i, s := range strokes {
		switch {
		case s.kind == passage.Hit:
			before = s.strength
		case s.kind == passage.Accent && !(math.IsNaN(before) && math.IsNaN(after[i])):
			of++
			if !(s.strength <= before) && !(s.strength <= after[i]) {
				out++
			}
		}
	}
	return out, of
}

// strength returns the mean of strengths with Student's interval.
func strength(xs []float64) Figure {
	f := Figure{N: len(xs)}
	if len(xs) < minLeaning {
		return f
	}
	f.OK, f.Value = true, mean(xs)
	half := tQuantile(confidence, len(xs)-1) * deviation(xs, f.Value, len(xs)-1) / math.Sqrt(float64(len(xs)))
	f.Low, f.High = f.Value-half, f.Value+half
	return f
}

// An apart sums up how far accents are from the hits of their voice.
type apart struct {
	weight, difference float64 // sum of na*nh/(na+nh), and of that times the difference
	squares            float64 // about the means
	accents, free      int
}

// add adds the accents and hits of one voice.
func (a *apart) add(accents, hits []float64) {
	if len(accents) == 0 || len(hits) == 0 {
		return
	}
	w := 1 / (1/float64(len(accents)) + 1/float64(len(hits)))
	a.weight += w
	a.difference += w * (mean(accents) - mean(hits))
	for _, xs := range [][]float64{accents, hits} {
		m := mean(xs)
		for _, x := range xs {
			a.squares += square(x - m)
		}
	}
	a.accents += len(accents)
	a.free += len(accents) + len(hits) - 2
}

func (a apart) figure() Figure {
	f := Figure{N: a.accents}
	if a.accents < minLeaning || a.free < minLeaning-1 {
		return f
	}
	f.OK, f.Value = true, a.difference/a.weight
	half := tQuantile(confidence, a.free) * math.Sqrt(a.squares/float64(a.free)/a.weight)
	f.Low, f.High = f.Value-half, f.Value+half
	return f
}

// proportion returns the share k of n with Wilson's interval.
func proportion(k, n int) Figure {
	f := Figure{N: n}
	if n < minLeaning {
		return f
	}
	p, m, z2 := float64(k)/float64(n), float64(n), square(zQuantile(confidence))
	middle := (p + z2/(2*m)) / (1 + z2/m)
	half := math.Sqrt(z2*(p*(1-p)/m+z2/(4*m*m))) / (1 + z2/m)
	f.OK, f.Value, f.Low, f.High = true, p, min(max(middle-half, 0), p), max(min(middle+half, 1), p)
	return f
}
