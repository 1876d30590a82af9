package chart

import (
	"math"
	"strconv"
	"time"
)

// A Practice is one take: how long it lasted, in minutes.
type Practice struct {
	At      time.Time
	Minutes float64
}

// Minutes shows the practice of each day as bars from zero: a day without
// practice is left empty, today stands in full ink with its number. Long spans
// are drawn by weeks or months.
type Minutes struct {
	Heading
	Span
	Takes []Practice // in any order
}

// Sizes of the chart of minutes in user units. Our choice.
const (
	minutesLeft   = 34
	minutesTop    = 10
	minutesHigh   = 94
	minutesUnder  = 24
	valueShare    = 0.3 // of the width, for words beside the newest bar
	valueGap      = 7   // from the newest bar to its number
	barNarrow     = 3   // least room of a bar, with its gap
	barWide       = 56  // and most
	leastMinutes  = 5   // finest step of the scale
	dayWeeks      = 13  // spans longer than this are drawn by weeks
	weekWeeks     = 157 // and longer than this by months of the calendar
	longestTake   = 24 * 60
	dateRoom      = 52 // room of "19 Oct"
	dateYearRoom  = 84 // and of "19 Oct 2025"
	mostPractised = 50_000
)

// A slot is the room of one bar.
type slot struct {
	from    float64 // its first day
	minutes float64
	marked  bool // with an upright line: a week or a year begins
}

// Unit names what one bar stands for: "day", "week" or "month".
func (c Minutes) Unit() string { return c.unit(c.Span.window(c.days())) }

func (c Minutes) unit(w window) string {
	switch weeks := weekOf(w.to) - weekOf(w.from); {
	case weeks <= dayWeeks:
		return "day"
	case weeks <= weekWeeks:
		return "week"
	}
	return "month"
}

func (c Minutes) days() []float64 {
	return daysOf(c.Takes, func(t *Practice) time.Time { return t.At })
}

// slots sums the takes into days, weeks or months up to now.
func (c Minutes) slots() (w window, unit string, all []slot) {
	days := c.days()
	w = c.Span.window(days)
	w.from, unit = math.Floor(w.from/7)*7, c.unit(w)
	index := indexes(w, unit)
	all = make([]slot, min(index(w.to)+1, mostPractised))
	for i := range all {
		all[i] = begin(w, unit, i)
	}
	for i, t := range c.Takes {
		if w.holds(days[i]) {
			all[min(index(days[i]), len(all)-1)].minutes += t.counted()
		}
	}
	return w, unit, all
}

// indexes returns which bar a day belongs to.
func indexes(w window, unit string) func(day float64) int {
	switch unit {
	case "day":
		return func(day float64) int { return int(math.Floor(day) - w.from) }
	case "week":
		return func(day float64) int { return weekOf(day) - weekOf(w.from) }
	}
	months := func(day float64) int { d := timeOf(day); return 12*d.Year() + int(d.Month()) }
	first := months(w.from)
	return func(day float64) int { return months(day) - first }
}

// begin returns bar i, empty.
func begin(w window, unit string, i int) slot {
	switch unit {
	case "day":
		return slot{from: w.from + float64(i), marked: i%7 == 0}
	case "week":
		return slot{from: w.from + float64(7*i), marked: i%4 == 0}
	}
	first := timeOf(w.from)
	m := time.Date(first.Year(), first.Month()+time.Month(i), 1, 0, 0, 0, 0, time.UTC)
	return slot{from: dayOf(m), marked: m.Month() == time.January}
}

// SVG draws the chart.
func (c Minutes) SVG(width float64) string { return c.picture(width).element(c.Heading, c.Words()) }

func (c Minutes) picture(width float64) *picture {
	p := newPicture(width)
	w, unit, all := c.slots()
	m := minutesPlot{picture: p, window: w, unit: unit, left: minutesLeft, right: p.width}
	if n := len(all); n > 0 && all[n-1].minutes > 0 {
		m.value = whole(all[n-1].minutes) + " " + newest[unit]
		if boldWide*float64(len(m.value)) > m.width*valueShare {
			m.value = whole(all[n-1].minutes)
		}
		m.right -= valueGap + boldWide*float64(len(m.value))
	}
	m.slots = m.newest(all)
	m.top, m.bottom = minutesTop, minutesTop+minutesHigh
	p.height = m.bottom + minutesUnder
	m.scale = minutesScale(m.slots)
	m.each = min((m.right-m.left)/float64(max(len(m.slots), 1)), barWide)
	m.axes()
	m.bars()
	return p
}

