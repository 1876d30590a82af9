package limbs

import (
	"fmt"
	"slices"
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A pluck is one stroke of a string voice with what decides its direction.
type pluck struct {
	at   meter.Rat
	time int64 // ns
	kind passage.Kind
	cost [2]int // of going down and up
}

// motion returns how a stroke is played that is not picked.
func (k *pluck) motion() (Motion, bool) {
	switch k.kind {
	case passage.Tapped:
		return Tapped, true
	case passage.Scrape, passage.ScrapeDown:
		return Scraped, true
	}
	return Down, false
}

// plucks lists what is to be picked in a line, in order of time.
func plucks(l passage.Line, time timeline) []pluck {
	out := make([]pluck, 0, len(l.Strokes))
	c, g := clock{timeline: time}, grid{groups: l.Groups}
	for _, s := range l.Strokes {
		if s.At.Valid() && l.Voice.Plays(s.Kind) && s.Sounds() {
			k := pluck{at: s.At, time: c.time(s.At), kind: s.Kind}
			k.cost = g.cost(s.At, &c)
			out = append(out, k)
		}
	}
	if !slices.IsSortedFunc(out, byTime) {
		sort.SliceStable(out, func(i, j int) bool { return byTime(out[i], out[j]) < 0 })
	}
	return out
}

func byTime(a, b pluck) int { return order(&task{time: a.time}, &task{time: b.time}) }

// A grid finds the written cell of a place, for places in order of time.
type grid struct {
	groups []passage.Group
	open   []passage.Group // begun, innermost last
}

// cost is what a stroke at a place costs down and up.
func (g *grid) cost(at meter.Rat, c *clock) [2]int {
	for len(g.groups) > 0 && !at.Less(g.groups[0].At) {
		g.open, g.groups = append(g.open, g.groups[0]), g.groups[1:]
	}
	for n := len(g.open); n > 0 && !at.Less(g.open[n-1].End()); n-- {
		g.open = g.open[:n-1]
	}
	if len(g.open) == 0 {
		return [2]int{0, upFirst}
	}
	in := g.open[len(g.open)-1]
	cell := at.Sub(in.At).Div(in.Cell())
	switch {
	case !cell.Valid() || cell.Den() != 1:
		return [2]int{0, upFirst}
	case cell.Num()%2 == 0 || c.time(at)-c.time(in.At) >= cell.Num()*slowCell(in):
		return [2]int{0, offGrid}
	}
	return [2]int{offGrid, 0}
}

// slowCell is the length of a cell in nanoseconds from which all cells of a
// group go down.
func slowCell(g passage.Group) int64 {
	if g.Cells <= 2 {
		return pickDown
	}
	return pickSlow
}

// directions finds the picking that costs least, from the two directions of
// each stroke and of the one before.
func directions(ks []pluck) []Pick {
	costs := make([][2]int, len(ks))
	from := make([][2]Motion, len(ks))
	for i := range ks {
		for m := Down; m <= Up; m++ {
			costs[i][m] = ks[i].cost[m]
			if m == Up && (i == 0 || ks[i].time-ks[i-1].time >= pickDown) {
				costs[i][m] += upFirst
			}
			if i > 0 {
				down, up := costs[i-1][Down]+turn(ks[i-1:], Down, m), costs[i-1][Up]+turn(ks[i-1:], Up, m)
				if up < down {
					from[i][m] = Up
				}
				costs[i][m] += min(down, up)
			}
		}
	}
	return trace(ks, costs, from)
}

// turn is what it costs to go on from the first of two strokes to the second.
// After a stroke that is not picked, and after a tremolo, the hand may begin
// either way.
func turn(two []pluck, from, to Motion) int {
	_, unpicked := two[0].motion()
	if from != to || unpicked || two[0].kind == passage.Tremolo || two[1].time-two[0].time+tolerance >= pickDown {
		return 0
	}
	return sameWay
}

// trace follows the cheapest directions back.
func trace(ks []pluck, costs [][2]int, from [][2]Motion) []Pick {
	out := make([]Pick, len(ks))
	m := Down
	if n := len(ks); n > 0 && costs[n-1][Up] < costs[n-1][Down] {
		m = Up
	}
	for i := len(ks) - 1; i >= 0; i-- {
		out[i] = Pick{ks[i].at, m, ks[i].kind}
		if as, unpicked := ks[i].motion(); unpicked {
			out[i].Motion = as
		}
		m = from[i][m]
	}
	return out
}

// A rush is a run of strokes that is too fast for the picking hand: count
// strokes up to the one numbered last.
type rush struct{ last, count int }

// firstRush returns the first stroke that comes too fast after those before;
// false if there is none.
func firstRush(ks []pluck) (rush, bool) {
	var times []int64 // of what is picked so far
	for i := range ks {
		if ks[i].kind == passage.Tapped {
			continue
		}
		n := len(times)
		switch now := ks[i].time + tolerance; {
		case n > 0 && now-times[n-1] < pickTwice:
			return rush{i, 2}, true
		case n >= burst && now-times[n-burst] < burst*pickSteady:
			return rush{i, burst + 1}, true
		}
		times = append(times, ks[i].time)
	}
	return rush{}, false
}

// clash words a rush. The strokes are the last ones that are not tapped.
func (r rush) clash(p passage.Passage, v passage.Voice, ks []pluck) *Clash {
	last := ks[r.last]
	first, left := r.last, r.count-1
	for left > 0 {
		if first--; ks[first].kind != passage.Tapped {
			left--
		}
	}
	what := fmt.Sprintf("the %s would be picked %s within %d ms", v, times(r.count), (last.time-ks[first].time+ms/2)/ms)
	do := "slow down, leave some out, or write a tremolo"
	if r.count == 2 {
		do = "slow down or leave one out"
	}
	return &Clash{[]passage.Voice{v}, last.at, p.Place(last.at), what, do, v}
}

// slow returns the first clash of each bar of a string voice.
func slow(p passage.Passage, l passage.Line, time timeline) []*Clash {
	if l.Voice.Family() != passage.Strings {
		return nil
	}
	var found []*Clash
	starts := p.Starts()
	for ks := plucks(l, time); ; {
		r, fast := firstRush(ks)
		if !fast {
			return found
		}
		c := r.clash(p, l.Voice, ks)
		found = append(found, c)
		next := starts[min(c.Place.Bar, len(starts)-1)]
		for ks = ks[r.last+1:]; len(ks) > 0 && ks[0].at.Less(next); {
			ks = ks[1:]
		}
	}
}
