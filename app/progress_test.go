package app

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	goapp "github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/logbook"
	"stampmill/app/progress"
	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/player"
)

// learnt is the book of a made-up learner of the first two climbs who
// practised for a fortnight, up to the evening of noon's day.
var learnt = sync.OnceValue(func() []logbook.Entry {
	c := player.Course{Days: 14, Until: noon, Seed: 7}
	for _, e := range exercises.Library()[:2] {
		c.Pieces = append(c.Pieces, player.Piece{Name: e.Name, Climb: e.Climb})
	}
	takes, err := player.Practise(c)
	if err != nil {
		panic(err) // a course of ours
	}
	var book []logbook.Entry
	for i, p := range takes {
		step := c.Pieces[p.Piece].Climb.Steps[p.Take.Step-1]
		v, err := grade.Grade(step.Passage, p.Take, grade.Options{NoSearch: true})
		if err != nil {
			panic(err)
		}
		r := logbook.Record{At: p.At, Title: step.Title, Known: true, Take: p.Take}
		book = append(book, logbook.EntryOf(fmt.Sprintf("take/%04d", i), r, step, v))
	}
	return book
})

// looking is a player on the Progress page, in the evening, with takes in the
// book.
func looking(book []logbook.Entry) State {
	s := first(exercises.Library())
	s.Settings.Heard, s.Width, s.Height = true, 1280, 800
	s.Book, s.Booked, s.Now = book, BookReady, noon.Add(9*time.Hour)
	s, _ = after(s, Went{progressPath})
	return s
}

// progressStates is the Progress page in each state that people see.
var progressStates = sync.OnceValue(func() map[string]State {
	book := learnt()
	all := map[string]State{"no take": looking(nil), "two takes": looking(book[:2]), "a fortnight": looking(book)}
	state := func(name string, m ...Msg) { all[name], _ = after(all["a fortnight"], m...) }
	state("twelve weeks", doesTo("progress-span", "12"))
	state("all", doesTo("progress-span", "all"))
	state("a take open", doesTo("take-open", book[len(book)-1].Name))
	state("older takes", doesTo("takes-page", "1"))
	state("another step", sets("progress-weak", chosenArgOf(&book[0])))
	state("ten minutes", sets("minutes", "10"))
	state("offline", Wired{false})
	s := all["a fortnight"]
	s.Now = s.Now.AddDate(0, 1, 0)
	all["a month later"] = s
	s.Book, s.Booked, s.BookRead, s.BookOf = nil, BookLoading, 3200, 10_000
	all["reading"] = s
	s.Booked, s.Lesser = BookFailed, []Notice{{Fact: unreadFact, Mend: "The disk does not answer."}}
	all["failed"] = s
	many := append([]logbook.Entry(nil), book...)
	climbs := exercises.Library()
	for i := range many { // as many climbs as there are
		c := climbs[i%len(climbs)]
		many[i].Exercise, many[i].Title = c.Name, c.Climb.Steps[0].Title
	}
	all["many climbs"] = looking(many)
	all["every climb"], _ = after(all["many climbs"], does("progress-every"))
	unknown := append([]logbook.Entry(nil), book...)
	for i := range unknown {
		unknown[i].Known = false
	}
	unknown[3].Unread = "the step is gone; nothing can be done"
	all["no delay"] = looking(unknown)
	return all
})

func pageOf(s State) string { return goapp.HTMLString(view(s, draw(s))) }

func TestProgressSaysWhereThePlayerStands(t *testing.T) {
	states := progressStates()
	for _, c := range []struct{ state, want string }{
		{"no take", "No take has been recorded yet."},
		{"no take", "Nothing has been played yet, so nothing is due."},
		{"two takes", "One more take and a line can be drawn."},
		{"a fortnight", "Tempo owned"},
		{"a fortnight", "Start with "},
		{"a fortnight", "Triplet split"},
		{"a fortnight", "Practise bar "},
		{"a fortnight", "this week "},
		{"reading", "Reading 3,200 of 10,000 takes."},
		{"failed", "The takes on this device cannot be read: "},
		{"failed", "What is due is not known"},
		{"no delay", "the delay was not measured"},
		{"a take open", "Save this take"},
		{"offline", "You are offline."},
		{"many climbs", fmt.Sprintf("Show all %d climbs", len(exercises.Library()))},
		{"every climb", "Show those played last"},
	} {
		if html := pageOf(states[c.state]); !strings.Contains(html, c.want) {
			t.Errorf("%s: does not say %q", c.state, c.want)
		}
	}
}

func TestAllClimbsAreThereOnDemand(t *testing.T) {
	for state, want := range map[string]int{"many climbs": shownClimbs, "every climb": len(exercises.Library())} {
		if n := strings.Count(pageOf(progressStates()[state]), `id="card-tempo-`); n != want {
			t.Errorf("%s: %d tempi, want %d", state, n, want)
		}
	}
}

// What takes long to make is made once, until what it shows changes.
func TestProgressIsMadeAnewOnlyWhereItChanged(t *testing.T) {
	s := looking(learnt())
	was := draw(s)
	parts := func(p Picture) [3]*part { return [3]*part{p.Progress.list, p.Progress.plots, p.Progress.takes} }
	for _, c := range []struct {
		what    string
		m       Msg
		changes [3]bool // what is due, charts, takes
	}{
		{"nothing", Newer{}, [3]bool{}},
		{"another span", doesTo("progress-span", "12"), [3]bool{false, true, true}},
		{"another page of takes", doesTo("takes-page", "2"), [3]bool{false, false, true}},
		{"a take opened", doesTo("take-open", s.Book[0].Name), [3]bool{false, false, true}},
		{"more minutes", sets("minutes", "60"), [3]bool{true, false, false}},
		{"a wider window", Sized{1400, 900}, [3]bool{false, true, false}},
	} {
		next, _ := after(s, c.m)
		now := parts(redraw(was, next))
		for i, old := range parts(was) {
			if (now[i] != old) != c.changes[i] {
				t.Errorf("%s: part %d made anew: %v", c.what, i, now[i] != old)
			}
		}
	}
}

