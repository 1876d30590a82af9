package chart

import (
	"math"
	"strconv"
	"time"

	"stampmill/app/strip"
)

// A Lean is one take: how far it leaned and how widely it spread, in ms; early
// is negative. A spread that is no number is not known. N is how many strokes
// it rests on, which is what it weighs in its week.
type Lean struct {
	At       time.Time
	MS       float64
	SpreadMS float64
	N        int
}

// A Leaning chart shows how far the player leans and how widely: early above,
// late below, the tight band as a wash, each mark in the shape of its
// judgement, the spread as an upright. Marks are weeks, or takes where all lie
// in two weeks. Leave takes out whose delay is not known.
type Leaning struct {
	Heading
	Span
	Takes []Lean // in order of time
}

// Sizes of the chart of leaning in user units. Our choice.
const (
	leanLeft    = 78 // the three words and the numbers
	leanRight   = 12
	leanTop     = 12
	leanHigh    = 152
	leanUnder   = 24
	markRoom    = 13 // least room of a mark
	endStroke   = 3  // half of it
	fewWeeks    = 2  // with no more than these, marks are takes
	clearOfMark = 7  // from the middle of a mark to where an upright begins
)

// A leant is one mark: of a week or of a take.
type leant struct {
	day    float64
	ms     float64
	spread float64 // NaN where not known
	takes  int
}

// A mean gathers takes, weighed by their strokes.
type mean struct {
	takes       int
	n, ms       float64 // strokes, and the sum of their errors
	freedom, sq float64 // for the spread: pooled about each take's own mean
}

func (m *mean) add(t Lean) {
	n := float64(max(t.N, 1))
	m.takes++
	m.n, m.ms = m.n+n, m.ms+n*inside(t.MS, -mostMS, mostMS)
	if finite(t.SpreadMS) && t.SpreadMS >= 0 {
		f := max(n-1, 1)
		s := min(t.SpreadMS, mostMS)
		m.freedom, m.sq = m.freedom+f, m.sq+f*s*s
	}
}

func (m mean) leant(day float64) leant {
	return leant{day: day, ms: m.ms / m.n, spread: math.Sqrt(m.sq / m.freedom), takes: m.takes}
}

// mostMS is the largest error that is taken in. Our choice: a whole bar.
const mostMS = 5000

// leants are the marks of a chart.
type leants struct {
	window
	marks  []leant
	takes  int
	unit   string // what a mark is: "take", "week", "4 weeks"
	byTake bool
}

// shown gathers the takes into at most so many marks.
func (c Leaning) shown(most int) leants {
	days := daysOf(c.Takes, func(t *Lean) time.Time { return t.At })
	s := leants{window: c.window(days)}
	b := s.bins(most)
	var takes []leant
	means := make([]mean, b.n)
	for i, t := range c.Takes {
		if !s.holds(days[i]) || !finite(t.MS) {
			continue
		}
		s.takes++
		means[b.of(days[i])].add(t)
		if len(takes) <= most {
			var one mean
			one.add(t)
			takes = append(takes, one.leant(days[i]))
		}
	}
	s.unit = b.unit()
	for i, m := range means {
		if m.takes > 0 {
			from, to := b.ends(i)
			s.marks = append(s.marks, m.leant((from+to)/2))
		}
	}
	if len(s.marks) <= fewWeeks && b.size == 1 && len(takes) <= most {
		s.marks, s.unit, s.byTake = takes, "take", true
	}
	return s
}

// SVG draws the chart.
func (c Leaning) SVG(width float64) string { return c.picture(width).element(c.Heading, c.Words()) }

func (c Leaning) picture(width float64) *picture {
	p := newPicture(width)
	p.height = leanTop + leanHigh + leanUnder
	l := leanPlot{picture: p, left: leanLeft, right: p.width - leanRight, middle: leanTop + leanHigh/2}
	l.leants = c.shown(int((l.right - l.left) / markRoom))
	l.axes()
	if len(l.marks) == 0 {
		p.wrapped("ch-message", "", l.left+8, l.middle-lineHigh*1.5, l.right-l.left-12, "Nothing measured in this time.")
	}
	for i, m := range l.marks {
		l.mark(i, m)
	}
	return p
}

// A leanPlot is the picture with its axes.
type leanPlot struct {
	*picture
	leants
	left, right, middle float64
}

func (l *leanPlot) y(ms float64) float64 {
	return l.middle + inside(ms, -strip.ScaleMS, strip.ScaleMS)*leanHigh/(2*strip.ScaleMS)
}

