package chart

import (
	"math"
	"strconv"
)

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
	bandNarrow  = 3  // least width of a stretch of the band
	stretchGap  = 3  // what a line is shorter, so that two steps are two lines
	stepRoom    = 15 // from one number of a step to the next
	mostChanges = 99 // more than these and the line is drawn by week
)

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
