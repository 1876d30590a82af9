package progress

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/app/logbook"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
)

// now is a Thursday afternoon.
var now = time.Date(2026, 11, 26, 15, 0, 0, 0, time.UTC)

var climbs = []Climb{{"headframe", "Headframe", []Step{{"Stamp", 100}, {"Shaft", 104}, {"Cage", 104}}}}

// played is a passed take of the whole of a step, days ago.
func played(title string, daysAgo int, bpm float64) logbook.Entry {
	at := now.AddDate(0, 0, -daysAgo)
	return logbook.Entry{
		Name: "take/" + at.Format(time.RFC3339), At: at, Exercise: "headframe", Title: title, Step: 1, Part: "kick",
		Known: true, Whole: true, Passed: true, Tempo: bpm, Goal: 90, Minutes: 2, Expected: 40, Matched: 40,
		Leaning: grade.Some(-12), Spread: grade.Some(9),
	}
}

func ask(entries ...logbook.Entry) Report {
	return Of(entries, Question{Climbs: climbs, Now: now, Span: TwelveWeeks})
}

func failed(e logbook.Entry) logbook.Entry { e.Passed = false; return e }

func TestTempoOwnedIsTheHighestPassedTwice(t *testing.T) {
	looped := played("Stamp", 1, 120)
	looped.Whole = false
	for _, c := range []struct {
		name  string
		takes []logbook.Entry
		owned []float64
	}{
		{"once is not twice", []logbook.Entry{played("Stamp", 3, 90)}, nil},
		{"twice", []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 90)}, []float64{90}},
		{"the second counts for both", []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 96)}, []float64{90}},
		{"and rises", []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 96), played("Stamp", 1, 96)}, []float64{90, 96}},
		{"a fail takes nothing away", []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 90), failed(played("Stamp", 1, 90))}, []float64{90}},
		{"a fail is no pass", []logbook.Entry{failed(played("Stamp", 3, 90)), played("Stamp", 2, 90)}, nil},
		{"some bars are not the step", []logbook.Entry{looped, looped}, nil},
		{"before the span", []logbook.Entry{played("Stamp", 200, 80), played("Stamp", 199, 80), played("Stamp", 1, 70)}, []float64{80}},
	} {
		got := ask(c.takes...).Tempi
		if len(got) != 1 {
			t.Fatalf("%s: %d climbs", c.name, len(got))
		}
		var bpm []float64
		for _, o := range got[0].Owned {
			bpm = append(bpm, o.BPM)
		}
		if diff := cmp.Diff(c.owned, bpm); diff != "" {
			t.Errorf("%s (-want +got)\n%s", c.name, diff)
		}
	}
}

func TestTheStepReached(t *testing.T) {
	three := func(title string) (all []logbook.Entry) {
		for i := range 3 {
			all = append(all, played(title, 9-i, 80))
		}
		return all
	}
	for _, c := range []struct {
		name  string
		takes []logbook.Entry
		title string
		step  int
		goal  float64
	}{
		{"one look ahead is not reached", append(three("Stamp"), played("Cage", 1, 60)), "Stamp", 1, 100},
		{"three takes are", append(three("Stamp"), three("Shaft")...), "Shaft", 2, 104},
		{"back on an older one", append(append(three("Stamp"), three("Shaft")...), played("Stamp", 1, 80)), "Shaft", 2, 104},
		{"with few takes the furthest", []logbook.Entry{played("Shaft", 1, 80)}, "Shaft", 2, 104},
		{"one that the climb has no more keeps what was written then", three("Winze"), "Winze", 1, 90},
	} {
		got := ask(c.takes...).Tempi[0]
		if got.StepTitle != c.title || got.Step != c.step || got.Goal != c.goal || got.Of != 3 {
			t.Errorf("%s: %q, step %d of %d, goal %v", c.name, got.StepTitle, got.Step, got.Of, got.Goal)
		}
	}
}

