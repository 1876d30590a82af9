package strip

import (
	"sort"
	"unicode/utf8"

	"stampmill/app/svg"
)

// A word is a label at a mark. Where labels would meet, the one with more
// weight stays.
type word struct {
	class, anchor string
	x, y          float64
	words, short  string  // short is said where words have no room; "" for nothing
	above         float64 // the other y of short; 0 for none
	weight        float64
}

// A box is the room that a label or mark takes.
type box struct{ left, right, top, bottom float64 }

func (w word) box() box {
	wide := letter * float64(utf8.RuneCountInString(w.words))
	left := w.x
	switch w.anchor {
	case svg.AtMiddle:
		left -= wide / 2
	case svg.AtEnd:
		left -= wide
	}
	return box{left - 1, left + wide + 1, w.y - high + 2, w.y + 3}
}

func (a box) meets(b box) bool {
	return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom
}

// A crowd is all the labels that want to stand in the lane.
type crowd struct {
	all     []word
	columns map[int][]box // what stands in each column of the lane
}

func (c *crowd) add(w word) { c.all = append(c.all, w) }

// block keeps labels off a mark.
func (c *crowd) block(x, y float64) { c.put(box{x - dot, x + dot, y - dot, y + dot}) }

// column is the width of the columns by which neighbours are found; a label
// reaches over a few of them at most.
const column = 32.0

func (b box) columns() (from, to int) { return int(b.left / column), int(b.right / column) }

func (c *crowd) put(b box) {
	if c.columns == nil {
		c.columns = map[int][]box{}
	}
	from, to := b.columns()
	for i := from; i <= to; i++ {
		c.columns[i] = append(c.columns[i], b)
	}
}

func (c *crowd) free(b box) bool {
	from, to := b.columns()
	for i := from; i <= to; i++ {
		for _, o := range c.columns[i] {
			if b.meets(o) {
				return false
			}
		}
	}
	return true
}

// pick returns the labels that can be read beside each other: the heaviest
// first, each only if it meets no mark and none already chosen; then in order
// of x.
func (c *crowd) pick() []word {
	sort.SliceStable(c.all, func(i, j int) bool { return c.all[i].weight > c.all[j].weight })
	var chosen []word
	for _, w := range c.all {
		if w.short != "" && !c.free(w.box()) {
			w.words = w.short
		}
		if w.above > 0 && !c.free(w.box()) {
			w.y = w.above
		}
		if b := w.box(); c.free(b) {
			c.put(b)
			chosen = append(chosen, w)
		}
	}
	sort.SliceStable(chosen, func(i, j int) bool { return chosen[i].x < chosen[j].x })
	return chosen
}
