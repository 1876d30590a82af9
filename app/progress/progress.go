// Package progress says what the takes of weeks and months show.
//
// The one idea: a [Report] is computed from the book of takes in one pass, and
// holds nothing that the book does not: the charts of package chart, filled in,
// and for each of them what it means for the next practice, in a sentence.
// Tempi are beats a minute, times milliseconds (early negative); days are those
// of the player's own calendar, and weeks begin on Monday (ISO 8601). What is
// not known stays unknown.
//
// Call [Of] with the entries of the book and a [Question].
package progress

import (
	"sort"
	"time"

	"stampmill/app/chart"
	"stampmill/app/logbook"
	"stampmill/exercises/passage"
)

// A Span is how far a report reaches back.
type Span uint8

// The spans.
const (
	TwelveWeeks Span = iota
	FourWeeks
	All
)

// spans are the spans by their names, with their words.
var spans = [...]struct {
	name, label string
	weeks       int
}{FourWeeks: {"4", "4 weeks", 4}, TwelveWeeks: {"12", "12 weeks", 12}, All: {"all", "All", 0}}

// Spans are all spans, the shortest first.
func Spans() []Span { return []Span{FourWeeks, TwelveWeeks, All} }

// String returns the name of a span: "4", "12" or "all".
func (s Span) String() string { return spans[s].name }

// Label returns the span in words.
func (s Span) Label() string { return spans[s].label }

// Fitting returns the span that a book is best looked at in: the shortest that
// holds all of it, at most twelve weeks.
func Fitting(entries []logbook.Entry, now time.Time) Span {
	for i := range entries { // the first that is plausible is the oldest
		if at := entries[i].At; at.Year() >= oldest {
			if now.Sub(at) > time.Duration(spans[FourWeeks].weeks)*7*24*time.Hour {
				return TwelveWeeks
			}
			break
		}
	}
	return FourWeeks
}

// SpanNamed returns the span of a name.
func SpanNamed(name string) (Span, bool) {
	for i, s := range spans {
		if s.name == name {
			return Span(i), true
		}
	}
	return TwelveWeeks, false
}

// A Climb is an exercise by the name that takes have for it.
type Climb struct {
	Name string
	passage.Climb
}

// A Question is what a report is to show.
type Question struct {
	Climbs []Climb   // takes of others are shown too, less what is not known of them
	Now    time.Time // in the player's time zone
	Span   Span
	Tuplet string // whose splits, as [logbook.Split] writes it; "" for the one played last
	Weak   Chosen // whose weak places; the zero value for what was played lately
}

// Chosen names a step of an exercise and the part that was played of it.
type Chosen struct{ Exercise, Title, Part string }

// A Report is what the page shows. The charts have no headings.
type Report struct {
	Span    chart.Span
	Takes   int // of the span
	LeftOut int // takes with a time that cannot be, which nothing else shows
	Unknown int // takes of the span whose delay was not known

	Tempi   []Tempo // a climb each, the one played last first
	Leaning chart.Leaning
	Lately  Leaning // of the newest week that was played
	First   Leaning // of the first week of the span that was played
	Tuplets []string
	Split   Split
	Played  []Chosen // what was played in the span, the newest first
	Weak    Weak
	Minutes chart.Minutes
	Week    Week
}

// A Week is the week that is now.
type Week struct {
	Minutes float64
	Days    int // on which there were takes
}

// Bounds of a report.
const (
	minWeeks = 4    // of an axis, so that two days of practice do not fill it
	oldest   = 2000 // no take is older than this year: a clock that was not set
)

// Of makes the report. Entries may stand in any order; what cannot be (a time
// that is no time, a number that is no number) is left out.
func Of(entries []logbook.Entry, q Question) Report {
	entries = inOrder(entries)
	w := newWork(entries, q)
	for i := range entries {
		day := w.cal.day(entries[i].At)
		if !w.plausible(day) {
			w.r.LeftOut++
			continue
		}
		w.take(&entries[i], day)
	}
	w.finish()
	return w.r
}

// inOrder returns the entries in order of time; the slice itself where they
// are, which the book sees to.
func inOrder(entries []logbook.Entry) []logbook.Entry {
	for i := 1; i < len(entries); i++ {
		if entries[i].At.Before(entries[i-1].At) {
			sorted := append([]logbook.Entry(nil), entries...)
			sort.SliceStable(sorted, func(a, b int) bool { return sorted[a].At.Before(sorted[b].At) })
			return sorted
		}
	}
	return entries
}

