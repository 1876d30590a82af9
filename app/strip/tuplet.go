package strip

import (
	"sort"
	"strconv"

	"stampmill/app/svg"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// tuplets draws each ratio once, on the upper of the rows that share it.
func (d *drawing) tuplets() {
	type span struct {
		at, length meter.Rat
		cells      int
	}
	told := map[span]bool{}
	for row, line := range d.Passage.Lines {
		for _, g := range written(line) {
			key := span{g.At, g.Length, g.Cells}
			if !g.ratio.Irregular() || told[key] {
				continue
			}
			told[key] = true
			d.bracket(d.Rows[row], g)
		}
	}
}

// A ratioed is a group with the ratio it is written in.
type ratioed struct {
	passage.Group
	ratio  meter.Tuplet
	cell   meter.Rat // written value of one cell
	nested bool
}

// written returns the groups of a line that hold a stroke which the ratio
// explains.
func written(line passage.Line) []ratioed {
	var out []ratioed
	var open []ratioed // the group being read and those around it
	for _, g := range line.Groups {
		for len(open) > 0 && !g.At.Less(open[len(open)-1].End()) {
			open = open[:len(open)-1]
		}
		w := ratioed{Group: g}
		if n := len(open); n > 0 {
			outer := open[n-1]
			w.nested = true
			w.ratio, w.cell = meter.DivisionOf(g.Length.Div(outer.Cell()).Mul(outer.cell), g.Cells)
		} else {
			w.ratio, w.cell = meter.DivisionOf(g.Length, g.Cells)
		}
		open = append(open, w)
		if needed(line.Strokes, g) {
			out = append(out, w)
		}
	}
	return out
}

// tops returns the groups of a line that cut no cell of another.
func tops(groups []passage.Group) []passage.Group {
	var out []passage.Group
	var end meter.Rat
	for _, g := range groups {
		if !g.At.Less(end) {
			out, end = append(out, g), g.End()
		}
	}
	return out
}

// needed reports whether a stroke begins or ends inside a group, not at its
// edges: only then does its ratio say anything.
func needed(strokes []passage.Stroke, g passage.Group) bool {
	i := sort.Search(len(strokes), func(i int) bool { return g.At.Less(strokes[i].End()) })
	if i == len(strokes) {
		return false
	}
	s := strokes[i]
	return s.End().Less(g.End()) || g.At.Less(s.At) && s.At.Less(g.End())
}

// Room of a bracket, in user units.
const (
	bracketUp  = 11 // from the middle of the row
	overBars   = 15 // the same in rows of sounding bars
	bracketTip = 4
	ratioHalf  = 13 // half the width of the ratio with its gap
)

// bracket draws a bracket over its row, a nested one under it. Where the
// bracket is too short for its ratio the number of cells stands alone.
func (d *drawing) bracket(r Row, g ratioed) {
	from, to := d.rat(g.At)-4, d.rat(g.End())-8
	up, tip := float64(bracketUp), float64(bracketTip)
	if r.Voice.Sustained() {
		up = overBars
	}
	y := r.Y - up
	if g.nested {
		y, tip = r.Y+up+1, -tip
	}
	middle := (from + to) / 2
	if to-from < 2*ratioHalf+6 {
		if to-from >= numberRoom {
			d.Text("sm-ratio", svg.AtMiddle, middle, y+4, strconv.Itoa(g.ratio.Actual))
		}
		return
	}
	d.Path("sm-bracket", "M# #v#H#M# #H#v#", from, y+tip, -tip, middle-ratioHalf, middle+ratioHalf, y, to, tip)
	d.Text("sm-ratio", svg.AtMiddle, middle, y+4, g.ratio.String())
}
