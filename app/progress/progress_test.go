package progress

import (
	"fmt"
	"math"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/app/logbook"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// now is a Thursday afternoon.
var now = time.Date(2026, 11, 26, 15, 0, 0, 0, time.UTC)

var climbs = []Climb{{"headframe", passage.Climb{Title: "Headframe", Steps: []passage.Step{step("Stamp", 100), step("Shaft", 104), step("Cage", 104)}}}}

func step(title string, bpm int64) passage.Step {
	bar := passage.Bar{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: meter.Int(bpm)}}
	return passage.Step{Title: title, Passage: passage.Passage{Bars: []passage.Bar{bar}}}
}

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
		owned float64
	}{
		{"once is not twice", []logbook.Entry{played("Stamp", 3, 90)}, 0},
		{"twice", []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 90)}, 90},
		{"two tempi are not one twice", []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 96)}, 0},
		{"and rises", []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 90), played("Stamp", 2, 96), played("Stamp", 1, 96)}, 96},
		{"not below what is owned", []logbook.Entry{played("Stamp", 3, 96), played("Stamp", 2, 96), played("Stamp", 2, 90), played("Stamp", 1, 90)}, 96},
		{"a fail takes nothing away", []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 90), failed(played("Stamp", 1, 90))}, 90},
		{"a fail is no pass", []logbook.Entry{failed(played("Stamp", 3, 90)), played("Stamp", 2, 90)}, 0},
		{"some bars are not the step", []logbook.Entry{looped, looped}, 0},
		{"before the span", []logbook.Entry{played("Stamp", 200, 80), played("Stamp", 199, 80), played("Stamp", 1, 70)}, 80},
	} {
		got := ask(c.takes...).Tempi
		if len(got) != 1 {
			t.Fatalf("%s: %d climbs", c.name, len(got))
		}
		if got[0].Owned != c.owned {
			t.Errorf("%s: %v, want %v", c.name, got[0].Owned, c.owned)
		}
		if takes := got[0].Takes; takes[len(takes)-1].Owned != c.owned {
			t.Errorf("%s: the chart ends at %v", c.name, takes[len(takes)-1].Owned)
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
		if got.Chosen.Title != c.title || got.Step != c.step || got.Goal != c.goal || got.Of != 3 {
			t.Errorf("%s: %q, step %d of %d, goal %v", c.name, got.Chosen.Title, got.Step, got.Of, got.Goal)
		}
	}
}

// A take that ended before the spread could be told says nothing of the tempo,
// here as on Practise: the next one is not slower for it.
func TestATakeThatSaysNothingOfTheTempo(t *testing.T) {
	short := failed(played("Stamp", 1, 90))
	short.Spread = grade.Optional{}
	takes := []logbook.Entry{played("Stamp", 3, 90), played("Stamp", 2, 90)}
	without, with := ask(takes...).Tempi[0], ask(append(takes, short)...).Tempi[0]
	if with.Next != without.Next || with.Owned != 90 {
		t.Errorf("next at %v, want %v; %v owned", with.Next, without.Next, with.Owned)
	}
}

// Takes before the span are left out, but the tempo owned then is known.
func TestTheChartBeginsWithWhatWasOwnedBefore(t *testing.T) {
	got := ask(played("Stamp", 200, 80), played("Stamp", 199, 80), played("Stamp", 198, 90), played("Stamp", 1, 70)).Tempi[0]
	var paces []float64
	for _, p := range got.Takes {
		paces = append(paces, p.BPM, p.Owned)
	}
	if diff := cmp.Diff([]float64{90, 80, 70, 80}, paces); diff != "" || got.Played != 4 || got.Last != 1 {
		t.Errorf("%d played, %d in the span (-want +got)\n%s", got.Played, got.Last, diff)
	}
}

func TestSpans(t *testing.T) {
	entries := []logbook.Entry{played("Stamp", 400, 80), played("Stamp", 60, 80), played("Stamp", 20, 80), played("Stamp", 0, 80)}
	for _, c := range []struct {
		span  Span
		from  string
		takes int
	}{
		{FourWeeks, "2026-10-26", 2},
		{TwelveWeeks, "2026-08-31", 3},
		{All, "2025-10-20", 4}, // 400 days before 26 November is 22 October, a Wednesday
	} {
		r := Of(entries, Question{Climbs: climbs, Now: now, Span: c.span})
		if got := r.Span.From.Format(time.DateOnly); got != c.from || r.Takes != c.takes {
			t.Errorf("%s: from %s, %d takes", c.span.Label(), got, r.Takes)
		}
		if named, ok := SpanNamed(c.span.String()); !ok || named != c.span {
			t.Errorf("%s is not found by its name", c.span.Label())
		}
	}
	if a, b := Fitting(entries[2:], now), Fitting(entries, now); a != FourWeeks || b != TwelveWeeks {
		t.Errorf("twenty days fit into %s, 400 into %s", a.Label(), b.Label())
	}
	if r := Of(nil, Question{Now: now, Span: All}); r.Span.From.Format(time.DateOnly) != "2026-10-26" {
		t.Errorf("nothing at all: from %v", r.Span.From)
	}
}

