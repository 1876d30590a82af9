package progress

import (
	"sort"

	"stampmill/app/logbook"
	"stampmill/exercises/meter"
)

// A Tempo is the tempo that the player owns on one climb: the highest that was
// passed twice, on the step that was reached. That is the furthest step with
// minTakes takes, else the furthest played; where several parts of it were
// played, the one with most takes.
type Tempo struct {
	Exercise, Title string
	Step, Of        int // from 1; Of is 0 where the climb is not here any more
	StepTitle, Part string
	Goal            float64 // 0 where it is not known
	Takes           int     // of the step and part, of all time
	Passed          int     // of them
	Owned           []Owned // rising; the first may stand before the span
	Bands           []Band  // a week each that was played, in order
	Played          []Point // the takes themselves, where they are fewer than minTakes
}

// minTakes is how many takes make a line: two points only make one by guessing.
const minTakes = 3

// Owned is a tempo that was owned from a day on.
type Owned struct {
	From Day
	BPM  float64
}

// A Band is from the slowest to the fastest tempo played in the weeks of one
// mark.
type Band struct {
	From, To  Day // the first, and the first after it
	Low, High float64
}

// A Point is one take.
type Point struct {
	On     Day
	BPM    float64
	Passed bool
}

// Now returns the tempo that is owned now, 0 for none.
func (t Tempo) Now() float64 {
	if len(t.Owned) == 0 {
		return 0
	}
	return t.Owned[len(t.Owned)-1].BPM
}

// tempi collects the tempi of all steps and parts: which step was reached is
// known at the end only.
type tempi struct {
	climbs map[string]known
	by     map[Chosen]*run
}

// known is a climb with the places of its steps.
type known struct {
	Climb
	at map[string]int // from 1
}

// run is what was played of one step and part.
type run struct {
	exercise   string
	step       int // from 1
	title      string
	part       string
	goal       float64
	last       Day
	best, next float64 // the two highest tempi passed
	tempo      Tempo
}

func newTempi(climbs []Climb) tempi {
	t := tempi{map[string]known{}, map[Chosen]*run{}}
	for _, c := range climbs {
		k := known{c, map[string]int{}}
		for i, s := range c.Steps {
			k.at[s.Title] = i + 1
		}
		t.climbs[c.Name] = k
	}
	return t
}

func (t *tempi) take(e *logbook.Entry, d Day, r *Report) {
	if e.Unread != "" || !(e.Tempo >= meter.MinBPM && e.Tempo <= meter.MaxBPM) {
		return
	}
	key := chosen(e)
	run := t.by[key]
	if run == nil {
		run = t.begin(e)
		t.by[key] = run
	}
	run.take(e, d, r)
}

func (t *tempi) begin(e *logbook.Entry) *run {
	n := &run{exercise: e.Exercise, title: e.Title, part: e.Part, step: e.Step, goal: e.Goal}
	c := t.climbs[e.Exercise]
	if at, ok := c.at[e.Title]; ok { // numbers move when a climb gets a new step
		n.step, n.goal = at, c.Steps[at-1].Goal
	}
	return n
}

func (n *run) take(e *logbook.Entry, d Day, r *Report) {
	passed := e.Passed && e.Whole
	n.last = d
	n.tempo.Takes++
	if n.tempo.Takes < minTakes {
		n.tempo.Played = append(n.tempo.Played, Point{d, e.Tempo, passed})
	}
	if passed {
		n.tempo.Passed++
		n.pass(e.Tempo, d)
	}
	if d >= r.From {
		n.play(e.Tempo, r.mark(d), r)
	}
}

// pass counts a passed take: what was passed twice is owned.
func (n *run) pass(bpm float64, d Day) {
	if bpm > n.best {
		n.best, n.next = bpm, n.best
	} else {
		n.next = max(n.next, bpm)
	}
	if n.next > n.tempo.Now() {
		n.tempo.Owned = append(n.tempo.Owned, Owned{d, n.next})
	}
}

// play widens the band of a mark.
func (n *run) play(bpm float64, mark int, r *Report) {
	from := r.begins(mark)
	if k := len(n.tempo.Bands) - 1; k >= 0 && n.tempo.Bands[k].From == from {
		b := &n.tempo.Bands[k]
		b.Low, b.High = min(b.Low, bpm), max(b.High, bpm)
		return
	}
	n.tempo.Bands = append(n.tempo.Bands, Band{from, min(r.begins(mark+1), r.Now+1), bpm, bpm})
}

// all gives the tempo of each climb that was played in the span.
func (t *tempi) all(r *Report) []Tempo {
	reached := map[string]*run{}
	last := map[string]Day{}
	for _, n := range t.by {
		last[n.exercise] = max(last[n.exercise], n.last)
		if was := reached[n.exercise]; was == nil || n.further(was) {
			reached[n.exercise] = n
		}
	}
	var all []Tempo
	for name, n := range reached {
		if last[name] >= r.From {
			all = append(all, t.tempo(n))
		}
	}
	sort.Slice(all, func(i, j int) bool {
		a, b := all[i].Exercise, all[j].Exercise
		if last[a] != last[b] {
			return last[a] > last[b]
		}
		return a < b
	})
	return all
}

// further reports whether n is what was reached rather than m, both of one
// climb.
func (n *run) further(m *run) bool {
	a, b := n.tempo.Takes >= minTakes, m.tempo.Takes >= minTakes
	switch {
	case a != b:
		return a
	case n.step != m.step:
		return n.step > m.step
	case n.tempo.Takes != m.tempo.Takes:
		return n.tempo.Takes > m.tempo.Takes
	case n.last != m.last:
		return n.last > m.last
	}
	return n.title+"/"+n.part < m.title+"/"+m.part
}

func (t *tempi) tempo(n *run) Tempo {
	out := n.tempo
	c := t.climbs[n.exercise]
	out.Exercise, out.Title, out.Of = n.exercise, c.Title, len(c.Steps)
	if out.Title == "" {
		out.Title = n.exercise
	}
	out.Step, out.StepTitle, out.Part, out.Goal = n.step, n.title, n.part, n.goal
	if out.Takes >= minTakes {
		out.Played = nil
	}
	if !usable(out.Goal) || out.Goal < 0 {
		out.Goal = 0
	}
	return out
}
