package grade

import "math"

// A player who goes on alone wanders: each interval is about right, but what
// they add up to leaves the windows, and no one tempo brings it back (the
// timekeeper of Wing and Kristofferson 1973 sums up to a random walk). Such
// taps are followed from each to the next. Our choice throughout.
const (
	wanderMost = 0.95   // of its window, that an interval may be off
	wanderSlip = 8      // strokes by which taps may be ahead of the strokes, or behind
	wanderLong = 20_000 // strokes; of more it is not looked for, for want of memory
	wanderSkip = 3      // strokes from one to the next that is followed; 2 are left out between
)

// A stride is how the best way to an onset and its tap came about: the onset and
// tap before it.
type stride struct {
	cost       float64
	onset, tap int32
	taken      bool
}

// wander finds the way through onsets and taps on which the intervals are
// nearest to those written, at a tempo slower by rate. It returns the tap of
// each onset, or -1, and what the way costs: as a match does, but by the error
// of each interval instead of each place. The first stroke may be late by
// followLate.
func wander(at, window, taps []float64, rate float64) (of []int, cost float64) {
	const wide = 2*wanderSlip + 1
	steps := make([]stride, len(at)*wide) // by onset, then by how far the tap is ahead
	best, least := -1, math.Inf(1)
	for i := range at {
		for d := range wide {
			j := i + d - wanderSlip
			if j < 0 || j >= len(taps) {
				continue
			}
			s := &steps[i*wide+d]
			if late := (taps[j] - at[i]) / followLate; math.Abs(late) <= 1 {
				*s = stride{float64(i)*missCost + float64(j)*extraCost + late*late, -1, -1, true}
			}
			for back := 1; back <= wanderSkip; back++ {
				s.from(steps, at, window, taps, rate, i, j, back, 1)
				if back > 1 {
					s.from(steps, at, window, taps, rate, i, j, 1, back)
				}
			}
			if end := s.cost + float64(len(at)-1-i)*missCost + float64(len(taps)-1-j)*extraCost; s.taken && end < least {
				best, least = i*wide+d, end
			}
		}
	}
	of = make([]int, len(at))
	for i := range of {
		of[i] = -1
	}
	for k := best; k >= 0; {
		i, s := k/wide, steps[k]
		of[i] = i + k%wide - wanderSlip
		if s.onset < 0 {
			break
		}
		k = int(s.onset)*wide + int(s.tap-s.onset) + wanderSlip
	}
	return of, least
}

// from takes the way from so many onsets and taps before onset i and tap j,
// where it costs less.
func (s *stride) from(steps []stride, at, window, taps []float64, rate float64, i, j, onsets, tapped int) {
	k, l := i-onsets, j-tapped
	ahead := l - k + wanderSlip
	if k < 0 || l < 0 || ahead < 0 || ahead > 2*wanderSlip {
		return
	}
	before := steps[k*(2*wanderSlip+1)+ahead]
	off := (taps[j] - taps[l] - (at[i]-at[k])*(1+rate)) / min(window[i], window[k])
	if !before.taken || math.Abs(off) > wanderMost {
		return
	}
	cost := before.cost + off*off + float64(onsets-1)*missCost + float64(tapped-1)*extraCost
	if !s.taken || cost < s.cost {
		*s = stride{cost, int32(k), int32(l), true}
	}
}

// followWander fills alongOf with the way of a wandering tempo, where all is
// played in one lane and the way is believed; it returns its course.
func (g *grader) followWander(c Counts, written float64) course {
	var l *lane
	for k := range g.byLane {
		if len(g.byLane[k].onsets) > 0 {
			if l != nil {
				return course{}
			}
			l = &g.byLane[k]
		}
	}
	n := min(l.due, len(l.tapped))
	if n < minDrift || l.due > wanderLong || !(l.at[n-1] > l.at[0]) {
		return course{}
	}
	rate := (l.tapped[n-1]-l.tapped[0])/(l.at[n-1]-l.at[0]) - 1
	if !(math.Abs(rate) <= followReach) {
		return course{}
	}
	of, cost := wander(l.at[:l.due], l.window, l.tapped, rate)
	if strokes := float64(c.Expected); cost > followMost*strokes || written-cost < followGain*strokes {
		return course{}
	}
	g.followed(l, of)
	return g.worth(course{rate: rate}, c)
}
