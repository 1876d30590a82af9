package grade

import "math"

// An aligner finds the likeliest order-preserving matching of strokes with
// taps for normal errors of one spread. It keeps its memory from call to call.
type aligner struct {
	spread float64 // seconds
	match  float64 // what a match at no error gains against a miss and a stray, in nats
	miss   float64 // what a miss costs, in nats
	reach  float64 // seconds beyond which a match gains nothing

	prev, cur row
	how       []byte
	los, ends []int32
}

// newAligner returns an aligner for a spread and a rate of strays, in taps a
// second.
func newAligner(spread, strays float64) *aligner {
	a := &aligner{}
	a.set(spread, strays)
	return a
}

func (a *aligner) set(spread, strays float64) {
	a.spread = spread
	a.miss = math.Log((1 - missChance) / missChance)
	a.match = a.miss - math.Log(strays*spread*math.Sqrt(2*math.Pi))
	a.reach = 0
	if a.match > 0 {
		a.reach = spread * math.Sqrt(2*a.match)
	}
}

// gain returns the most that matches gain over missing every stroke, less what
// the misses cost, in nats. Both lists are in order.
func (a *aligner) gain(strokes, taps []float64) float64 {
	best := a.run(strokes, taps, false)
	return best - a.miss*float64(len(strokes))
}

// pairs returns for each stroke the index of its tap, or -1.
func (a *aligner) pairs(strokes, taps []float64) []int {
	a.run(strokes, taps, true)
	of, _ := target{}.trace(a.los, a.ends, a.how, len(taps))
	return of
}

// run is the dynamic programme of match, with one reach for all strokes: row i
// holds the best gain of the strokes up to i with the taps up to each in reach.
func (a *aligner) run(strokes, taps []float64, keep bool) float64 {
	half := 1 / (2 * a.spread * a.spread)
	prev, cur := &a.prev, &a.cur
	prev.lo, prev.hi, prev.base, prev.best = 0, 0, 0, prev.best[:0]
	a.how, a.los, a.ends = a.how[:0], a.los[:0], a.ends[:0]
	for _, s := range strokes {
		lo := prev.lo
		for lo < len(taps) && taps[lo] < s-a.reach {
			lo++
		}
		cur.lo, cur.hi, cur.base, cur.best = lo, lo, prev.before(lo), cur.best[:0]
		left, before := cur.base, cur.base
		for j := lo; j < len(taps); j++ {
			e := taps[j] - s
			if e > a.reach {
				break
			}
			up, how := prev.before(j+1), byte(skipTap)
			if up > left {
				left, how = up, skipOnset
			}
			if x := before + a.match - e*e*half; x > left {
				left, how = x, makePair
			}
			before = up
			cur.best = append(cur.best, left)
			cur.hi = j + 1
			if keep {
				a.how = append(a.how, how)
			}
		}
		if keep {
			a.los, a.ends = append(a.los, int32(lo)), append(a.ends, int32(len(a.how)))
		}
		prev, cur = cur, prev
	}
	return prev.before(len(taps))
}
