package grade

import (
	"math"
	"slices"
)

// evidence is a take as a search for misreadings sees it: the taps of each
// lane, and what is known of the whole.
type evidence struct {
	taps    [32][]float64 // seconds in order, delay taken off, by lane
	lanes   float64       // lanes with taps or strokes
	end     float64       // seconds at which the take was over
	pass    float64       // seconds from one pass to the next, as written
	passes  int
	oneKey  bool
	measure bool // the delay of the input was measured
	total   float64
}

// A strokeList is what one lane is to play in the whole take, in order of time.
type strokeList struct {
	at    []float64 // seconds from the first written downbeat
	place []int32   // the same number for the same place of every pass
}

// delayKnown reports whether the delay of the take's input is known: measured,
// or given with the take, or that of a made-up player, which has none.
func (g *grader) delayKnown() bool {
	return g.take.LatencyMS != 0 || g.take.Input == Simulated
}

// newEvidence gathers the taps of a take that was matched.
func newEvidence(g *grader) *evidence {
	e := g.expected
	last := e.Onsets[len(e.Onsets)-1].Pass
	ev := &evidence{
		pass: e.PassSeconds, passes: last, oneKey: g.oneKey, measure: g.delayKnown(),
		end: float64(last) * e.PassSeconds,
	}
	for k := range g.byLane {
		l := &g.byLane[k]
		if len(l.plain) > 0 || len(l.at) > 0 {
			ev.lanes++
		}
		ev.taps[k] = l.plain
		ev.total += float64(len(l.plain))
		if n := len(l.plain); n > 0 {
			ev.end = max(ev.end, l.plain[n-1]+tapSlack)
		}
	}
	if g.take.Stopped.OK {
		ev.end = g.take.Stopped.Value - g.take.LatencyMS/1000 - tapSlack
	}
	return ev
}

// tapSlack is how long after the last tap, or before the moment at which the
// player stopped, a stroke is not expected any more. Our choice.
const tapSlack = 0.060 // seconds

// The model's constants. Our choice.
const (
	missChance   = 0.02  // that a stroke is left out, before anything is known
	missStrokes  = 40.0  // strokes that this counts as
	strayShare   = 0.03  // of the taps that play nothing written, before anything is known
	leastStrays  = 0.5   // a take; so few are not held against anybody
	spreadGuess  = 0.015 // seconds, before anything is known
	spreadWeight = 10.0  // strokes that the guess counts as
	leastSpread  = 0.005 // seconds
	mostSpread   = 0.045 // seconds
	placeSpread  = 0.005 // seconds by which a player is off at one place in every pass
	leanSpread   = 0.020 // seconds, of the leans of players whose delay is known, early
	leanLate     = 0.015 // and late: players lean early rather (Repp 2005)
	leanUnknown  = 0.002 // chance that a measured delay is wrong
	leanUnmeas   = 0.50  // chance that a delay which was not measured matters
	leanFar      = 0.300 // seconds that a delay may be
	leanEarly    = 0.100 // seconds that a player may be early
	leanWrong    = 0.070 // seconds that a measured delay may be wrong, either way
	rateSpread   = 0.010 // of the tempo
	searchSpread = 0.018 // seconds, with which readings are sifted
)

// strayRate returns the taps a second that play nothing, in one lane.
func (ev *evidence) strayRate() float64 {
	return max(strayShare*ev.total, leastStrays) / (max(ev.end, 1) * max(ev.lanes, 1))
}

// leanPrior returns the logarithm of the density (per second) of a lean before
// anything is known: normal where the delay was measured, or nearly so, and where
// it was not perhaps anything that devices add.
func (ev *evidence) leanPrior(lean float64) float64 {
	far := 0.0
	chance := leanUnmeas
	least, most := -leanEarly, leanFar
	if ev.measure {
		chance, least, most = leanUnknown, -leanWrong, leanWrong
	}
	if lean > least && lean < most {
		far = 1 / (most - least)
	}
	near := leanSpread
	if lean > 0 {
		near = leanLate
	}
	return math.Log((1-chance)*normal(lean, near)*2*near/(leanSpread+leanLate) + chance*far + 1e-9)
}

func normal(x, sd float64) float64 {
	z := x / sd
	return math.Exp(-z*z/2) / (sd * math.Sqrt(2*math.Pi))
}

// ratePrior is leanPrior for the tempo; a rate is common, a high one rare.
func ratePrior(rate float64) float64 {
	z := rate / rateSpread
	return -math.Log(1 + z*z)
}

// A trend is the lean and the rate of a take: a stroke written at s is played
// at lean + (1+rate)*s.
type trend struct{ lean, rate float64 }

// off returns taps as they would stand without the trend.
func (t trend) off(dst, taps []float64) []float64 {
	dst = dst[:0]
	for _, x := range taps {
		dst = append(dst, (x-t.lean)/(1+t.rate))
	}
	return dst
}

// repeat returns the strokes of every pass, given those of one (seconds from
// its start, in order), for passes that begin every so many seconds; what comes
// at or after the end is left out.
func repeat(once []float64, every float64, passes int, end float64) strokeList {
	n := len(once) * passes
	l := strokeList{make([]float64, 0, n), make([]int32, 0, n)}
	for k := range passes {
		for i, s := range once {
			if at := s + float64(k)*every; at < end {
				l.at, l.place = append(l.at, at), append(l.place, int32(i))
			}
		}
	}
	return l
}

func sameTimes(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) < 1e-6 })
}
