package chart

import (
	"math"
	"strconv"
	"time"
)

// A Span is the time that a chart shows, both ends included. To is the moment
// of drawing, "now", and says the time zone; where it is zero the newest take
// is now. Where From is zero the chart begins with the week of the oldest take.
type Span struct{ From, To time.Time }

// Days are counted from a Monday by the calendar of the time's own zone, so
// that a day has its place whatever its clocks do; the part behind the point is
// the time by the clock.
func dayOf(t time.Time) float64 {
	const thursday = 3 // 1 January 1970 was one
	_, offset := t.Zone()
	seconds := t.Unix() + int64(offset) // by the clock on the wall
	days := floorDiv(seconds, 24*60*60)
	return float64(days+thursday) + float64(seconds-days*24*60*60)/(24*60*60)
}

// daysOf returns the day of each take.
func daysOf[T any](takes []T, at func(*T) time.Time) []float64 {
	days := make([]float64, len(takes))
	for i := range takes {
		days[i] = dayOf(at(&takes[i]))
	}
	return days
}

func floorDiv(a, b int64) int64 {
	if a < 0 {
		return -((b - 1 - a) / b)
	}
	return a / b
}

// date writes a day: "19 Oct"; with its year where it is not that of now.
func date(day, now float64) string {
	d, n := timeOf(day), timeOf(now)
	if d.Year() == n.Year() {
		return d.Format("2 Jan")
	}
	return d.Format("2 Jan 2006")
}

// iso writes a day for a table.
func iso(day float64) string { return timeOf(day).Format("2006-01-02") }

func timeOf(day float64) time.Time {
	return time.Unix((int64(math.Floor(day))-3)*24*60*60, 0).UTC()
}

// weekOf returns the week of a day; weeks begin on Monday (ISO 8601).
func weekOf(day float64) int { return int(math.Floor(day / 7)) }

// A window is a span in days.
type window struct{ from, to float64 }

// window returns the span in days, for takes on the given days.
func (s Span) window(days []float64) window {
	w := window{math.Inf(1), math.Inf(-1)}
	for _, d := range days {
		w.from, w.to = min(w.from, d), max(w.to, d)
	}
	w.from = math.Floor(w.from/7) * 7
	if !s.To.IsZero() || len(days) == 0 {
		w.to = dayOf(s.To)
	}
	if !s.From.IsZero() || len(days) == 0 {
		w.from = dayOf(s.From)
	}
	if s.From.IsZero() && len(days) == 0 || !(w.from < w.to) {
		w.from = w.to - 7
	}
	return w
}

func (w window) holds(day float64) bool { return day >= w.from && day <= w.to }

// x returns where a day stands between left and right.
func (w window) x(day, left, right float64) float64 {
	return left + (inside(day, w.from, w.to)-w.from)/(w.to-w.from)*(right-left)
}

// agoWeeks is the longest time that is told in weeks; longer ones have a date.
// Our choice: half a year.
const agoWeeks = 26

// start names the left end of the window.
func (w window) start() string { return w.ago(w.from) }

// ago names a day: "yesterday", "5 days ago", "12 weeks ago", or its date.
func (w window) ago(day float64) string {
	weeks := w.weeks(day)
	switch days := int(math.Floor(w.to) - math.Floor(day)); {
	case weeks > agoWeeks:
		return date(day, w.to)
	case days <= 0:
		return "today"
	case days == 1:
		return "yesterday"
	case days < 14:
		return count(days, "day") + " ago"
	}
	return count(weeks, "week") + " ago"
}

// weekAgo names the week of a day: "this week", "8 weeks ago", or its date.
func (w window) weekAgo(day float64) string {
	switch weeks := weekOf(w.to) - weekOf(day); {
	case weeks > agoWeeks:
		return date(day, w.to)
	case weeks <= 0:
		return "this week"
	case weeks == 1:
		return "last week"
	default:
		return count(weeks, "week") + " ago"
	}
}

// briefly names a day where there is little room: "12 weeks", or its month.
func (w window) briefly(day float64) string {
	if weeks := w.weeks(day); weeks <= agoWeeks {
		return count(weeks, "week")
	}
	return timeOf(day).Format("Jan 2006")
}

func (w window) weeks(day float64) int { return int(math.Round((w.to - day) / 7)) }

// Bins are stretches of whole weeks, the last one ending with the week of now.
type bins struct {
	window
	last int // week of now
	size int // weeks each
	n    int
}

// bins cuts the window into at most so many stretches of 1, 2, 4, 8, ... weeks.
func (w window) bins(most int) bins {
	b := bins{window: w, last: weekOf(w.to), size: 1}
	weeks := b.last - weekOf(w.from) + 1
	for b.n = weeks; b.n > max(most, 1); b.n = (weeks + b.size - 1) / b.size {
		b.size *= 2
	}
	return b
}

// of returns the stretch of a day, which has to be in the window; 0 is the oldest.
func (b bins) of(day float64) int { return b.n - 1 - (b.last-weekOf(day))/b.size }

// ends returns the days at which stretch i begins and ends, cut at the window.
func (b bins) ends(i int) (from, to float64) {
	end := float64(7 * (b.last + 1 - (b.n-1-i)*b.size))
	return max(end-float64(7*b.size), b.from), min(end, b.to)
}

// week returns the Monday with which stretch i begins.
func (b bins) week(i int) float64 { return float64(7 * (b.last + 1 - (b.n-i)*b.size)) }

// unit names a stretch: "week", "4 weeks".
func (b bins) unit() string {
	if b.size == 1 {
		return "week"
	}
	return count(b.size, "week")
}

// count writes a number with its noun: "1 week", "3 weeks".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
