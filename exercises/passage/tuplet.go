package passage

import (
	"cmp"
	"slices"
	"sort"

	"stampmill/exercises/meter"
)

// A Tuplet is a group of cells that is bracketed on paper, because its number
// is not the ordinary one for its span: 3:2, 5:4, 2:3 in a dotted beat.
type Tuplet struct {
	Group
	Voices []Voice      // that play in it, in the order of the lines
	Ratio  meter.Tuplet // cells in the time of ordinary notes
	Note   meter.Rat    // written value of one cell, in quarter notes
	Parent int          // index of the tuplet it lies in, -1 for none
}

// Tuplets returns the irregular groups of the passage in order of time, each
// before those that lie in it. The same group in several voices is one tuplet;
// a group in which a voice begins no stroke is none.
//
// The ratio and the written value are those of [meter.DivisionOf]. In a nested
// group they are taken from the written value of the cell it cuts, so three in
// one cell of a triplet is 3:2 again, and the ratios multiply.
func (p Passage) Tuplets() []Tuplet {
	p, _ = p.Regroup()
	t := tuplets{index: map[tupletKey]int{}}
	for _, l := range p.Lines {
		for _, n := range forest(l.Groups) {
			t.add(l, n, n.Length, -1)
		}
	}
	return t.sorted()
}

// tupletKey tells groups apart that look alike but lie in different tuplets.
type tupletKey struct {
	Group
	parent int
}

type tuplets struct {
	all   []Tuplet
	index map[tupletKey]int
}

// add notes a group that stands for a written span, and those within it.
func (t *tuplets) add(l Line, n node, written meter.Rat, parent int) {
	if !l.begins(n.Group) {
		return
	}
	ratio, note := meter.DivisionOf(written, n.Cells)
	if !ratio.Irregular() {
		note = written.Div(meter.Int(int64(n.Cells)))
	} else {
		parent = t.voice(l.Voice, Tuplet{Group: n.Group, Ratio: ratio, Note: note, Parent: parent})
	}
	for _, inner := range n.inner {
		t.add(l, inner, note, parent)
	}
}

// voice adds a voice to a tuplet, a new one if need be, and returns its index.
func (t *tuplets) voice(v Voice, tup Tuplet) int {
	key := tupletKey{tup.Group, tup.Parent}
	i, ok := t.index[key]
	if !ok {
		i = len(t.all)
		t.index[key] = i
		t.all = append(t.all, tup)
	}
	t.all[i].Voices = append(t.all[i].Voices, v)
	return i
}

// begins reports whether a stroke of the line begins in a group.
func (l Line) begins(g Group) bool {
	i := sort.Search(len(l.Strokes), func(i int) bool { return !l.Strokes[i].At.Less(g.At) })
	return i < len(l.Strokes) && l.Strokes[i].At.Less(g.End())
}

// sorted returns the tuplets in order of time, the longer first.
func (t *tuplets) sorted() []Tuplet {
	order := make([]int, len(t.all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := t.all[i], t.all[j]
		return cmp.Or(a.At.Cmp(b.At), b.Length.Cmp(a.Length), cmp.Compare(i, j))
	})
	place := make([]int, len(order))
	for to, from := range order {
		place[from] = to
	}
	var out []Tuplet
	for _, from := range order {
		tup := t.all[from]
		if tup.Parent >= 0 {
			tup.Parent = place[tup.Parent]
		}
		out = append(out, tup)
	}
	return out
}
