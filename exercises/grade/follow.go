package grade

import (
	"math"
	"sort"
)

// A player whose tempo is off by little leaves the windows of the strokes in
// the end: at 1 BPM off 120, after some ten seconds. Taps are then followed
// along the drift. Our choice throughout.
const (
	followGain   = 0.10  // cost saved, as a share of the strokes, from which it is believed
	followMost   = 0.60  // cost left, as a share of the strokes, up to which it is believed
	followReach  = 0.12  // of the tempo, to either side
	followStart  = 20.0  // seconds of the take that are followed first
	followGrain  = 0.025 // seconds at the end between one tempo tried and the next
	followTaps   = 4     // most taps a stroke; more are noise, and slow
	followAround = 2     // tempi tried to either side when more seconds are added
)

// follow fills alongOf, the taps that leaning, spread, drift and tuplets rest
// on, and reports whether they differ from those matched: where strokes were
// missed, and a steady tempo other than that of the take explains the taps well
// and at much less cost, taps are matched as if played at the take's tempo.
// Hits, F-measures and places are never by followed taps.
func (g *grader) follow(c Counts) bool {
	g.alongOf = g.tapOf
	if len(g.taps) < minDrift || len(g.taps) > followTaps*c.Expected || c.Missed == 0 {
		return false
	}
	rate := g.playedRate()
	cost, strokes := g.costAt(rate, math.Inf(1)), float64(c.Expected)
	if cost > followMost*strokes || g.costAt(0, math.Inf(1))-cost < followGain*strokes {
		return false
	}
	g.alongOf = make([]int, len(g.tapOf))
	for k := range g.byLane {
		l := &g.byLane[k]
		for i, tap := range match(l.at, l.window, faster(l.tapped, rate, math.Inf(1))) {
			g.alongOf[l.onsets[i]] = -1
			if tap >= 0 {
				g.alongOf[l.onsets[i]] = l.taps[tap]
			}
		}
	}
	return true
}

// playedRate returns by how much of the tempo the player is slower (above 0)
// or faster, so that the taps, sped up by it, match at least cost. The tempo
// is looked for in the first seconds, then refined over twice as many until
// all are in, so that time grows with the taps.
func (g *grader) playedRate() float64 {
	end := g.expected.Onsets[len(g.expected.Onsets)-1].Seconds
	best, reach := 0.0, followReach
	for seconds := followStart; ; seconds *= 2 {
		part := max(min(seconds, end), followGrain)
		grain := followGrain / part
		steps := int(math.Ceil(min(reach, followReach) / grain))
		middle, least := best, math.Inf(1)
		for i := -steps; i <= steps; i++ {
			rate := middle + float64(i)*grain
			if cost := g.costAt(rate, part); cost < least {
				best, least = rate, cost
			}
		}
		if seconds >= end {
			return best
		}
		reach = followAround * grain
	}
}

// costAt returns the cost of matching the first seconds of the take with its
// taps sped up by a rate.
func (g *grader) costAt(rate, seconds float64) float64 {
	cost := 0.0
	for k := range g.byLane {
		l := &g.byLane[k]
		at := l.at[:firstAfter(l.at, seconds)]
		taps := faster(l.tapped, rate, seconds)
		cost += float64(len(taps))*extraCost + float64(len(at))*missCost
		for i, tap := range match(at, l.window, taps) {
			if tap >= 0 {
				cost -= gain(at[i], l.window[i], taps[tap])
			}
		}
	}
	return cost
}

// faster returns the taps sped up by a rate, up to so many seconds.
func faster(taps []float64, rate, seconds float64) []float64 {
	n := firstAfter(taps, seconds*(1+rate))
	out := make([]float64, n)
	for i, t := range taps[:n] {
		out[i] = t / (1 + rate)
	}
	return out
}

// firstAfter returns the index of the first time after seconds.
func firstAfter(times []float64, seconds float64) int {
	return sort.Search(len(times), func(i int) bool { return times[i] > seconds })
}