func TestTheFirstThingDueIsStartedWithOnePress(t *testing.T) {
	s := looking(learnt())
	tasks := dueToday(s)
	if len(tasks) == 0 {
		t.Fatal("nothing is due after a fortnight")
	}
	item := tasks[0].Item
	s, effects := after(s, doesTo("due", itemArg(item)))
	if s.entry().Name != item.Climb || s.step().Title != item.Title || s.part().String() != item.Part {
		t.Errorf("%s, %q, %s is chosen, want %+v", s.entry().Name, s.step().Title, s.part(), item)
	}
	if e, ok := has[Go](effects); !ok || e.Path != "/practise/" || s.Target != "go" {
		t.Errorf("opens %+v with the keyboard on %q", e, s.Target)
	}
	_, effects = after(looking(nil), doesTo("due", "gone\nStamp\nkick"))
	if _, ok := has[Go](effects); ok {
		t.Error("a climb that is not here was opened")
	}
	s = looking(learnt()[:1])
	s.Book = append([]logbook.Entry(nil), s.Book...)
	s.Book[0].Exercise, s.Book[0].Title, s.Book[0].Step = ownName("1"), "Sump", 3
	_, effects = after(s, doesTo("due", chosenArgOf(&s.Book[0])))
	if e, ok := has[Fetch](effects); !ok || e != (Fetch{ID: "1", Practise: true, Step: 2}) {
		t.Errorf("an exercise of the player's own: %+v", e)
	}
}

func TestEveryChartIsSavedAsPictureAndNumbers(t *testing.T) {
	s := looking(learnt())
	cards := s.sight().cards()
	if len(cards) < 5 {
		t.Fatalf("%d charts", len(cards))
	}
	for _, c := range cards {
		if c.chart == nil { // no tuplet was played
			continue
		}
		for act, holds := range map[string]string{"chart-svg": "<svg", "chart-csv": ","} {
			_, effects := after(s, doesTo(act, c.id))
			e, ok := has[SaveFile](effects)
			if !ok || !strings.Contains(string(e.Content), holds) || len(e.Content) < 40 {
				t.Errorf("%s %s: %q, %d bytes", act, c.id, e.Name, len(e.Content))
			}
		}
	}
}

func TestPagesOfTakes(t *testing.T) {
	book := learnt()
	s := looking(book)
	n := len(book)
	last := pagesOf(n) - 1
	for _, c := range []struct {
		arg  string
		page int
	}{{"1", 1}, {"-5", 0}, {"99999", last}, {"no", 0}} {
		got, _ := after(s, doesTo("takes-page", c.arg))
		if got.Progress.Page != c.page {
			t.Errorf("page %q: %d, want %d", c.arg, got.Progress.Page, c.page)
		}
	}
	rows := 0
	for p := range last + 1 {
		s.Progress.Page = p
		rows += strings.Count(goapp.HTMLString(takesTable(s)), `scope="row"`)
	}
	if rows != n {
		t.Errorf("%d rows over all pages, %d takes", rows, n)
	}
	for at, want := range map[time.Time]string{
		s.Now: "Today 21:00", s.Now.AddDate(0, 0, -1): "23 Nov 21:00", s.Now.AddDate(-1, 0, 0): "24 Nov 2025",
	} {
		if got := whenWords(at, s.Now); got != want {
			t.Errorf("%v: %q", at, got)
		}
	}
	for n, want := range map[int]string{0: "0", 999: "999", 1000: "1,000", 3200: "3,200", 1234567: "1,234,567"} {
		if got := thousands(n); got != want {
			t.Errorf("%d: %q", n, got)
		}
	}
}

func TestTheBarOfTheWeakPlacesIsPractised(t *testing.T) {
	s := looking(learnt())
	var v sight
	for _, s.Progress.Weak = range s.sight().report.Played {
		if v = s.sight(); v.bar > 0 {
			break
		}
	}
	if v.bar == 0 {
		t.Fatal("the learner has no weak place")
	}
	s, effects := after(s, doesTo("progress-bar", fmt.Sprint(v.bar)))
	w := v.report.Weak
	if s.step().Title != w.Title || s.Loop != (Range{v.bar, v.bar}) && len(s.written().Bars) > 1 {
		t.Errorf("step %q, loop %v", s.step().Title, s.Loop)
	}
	if _, ok := has[Go](effects); !ok {
		t.Error("Practise is not opened")
	}
}

// bookOf is a book of n takes over two years, made of those of the learner.
func bookOf(n int) []logbook.Entry {
	from := learnt()
	all := make([]logbook.Entry, n)
	for i := range all {
		all[i] = from[i*len(from)/n]
		all[i].At = noon.Add(-time.Duration(n-i) * (730 * 24 * time.Hour / time.Duration(n)))
		all[i].Name = "take/" + all[i].At.Format(time.RFC3339)
	}
	return all
}

func BenchmarkOpenProgress(b *testing.B) {
	for _, n := range []int{150, 10_000} {
		s := looking(bookOf(n))
		for _, span := range progress.Spans() {
			s.Progress.Span = span.String()
			b.Run(fmt.Sprintf("%d/%s", n, span.Label()), func(b *testing.B) {
				for b.Loop() {
					pageOf(s)
				}
			})
		}
	}
}
