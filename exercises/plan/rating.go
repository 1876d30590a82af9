package plan

import (
	"math"
	"sort"
	"time"
)

// A Rating is what a take says of the memory of its item, in the words of FSRS.
type Rating uint8

// The ratings.
const (
	Again Rating = iota + 1 // it did not hold
	Hard
	Good
	Easy
)

// sound returns a rating that there is.
func (r Rating) sound() Rating { return min(max(r, Again), Easy) }

// A Take is what is needed of a take of a whole step, played to its end. Takes
// of some bars only say nothing of the step.
type Take struct {
	Item    Item
	At      time.Time
	Tempo   float64 // played
	Goal    float64 // written
	Passed  bool
	Hits    float64 // share of the written strokes that were played, 0 to 1
	Misread bool    // another passage was played than is written
	Minutes float64 // played
}

// What a rating needs; our choice.
const (
	many = 0.75 // share of strokes played in a take that was nearly passed
	near = 0.95 // of the tempo owned: slower than this is easier than the item
)

// Rate returns what a take says, where the tempo owned before it is owned (0
// for none). Our choice:
//
//	passed at the goal or faster                                Easy
//	passed                                                      Good
//	passed more than 5 % slower than the tempo owned            Hard
//	not passed, faster than the tempo owned or with none owned,
//	  at least 3/4 of the strokes played and nothing misread    Hard
//	not passed                                                  Again
//
// So a try at a faster tempo does not undo what is owned, and a fail at the
// tempo owned brings the item back soon.
func Rate(t Take, owned float64) Rating {
	switch {
	case t.Passed && t.Goal > 0 && t.Tempo >= t.Goal:
		return Easy
	case t.Passed && t.Tempo < near*owned:
		return Hard
	case t.Passed:
		return Good
	case t.Hits >= many && !t.Misread && !(t.Tempo <= owned):
		return Hard
	}
	return Again
}

// History rates takes, each by the tempo owned before it. It returns them in
// order of time.
func History(takes []Take) []Done {
	if !sort.SliceIsSorted(takes, func(i, j int) bool { return takes[i].At.Before(takes[j].At) }) {
		takes = append([]Take(nil), takes...)
		sort.SliceStable(takes, func(i, j int) bool { return takes[i].At.Before(takes[j].At) })
	}
	owned := map[Item]*ownership{}
	done := make([]Done, 0, len(takes))
	for _, t := range takes {
		o := owned[t.Item]
		if o == nil {
			o = &ownership{passed: map[float64]bool{}}
			owned[t.Item] = o
		}
		rating := Rate(t, o.tempo)
		o.add(t)
		done = append(done, Done{t.Item, t.At, rating, t.Passed, t.Tempo, o.tempo, t.Goal, t.Minutes})
	}
	return done
}

// An ownership is the highest tempo of an item passed twice, and every tempo
// passed once.
type ownership struct {
	tempo  float64
	passed map[float64]bool
}

func (o *ownership) add(t Take) {
	tempo := math.Round(t.Tempo) // as the tempo staircase counts
	if !t.Passed || math.IsNaN(tempo) {
		return
	}
	if o.passed[tempo] {
		o.tempo = max(o.tempo, tempo)
	}
	o.passed[tempo] = true
}
