package grade

import (
	"fmt"
	"math"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// When a run is looked at, and from what gain it is said. Our choice: what is
// gained inside a bar is gained again in the next, so it is said from the size
// from which a drift is said.
const (
	leastRunMS = leastDriftMS
	leastRun   = 3 // written strokes
	leastFast  = 4 // written strokes of a run inside a bar
)

// A run is strokes one after the other through which the tempo may not hold:
// a bar, every bar, a fill.
type run struct {
	name    string    // after "in": "bar 2", "the run from 2.3"
	through []float64 // by position: how far through the run it is, 0 (also outside) to 1
	bar     int       // the one bar that it is in, or 0
}

// runs returns the runs of the part.
func (r *report) runs() []run {
	var all []run
	every := run{name: "each bar", through: make([]float64, len(r.Positions))}
	inBars := 0
	for from := 0; from < len(r.Positions); {
		to := from
		for to < len(r.Positions) && r.Positions[to].Place.Bar == r.Positions[from].Place.Bar {
			to++
		}
		if bar, ok := r.runOf(from, to, leastRun); ok {
			bar.name = fmt.Sprintf("bar %d", r.Positions[from].Place.Bar)
			all = append(all, bar)
			copy(every.through[from:to], bar.through[from:to])
			inBars++
		}
		all = append(all, r.fastRuns(from, to)...)
		from = to
	}
	if inBars > 1 {
		all = append(all, every)
	}
	if len(r.ByBar) == 1 {
		for i := range all {
			all[i].bar = 0
		}
	}
	return all
}

// runOf makes a run of the positions from up to to, if these are at least so
// many places.
func (r *report) runOf(from, to, least int) (run, bool) {
	places := 1
	for i := from + 1; i < to; i++ {
		if r.Positions[i].At != r.Positions[i-1].At {
			places++
		}
	}
	if places < least {
		return run{}, false
	}
	x := run{through: make([]float64, len(r.Positions)), bar: r.Positions[from].Place.Bar}
	first := r.Positions[from].Seconds
	long := r.Positions[to-1].Seconds - first
	for i := from; i < to; i++ {
		x.through[i] = (r.Positions[i].Seconds - first) / long
	}
	return x, true
}

// fastRuns returns the runs of evenly spaced strokes inside a bar, half a beat
// apart or less, that are not all of it.
func (r *report) fastRuns(from, to int) []run {
	var all []run
	for a := from; a < to; {
		b, gap := a, meter.Rat{}
		for b+1 < to {
			step := r.Positions[b+1].At.Sub(r.Positions[b].At)
			if step != (meter.Rat{}) && gap != (meter.Rat{}) && step != gap {
				break
			}
			if step != (meter.Rat{}) {
				if half := beatAt(r.p, r.Positions[b].Place).Div(meter.Int(2)); half.Less(step) {
					break
				}
				gap = step
			}
			b++
		}
		if x, ok := r.runOf(a, b+1, leastFast); ok && (a > from || b+1 < to) {
			place, _ := spokenPlace(r.p, r.Positions[a].Position)
			x.name = "the " + r.runName(a, b+1) + " from " + place
			all = append(all, x)
		}
		a = max(b, a+1)
	}
	return all
}

// runName calls a run on the toms a fill.
func (r *report) runName(from, to int) string {
	toms := SetOf(passage.TomHigh, passage.TomMid, passage.TomFloor)
	if slices.ContainsFunc(r.Positions[from:to], func(pos PositionFigures) bool { return pos.Voices&toms == 0 }) {
		return "run"
	}
	return "fill"
}

// gained returns how much later the last stroke of a run comes than the first,
// by the straight line of least squares through it with all other strokes at
// its beginning, and how much of the sum of squares that explains.
func (c comparison) gained(x run, t table) (d Figure, explained float64) {
	var n, inside int
	var sx, sxx, sxy float64
	for i, m := range t.byPosition {
		n += m.n
		if x.through[i] > 0 {
			inside += m.n
		}
		sx += x.through[i] * float64(m.n)
		sxx += x.through[i] * x.through[i] * float64(m.n)
		sxy += x.through[i] * m.sum
	}
	if inside < minLeaning || n-inside < minLeaning {
		return Figure{N: inside}, 0
	}
	sxx -= sx * sx / float64(n)
	sxy -= sx * t.all.mean()
	slope := sxy / sxx
	explained = slope * sxy
	left := max(0, t.all.off()-explained)
	half := tQuantile(c.p, n-2) * math.Sqrt(left/float64(n-2)/sxx)
	return inMS(slope, slope-half, slope+half, inside), explained
}

// finding says what was gained or lost through the run.
func (x run) finding(d Figure) finding {
	does, came := "slow down", "lost"
	if d.Value < 0 {
		does, came = "speed up", "gained"
	}
	text := fmt.Sprintf("You %s in %s: %.0f ms %s from its first stroke to its last.", does, x.name, math.Abs(d.Value), came)
	return finding{weight: math.Abs(d.Value) / weighMS, text: text, anyDelay: text, bar: x.bar}
}
