package chart

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// A Pace is one take: the tempo at which it was played, and the tempo owned
// after it, both in BPM; Owned is 0 where nothing was owned yet. Step is the
// step that was reached, which Owned is of; 0 where there are none.
type Pace struct {
	At    time.Time
	BPM   float64
	Owned float64
	Step  int
}

// A Tempo chart shows how fast one climb, step or part is played: the tempo
// owned as a stepped line, the slowest to the fastest of each week as a band,
// the goal dashed. A week without a take has no band, and nothing drops for it;
// the line breaks where another step was reached, whose number stands over it.
type Tempo struct {
	Heading
	Span
	Goal  float64 // BPM; 0: none
	Takes []Pace  // in order of time
	Scale Scale   // the shared one of TempoScale; zero: its own
}

// leastBPM is the finest step of the scale. Our choice.
const leastBPM = 5

// TempoScale returns one scale for charts that stand together: of three or four
// round numbers, holding what they show and their goals.
func TempoScale(charts ...Tempo) Scale {
	all := extent{math.Inf(1), math.Inf(-1)}
	for _, c := range charts {
		all.see(c.Goal)
		all.seeAll(c.shown())
	}
	return all.scale()
}

func scaleOf(goal float64, p paces) Scale {
	all := extent{math.Inf(1), math.Inf(-1)}
	all.see(goal)
	all.seeAll(p)
	return all.scale()
}

// An extent holds the tempi that it has seen.
type extent struct{ low, high float64 }

func (e *extent) see(bpm float64) {
	if playable(bpm) {
		e.low, e.high = min(e.low, bpm), max(e.high, bpm)
	}
}

func (e *extent) seeAll(p paces) {
	for _, t := range p.takes {
		e.see(t.bpm)
	}
	for _, o := range p.owned {
		e.see(o.bpm)
	}
}

func (e extent) scale() Scale {
	if e.low > e.high {
		return Round(60, 120, leastBPM) // nothing yet: where the style begins
	}
	return Round(e.low, e.high, leastBPM)
}

// fastest is the highest tempo that is drawn, so that one wrong number does not
// flatten the rest. Our choice: twice the highest that can be written.
const fastest = 800

func playable(bpm float64) bool { return bpm > 0 && bpm <= fastest }

// paces are what a tempo chart shows.
type paces struct {
	window
	takes []pace // in the window
	owned []pace // where the tempo owned changes, the first at the left edge if it was owned before
}

// A pace is a tempo at a time; 0 where none is owned.
type pace struct {
	day, bpm float64
	step     int
}

func (c Tempo) shown() paces {
	days := daysOf(c.Takes, func(t *Pace) time.Time { return t.At })
	p := paces{window: c.window(days), takes: make([]pace, 0, len(days))}
	for i, t := range c.Takes {
		p.take(days[i], t)
	}
	return p
}

func (p *paces) take(day float64, t Pace) {
	if day > p.to {
		return
	}
	if p.holds(day) && playable(t.BPM) {
		p.takes = append(p.takes, pace{day, t.BPM, t.Step})
	}
	now, last := pace{max(day, p.from), 0, t.Step}, pace{}
	if playable(t.Owned) {
		now.bpm = t.Owned
	}
	if n := len(p.owned); n > 0 {
		last = p.owned[n-1]
	}
	switch {
	case now.step == last.step && (now.bpm == last.bpm || now.bpm == 0): // what is owned stays owned
	case len(p.owned) > 0 && last.day >= now.day: // at the left edge only the last counts
		p.owned[len(p.owned)-1] = now
	default:
		p.owned = append(p.owned, now)
	}
}

// A reach is what was played in one stretch of weeks.
type reach struct {
	n         int
	low, high float64
}

// reaches gathers the takes into stretches.
func (p paces) reaches(b bins) []reach {
	all := make([]reach, b.n)
	for _, t := range p.takes {
		r := &all[b.of(t.day)]
		if r.n == 0 {
			r.low, r.high = t.bpm, t.bpm
		}
		r.n, r.low, r.high = r.n+1, min(r.low, t.bpm), max(r.high, t.bpm)
	}
	return all
}

// ownedIn returns what is owned at the end of each stretch.
func (p paces) ownedIn(b bins) []pace {
	all := make([]pace, b.n)
	next, owned := 0, pace{}
	for i := range all {
		for ; next < len(p.owned) && b.of(p.owned[next].day) <= i; next++ {
			owned = p.owned[next]
		}
		all[i] = owned
	}
	return all
}

// Words says where the tempo stands, where it came from, and the goal.
func (c Tempo) Words() string { return c.words(c.shown()) }

func (c Tempo) words(p paces) string {
	if n := len(p.takes); n < needed {
		return c.few(p)
	}
	words := c.ownedWords(p)
	if playable(c.Goal) {
		words += " Goal " + whole(c.Goal) + "."
	}
	r := p.reaches(p.bins(1))[0]
	words += " Played from " + whole(r.low) + " to " + whole(r.high) + " in " + count(r.n, "take") + "."
	if last := p.takes[r.n-1].day; weekOf(last) < weekOf(p.to) {
		words += " Last played " + p.ago(last) + "."
	}
	return words
}

func (c Tempo) ownedWords(p paces) string {
	first, last := pace{}, pace{}
	for _, o := range p.owned {
		if o.bpm > 0 && first.bpm == 0 {
			first = o
		}
		last = o
	}
	words := "No tempo owned yet"
	if last.bpm > 0 {
		words = whole(last.bpm) + " BPM owned"
	}
	if last.step > 0 {
		words = "Step " + strconv.Itoa(last.step) + ": " + strings.ToLower(words[:1]) + words[1:]
	}
	switch {
	case first.bpm == 0 || first == last:
	case first.step != last.step:
		words += "; " + p.ago(first.day) + " it was step " + strconv.Itoa(first.step) + " at " + whole(first.bpm)
	default:
		words += "; " + p.ago(first.day) + " it was " + whole(first.bpm)
	}
	return words + "."
}

// few tells the takes that are there, and how many are missing.
func (c Tempo) few(p paces) string {
	var tempi []string
	for _, t := range p.takes {
		tempi = append(tempi, whole(t.bpm))
	}
	if len(tempi) == 0 {
		return missing(0)
	}
	return "Played at " + list(tempi) + " BPM. " + missing(len(tempi))
}

// Rows returns one row a week that was played or in which a tempo was owned.
func (c Tempo) Rows() [][]string {
	rows := [][]string{{"title", "week from", "takes", "slowest BPM", "fastest BPM", "step", "owned BPM", "goal BPM"}}
	p := c.shown()
	b := p.bins(mostWeeks)
	owned := p.ownedIn(b)
	for i, r := range p.reaches(b) {
		if r.n == 0 && owned[i].bpm == 0 {
			continue
		}
		row := []string{c.Title, iso(b.week(i)), strconv.Itoa(r.n), "", "", "", bpm(owned[i].bpm), bpm(c.Goal)}
		if owned[i].step > 0 {
			row[5] = strconv.Itoa(owned[i].step)
		}
		if r.n > 0 {
			row[3], row[4] = bpm(r.low), bpm(r.high)
		}
		rows = append(rows, row)
	}
	return rows
}

// mostWeeks is the most rows of a table by weeks: forty years. Our choice.
const mostWeeks = 2_100

// bpm writes a tempo, nothing for none.
func bpm(x float64) string {
	if !playable(x) {
		return ""
	}
	return exact(x)
}
