package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestRate(t *testing.T) {
	tests := []struct {
		name  string
		take  Take
		owned float64
		want  Rating
	}{
		{"first pass under the goal", Take{Passed: true, Tempo: 92, Goal: 100, Hits: 1}, 0, Good},
		{"at the goal", Take{Passed: true, Tempo: 100, Goal: 100, Hits: 1}, 92, Easy},
		{"over the goal", Take{Passed: true, Tempo: 120, Goal: 100, Hits: 1}, 92, Easy},
		{"a little slower than owned", Take{Passed: true, Tempo: 88, Goal: 100, Hits: 1}, 92, Good},
		{"much slower than owned", Take{Passed: true, Tempo: 70, Goal: 100, Hits: 1}, 92, Hard},
		{"a try above what is owned", Take{Tempo: 100, Goal: 100, Hits: .8}, 92, Hard},
		{"a first try, nearly", Take{Tempo: 92, Goal: 100, Hits: .9}, 0, Hard},
		{"a first try, far off", Take{Tempo: 92, Goal: 100, Hits: .5}, 0, Again},
		{"a first try, another passage", Take{Tempo: 92, Goal: 100, Hits: .9, Misread: true}, 0, Again},
		{"what is owned did not hold", Take{Tempo: 92, Goal: 100, Hits: .9}, 92, Again},
		{"garbage", Take{Tempo: math.NaN(), Goal: math.NaN(), Hits: math.NaN()}, math.NaN(), Again},
	}
	for _, test := range tests {
		if got := Rate(test.take, test.owned); got != test.want {
			t.Errorf("%s: rated %d, want %d", test.name, got, test.want)
		}
	}
}

var now = time.Date(2026, 3, 20, 18, 0, 0, 0, time.UTC)

func daysBefore(n int) time.Time { return now.AddDate(0, 0, -n) }

func item(climb, title string) Item { return Item{climb, title, "kick"} }

// took is a take of an item some days ago.
func took(i Item, days int, passed bool, tempo float64) Take {
	return Take{Item: i, At: daysBefore(days), Tempo: tempo, Goal: 104, Passed: passed, Hits: .9, Minutes: .6}
}

func TestWhy(t *testing.T) {
	floor := item("headframe", "The floor")
	tests := []struct {
		takes []Take
		want  string
	}{
		{[]Take{took(floor, 9, true, 96), took(floor, 9, true, 96)}, "You own 96, last passed 9 days ago. It comes back to see whether it held."},
		{[]Take{took(floor, 3, true, 96), took(floor, 3, true, 96)}, "You own 96, last passed 3 days ago. It comes back to see whether it held."},
		{[]Take{took(floor, 4, true, 96), took(floor, 4, true, 96), took(floor, 1, false, 96)}, "You own 96, but it was not passed yesterday. It comes back to be made sure of."},
		{[]Take{took(floor, 40, true, 96), took(floor, 39, true, 96), took(floor, 29, false, 100)}, "You own 96; more was tried 29 days ago. It comes back to see whether 96 holds."},
		{[]Take{took(floor, 3, true, 96)}, "Passed once, at 96, last played 3 days ago. A second pass at 96 makes it yours."},
		{[]Take{took(floor, 40, true, 90), took(floor, 39, true, 96)}, "Passed at 2 tempi, once each, last played 39 days ago. A second pass at one of them makes it yours."},
		{[]Take{took(floor, 2, false, 96)}, "Not passed yet, last played 2 days ago."},
		{[]Take{took(floor, 2, true, 96)}, "What you work on: the goal is 104, and no tempo is owned yet. Last played 2 days ago."}, // due tomorrow
		{[]Take{took(floor, 1, true, 96), took(floor, 1, true, 96)}, "What you work on: you own 96, the goal is 104. Last played yesterday."},
		{[]Take{took(floor, 1, true, 104)}, ""}, // the goal is reached
		{[]Take{took(floor, 0, false, 96)}, ""}, // new today
		{[]Take{took(floor, 5, false, 96), took(floor, -3, true, 96)}, "Not passed yet, last played 5 days ago."}, // the clock was set back: as of today
	}
	for _, test := range tests {
		got := ""
		for _, task := range All(History(test.takes), now) {
			got += task.Why
		}
		if got != test.want {
			t.Errorf("%d takes, the last at %g: %q\nwant %q", len(test.takes), test.takes[len(test.takes)-1].Tempo, got, test.want)
		}
	}
}

// script writes tasks readably: climb, step, turn, minutes.
func script(tasks []Task) string {
	var words []string
	for _, t := range tasks {
		if t.Rest {
			words = append(words, fmt.Sprintf("rest %g", t.Minutes))
			continue
		}
		words = append(words, fmt.Sprintf("%s %s %d", t.Item.Climb, t.Item.Title, t.Turn))
	}
	return strings.Join(words, ", ")
}

