package progress

import (
	"math"
	"sort"
	"time"

	"stampmill/app/chart"
	"stampmill/app/logbook"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/staircase"
)

// A Tempo is the tempo that the player owns on one climb: the highest that was
// passed twice, on the step that was reached. That is the furthest step with
// minTakes takes, else the furthest played; where several parts of it were
// played, the one with most takes. The chart goes through the steps as they
// were reached.
type Tempo struct {
	chart.Tempo            // of all takes of the climb
	Chosen                 // the step and part
	Climb        string    // its title; its name where it is not here any more
	Step, Of     int       // from 1; Of is 0 where the climb is not here any more
	Owned        float64   // now; 0 for none
	Since        time.Time // of Owned
	Highest      float64   // tempo passed, if only once; 0 for none
	Next         float64   // tempo to play next, by the staircase; 0 where the step is not here any more
	Played, Last int       // takes of the step and part, all in all and in the span
}

// minTakes is how many takes make a line: a line through two points is a guess.
const minTakes = 3

// tempi collects the tempi of all steps and parts: which step was reached is
// known at the end only.
type tempi struct {
	climbs map[string]known
	by     map[Chosen]*run
	ways   map[string]*way
	n      int // takes so far
}

// A way is one climb as it was gone: the step and part that are reached, and a
// pace for each take.
type way struct {
	reached *run
	paces   []chart.Pace
	last    int // take of the whole book that was its last in the span
}

// known is a climb with the places of its steps.
type known struct {
	passage.Climb
	at map[string]int // from 1
}

// A run is what was played of one step and part.
type run struct {
	Tempo
	nth    int             // take of the whole book that was its last
	passes map[float64]int // of each tempo
	trials []staircase.Trial
}

func newTempi(climbs []Climb) tempi {
	t := tempi{climbs: map[string]known{}, by: map[Chosen]*run{}, ways: map[string]*way{}}
	for _, c := range climbs {
		k := known{c.Climb, map[string]int{}}
		for i, s := range c.Steps {
			k.at[s.Title] = i + 1
		}
		t.climbs[c.Name] = k
	}
	return t
}

// step returns a step by the title that takes have for it: numbers move when a
// climb gets a new step.
func (k known) step(title string) (n int, st passage.Step, ok bool) {
	n, ok = k.at[title]
	if !ok {
		return 0, passage.Step{}, false
	}
	return n, k.Steps[n-1], true
}

func (t *tempi) take(e *logbook.Entry, c Chosen, at time.Time, shown bool) {
	if !(e.Tempo >= meter.MinBPM && e.Tempo <= meter.MaxBPM) {
		return
	}
	n := t.by[c]
	if n == nil {
		n = t.begin(e, c)
		t.by[c] = n
	}
	t.n++
	n.nth = t.n
	n.take(e, at, shown)
	t.way(n).take(e, at, shown, n)
}

func (t *tempi) way(n *run) *way {
	w := t.ways[n.Exercise]
	if w == nil {
		w = &way{reached: n}
		t.ways[n.Exercise] = w
	}
	return w
}

// take adds a take of a step and part that has been counted there.
func (w *way) take(e *logbook.Entry, at time.Time, shown bool, n *run) {
	if n.further(w.reached) {
		w.reached = n
	}
	pace := chart.Pace{At: at, BPM: e.Tempo, Owned: w.reached.Owned, Step: w.reached.Step}
	if shown {
		w.paces, w.last = append(w.paces, pace), n.nth
		return
	}
	w.paces = append(w.paces[:0], pace) // of those before the span the last says what was owned
}

func (t *tempi) begin(e *logbook.Entry, c Chosen) *run {
	n := &run{passes: map[float64]int{}}
	n.Chosen, n.Step, n.Goal = c, e.Step, e.Goal
	if at, st, ok := t.climbs[c.Exercise].step(c.Title); ok && len(st.Passage.Bars) > 0 {
		n.Step, n.Goal = at, st.Passage.Bars[0].Tempo.BPM.Float()
	}
	if !usable(n.Goal) || n.Goal < 0 {
		n.Goal = 0
	}
	return n
}

func (n *run) take(e *logbook.Entry, at time.Time, shown bool) {
	n.Played++
	if trial, ok := e.Trial(); ok {
		n.trials = append(n.trials, trial)
		if e.Passed {
			n.pass(math.Round(e.Tempo), at)
		}
	}
	if shown {
		n.Last++
	}
}

// pass counts a passed take: what was passed twice is owned.
func (n *run) pass(bpm float64, at time.Time) {
	n.passes[bpm]++
	n.Highest = max(n.Highest, bpm)
	if n.passes[bpm] >= 2 && bpm > n.Owned {
		n.Owned, n.Since = bpm, at
	}
}

// all gives the tempo of each climb that was played in the span.
func (t *tempi) all(w *work) []Tempo {
	var all []Tempo
	for name, way := range t.ways {
		if way.last > 0 {
			c, x := t.climbs[name], way.reached.Tempo
			x.Climb, x.Of, x.Tempo.Span, x.Takes = c.Title, len(c.Steps), w.r.Span, way.paces
			if _, st, ok := c.step(x.Chosen.Title); ok {
				x.Next = staircase.TempoWithin(way.reached.trials, x.Goal, staircase.BoundsOf(st.Passage)).BPM
			}
			if x.Climb == "" {
				x.Climb = name
			}
			all = append(all, x)
		}
	}
	sort.Slice(all, func(i, j int) bool { return t.ways[all[i].Exercise].last > t.ways[all[j].Exercise].last })
	return all
}

// further reports whether n is what was reached rather than m, both of one
// climb.
func (n *run) further(m *run) bool {
	a, b := n.Played >= minTakes, m.Played >= minTakes
	switch {
	case a != b:
		return a
	case n.Step != m.Step:
		return n.Step > m.Step
	case n.Played != m.Played:
		return n.Played > m.Played
	}
	return n.nth > m.nth
}
