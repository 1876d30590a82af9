package passage

import (
	"sort"
	"strconv"

	"stampmill/exercises/meter"
)

// A Count is one counting word, as players say it aloud.
type Count struct {
	At     meter.Rat // quarter notes
	Word   string    // "1", "e", "&", "a", ...
	Strong bool      // on a beat, or the first of a tuplet's numbers
}

// words are the counting words of the plain divisions of a beat, common
// practice: "1 &", "1 & a", "1 e & a"; six to the beat say the triplet's words
// with an e between. Other divisions count their cells.
var words = map[int][]string{
	1: {""}, 2: {"", "&"}, 3: {"", "&", "a"}, 4: {"", "e", "&", "a"},
	6: {"", "e", "&", "e", "a", "e"}, 8: {"", "", "e", "", "&", "", "a", ""},
}

// Counts returns the counting words under the passage: each beat is counted in
// the finest division that any of its lines is written in there; a group over
// several beats, and any division of a beat into 5, 7 or another irregular
// number, is counted by numbers from 1.
func (p Passage) Counts() []Count {
	beats := p.Beats()
	groups := p.countedGroups()
	var out []Count
	for _, b := range beats {
		g, ok := groups[b.At]
		switch {
		case ok && (b.Length.Less(g.Length) || words[g.Cells] == nil):
			out = append(out, numbered(g)...)
		case ok:
			out = append(out, spoken(g, b.Number)...)
		case !covered(groups, b.At):
			out = append(out, Count{b.At, strconv.Itoa(b.Number), true})
		}
	}
	return out
}

// countedGroups picks, for each place where a top-level group starts, the one
// that is counted: the longest, then the one with most cells. Groups that
// start inside the span of a longer one that is kept are dropped.
func (p Passage) countedGroups() map[meter.Rat]Group {
	var all []Group
	for _, l := range p.Lines {
		var end meter.Rat
		for _, g := range l.Groups {
			if g.At.Less(end) { // cuts a cell of the group before
				continue
			}
			all, end = append(all, g), g.End()
		}
	}
	sort.SliceStable(all, func(i, j int) bool {
		a, b := all[i], all[j]
		if a.Length != b.Length {
			return b.Length.Less(a.Length)
		}
		return a.Cells > b.Cells
	})
	kept := map[meter.Rat]Group{}
	for _, g := range all {
		if _, taken := kept[g.At]; !taken && !covered(kept, g.At) {
			kept[g.At] = g
		}
	}
	return kept
}

func covered(groups map[meter.Rat]Group, at meter.Rat) bool {
	for _, g := range groups {
		if g.At.Less(at) && at.Less(g.End()) {
			return true
		}
	}
	return false
}

func numbered(g Group) []Count {
	var out []Count
	for i := range g.Cells {
		at := g.At.Add(g.Cell().Mul(meter.Int(int64(i))))
		out = append(out, Count{at, strconv.Itoa(i + 1), true})
	}
	return out
}

func spoken(g Group, beat int) []Count {
	var out []Count
	for i, w := range words[g.Cells] {
		if i == 0 {
			w = strconv.Itoa(beat)
		}
		if w != "" {
			at := g.At.Add(g.Cell().Mul(meter.Int(int64(i))))
			out = append(out, Count{at, w, i == 0})
		}
	}
	return out
}