func TestTurnsAlternate(t *testing.T) {
	var takes []Take
	for i, of := range []Item{item("adit", "1"), item("adit", "2"), item("gangue", "1"), item("sump", "1"), item("sump", "2")} {
		takes = append(takes, took(of, 30-i, true, 96)) // the longest ago is the most forgotten
	}
	today := append(slices.Clone(takes), took(item("adit", "1"), 0, true, 96), took(item("adit", "1"), 0, true, 96), took(item("adit", "1"), 0, true, 96))
	tests := []struct {
		name    string
		takes   []Take
		minutes int
		want    string
	}{
		{"no time", takes, 0, ""},
		{"negative", takes, -5, ""},
		{"two minutes", takes, 2, "adit 1 1"},
		{"ten minutes", takes, 10, "adit 1 1, gangue 1 1, adit 2 1"},
		{"twenty", takes, 20, "adit 1 1, gangue 1 1, adit 2 1, sump 1 1, rest 2, sump 2 1, adit 1 2"},
		{"all there is", takes, 1000, "adit 1 1, gangue 1 1, adit 2 1, sump 1 1, rest 2, sump 2 1, adit 1 2, gangue 1 2, adit 2 2, rest 2, sump 1 2, sump 2 2"},
		{"one turn played today", today, 20, "adit 2 1, gangue 1 1, sump 1 1, sump 2 1, rest 2, adit 1 2, adit 2 2"},
		{"one item alone has no second turn at once", takes[:1], 20, "adit 1 1"},
		{"nothing played", nil, 20, ""},
		{"what is worked on comes last", append(slices.Clone(takes[2:]), took(item("adit", "3"), 1, true, 96), took(item("adit", "2"), 1, true, 104)), 9, "gangue 1 1, sump 1 1, sump 2 1"},
		{"and where there is room", []Take{takes[2], took(item("adit", "2"), 2, true, 104), took(item("adit", "3"), 1, true, 96)}, 20, "gangue 1 1, adit 3 1, gangue 1 2, adit 3 2"},
	}
	for _, test := range tests {
		if diff := cmp.Diff(test.want, script(Due(History(test.takes), now, test.minutes))); diff != "" {
			t.Errorf("%s: -want +got\n%s", test.name, diff)
		}
	}
}

// A passed step comes back after three days, then after two weeks: the first
// intervals of the long-term vector, in the player's own calendar.
func TestComesBackInThePlayersDays(t *testing.T) {
	zone := time.FixedZone("there", 13*60*60)
	i := item("adit", "1")
	late := time.Date(2026, 3, 1, 23, 50, 0, 0, zone) // of 1 March there, though UTC has noon
	history := []Done{{Item: i, At: late.Add(-time.Minute), Rating: Good}}
	for day := 1; day < 20; day++ {
		now := time.Date(2026, 3, day, 23, 55, 0, 0, zone)
		tasks := All(history, now)
		if want := day == 4 || day == 18; (len(tasks) > 0) != want {
			t.Errorf("on %d March: %v", day, tasks)
		}
		if len(tasks) > 0 {
			history = append(history, Done{Item: i, At: now, Rating: Good})
		}
	}
}

// Whatever was done, a plan is no longer than the minutes, has no item twice in
// a row, never more than restAfter minutes without a rest, and is the same
// however the history is ordered.
func TestAnyHistory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		takes := rapid.SliceOf(rapid.Custom(func(t *rapid.T) Take {
			return Take{
				Item:  Item{rapid.StringMatching("[abc]").Draw(t, "climb"), rapid.StringMatching("[1-4]").Draw(t, "title"), "kick"},
				At:    now.Add(time.Duration(rapid.IntRange(-90*24*60, 24*60).Draw(t, "minutes")) * time.Minute),
				Tempo: rapid.OneOf(rapid.Float64(), rapid.Float64Range(60, 120)).Draw(t, "tempo"),
				Goal:  100, Passed: rapid.Bool().Draw(t, "passed"), Hits: rapid.Float64().Draw(t, "hits"), Minutes: rapid.Float64().Draw(t, "played"),
			}
		})).Draw(t, "takes")
		minutes := rapid.IntRange(-3, 400).Draw(t, "minutes")
		history := History(takes)
		tasks := Due(history, now, minutes)
		checkTasks(t, tasks, float64(minutes))
		slices.Reverse(history)
		slices.SortStableFunc(history, func(a, b Done) int { return b.At.Compare(a.At) })
		if again := Due(History(takes), now, minutes); script(again) != script(tasks) {
			t.Fatalf("%s\nand then %s", script(tasks), script(again))
		}
	})
}

func checkTasks(t *rapid.T, tasks []Task, minutes float64) {
	sum, since := 0.0, 0.0
	var last Item
	for _, task := range tasks {
		sum += task.Minutes
		since += task.Minutes
		if task.Rest {
			since = 0
		}
		if since > restAfter || task.Minutes <= 0 || task.Why == "" || !task.Rest && task.Item == last {
			t.Fatal(script(tasks))
		}
		last = task.Item
	}
	if sum > max(minutes, 0) || len(tasks) > 0 && tasks[len(tasks)-1].Rest {
		t.Fatalf("%g of %g minutes: %s", sum, minutes, script(tasks))
	}
}

func BenchmarkDueOfTenThousandTakes(b *testing.B) {
	var takes []Take
	for i := range 10_000 {
		takes = append(takes, Take{Item: item(fmt.Sprint("climb", i%15), fmt.Sprint(i%7)), At: now.Add(-time.Duration(10_000-i) * time.Hour), Tempo: 90 + float64(i%9), Goal: 104, Passed: i%3 > 0, Hits: .9, Minutes: .6})
	}
	for b.Loop() {
		Due(History(takes), now, 20)
	}
}