// A minutesPlot is the picture with its axes.
type minutesPlot struct {
	*picture
	window
	unit                     string
	slots                    []slot
	left, right, top, bottom float64
	each                     float64 // room of a bar
	value                    string  // the newest one in words
	scale                    Scale
}

// newest leaves out the oldest bars where there is no room for all, and begins
// with a marked one.
func (m *minutesPlot) newest(all []slot) []slot {
	room := int((m.right - m.left) / barNarrow)
	if len(all) <= room {
		return all
	}
	all = all[len(all)-room:]
	for i, s := range all {
		if s.marked {
			return all[i:]
		}
	}
	return all
}

func minutesScale(all []slot) Scale {
	most := 0.0
	for _, s := range all {
		most = max(most, s.minutes)
	}
	return Round(0, max(most, 2*leastMinutes), leastMinutes)
}

func (m *minutesPlot) axes() {
	for _, n := range m.scale.Numbers() {
		y := m.scale.at(n, m.bottom, m.top)
		m.Line("ch-grid", m.left, y, m.width, y)
		m.Text("ch-number", "end", m.left-6, y+middle, whole(n))
	}
	free := 0.0
	for i, s := range m.slots {
		if !s.marked {
			continue
		}
		x := m.left + float64(i)*m.each
		words, room := m.name(s), float64(dateRoom)
		if len(words) > len("30 Sep") {
			room = dateYearRoom
		}
		if x < free || x+room > m.width {
			continue
		}
		m.Line("ch-week", x, m.top, x, m.bottom+4)
		m.Text("ch-number", "", x+4, m.bottom+lineHigh+1, words)
		free = x + room
	}
}

// name writes when a bar begins: "19 Oct", or the year where bars are months.
func (m *minutesPlot) name(s slot) string {
	if m.unit == "month" {
		return timeOf(s.from).Format("2006")
	}
	return date(s.from, m.to)
}

func (m *minutesPlot) bars() {
	gap := min(max(1, m.each*0.22), 5)
	for i, s := range m.slots {
		last := i == len(m.slots)-1
		x, y := m.left+float64(i)*m.each+gap/2, m.scale.at(s.minutes, m.bottom, m.top)
		if s.minutes > 0 {
			class := "ch-day"
			if last {
				class = "ch-today"
			}
			y = min(y, m.bottom-1) // a short one can still be seen
			m.Rect(class, x, y, m.each-gap, m.bottom-y)
		}
		if last && s.minutes > 0 {
			m.Text("ch-value", "", x+m.each-gap+valueGap, min(y+middle+8, m.bottom-6), m.value)
		}
	}
}

// newest names the newest bar, by what a bar stands for.
var newest = map[string]string{"day": "today", "week": "this week", "month": "this month"}

// Words says how much was practised today, this week, and in all.
func (c Minutes) Words() string {
	w, _, _ := c.slots()
	t := c.totals(w)
	if len(t.days) == 0 {
		return "No practice in this time."
	}
	words := "Nothing today yet"
	if t.today > 0 {
		words = whole(t.today) + " minutes today"
	}
	if t.onDays > 0 {
		words += ", " + whole(t.week) + " this week on " + count(t.onDays, "day")
	}
	return words + ". " + whole(t.all) + " minutes on " + count(len(t.days), "day") + " since " + date(w.from, w.to) + "."
}

// Totals are minutes, and on how many days.
type totals struct {
	today, week, all float64
	days             map[float64]bool
	onDays           int // of this week
}

func (c Minutes) totals(w window) totals {
	t := totals{days: map[float64]bool{}}
	today, monday := math.Floor(w.to), float64(7*weekOf(w.to))
	for _, take := range c.Takes {
		m, at := take.counted(), dayOf(take.At)
		day := math.Floor(at)
		if m == 0 || !w.holds(at) {
			continue
		}
		t.all += m
		if day == today {
			t.today += m
		}
		if day >= monday {
			t.week += m
			if !t.days[day] {
				t.onDays++
			}
		}
		t.days[day] = true
	}
	return t
}

// counted returns the minutes that count: none where they are no number, and at
// most a day.
func (p Practice) counted() float64 {
	if !(p.Minutes > 0 && finite(p.Minutes)) {
		return 0
	}
	return min(p.Minutes, longestTake)
}

// Rows returns one row a day, week or month with practice.
func (c Minutes) Rows() [][]string {
	_, unit, all := c.slots()
	rows := [][]string{{unit + " from", "minutes"}}
	for _, s := range all {
		if s.minutes > 0 {
			rows = append(rows, []string{iso(s.from), strconv.FormatFloat(math.Round(s.minutes*10)/10, 'f', 1, 64)})
		}
	}
	return rows
}