func TestBandsAreOfWeeksThatWerePlayed(t *testing.T) {
	r := ask(played("Stamp", 15, 80), failed(played("Stamp", 14, 96)), played("Stamp", 1, 84))
	want := []Band{
		{dayOf(2026, 11, 9), dayOf(2026, 11, 16), 80, 96},  // 11 and 12 November
		{dayOf(2026, 11, 23), dayOf(2026, 11, 27), 84, 84}, // up to now
	}
	if diff := cmp.Diff(want, r.Tempi[0].Bands); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

func TestSpans(t *testing.T) {
	entries := []logbook.Entry{played("Stamp", 400, 80), played("Stamp", 60, 80), played("Stamp", 20, 80), played("Stamp", 0, 80)}
	for _, c := range []struct {
		span            Span
		from            Day
		weeks, per, tks int
	}{
		{FourWeeks, dayOf(2026, 11, 2), 4, 1, 2},
		{TwelveWeeks, dayOf(2026, 9, 7), 12, 1, 3},
		{All, dayOf(2025, 10, 20), 58, 3, 4}, // 400 days before 26 November is 22 October, a Wednesday
	} {
		r := Of(entries, Question{Climbs: climbs, Now: now, Span: c.span})
		if r.From != c.from || r.Weeks != c.weeks || r.PerMark != c.per || r.Takes != c.tks {
			t.Errorf("%s: from %v, %d weeks, %d a mark, %d takes", c.span.Label(), r.From, r.Weeks, r.PerMark, r.Takes)
		}
		if last := r.mark(r.Now); last != r.marks()-1 || r.mark(r.From) != 0 {
			t.Errorf("%s: marks %d to %d of %d", c.span.Label(), r.mark(r.From), last, r.marks())
		}
		for m := range r.marks() {
			if r.mark(r.begins(m)) != m || m > 0 && r.mark(r.begins(m)-1) != m-1 {
				t.Errorf("%s: mark %d begins on %v", c.span.Label(), m, r.begins(m))
			}
		}
	}
}

// A day has 25 hours where summer time ends: 25 October 2026 in Berlin, by the
// time zone database.
func TestDaysAreThoseOfThePlayersOwnTimeZone(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Skip("no time zone database here: ", err)
	}
	cal := calendar{zone: berlin}
	for at, want := range map[string]Day{
		"2026-10-24T21:59:59Z": dayOf(2026, 10, 24),
		"2026-10-24T22:00:00Z": dayOf(2026, 10, 25),
		"2026-10-25T22:59:59Z": dayOf(2026, 10, 25),
		"2026-10-25T23:00:00Z": dayOf(2026, 10, 26),
	} {
		moment, _ := time.Parse(time.RFC3339, at)
		if got := cal.day(moment); got != want {
			t.Errorf("%s: %v, want %v", at, got, want)
		}
	}
	if d := dayOf(2026, 11, 26).Monday(); d != dayOf(2026, 11, 23) || d.Monday() != d || (d-1).Monday() != d-7 {
		t.Errorf("the week of 26 November begins on %v", d)
	}
}

func TestMinutes(t *testing.T) {
	r := ask(played("Stamp", 4, 80), played("Stamp", 3, 80), played("Stamp", 1, 80), played("Stamp", 1, 84))
	want := []Minutes{{dayOf(2026, 11, 22), 2}, {dayOf(2026, 11, 23), 2}, {dayOf(2026, 11, 25), 4}}
	if diff := cmp.Diff(want, r.Days); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if minutes, days := r.ThisWeek(); minutes != 6 || days != 2 {
		t.Errorf("this week %v min on %d days", minutes, days)
	}
}

// Three takes of -10, -12 and -14 ms, each of as many hits: the mean is -12, the
// standard error 2/√3, and Student's t for two degrees of freedom 4.303.
func TestLeaningOfAWeek(t *testing.T) {
	var takes []logbook.Entry
	for i, ms := range []float64{-10, -12, -14} {
		e := played("Stamp", 2-i, 80)
		e.Leaning = grade.Some(ms)
		takes = append(takes, e)
	}
	unknown := played("Stamp", 1, 80)
	unknown.Known, unknown.Leaning = false, grade.Some(300)
	r := ask(append(takes, unknown)...)
	half := 4.303 * 2 / math.Sqrt(3)
	want := []Leaning{{From: dayOf(2026, 11, 23), Takes: 3, MS: -12, Low: -12 - half, High: -12 + half, OK: true, Spread: 9}}
	if diff := cmp.Diff(want, r.Leaning, approx); diff != "" || r.Unknown != 1 {
		t.Errorf("%d unknown (-want +got)\n%s", r.Unknown, diff)
	}
	if l := ask(takes[0]).Leaning[0]; l.OK || l.Low != l.High {
		t.Errorf("an interval from one take: %+v", l)
	}
}

