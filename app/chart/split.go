package chart

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// A Division is one take: how a beat was cut, as shares of it from stroke to
// stroke and on to the next beat; they are scaled to a sum of 1. N is how many
// beats that rests on, which is what it weighs in its week.
type Division struct {
	At     time.Time
	Shares []float64
	N      int
}

// A Split chart shows how a tuplet, or any beat of several strokes, falls: one
// row a week, the newest lowest, hits to scale between the beats, the written
// places dashed.
type Split struct {
	Heading
	Span
	Written []float64 // shares as they are written; nil: even, as many as the newest take has
	Takes   []Division
}

// Sizes of the chart of splits in user units. Our choice.
const (
	splitLeft  = 70 // "11 weeks"
	splitRight = 10
	splitTop   = 10
	splitHigh  = 152
	splitUnder = 24
	splitRow   = 26 // most room of a row
	mostRows   = 14
	mostSplit  = 16 // most strokes in a beat
	smallShare = 0.2
)

// A cut is one row.
type cut struct {
	week  float64   // its Monday
	takes int       // 0: not played
	sums  []float64 // shares, weighed
	n     float64
}

// share returns share i of the row.
func (c cut) share(i int) float64 { return c.sums[i] / c.n }

// place returns where stroke i falls, 0 for the beat, 1 for the next.
func (c cut) place(i int) float64 {
	at := 0.0
	for k := range i {
		at += c.share(k)
	}
	return min(at, 1)
}

// cuts are what a chart of splits shows.
type cuts struct {
	bins
	written []float64
	rows    []cut // from the first that was played
	played  int   // how many of them were
}

func (c Split) shown(most int) cuts {
	days := daysOf(c.Takes, func(t *Division) time.Time { return t.At })
	s := cuts{written: c.written()}
	s.bins = c.window(days).bins(most)
	rows := make([]cut, s.n)
	for i, t := range c.Takes {
		if shares := scaled(t.Shares); s.holds(days[i]) && len(shares) == len(s.written) && len(shares) > 0 {
			rows[s.of(days[i])].add(shares, max(t.N, 1))
		}
	}
	for i, r := range rows {
		if r.takes > 0 || len(s.rows) > 0 {
			r.week = s.week(i)
			s.rows = append(s.rows, r)
		}
		if r.takes > 0 {
			s.played++
		}
	}
	return s
}

func (c *cut) add(shares []float64, n int) {
	if c.sums == nil {
		c.sums = make([]float64, len(shares))
	}
	for i, s := range shares {
		c.sums[i] += s * float64(n)
	}
	c.takes, c.n = c.takes+1, c.n+float64(n)
}

// written returns the written shares, nil where there is nothing to show.
func (c Split) written() []float64 {
	if w := scaled(c.Written); w != nil || len(c.Written) > 0 {
		return w
	}
	for i := len(c.Takes) - 1; i >= 0; i-- {
		if n := len(scaled(c.Takes[i].Shares)); n > 0 {
			even := make([]float64, n)
			for k := range even {
				even[k] = 1 / float64(n)
			}
			return even
		}
	}
	return nil
}

// scaled returns shares with a sum of 1, nil where they are none.
func scaled(shares []float64) []float64 {
	if len(shares) < 2 || len(shares) > mostSplit {
		return nil
	}
	sum := 0.0
	for _, s := range shares {
		if !(s >= 0 && s <= roundest) {
			return nil
		}
		sum += s
	}
	if !(sum > 0) {
		return nil
	}
	out := make([]float64, len(shares))
	for i, s := range shares {
		out[i] = s / sum
	}
	return out
}

// SVG draws the chart.
func (c Split) SVG(width float64) string { return c.picture(width).element(c.Heading, c.Words()) }

func (c Split) picture(width float64) *picture {
	p := newPicture(width)
	p.height = splitTop + splitHigh + splitUnder
	s := splitPlot{picture: p, cuts: c.shown(mostRows), left: splitLeft, right: p.width - splitRight}
	if s.played == 0 {
		p.wrapped("ch-message", "middle", p.width/2, splitTop+splitHigh/2, p.width-2*splitRight, "Nothing measured in this time.")
		return p
	}
	s.each = min(splitHigh/float64(max(len(s.rows)-1, 1)), splitRow)
	s.bottom = splitTop + s.each*float64(max(len(s.rows)-1, 1))
	p.height = s.bottom + splitUnder
	s.grid()
	for i, r := range s.rows {
		s.row(i, r)
	}
	return p
}