// A work is a report in the making.
type work struct {
	r         Report
	q         Question
	cal       calendar
	from, now Day // from is a Monday

	tempi  tempi
	lean   leanWork
	splits splitWork
	played map[Chosen]int // the take of the span that was the last of it
	weak   weakWork
	day    Day // of the last of Minutes
}

func newWork(entries []logbook.Entry, q Question) *work {
	w := &work{q: q, cal: calendar{zone: q.Now.Location()}, tempi: newTempi(q.Climbs), played: map[Chosen]int{}}
	w.now = w.cal.day(q.Now)
	weeks := spans[q.Span].weeks
	if q.Span == All {
		weeks = w.weeks(entries)
	}
	w.from = w.now.Monday() - Day(7*weeks) // so many whole weeks, and this one
	w.r.Span = chart.Span{From: w.cal.midnight(w.from), To: q.Now}
	w.r.Leaning.Span, w.r.Minutes.Span, w.splits.span = w.r.Span, w.r.Span, w.r.Span
	w.weak.chosen = q.Weak
	if q.Weak == (Chosen{}) {
		w.weak.chosen = lately(entries)
	}
	return w
}

// lately is what was played last minTakes times, else what was played last: one
// take says little of its places.
func lately(entries []logbook.Entry) Chosen {
	var last Chosen
	times := map[Chosen]int{}
	for i := len(entries) - 1; i >= 0; i-- {
		if entries[i].Unread != "" {
			continue
		}
		c := chosen(&entries[i])
		if times[c]++; times[c] == minTakes {
			return c
		}
		if last == (Chosen{}) {
			last = c
		}
	}
	return last
}

// weeks is how many weeks the entries go back.
func (w *work) weeks(entries []logbook.Entry) int {
	for i := range entries {
		if d := w.cal.day(entries[i].At); w.plausible(d) {
			return max(int(w.now.Monday()-d.Monday())/7, minWeeks)
		}
	}
	return minWeeks
}

func (w *work) plausible(d Day) bool { return d >= dayOf(oldest, 1, 1) && d <= w.now }

// local is a moment in the player's time zone.
func (w *work) local(t time.Time) time.Time { return t.In(w.cal.zone) }

func chosen(e *logbook.Entry) Chosen { return Chosen{e.Exercise, e.Title, e.Part} }

// take adds one take of a plausible day.
func (w *work) take(e *logbook.Entry, d Day) {
	shown := d >= w.from
	if shown {
		w.r.Takes++
		w.minutes(e, d)
	}
	if e.Unread != "" {
		return
	}
	c := chosen(e)
	at := w.local(e.At)
	w.tempi.take(e, c, at, shown)
	if !shown {
		return
	}
	w.played[c] = w.r.Takes
	w.leans(e, at, d)
	w.splits.take(e, at, d.Monday())
	w.weak.take(e, c)
}

// minutes sums the takes of a day.
func (w *work) minutes(e *logbook.Entry, d Day) {
	if !usable(e.Minutes) || e.Minutes <= 0 {
		return
	}
	takes := &w.r.Minutes.Takes
	if n := len(*takes); n > 0 && w.day == d {
		(*takes)[n-1].Minutes += e.Minutes
	} else {
		*takes, w.day = append(*takes, chart.Practice{At: w.local(e.At), Minutes: e.Minutes}), d
		if d >= w.now.Monday() {
			w.r.Week.Days++
		}
	}
	if d >= w.now.Monday() {
		w.r.Week.Minutes += e.Minutes
	}
}

func (w *work) finish() {
	w.r.Tempi = w.tempi.all(w)
	w.r.First, w.r.Lately = w.lean.first.leaning(), w.lean.last.leaning()
	w.r.Tuplets, w.r.Split = w.splits.result(w.q.Tuplet)
	for c := range w.played {
		w.r.Played = append(w.r.Played, c)
	}
	sort.Slice(w.r.Played, func(i, j int) bool { return w.played[w.r.Played[i]] > w.played[w.r.Played[j]] })
	w.r.Weak = w.weak.result(w)
}
