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

	leastFreeOfRun = 3 // degrees of freedom about the line
)

// A run is strokes one after the other through which the tempo may not hold:
// a bar, every bar, a fill.
type run struct {
	name    string    // after "in": "bar 2", "the run from 2.3"
	through []float64 // by position: how far through the run it is, 0 (also outside) to 1
	part    []int     // by position: which of the runs it is in, from 0; -1 for none
	parts   int       // how many runs
	bar     int       // the one bar that it is in, or 0
}

// runs returns the runs of the part.
func (r *report) runs() []run {
	var all []run
	every := emptyRun(len(r.Positions))
	every.name = "each bar"
	for from := 0; from < len(r.Positions); {
		to := from
		for to < len(r.Positions) && r.Positions[to].Place.Bar == r.Positions[from].Place.Bar {
			to++
		}
		if bar, ok := r.runOf(from, to, leastRun); ok {
			bar.name = fmt.Sprintf("bar %d", r.Positions[from].Place.Bar)
			all = append(all, bar)
			for i := from; i < to; i++ {
				every.through[i], every.part[i] = bar.through[i], every.parts
			}
			every.parts++
		}
		all = append(all, r.fastRuns(from, to)...)
		from = to
	}
	if every.parts > 1 {
		all = append(all, every)
	}
	if len(r.ByBar) == 1 {
		for i := range all {
			all[i].bar = 0
		}
	}
	return all
}

func emptyRun(positions int) run {
	x := run{through: make([]float64, positions), part: make([]int, positions)}
	for i := range x.part {
		x.part[i] = -1
	}
	return x
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
	x := emptyRun(len(r.Positions))
	x.bar, x.parts = r.Positions[from].Place.Bar, 1
	first := r.Positions[from].Seconds
	long := r.Positions[to-1].Seconds - first
	for i := from; i < to; i++ {
		x.through[i], x.part[i] = (r.Positions[i].Seconds-first)/long, 0
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
			x.name = "the " + r.runName(a, b+1) + " from " + r.spokenPlace(r.Positions[a].Position)
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
// by the straight line of least squares through the run alone; of several, by
// one slope for all. Explained is by how much the sum of squares shrinks when
// the run has a line of its own, less what a line may take by chance.
func (c comparison) gained(x run, t table) (d Figure, explained float64) {
	parts := make([]part, x.parts)
	for i, m := range t.byPosition {
		if k := x.part[i]; k >= 0 {
			parts[k].add(x.through[i], m)
		}
	}
	var inside moments
	var sxx, sxy, syy float64
	for _, p := range parts {
		if p.all.n > 0 {
			inside = inside.plus(p.all)
			sxx += p.sxx - p.sx*p.sx/float64(p.all.n)
			sxy += p.sxy - p.sx*p.all.mean()
			syy += p.all.off()
		}
	}
	free := inside.n - x.parts - 1
	if free < leastFreeOfRun || !(sxx > 0) {
		return Figure{N: inside.n}, 0
	}
	slope := sxy / sxx
	variance := max(0, syy-slope*sxy) / float64(free)
	half := tQuantile(c.p, free) * math.Sqrt(variance/sxx)
	explained = slope*sxy - variance*math.Log(float64(t.all.n)) // as in Schwarz's criterion
	if out := t.all.minus(inside); x.parts == 1 && out.n > 0 {
		explained += between(inside, out)
	}
	return inMS(slope, slope-half, slope+half, inside.n), explained
}

// A part sums up the errors of one of the runs, x being how far through it a
// stroke is.
type part struct {
	all          moments
	sx, sxx, sxy float64
}

func (p *part) add(x float64, m moments) {
	p.all = p.all.plus(m)
	p.sx += x * float64(m.n)
	p.sxx += x * x * float64(m.n)
	p.sxy += x * m.sum
}

// finding says what was gained or lost through the run.
func (x run) finding(d Figure) finding {
	does, came := "slow down", "lost"
	if d.Value < 0 {
		does, came = "speed up", "gained"
	}
	text := fmt.Sprintf("You %s in %s: %.0f ms %s from its first stroke to its last.", does, x.name, math.Abs(d.Value), came)
	return finding{weight: math.Abs(d.Value) / weighMS, text: text, anyDelay: text, bar: x.bar, rests: true}
}
