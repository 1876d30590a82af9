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

// Sizes of the tempo chart in user units. Our choice.
const (
	tempoLeft   = 30 // three digits and a gap
	tempoRight  = 38 // the newest value
	tempoTop    = 21 // the numbers of steps
	tempoUnder  = 22 // the words under the plot
	tempoLow    = 96 // height of the plot when narrow, and at most
	tempoHigh   = 170
	tempoRise   = 0.46 // of the width
	dotRadius   = 4
	leastBPM    = 5  // finest step of the scale
	bandNarrow  = 3  // least width of a stretch of the band
	stretchGap  = 3  // what a line is shorter, so that two steps are two lines
	stepRoom    = 15 // from one number of a step to the next
	mostChanges = 99 // more than these and the line is drawn by week
)

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
	days := make([]float64, len(c.Takes))
	for i, t := range c.Takes {
		days[i] = dayOf(t.At)
	}
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

// SVG draws the chart.
func (c Tempo) SVG(width float64) string {
	s := c.shown()
	return c.picture(width, s).element(c.Heading, c.words(s))
}

func (c Tempo) picture(width float64, shown paces) *picture {
	p := newPicture(width)
	t := tempoPlot{picture: p, paces: shown, left: tempoLeft, right: p.width - tempoRight, top: tempoTop, scale: c.Scale}
	if t.scale.IsZero() {
		t.scale = scaleOf(c.Goal, shown)
	}
	t.bottom = t.top + inside(p.width*tempoRise, tempoLow, tempoHigh)
	p.height = t.bottom + tempoUnder
	t.axes()
	if len(t.takes) >= needed {
		t.band()
	}
	t.goal(c.Goal)
	if len(t.takes) < needed {
		t.points(c.Goal)
		return p
	}
	t.line()
	return p
}

// A tempoPlot is the picture with its axes.
type tempoPlot struct {
	*picture
	paces
	left, right, top, bottom float64
	scale                    Scale
}

func (t *tempoPlot) y(bpm float64) float64 { return t.scale.at(bpm, t.bottom, t.top) }

func (t *tempoPlot) at(day float64) float64 { return t.x(day, t.left, t.right) }

func (t *tempoPlot) axes() {
	for _, n := range t.scale.Numbers() {
		y := t.y(n)
		t.Line("ch-grid", t.left, y, t.right, y)
		t.Text("ch-number", "end", t.left-6, y+middle, whole(n))
	}
	t.ends(t.window, t.left, t.right, t.bottom+lineHigh)
}

// ends names both ends of the time axis.
func (p *picture) ends(w window, left, right, y float64) {
	p.Text("ch-number", "", left, y, w.start())
	p.Text("ch-number", "end", right, y, "now")
}

func (t *tempoPlot) goal(bpm float64) {
	if playable(bpm) {
		t.Line("ch-goal", t.left, t.y(bpm), t.right, t.y(bpm))
	}
}

// points draws the takes alone and says how many are missing.
func (t *tempoPlot) points(goal float64) {
	for _, take := range t.takes {
		t.Circle("ch-dot", t.at(take.day), t.y(take.bpm), dotRadius)
	}
	t.wrapped("ch-message", "", t.left+4, t.free(goal)-2, t.width-t.left-8, missing(len(t.takes)))
}

// free returns the middle of the stretch, of two lines, that is farthest from
// the points and the goal.
func (t *tempoPlot) free(goal float64) float64 {
	best, most := t.bottom, -1.0
	for y := t.top + lineHigh; y <= t.bottom-lineHigh; y += lineHigh / 2 {
		room := math.Inf(1)
		if playable(goal) {
			room = math.Abs(t.y(goal) - y)
		}
		for _, take := range t.takes {
			room = min(room, math.Abs(t.y(take.bpm)-y))
		}
		if room > most {
			best, most = y, room
		}
	}
	return best
}