func (l *leanPlot) axes() {
	for ms := -strip.ScaleMS; ms <= strip.ScaleMS; ms += strip.ScaleMS / 2 {
		if ms == 0 {
			continue
		}
		y := l.y(float64(ms))
		l.Line("ch-dots", l.left, y, l.right, y)
		l.Text("ch-number", "end", l.left-6, y+middle, strconv.Itoa(max(ms, -ms)))
	}
	wash := l.y(strip.TightMS)
	l.Rect("ch-wash", l.left, 2*l.middle-wash, l.right-l.left, 2*(wash-l.middle))
	l.Line("ch-true", l.left, l.middle, l.right, l.middle)
	for _, j := range []strip.Judgement{strip.Early, strip.Tight, strip.Late} {
		l.legend(j)
	}
	y := l.middle + leanHigh/2 + lineHigh + 3
	if l.byTake && len(l.marks) > 0 {
		l.Text("ch-number", "", l.left, y, date(l.marks[0].day, l.to))
		l.Text("ch-number", "end", l.right, y, "newest")
		return
	}
	l.ends(l.window, l.left, l.right, y)
}

// legend names a judgement with its shape, where its marks stand.
func (l *leanPlot) legend(j strip.Judgement) {
	y := l.middle
	switch j {
	case strip.Early:
		y = l.y(-0.78 * strip.ScaleMS)
	case strip.Late:
		y = l.y(0.78 * strip.ScaleMS)
	}
	strip.Mark(&l.Pen, "ch-"+j.String(), j, 7, y)
	l.Text("ch-word ch-"+j.String(), "", 16, y+middle, j.String())
}

// at returns where mark i stands: by its time, or takes in even steps.
func (l *leanPlot) at(i int) float64 {
	if !l.byTake {
		return l.x(l.marks[i].day, l.left+markRoom/2, l.right-markRoom/2)
	}
	n := float64(len(l.marks))
	return l.left + (l.right-l.left)*(float64(i)+0.5)/n
}

func (l *leanPlot) mark(i int, m leant) {
	x, y, j := l.at(i), l.y(m.ms), strip.Judge(m.ms)
	if math.Abs(m.ms) > strip.ScaleMS {
		l.far(j, x, y, m.ms)
	} else if finite(m.spread) {
		l.spread(x, m)
	}
	strip.Mark(&l.Pen, "ch-"+j.String(), j, x, y)
}

// spread draws the upright with its end strokes; an end beyond the scale has
// none.
func (l *leanPlot) spread(x float64, m leant) {
	low, high := m.ms-m.spread, m.ms+m.spread
	l.Line("ch-spread", x, l.y(low), x, l.y(high))
	for _, end := range []float64{low, high} {
		if math.Abs(end) <= strip.ScaleMS {
			l.Line("ch-spread", x-endStroke, l.y(end), x+endStroke, l.y(end))
		}
	}
}

// far tells that a mark is pinned to the end of the scale: a chevron pointing
// out, and the number.
func (l *leanPlot) far(j strip.Judgement, x, y, ms float64) {
	out, below := -1.0, 20.0
	if j == strip.Late {
		out, below = 1, -12
	}
	l.Path("ch-far ch-"+j.String(), "M# #l5 #l5 #", x-5, y+out*7, out*5, -out*5)
	l.Text("ch-strong ch-"+j.String(), "middle", x, y+below, whole(math.Abs(ms)))
}

// Words says how far and how widely now, and at the beginning.
func (c Leaning) Words() string {
	s := c.shown(mostWeeks)
	if len(s.marks) == 0 {
		return "Nothing measured in this time."
	}
	last := s.marks[len(s.marks)-1]
	words := "Newest " + s.unit + ": " + spoken(last)
	if first := s.marks[0]; len(s.marks) > 1 {
		when := s.weekAgo(first.day)
		if s.byTake {
			when = "first take"
		}
		words += "; " + when + ": " + spoken(first)
	}
	return words + ". " + count(s.takes, "take") + "."
}

// spoken writes a mark: "12 ms early, spread ±14".
func spoken(m leant) string {
	words := lean(m.ms)
	if finite(m.spread) {
		words += ", spread ±" + whole(m.spread)
	}
	return words
}

// lean writes an error: "12 ms early"; "on time" where it rounds to nothing.
func lean(ms float64) string {
	n := whole(math.Abs(ms))
	switch {
	case n == "0":
		return "on time"
	case ms < 0:
		return n + " ms early"
	}
	return n + " ms late"
}

// Rows returns one row a mark.
func (c Leaning) Rows() [][]string {
	s := c.shown(mostWeeks)
	when := s.unit + " from"
	if s.byTake {
		when = "day of take"
	}
	rows := [][]string{{when, "takes", "leaning ms, early is negative", "spread ms", "judgement"}}
	for _, m := range s.marks {
		spread := ""
		if finite(m.spread) {
			spread = exact(m.spread)
		}
		day := m.day
		if !s.byTake {
			day = float64(7 * weekOf(day))
		}
		rows = append(rows, []string{iso(day), strconv.Itoa(m.takes), exact(m.ms), spread, strip.Judge(m.ms).String()})
	}
	return rows
}
