package grade

import (
	"errors"
	"math"
)

// Costs of the alignment. A tap e seconds from a written stroke with window w
// costs (e/w)^2, a stroke without a tap missCost, a tap without a stroke
// extraCost. Our choice.
const (
	missCost  = 1.0
	extraCost = 1.0
	maxWindow = 0.100 // seconds
)

// Match aligns taps with written onsets, both in seconds, so that the sum of
// all costs is least and order is kept: of two matched onsets the later one
// has the later tap. It returns for each onset the index of its tap, or -1.
//
// Onsets must rise; taps must not fall, but several may stand at one time. A
// matched pair costs (e/w)^2, an onset without a tap 1, a tap without an onset
// 1. The window w of an onset is 100 ms or half the distance to the nearer of
// its neighbours, whichever is less. A pair is made only where it costs less
// than leaving both alone, that is where |e| < w*sqrt(2). Of solutions with
// one cost, earlier taps and earlier onsets are taken.
//
// The alignment is the exact optimum, found by dynamic programming over the
// pairs that can be: the window of an onset does not reach its neighbours, so
// a tap is in at most two windows and time and memory grow with the number of
// onsets plus taps.
func Match(onsets, taps []float64) ([]int, error) {
	for i, o := range onsets {
		if !finite(o) || i > 0 && !(onsets[i-1] < o) {
			return nil, errors.New("the onsets do not rise; sort them and leave out doubled ones")
		}
	}
	if !sorted(taps) {
		return nil, errors.New("the taps are not in order of time; sort them")
	}
	of, _ := target{at: onsets, window: windows(onsets)}.match(taps)
	return of, nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// sorted reports whether times are finite and do not fall.
func sorted(times []float64) bool {
	for i, t := range times {
		if !finite(t) || i > 0 && t < times[i-1] {
			return false
		}
	}
	return true
}

// windows returns the window of each onset in seconds.
func windows(onsets []float64) []float64 {
	w := make([]float64, len(onsets))
	for i := range w {
		w[i] = maxWindow
		if i > 0 {
			w[i] = min(w[i], (onsets[i]-onsets[i-1])/2)
		}
		if i+1 < len(onsets) {
			w[i] = min(w[i], (onsets[i+1]-onsets[i])/2)
		}
	}
	return w
}

// gain returns what a pair saves against leaving both alone; a pair is made
// only where it is above zero.
func gain(onset, window, tap float64) float64 {
	e := (tap - onset) / window
	return missCost + extraCost - e*e
}

// A row holds the taps in reach of one onset and the best gain so far.
type row struct {
	lo, hi int       // taps lo to hi-1 can be matched
	base   float64   // best gain of all earlier onsets with taps before lo
	best   []float64 // best gain of the onsets so far with taps up to lo+k
}

// before returns the best gain with taps before j, for j >= r.lo.
func (r *row) before(j int) float64 {
	k := min(j, r.hi) - 1 - r.lo
	if k < 0 {
		return r.base
	}
	return r.best[k]
}

// pair returns the gain of the next onset with tap j and as many grace strokes
// as are best, at most so many, where it is above what is left without it.
func (r *row) pair(j, most int, gain, left float64, how byte) (float64, byte) {
	for n := most; n >= 0; n-- {
		if with := r.before(j-n) + gain + float64(n)*extraCost; with > left {
			left, how = with, makePair+byte(n)
		}
	}
	return left, how
}

// How the best gain of an onset and a tap came about. A pair whose grace
// strokes are the n taps before it is makePair+n.
const (
	skipTap = iota
	skipOnset
	makePair
)

// A target is what a lane is matched with: onsets that rise, the window of
// each in seconds, and the grace strokes written before them, nil where there
// are none.
type target struct {
	at, window []float64
	graces     []graced
}

// match returns the tap of each onset or -1 and, where grace strokes are
// written, how many of the taps just before it play them. A tap that does is
// not extra, so it costs nothing; a grace stroke without one costs nothing
// either: the flam is a hit.
func (t target) match(taps []float64) (of []int, graces []byte) {
	var (
		pairs     = make([]byte, 0, 2*len(taps)) // how, for each pair that can be, row after row
		los       = make([]int32, len(t.at))     // first tap of each row
		ends      = make([]int32, len(t.at))     // end of each row in pairs
		from      = t.firstReached()
		prev, cur row
	)
	for i, o := range t.at {
		lo := prev.lo
		for lo < len(taps) && taps[lo] < o && (from == nil || taps[lo] < from[i]) && gain(o, t.window[i], taps[lo]) <= 0 {
			lo++
		}
		cur.lo, cur.hi, cur.base, cur.best = lo, lo, prev.before(lo), cur.best[:0]
		left := cur.base
		for j := lo; j < len(taps); j++ {
			g := gain(o, t.window[i], taps[j])
			if g <= 0 && taps[j] > o {
				break
			}
			how := byte(skipTap)
			if up := prev.before(j + 1); up > left {
				left, how = up, skipOnset
			}
			if g > 0 {
				left, how = prev.pair(j, t.most(i, taps, j, lo), g, left, how)
			}
			cur.best = append(cur.best, left)
			cur.hi = j + 1
			pairs = append(pairs, how)
		}
		los[i], ends[i] = int32(lo), int32(len(pairs))
		prev, cur = cur, prev
	}
	return t.trace(los, ends, pairs, len(taps))
}

// trace follows the best alignment back from the last onset and tap.
func (t target) trace(los, ends []int32, pairs []byte, taps int) (of []int, graces []byte) {
	of = make([]int, len(los))
	if t.graces != nil {
		graces = make([]byte, len(los))
	}
	j := taps - 1 // taps after j are settled
	for i := len(los) - 1; i >= 0; i-- {
		of[i] = -1
		var start int32
		if i > 0 {
			start = ends[i-1]
		}
		row, lo := pairs[start:ends[i]], int(los[i])
		if len(row) == 0 {
			continue // no tap in the window
		}
		j = min(j, lo+len(row)-1)
		for j >= lo && row[j-lo] == skipTap {
			j--
		}
		if j >= lo && row[j-lo] >= makePair {
			of[i] = j
			n := row[j-lo] - makePair
			if n > 0 {
				graces[i] = n
			}
			j -= 1 + int(n)
		}
	}
	return of, graces
}
