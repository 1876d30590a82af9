package passage

import (
	"fmt"
	"sort"

	"stampmill/exercises/meter"
)

// MaxDepth is how deep groups may lie in one another, below the beat. Our
// choice: players read one level, writers now and then two.
const MaxDepth = 4

// Regroup returns the passage with groups for every beat of every line, as a
// strip or a text needs them. A group stays as it is when it covers whole beats
// of one bar and its cells hold the strokes; other beats get the fewest cells
// that do, cut again where one row of cells is not enough. Strokes stay as they
// are. The end of a choke need not fall on a cell.
//
// Bars whose strokes no cells can hold are reported and left without groups.
// The passage must be one that [Check] accepts.
func (p Passage) Regroup() (Passage, Problems) {
	out := p
	out.Lines = nil
	var found Problems
	bars := p.grid(1, len(p.Bars))
	for _, l := range p.Lines {
		line := Line{Voice: l.Voice, Strokes: l.Strokes}
		for i, beats := range bars {
			if len(beats) == 0 {
				continue // a bar without a metre
			}
			nodes, ok := l.bar(beats)
			if !ok {
				at := beats[0].At
				found = append(found, Problem{l.Voice, at, Place{i + 1, 1, meter.Rat{}}, fmt.Sprintf("the strokes of bar %d do not fall on cells that can be written", i+1), "use simpler divisions"})
			}
			line.Groups = flatten(line.Groups, nodes)
		}
		out.Lines = append(out.Lines, line)
	}
	return out, found
}

// grid returns the beats of bars first to last (from 1), as far as there are
// such bars; none for a bar without a metre.
func (p Passage) grid(first, last int) [][]Beat {
	first, last = max(first, 1), min(last, len(p.Bars))
	var bars [][]Beat
	var at meter.Rat
	for i, b := range p.Bars[:max(last, 0)] {
		if i+1 < first {
			at = at.Add(b.Metre.Length())
			continue
		}
		var beats []Beat
		for n, length := range b.Metre.Beats() {
			beats = append(beats, Beat{i + 1, n + 1, at, length})
			at = at.Add(length)
		}
		bars = append(bars, beats)
	}
	return bars
}

// points returns where strokes begin and end inside a span, not at its edges,
// in order, each once.
func (l Line) points(span Group) []meter.Rat {
	end := span.End()
	var all []meter.Rat
	add := func(at meter.Rat) {
		if n := len(all); span.At.Less(at) && at.Less(end) && (n == 0 || all[n-1] != at) {
			all = append(all, at)
		}
	}
	for _, s := range l.Strokes[max(startingAt(l.Strokes, span.At)-1, 0):] {
		if !s.At.Less(end) {
			break
		}
		add(s.At)
		if s.Kind != Choke {
			add(s.End())
		}
	}
	return all
}

// groupsIn returns the groups that begin inside a span.
func (l Line) groupsIn(span Group) []Group {
	begins := func(at meter.Rat) int {
		return sort.Search(len(l.Groups), func(i int) bool { return !l.Groups[i].At.Less(at) })
	}
	from := begins(span.At)
	return l.Groups[from:max(from, begins(span.End()))]
}

// A node is a group with the groups that cut its cells.
type node struct {
	Group
	inner []node
}

func flatten(dst []Group, nodes []node) []Group {
	for _, n := range nodes {
		dst = flatten(append(dst, n.Group), n.inner)
	}
	return dst
}

// forest puts the groups of a line into one another, leaving out those that
// are no whole cell of the group they lie in, or too deep.
func forest(groups []Group) []node {
	var top []node
	for len(groups) > 0 {
		n := node{Group: groups[0]}
		groups = n.take(groups[1:], 0)
		top = append(top, n)
	}
	return top
}

// take moves the groups that lie within n from the front of a list into n.
func (n *node) take(groups []Group, depth int) []Group {
	cell, end := n.Cell(), n.End()
	for len(groups) > 0 {
		g := groups[0]
		if g.At.Less(n.At) || !g.At.Less(end) {
			return groups
		}
		if depth == MaxDepth {
			groups = groups[1:]
			continue
		}
		kid := node{Group: g}
		groups = kid.take(groups[1:], depth+1)
		if g.Length == cell && cell.Divides(g.At.Sub(n.At)) && g.Cells > 1 && g.Cells <= MaxCells && n.free(g.At) {
			n.inner = append(n.inner, kid)
		}
	}
	return groups
}

// free reports whether nothing in n begins at a place yet, or after it.
func (n *node) free(at meter.Rat) bool {
	return len(n.inner) == 0 || n.inner[len(n.inner)-1].At.Less(at)
}

// bar returns groups for the beats of one bar, false when there are none that
// hold its strokes.
func (l Line) bar(beats []Beat) ([]node, bool) {
	from, last := beats[0].At, beats[len(beats)-1]
	span := Group{At: from, Length: last.At.Add(last.Length).Sub(from)}
	r := regrouper{l.points(span), forest(l.groupsIn(span))}
	var nodes []node
	for i := 0; i < len(beats); {
		n, used, ok := r.beat(beats[i:])
		if !ok {
			return row(from, span.Length, r.points, MaxCells*len(beats))
		}
		nodes = append(nodes, n)
		i += used
	}
	return nodes, true
}

// A regrouper walks along one bar of a line.
type regrouper struct {
	points []meter.Rat // of the bar
	old    []node      // not yet passed
}

// beat returns the group at the first of some beats and how many it takes.
func (r *regrouper) beat(beats []Beat) (node, int, bool) {
	at := beats[0].At
	for len(r.old) > 0 && r.old[0].At.Less(at) {
		r.old = r.old[1:]
	}
	if len(r.old) > 0 && r.old[0].At == at {
		if n := spanned(r.old[0], beats); n > 0 && r.old[0].holds(inside(r.points, r.old[0].Group)) {
			return r.old[0], n, true
		}
	}
	span := Group{At: at, Length: beats[0].Length}
	n, ok := cut(at, span.Length, inside(r.points, span))
	return n, 1, ok
}

// spanned returns how many whole beats a group takes, 0 when it does not fit.
func spanned(n node, beats []Beat) int {
	for i, b := range beats {
		if b.At.Add(b.Length) == n.End() {
			if n.Cells < 1 || n.Cells > MaxCells*(i+1) || !n.Cell().Valid() {
				return 0
			}
			return i + 1
		}
	}
	return 0
}

// inside returns the points after the beginning and before the end of a group.
func inside(points []meter.Rat, g Group) []meter.Rat {
	end := g.End()
	i := sort.Search(len(points), func(i int) bool { return g.At.Less(points[i]) })
	j := sort.Search(len(points), func(j int) bool { return !points[j].Less(end) })
	return points[i:max(i, j)]
}

// holds reports whether all points fall on borders of the smallest cells.
func (n node) holds(points []meter.Rat) bool {
	cell := n.Cell()
	inner := n.inner
	for len(points) > 0 {
		if cell.Divides(points[0].Sub(n.At)) {
			points = points[1:]
			continue
		}
		for len(inner) > 0 && !points[0].Less(inner[0].End()) {
			inner = inner[1:]
		}
		if len(inner) == 0 || points[0].Less(inner[0].At) {
			return false
		}
		within := inside(points, inner[0].Group)
		if len(within) == 0 || !inner[0].holds(within) { // none: places out of order
			return false
		}
		points = points[len(within):]
	}
	return true
}
