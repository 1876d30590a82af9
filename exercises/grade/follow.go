package grade

import (
	"math"
	"slices"
	"sort"
)

// A player whose tempo is off by little leaves the windows of the strokes in
// the end: at 1 BPM off 120, after some ten seconds. One whose delay was never
// measured, or who joins in late, is outside them from the start. Taps are then
// followed along that course. Our choice throughout.
const (
	followGain   = 0.10  // cost saved, as a share of the strokes, from which it is believed
	followMost   = 0.30  // cost left, as a share of the strokes, up to which it is believed
	followReach  = 0.12  // of the tempo, to either side
	followStart  = 20.0  // seconds of the take that are followed first
	followGrain  = 0.025 // seconds at the end between one tempo tried and the next
	followTaps   = 4     // most taps a stroke; more are noise, and slow
	followAround = 2     // tempi tried to either side when more seconds are added
	followLate   = 0.40  // seconds, to either side; more than a wireless headset is late
	followStep   = 0.010 // seconds between one lateness tried and the next
)

// A course is what the taps of a whole take have in common.
type course struct {
	rate float64 // by how much of the tempo the player is slower (above 0) or faster
	late float64 // seconds after what is written, early negative; 0 where rate is not
}

// follow finds the course and fills alongOf, the taps that leaning, spread,
// drift and tuplets rest on. They differ from those matched where strokes were
// missed, and a steady tempo or lateness explains the taps well and at much
// less cost: then taps are matched with the course taken off. Hits, F-measures
// and places are never by followed taps.
func (g *grader) follow(c Counts) course {
	g.alongOf = g.tapOf
	if len(g.taps) < minDrift || len(g.taps) > followTaps*c.Expected || c.Missed == 0 {
		return course{}
	}
	strokes, written := float64(c.Expected), g.costAt(course{}, math.Inf(1))
	if written < followGain*strokes {
		return course{} // no course saves so much
	}
	best := course{rate: g.playedRate()}
	cost := g.costAt(best, math.Inf(1))
	late := course{late: g.playedLate()}
	if x := g.costAt(late, math.Inf(1)); x < cost {
		best, cost = late, x
	}
	if cost > followMost*strokes || written-cost < followGain*strokes {
		return g.followWander(c, written)
	}
	for k := range g.byLane {
		l := &g.byLane[k]
		of, _ := l.until(l.due).match(best.off(l.tapped, math.Inf(1)))
		g.followed(l, of)
	}
	return g.worth(best, c)
}

// worth returns the course where more strokes were followed than matched; else
// what is missed was left out, not played elsewhere, and nothing is followed.
func (g *grader) worth(best course, c Counts) course {
	if followed := len(g.samples(g.alongOf)); followed <= c.Matched {
		g.alongOf = g.tapOf
		return course{}
	}
	return best
}

// followed fills alongOf with the taps of the first onsets of a lane.
func (g *grader) followed(l *lane, of []int) {
	if &g.alongOf[0] == &g.tapOf[0] {
		g.alongOf = slices.Repeat([]int{-1}, len(g.tapOf))
	}
	for i, tap := range of {
		if tap >= 0 {
			g.alongOf[l.onsets[i]] = l.taps[tap]
		}
	}
}

// playedRate returns the rate at which the taps match at least cost. The tempo
// is looked for in the first seconds, then refined over twice as many until
// all are in, so that time grows with the taps.
func (g *grader) playedRate() float64 {
	end := g.lastOnset()
	best, reach := 0.0, followReach
	for seconds := followStart; ; seconds *= 2 {
		part := max(min(seconds, end), followGrain)
		grain := followGrain / part
		steps := int(math.Ceil(min(reach, followReach) / grain))
		middle, least := best, math.Inf(1)
		for i := -steps; i <= steps; i++ {
			rate := middle + float64(i)*grain
			if cost := g.costAt(course{rate: rate}, part); cost < least {
				best, least = rate, cost
			}
		}
		if seconds >= end {
			return best
		}
		reach = followAround * grain
	}
}

// playedLate returns the lateness at which the first taps match at least cost;
// of equal ones the smallest.
func (g *grader) playedLate() float64 {
	part := min(followStart, g.lastOnset())
	best, least := 0.0, math.Inf(1)
	for i := range int(math.Round(followLate/followStep)) + 1 {
		for _, late := range []float64{float64(i) * followStep, -float64(i) * followStep} {
			if cost := g.costAt(course{late: late}, part); cost < least-1e-9 { // rounding decides nothing
				best, least = late, cost
			}
		}
	}
	return best
}

func (g *grader) lastOnset() float64 {
	return g.expected.Onsets[len(g.expected.Onsets)-1].Seconds
}

// costAt returns the cost of matching the first seconds of the take with the
// course taken off its taps.
func (g *grader) costAt(c course, seconds float64) float64 {
	cost := 0.0
	for k := range g.byLane {
		l := &g.byLane[k]
		at := l.at[:min(firstAfter(l.at, seconds), l.due)]
		taps := c.off(l.tapped, seconds)
		cost += float64(len(taps))*extraCost + float64(len(at))*missCost
		of, graces := l.until(len(at)).match(taps)
		for i, tap := range of {
			if tap >= 0 {
				cost -= gain(at[i], l.window[i], taps[tap])
			}
		}
		for _, n := range graces {
			cost -= float64(n) * extraCost
		}
	}
	return cost
}

// off returns the taps with the course taken off, up to so many seconds.
func (c course) off(taps []float64, seconds float64) []float64 {
	n := firstAfter(taps, seconds*(1+c.rate)+c.late)
	out := make([]float64, n)
	for i, t := range taps[:n] {
		out[i] = (t - c.late) / (1 + c.rate)
	}
	return out
}

// firstAfter returns the index of the first time after seconds.
func firstAfter(times []float64, seconds float64) int {
	return sort.Search(len(times), func(i int) bool { return times[i] > seconds })
}