// A splitPlot is the picture with its axes.
type splitPlot struct {
	*picture
	cuts
	left, right, bottom, each float64
}

func (s *splitPlot) at(share float64) float64 { return s.left + share*(s.right-s.left) }

// grid draws the rows, both beats, and the written places with their numbers.
func (s *splitPlot) grid() {
	for i := range s.rows {
		y := s.y(i)
		s.Line("ch-grid", s.left, y, s.right, y)
	}
	at := 0.0
	for i, share := range s.written {
		class := "ch-even"
		if i == 0 {
			class = "ch-bar"
		}
		x := s.at(at)
		s.Line(class, x, splitTop-6, x, s.bottom+5)
		s.Text("ch-number", "middle", x, s.bottom+lineHigh+3, strconv.Itoa(i+1))
		at += share
	}
	s.Line("ch-bar", s.right, splitTop-6, s.right, s.bottom+5)
}

func (s *splitPlot) y(i int) float64 { return s.bottom - float64(len(s.rows)-1-i)*s.each }

func (s *splitPlot) row(i int, r cut) {
	y := s.y(i)
	switch {
	case i == len(s.rows)-1:
		s.Text("ch-strong", "end", s.left-10, y+middle, "now")
	case i == 0:
		s.Text("ch-number", "end", s.left-10, y+middle, s.briefly(r.week))
	}
	if r.takes == 0 {
		return
	}
	for k := range s.written {
		s.Circle("ch-dot", s.at(r.place(k)), y, dotRadius)
	}
}

// Words says the newest split, the written one, and the oldest.
func (c Split) Words() string {
	s := c.shown(mostWeeks)
	if s.played == 0 {
		return "Nothing measured in this time."
	}
	var first, last cut
	for _, r := range s.rows {
		if r.takes > 0 {
			if first.takes == 0 {
				first = r
			}
			last = r
		}
	}
	words := "Last played " + s.weekAgo(last.week) + ": " + percents(last.shares()) + " per cent of the beat, " + s.aim() + "."
	if s.played > 1 {
		words += " " + sentence(s.weekAgo(first.week)+": "+percents(first.shares()))
	}
	return words
}

// aim writes what is written: "even would be 33", or all shares.
func (s cuts) aim() string {
	for _, w := range s.written {
		if math.Abs(w-s.written[0]) > 1e-6 {
			return "written " + percents(s.written)
		}
	}
	return "even would be " + percents(s.written[:1])
}

func (c cut) shares() []float64 {
	all := make([]float64, len(c.sums))
	for i := range all {
		all[i] = c.share(i)
	}
	return all
}

// percents writes shares as per cents: "33, 33, 33"; small ones with a decimal.
func percents(shares []float64) string {
	words := make([]string, len(shares))
	for i, s := range shares {
		words[i] = whole(100 * s)
		if s < smallShare {
			words[i] = exact(100 * s)
		}
	}
	return strings.Join(words, ", ")
}

// Rows returns one row a week that was played, after one with what is written.
func (c Split) Rows() [][]string {
	s := c.shown(mostWeeks)
	head := []string{"week from", "takes"}
	for i := range s.written {
		head = append(head, "stroke "+strconv.Itoa(i+1)+" to next, per cent")
	}
	rows := [][]string{head}
	if s.written != nil {
		rows = append(rows, append([]string{"written", ""}, cells(s.written)...))
	}
	for _, r := range s.rows {
		if r.takes > 0 {
			rows = append(rows, append([]string{iso(r.week), strconv.Itoa(r.takes)}, cells(r.shares())...))
		}
	}
	return rows
}

func cells(shares []float64) []string {
	var all []string
	for _, s := range shares {
		all = append(all, strconv.FormatFloat(math.Round(1000*s)/10, 'f', 1, 64))
	}
	return all
}