var approx = cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })

func TestSplitsByWeek(t *testing.T) {
	with := func(daysAgo int, splits ...logbook.Split) logbook.Entry {
		e := played("Stamp", daysAgo, 80)
		e.Splits = splits
		return e
	}
	triplet := func(n int, shares ...float64) logbook.Split {
		return logbook.Split{Voice: "kick", At: "2.4", Written: "3:2", Shares: shares, N: n}
	}
	five := logbook.Split{Voice: "kick", At: "1.1", Written: "5:4", Shares: []float64{.2, .2, .2, .2, .2}, N: 1}
	uneven := logbook.Split{Voice: "kick", At: "1.1", Written: "3:2", Shares: []float64{.7, .3}, N: 1}
	r := ask(with(8, five), with(7, triplet(1, .4, .4, .2), uneven), with(2, triplet(1, .4, .3, .3), triplet(3, .36, .34, .3), triplet(1)))
	if diff := cmp.Diff([]string{"3:2", "5:4"}, r.Tuplets); diff != "" {
		t.Error(diff)
	}
	want := Splits{"3:2", []float64{1. / 3, 1. / 3, 1. / 3}, []SplitWeek{
		{dayOf(2026, 11, 16), []float64{.4, .4, .2}, 1},
		{dayOf(2026, 11, 23), []float64{.37, .33, .3}, 4},
	}}
	if diff := cmp.Diff(want, r.Splits, approx); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	var weeks []logbook.Entry
	for i := range 11 {
		weeks = append(weeks, with(77-7*i, triplet(1, .4, .3, .3)))
	}
	if got := ask(weeks...).Splits.Weeks; len(got) != maxSplits || got[maxSplits-1].From != dayOf(2026, 11, 16) {
		t.Errorf("%d weeks, the last %v", len(got), got[len(got)-1].From)
	}
}