// A day has 25 hours where summer time ends: 25 October 2026 in Berlin, by the
// time zone database.
func TestDaysAreThoseOfThePlayersOwnTimeZone(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
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
	var days []string
	for _, p := range r.Minutes.Takes {
		days = append(days, fmt.Sprint(p.At.Format("2 Jan "), p.Minutes))
	}
	if diff := cmp.Diff([]string{"22 Nov 2", "23 Nov 2", "25 Nov 4"}, days); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if got := r.Week.Words(); got != "this week 6 min on two days" {
		t.Error(got)
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
	want := Leaning{Week: dayOf(2026, 11, 23), Takes: 3, MS: -12, Low: -12 - half, High: -12 + half, OK: true, SpreadMS: 9}
	if diff := cmp.Diff(want, r.Lately, approx); diff != "" || r.Unknown != 1 {
		t.Errorf("%d unknown (-want +got)\n%s", r.Unknown, diff)
	}
	if r.First != r.Lately || len(r.Leaning.Takes) != 3 {
		t.Errorf("one week: first %+v, lately %+v, %d takes", r.First, r.Lately, len(r.Leaning.Takes))
	}
	if l := ask(takes[0]).Lately; l.OK || l.Low != l.High {
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
	if diff := cmp.Diff([]float64{.37, .33, .3}, r.Split.Lately, approx); diff != "" || r.Split.Tuplet != "3:2" || r.Split.N != 4 || len(r.Split.Takes) != 3 {
		t.Errorf("%+v (-want +got)\n%s", r.Split, diff)
	}
	if got := Of([]logbook.Entry{with(8, five), with(2, triplet(1, .4, .3, .3))}, Question{Now: now, Tuplet: "5:4"}).Split.Tuplet; got != "5:4" {
		t.Errorf("asked for 5:4: %s", got)
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
	var got []string
	for _, p := range r.Weak.Spots {
		got = append(got, fmt.Sprintf("%v: %.0f of %d, %d missed", p.At, p.MS, p.Hits, p.Missed))
	}
	want := []string{"0: 4 of 12, 0 missed", "3/4: -20 of 8, 0 missed", "3/2: 20 of 6, 2 missed", "9/4: -40 of 1, 0 missed"}
	if diff := cmp.Diff(want, got); diff != "" || r.Weak.Takes != 3 || r.Weak.Unknown != 1 || r.Weak.Step != 1 {
		t.Errorf("%+v (-want +got)\n%s", r.Weak, diff)
	}
	if r := ask(with(false, place(0, 400, 4, 0))); !math.IsNaN(r.Weak.Spots[0].MS) {
		t.Errorf("an unknown delay: %v ms", r.Weak.Spots[0].MS)
	}
}

func TestWeakPlacesAreOfWhatWasPlayedLately(t *testing.T) {
	stamp, shaft := played("Stamp", 5, 80), played("Shaft", 2, 80)
	for _, c := range []struct {
		takes []logbook.Entry
		want  string
	}{
		{[]logbook.Entry{shaft}, "Shaft"},
		{[]logbook.Entry{stamp, shaft}, "Shaft"},
		{[]logbook.Entry{stamp, stamp, stamp, shaft, shaft}, "Stamp"},
		{[]logbook.Entry{stamp, stamp, stamp, shaft, shaft, shaft}, "Shaft"},
	} {
		if got := ask(c.takes...).Weak.Title; got != c.want {
			t.Errorf("%d takes: %q, want %q", len(c.takes), got, c.want)
		}
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
		if r.Takes+r.LeftOut > len(entries) {
			t.Fatalf("%d takes and %d left out of %d", r.Takes, r.LeftOut, len(entries))
		}
		for _, tempo := range r.Tempi {
			tempo.Says(now)
		}
		r.LeaningSays()
		r.Split.Says()
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
