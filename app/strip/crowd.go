package strip

import (
	"sort"
	"unicode/utf8"
)

// A word is a label at a mark. Where labels would meet, the one with more
// weight stays.
type word struct {
	class, anchor string
	x, y          float64
	words         string
	weight        float64
}

// box returns the room that a word takes.
func (w word) box() (left, right, top, bottom float64) {
	wide := letter * float64(utf8.RuneCountInString(w.words))
	left = w.x
	if w.anchor == atMiddle {
		left -= wide / 2
	}
	return left - 1, left + wide + 1, w.y - high + 2, w.y + 3
}

// A crowd is all the labels that want to stand in the lane.
type crowd struct{ all []word }

func (c *crowd) add(w word) { c.all = append(c.all, w) }

// cell is the width of the columns by which pick finds neighbours; a label
// reaches over a few of them at most.
const cell = 32.0

// pick returns the labels that can be read beside each other: the heaviest
// first, each only if it meets none already chosen; then in order of x.
func (c *crowd) pick() []word {
	sort.SliceStable(c.all, func(i, j int) bool { return c.all[i].weight > c.all[j].weight })
	columns := map[int][]word{}
	var chosen []word
	for _, w := range c.all {
		left, right, _, _ := w.box()
		from, to := int(left/cell), int(right/cell)
		free := true
		for i := from; i <= to && free; i++ {
			for _, o := range columns[i] {
				free = free && !w.meets(o)
			}
		}
		if !free {
			continue
		}
		for i := from; i <= to; i++ {
			columns[i] = append(columns[i], w)
		}
		chosen = append(chosen, w)
	}
	sort.SliceStable(chosen, func(i, j int) bool { return chosen[i].x < chosen[j].x })
	return chosen
}

func (w word) meets(o word) bool {
	l, r, t, b := w.box()
	ol, or, ot, ob := o.box()
	return l < or && ol < r && t < ob && ot < b
}