func TestWeakPlaces(t *testing.T) {
	with := func(known bool, places ...logbook.Place) logbook.Entry {
		e := played("Stamp", 2, 80)
		e.Known, e.Places = known, places
		return e
	}
	place := func(at int64, ms float64, hits, missed int) logbook.Place {
		return logbook.Place{At: meter.R(at, 4), Voices: "kick", MeanMS: ms, Hits: hits, Missed: missed}
	}
	r := ask(
		with(true, place(0, 4, 4, 0), place(3, -20, 4, 0), place(6, 0, 2, 2)),
		with(true, place(0, 4, 4, 0), place(6, 30, 4, 0), place(9, -40, 1, 0)),
		with(false, place(0, 400, 4, 0), place(3, 400, 4, 0)),
	)
	want := Weak{Chosen{"headframe", "Stamp", "kick"}, 1, 3, true, []Place{
		{meter.R(0, 4), "kick", 4, 8, 12, 0},
		{meter.R(3, 4), "kick", -20, 4, 8, 0},
		{meter.R(6, 4), "kick", 20, 6, 6, 2},
		{meter.R(9, 4), "kick", -40, 1, 1, 0},
	}}
	if diff := cmp.Diff(want, r.Weak, cmp.Comparer(func(a, b meter.Rat) bool { return a == b })); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	var worst []string
	for _, p := range r.Weak.Worst() {
		worst = append(worst, p.At.String())
	}
	if diff := cmp.Diff([]string{"3/2", "3/4"}, worst); diff != "" { // missed and late, then early; one hit says nothing
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// Whatever stands in the book, and in whatever order, there is a report, and
// the order makes no difference.
func TestAnyEntriesMakeAReport(t *testing.T) {
	number := rapid.Custom(func(t *rapid.T) float64 {
		return rapid.SampledFrom([]float64{0, -1, 1, 80, 92.5, -12, 1e300, math.NaN(), math.Inf(1), math.Inf(-1)}).Draw(t, "number")
	})
	optional := rapid.Custom(func(t *rapid.T) grade.Optional {
		return grade.Optional{Value: number.Draw(t, "value"), OK: rapid.Bool().Draw(t, "ok")}
	})
	count := rapid.SampledFrom([]int{-3, 0, 1, 7, math.MaxInt32})
	entry := rapid.Custom(func(t *rapid.T) logbook.Entry {
		e := logbook.Entry{
			At:       now.Add(-time.Duration(rapid.Int64Range(-1e15, 1e17).Draw(t, "ns"))),
			Exercise: rapid.SampledFrom([]string{"", "headframe", "adit"}).Draw(t, "exercise"),
			Title:    rapid.SampledFrom([]string{"", "Stamp", "Cage"}).Draw(t, "title"), Step: count.Draw(t, "step"), Part: "kick",
			Known: rapid.Bool().Draw(t, "known"), Whole: rapid.Bool().Draw(t, "whole"), Passed: rapid.Bool().Draw(t, "passed"),
			Tempo: number.Draw(t, "tempo"), Goal: number.Draw(t, "goal"), Minutes: number.Draw(t, "minutes"), Matched: count.Draw(t, "matched"),
			Leaning: optional.Draw(t, "leaning"), Spread: optional.Draw(t, "spread"),
			Unread: rapid.SampledFrom([]string{"", "", "gone"}).Draw(t, "unread"),
		}
		if rapid.IntRange(0, 9).Draw(t, "odd time") == 0 {
			e.At = rapid.SampledFrom([]time.Time{{}, time.Unix(1<<60, 0), time.Unix(-1<<60, 0), time.Unix(0, 0)}).Draw(t, "at")
		}
		for range rapid.IntRange(0, 3).Draw(t, "places") {
			e.Places = append(e.Places, logbook.Place{At: meter.R(rapid.Int64Range(-2, 9).Draw(t, "at"), 2), MeanMS: number.Draw(t, "ms"), Hits: count.Draw(t, "hits"), Missed: count.Draw(t, "missed")})
			e.Splits = append(e.Splits, logbook.Split{Written: rapid.SampledFrom([]string{"", "3:2", "2:3"}).Draw(t, "written"), Shares: rapid.SliceOfN(number, 0, 4).Draw(t, "shares"), N: count.Draw(t, "n")})
		}
		return e
	})
	rapid.Check(t, func(t *rapid.T) {
		entries := rapid.SliceOfNDistinct(entry, 0, 12, func(e logbook.Entry) time.Time { return e.At }).Draw(t, "entries")
		q := Question{Climbs: climbs, Now: now, Span: rapid.SampledFrom(Spans()).Draw(t, "span")}
		r := Of(entries, q)
		if len(r.Leaning) > maxMarks || len(r.Splits.Weeks) > maxSplits || r.Takes+r.LeftOut > len(entries) {
			t.Fatalf("%d marks, %d splits, %d takes of %d", len(r.Leaning), len(r.Splits.Weeks), r.Takes, len(entries))
		}
		mixed := rapid.Permutation(entries).Draw(t, "mixed")
		if a, b := fmt.Sprintf("%v", r), fmt.Sprintf("%v", Of(mixed, q)); a != b {
			t.Fatalf("another order, another report:\n%s\n%s", a, b)
		}
	})
}

// bookOf is a book of n takes over 40 weeks, of a step of 32 places.
func bookOf(n int) []logbook.Entry {
	all := make([]logbook.Entry, n)
	for i := range all {
		e := played([]string{"Stamp", "Shaft", "Cage"}[i%3], 0, 80+float64(i%30))
		e.At = now.Add(-time.Duration(n-i) * (280 * 24 * time.Hour / time.Duration(n)))
		e.Splits = []logbook.Split{{Written: "3:2", Shares: []float64{.34, .33, .33}, N: 4}}
		for k := range int64(32) {
			e.Places = append(e.Places, logbook.Place{At: meter.R(k, 4), Voices: "kick", MeanMS: 4, Hits: 4})
		}
		all[i] = e
	}
	return all
}

func BenchmarkReport(b *testing.B) {
	for _, n := range []int{1000, 10_000} {
		entries := bookOf(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Of(entries, Question{Climbs: climbs, Now: now, Span: All})
			}
		})
	}
}