// band draws each run of stretches that were played as one shape.
func (t *tempoPlot) band() {
	b := t.bins(int((t.right - t.left) / bandNarrow))
	all := t.reaches(b)
	for i := 0; i < len(all); {
		if all[i].n == 0 {
			i++
			continue
		}
		j := i
		for j < len(all) && all[j].n > 0 {
			j++
		}
		t.run(b, all, i, j)
		i = j
	}
}

// run draws stretches i to j-1: along their highest, back along their lowest.
func (t *tempoPlot) run(b bins, all []reach, i, j int) {
	from, _ := b.ends(i)
	form, values := "M# #", []float64{t.at(from), t.y(all[i].high)}
	for k := i; k < j; k++ {
		_, end := b.ends(k)
		form += "V#H#"
		values = append(values, t.y(all[k].high), t.at(end))
	}
	for k := j - 1; k >= i; k-- {
		begin, _ := b.ends(k)
		form += "V#H#"
		values = append(values, t.y(all[k].low), t.at(begin))
	}
	t.Path("ch-band", form+"z", values...)
}

// line draws the tempo owned, the stretch of one step after the other, up to
// now.
func (t *tempoPlot) line() {
	changes := t.changes()
	if len(changes) == 0 {
		t.newest(0)
		return
	}
	t.newest(changes[len(changes)-1].bpm)
	var reached []pace
	for len(changes) > 0 {
		n := 1
		for n < len(changes) && changes[n].step == changes[0].step && changes[n].bpm >= changes[n-1].bpm {
			n++
		}
		end := t.right
		if n < len(changes) {
			end = t.at(changes[n].day) - stretchGap
		}
		t.stretch(changes[:n], end)
		reached, changes = append(reached, changes[0]), changes[n:]
	}
	t.steps(reached)
}

// stretch draws the line of one step from where a tempo is owned.
func (t *tempoPlot) stretch(changes []pace, end float64) {
	if changes[0].bpm == 0 {
		changes = changes[1:]
	}
	if len(changes) == 0 {
		return
	}
	form, values := "M# #", []float64{t.at(changes[0].day), t.y(changes[0].bpm)}
	for _, c := range changes[1:] {
		form += "H#V#"
		values = append(values, t.at(c.day), t.y(c.bpm))
	}
	t.Path("ch-line", form+"H#", append(values, max(end, t.at(changes[len(changes)-1].day)+1))...)
}

// newest draws the newest value at its point, or says that there is none.
func (t *tempoPlot) newest(bpm float64) {
	if bpm == 0 {
		t.Text("ch-word", "end", t.width-2, t.bottom-6, "none owned yet")
		return
	}
	t.Circle("ch-dot", t.right, t.y(bpm), dotRadius)
	t.Text("ch-value", "", t.right+8, t.y(bpm)+middle+1, whole(bpm))
}

// steps writes over the plot where each step was reached, the newest first where
// there is no room for all.
func (t *tempoPlot) steps(reached []pace) {
	free := t.right
	for i := len(reached) - 1; i >= 0 && len(reached) > 1; i-- {
		if x := t.at(reached[i].day); reached[i].step > 0 && x <= free {
			t.Line("ch-week", x, t.top-5, x, t.top)
			t.Text("ch-number", "middle", x, t.top-8, strconv.Itoa(reached[i].step))
			free = x - stepRoom
		}
	}
}

// changes returns the steps of the line, thinned to one a stretch of weeks
// where there are very many.
func (t *tempoPlot) changes() []pace {
	if len(t.owned) <= mostChanges {
		return t.owned
	}
	b := t.bins(int(t.right - t.left))
	all := []pace{t.owned[0]}
	for i, now := range t.ownedIn(b) {
		last := all[len(all)-1]
		if begin, _ := b.ends(i); now.bpm != last.bpm || now.step != last.step {
			now.day = max(begin, last.day)
			all = append(all, now)
		}
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
	if idle := int(p.to/7) - int(p.takes[r.n-1].day/7); idle > 0 {
		words += " Last played " + count(idle, "week") + " ago."
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
