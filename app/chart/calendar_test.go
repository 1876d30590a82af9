package chart

import (
	"testing"
	"time"
)

// Weeks begin on Monday: 2026-11-23 is one, and 2024-12-30 begins the first
// week of 2025 (ISO 8601).
func TestWeeksBeginOnMonday(t *testing.T) {
	for _, c := range []struct{ sunday, monday time.Time }{
		{time.Date(2026, 11, 22, 23, 59, 59, 0, time.UTC), time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC)},
		{time.Date(2024, 12, 29, 12, 0, 0, 0, time.UTC), time.Date(2024, 12, 30, 0, 0, 0, 0, time.UTC)},
		{time.Date(1969, 12, 28, 12, 0, 0, 0, time.UTC), time.Date(1969, 12, 29, 0, 0, 0, 0, time.UTC)},
		{time.Date(1960, 2, 28, 12, 0, 0, 0, time.UTC), time.Date(1960, 2, 29, 0, 0, 0, 0, time.UTC)},
	} {
		if a, b := weekOf(dayOf(c.sunday)), weekOf(dayOf(c.monday)); b != a+1 {
			t.Errorf("%v is in week %d and %v in week %d", c.sunday, a, c.monday, b)
		}
		if got := timeOf(dayOf(c.monday)); !got.Equal(c.monday) {
			t.Errorf("%v came back as %v", c.monday, got)
		}
	}
}

// A day has its place by its own calendar, however many hours it has and
// wherever the player is.
func TestDaysAreTheZonesOwn(t *testing.T) {
	east := time.FixedZone("east", 13*60*60)
	late := time.Date(2026, 11, 25, 23, 30, 0, 0, east)
	if got, want := dayOf(late), dayOf(time.Date(2026, 11, 25, 23, 30, 0, 0, time.UTC)); got != want {
		t.Errorf("half past eleven at night is day %v, want %v", got, want)
	}
}

func TestBinsEndWithThisWeek(t *testing.T) {
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC) // a Wednesday
	for _, c := range []struct{ weeks, most, size, n int }{
		{4, 14, 1, 5}, {12, 14, 1, 13}, {12, 12, 2, 7}, {52, 14, 4, 14}, {520, 14, 64, 9},
	} {
		w := Span{now.AddDate(0, 0, -7*c.weeks), now}.window(nil)
		b := w.bins(c.most)
		if b.size != c.size || b.n != c.n {
			t.Errorf("%d weeks in at most %d: %d of %d, want %d of %d", c.weeks, c.most, b.n, b.size, c.n, c.size)
		}
		if first, last := b.of(w.from), b.of(w.to); first != 0 || last != b.n-1 {
			t.Errorf("%d weeks: the ends are in %d and %d of %d", c.weeks, first, last, b.n)
		}
		if _, end := b.ends(b.n - 1); end != w.to {
			t.Errorf("the last ends at %v, want now, %v", end, w.to)
		}
	}
}

// A picture's words are true of today: three days ago is not a week ago, though
// it was last week.
func TestAgo(t *testing.T) {
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC) // a Wednesday
	w := Span{now.AddDate(0, 0, -84), now}.window(nil)
	for _, c := range []struct {
		days      int
		ago, week string
	}{
		{0, "today", "this week"}, {1, "yesterday", "this week"}, {3, "3 days ago", "last week"}, {9, "9 days ago", "last week"},
		{13, "13 days ago", "2 weeks ago"}, {14, "2 weeks ago", "2 weeks ago"}, {84, "12 weeks ago", "12 weeks ago"},
	} {
		day := dayOf(now.AddDate(0, 0, -c.days).Add(3 * time.Hour)) // later on that day
		if ago, week := w.ago(day), w.weekAgo(day); ago != c.ago || week != c.week {
			t.Errorf("%d days: %q and %q, want %q and %q", c.days, ago, week, c.ago, c.week)
		}
	}
}
