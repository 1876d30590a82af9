// Package progress says what the takes of weeks and months show.
//
// The one idea: a [Report] is computed from the book of takes in one pass, and
// holds nothing that the book does not. Tempi are beats a minute, times
// milliseconds (early negative), minutes minutes; days are those of the player's
// own calendar, and weeks begin on Monday (ISO 8601). What is not known stays
// unknown: a week without takes has no mark, and nothing is drawn between.
//
// Call [Of] with the entries of the book and a [Question].
package progress

import (
	"sort"
	"time"

	"stampmill/app/logbook"
)

// A Span is how far a report reaches back.
type Span uint8

// The spans.
const (
	FourWeeks Span = iota
	TwelveWeeks
	All
)

// spans are the spans by the names that the settings keep, with their words.
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

// SpanNamed returns the span of a name.
func SpanNamed(name string) (Span, bool) {
	for i, s := range spans {
		if s.name == name {
			return Span(i), true
		}
	}
	return TwelveWeeks, false
}

// A Climb is what is known of an exercise beside its takes.
type Climb struct {
	Name, Title string
	Steps       []Step
}

// A Step is one step of a climb.
type Step struct {
	Title string
	Goal  float64 // beats a minute
}

// A Question is what a report is to show.
type Question struct {
	Climbs []Climb
	Now    time.Time // in the player's time zone
	Span   Span
	Tuplet string // whose splits, as [logbook.Split] writes it; "" for the one played last
	Weak   Chosen // whose weak places; the zero value for the step played last
}

// Chosen names a step of an exercise and the part that was played of it.
type Chosen struct{ Exercise, Title, Part string }

// A Report is what the page shows.
type Report struct {
	From, Now Day
	Weeks     int // from From, a Monday, to now; at least minWeeks
	PerMark   int // weeks that share a mark, 1 where there is room for all
	Takes     int // of the span
	LeftOut   int // takes with a time that cannot be, which no picture shows

	Tempi   []Tempo // a climb each, the one played last first
	Leaning []Leaning
	Unknown int // takes of the span whose delay was not known
	Tuplets []string
	Splits  Splits
	Played  []Chosen // steps with takes in the span, the one played last first
	Weak    Weak
	Days    []Minutes
}

// Bounds of a report.
const (
	minWeeks = 4    // of an axis, so that two days of practice do not fill it
	maxMarks = 26   // beside each other: half a year of weeks
	oldest   = 2000 // no take is older than this year: a clock that was not set
)

// Of makes the report. Entries may stand in any order; what cannot be (a time
// that is no time, a number that is no number) is left out.
func Of(entries []logbook.Entry, q Question) Report {
	entries = inOrder(entries)
	cal := calendar{zone: q.Now.Location()}
	r := newReport(entries, q, &cal)
	w := newWork(&r, q, entries)
	for i := range entries {
		day := cal.day(entries[i].At)
		if !r.plausible(day) {
			r.LeftOut++
			continue
		}
		w.take(&entries[i], day)
	}
	w.finish()
	return r
}

func (r *Report) plausible(d Day) bool { return d >= dayOf(oldest, 1, 1) && d <= r.Now }

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

func newReport(entries []logbook.Entry, q Question, cal *calendar) Report {
	r := Report{Now: cal.day(q.Now), Weeks: spans[q.Span].weeks, PerMark: 1}
	if q.Span == All {
		first := r.Now
		for i := range entries { // the first that is plausible
			if d := cal.day(entries[i].At); r.plausible(d) {
				first = d
				break
			}
		}
		r.Weeks = max(int(r.Now.Monday()-first.Monday())/7+1, minWeeks)
		r.PerMark = (r.Weeks + maxMarks - 1) / maxMarks
	}
	r.From = r.Now.Monday() - Day(7*(r.Weeks-1))
	return r
}

// mark returns the mark of a day, from 0; negative before the span. The last
// mark ends with this week.
func (r *Report) mark(d Day) int {
	if d < r.From {
		return -1
	}
	last := (r.Weeks - 1) / r.PerMark
	return last - int(r.Now.Monday()-d.Monday())/7/r.PerMark
}

// begins returns the first day of a mark.
func (r *Report) begins(mark int) Day {
	last := (r.Weeks - 1) / r.PerMark
	return max(r.Now.Monday()-Day(7*((last-mark+1)*r.PerMark-1)), r.From)
}

// marks is how many marks the span has.
func (r *Report) marks() int { return (r.Weeks-1)/r.PerMark + 1 }

// A work is a report in the making.
type work struct {
	r       *Report
	q       Question
	tempi   tempi
	leaning []sums
	splits  splitWork
	played  map[Chosen]Day
	weak    weakWork
	minutes map[Day]float64
}

func newWork(r *Report, q Question, entries []logbook.Entry) *work {
	w := &work{r: r, q: q, tempi: newTempi(q.Climbs), leaning: make([]sums, r.marks()), played: map[Chosen]Day{}, minutes: map[Day]float64{}}
	w.weak.chosen = q.Weak
	for i := len(entries) - 1; i >= 0 && w.weak.chosen == (Chosen{}); i-- {
		if entries[i].Unread == "" {
			w.weak.chosen = chosen(&entries[i])
		}
	}
	return w
}

func chosen(e *logbook.Entry) Chosen { return Chosen{e.Exercise, e.Title, e.Part} }

// take adds one take of a plausible day.
func (w *work) take(e *logbook.Entry, d Day) {
	w.tempi.take(e, d, w.r)
	if d < w.r.From {
		return
	}
	w.r.Takes++
	if e.Unread != "" {
		return
	}
	w.played[chosen(e)] = d
	w.lean(e, d)
	w.splits.take(e, w.r.mark(d))
	w.weak.take(e)
	if usable(e.Minutes) && e.Minutes > 0 {
		w.minutes[d] += e.Minutes
	}
}

func (w *work) finish() {
	w.r.Tempi = w.tempi.all(w.r)
	w.r.Leaning = w.leanings()
	w.r.Tuplets, w.r.Splits = w.splits.result(w.q.Tuplet, w.r)
	w.r.Played = w.recent()
	w.r.Weak = w.weak.result()
	w.r.Days = w.days()
}

// recent are the steps that were played in the span, those of the last day
// first, else by name.
func (w *work) recent() []Chosen {
	var all []Chosen
	for c := range w.played {
		all = append(all, c)
	}
	sort.Slice(all, func(i, j int) bool {
		a, b := all[i], all[j]
		switch {
		case w.played[a] != w.played[b]:
			return w.played[a] > w.played[b]
		case a.Exercise != b.Exercise:
			return a.Exercise < b.Exercise
		case a.Title != b.Title:
			return a.Title < b.Title
		}
		return a.Part < b.Part
	})
	return all
}
