// Package delay finds how long a tap takes to arrive: the player taps along to
// a click, and what the taps lag behind it, on average, is taken off every
// later hit.
//
// The one idea: a robust mean of tap minus click, with its spread, or a
// refusal. All times are milliseconds; late is positive. Call [Offset] for
// each tap, collect the results, and hand them to [Measure].
//
// What is measured is the way through the device and the player's own habit
// of tapping a little before a click (Repp 2005, Psychonomic Bulletin &
// Review 12: 969-992, from memory: 20 to 80 ms for untrained tappers); the
// two cannot be told apart by tapping, so a lean is always relative to how the
// player taps to a plain click.
package delay

import (
	"fmt"
	"math"
	"slices"
)

// The plan of a measurement. All are our choice, within what the design asks:
// at least 16 used taps after 4 ignored ones.
const (
	BPM     = 100            // of the click
	Period  = 60_000.0 / BPM // ms from click to click
	Ignored = 4              // first taps, while the player finds the click
	Taps    = 28             // asked for in all
	Least   = 16             // used taps below which nothing is said
)

// Limits of what is believed. Our choice.
const (
	earliest     = -200.0 // ms: taps from here on belong to the click they precede
	outlier      = 3.0    // robust standard deviations from the median
	outlierLeast = 12.0   // ms: nothing closer to the median is an outlier
	MaxSpread    = 25.0   // ms: above it no delay is taken
	Longest      = 500    // ms: the largest delay that can be set by hand
)

// madToSD turns a median absolute deviation into a standard deviation for
// normal errors: 1/Φ⁻¹(3/4) (Hampel 1974, J. Am. Stat. Assoc. 69: 383-393).
const madToSD = 1.4826

// Offset returns how late a tap is against its click. tap is ms from any
// click; clicks come every Period. The result is in [-200, 400).
func Offset(tap float64) float64 {
	o := math.Mod(tap-earliest, Period)
	if o < 0 {
		o += Period
	}
	return o + earliest
}

// A Result is what the taps say.
type Result struct {
	Mean   float64 // ms to take off
	Spread float64 // standard deviation of the used taps, ms
	Used   []bool  // for each tap given, whether it counted
	N      int     // how many counted
}

// Blind returns the lean, in ms, below which nothing can be said: twice the
// standard error of the mean, at least 1.
func (r Result) Blind() float64 {
	if r.N == 0 {
		return 0
	}
	return max(1, math.Round(2*r.Spread/math.Sqrt(float64(r.N))))
}

// An Unfit error says why no delay was taken.
type Unfit struct {
	Spread float64 // ms; 0 when there were too few taps
	N      int
}

func (e *Unfit) Error() string {
	if e.Spread == 0 {
		return fmt.Sprintf("only %d taps could be used; tap with every click, %d times", e.N, Taps-Ignored)
	}
	return fmt.Sprintf("the taps spread over ±%.0f ms; tap with one finger, only with the click", e.Spread)
}

// Measure returns the delay that the offsets show, in the order they were
// tapped. The first [Ignored] and those far from the median are left out. The
// error is an *[Unfit]; the result then still says which taps were used.
func Measure(offsets []float64) (Result, error) {
	r := Result{Used: make([]bool, len(offsets))}
	if len(offsets) <= Ignored {
		return r, &Unfit{N: 0}
	}
	settled := offsets[Ignored:]
	mid := median(settled)
	reach := max(outlierLeast, outlier*madToSD*median(distances(settled, mid)))
	var kept []float64
	for i, o := range settled {
		if math.Abs(o-mid) <= reach {
			r.Used[Ignored+i] = true
			kept = append(kept, o)
		}
	}
	r.N = len(kept)
	r.Mean, r.Spread = meanSpread(kept)
	switch {
	case r.Spread > MaxSpread:
		return r, &Unfit{Spread: r.Spread, N: r.N}
	case r.N < Least:
		return r, &Unfit{N: r.N}
	}
	return r, nil
}

func distances(xs []float64, from float64) []float64 {
	ds := make([]float64, len(xs))
	for i, x := range xs {
		ds[i] = math.Abs(x - from)
	}
	return ds
}

func median(xs []float64) float64 {
	s := slices.Clone(xs)
	slices.Sort(s)
	n := len(s)
	if n == 0 {
		return 0
	}
	return (s[(n-1)/2] + s[n/2]) / 2
}

// meanSpread returns the mean and the standard deviation (n - 1).
func meanSpread(xs []float64) (mean, spread float64) {
	if len(xs) == 0 {
		return 0, 0
	}
	for _, x := range xs {
		mean += x
	}
	mean /= float64(len(xs))
	if len(xs) < 2 {
		return mean, 0
	}
	for _, x := range xs {
		spread += (x - mean) * (x - mean)
	}
	return mean, math.Sqrt(spread / float64(len(xs)-1))
}
