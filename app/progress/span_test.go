package progress_test

import (
	"testing"
	"time"

	"stampmill/app/logbook"
	"stampmill/app/progress"
)

// The axis begins with the first week of a short book, but holds four weeks at
// least; a longer book is cut where the span says.
func TestShortBooksFillTheAxis(t *testing.T) {
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC) // a Wednesday
	for _, c := range []struct {
		weeks int // since the first take
		span  progress.Span
		want  string // a Monday
	}{
		{1, progress.TwelveWeeks, "2 Nov"}, {6, progress.TwelveWeeks, "12 Oct"}, {6, progress.FourWeeks, "2 Nov"},
		{30, progress.TwelveWeeks, "7 Sep"}, {30, progress.All, "27 Apr"}, {1, progress.All, "2 Nov"},
	} {
		book := []logbook.Entry{{At: now.AddDate(0, 0, -7*c.weeks), Minutes: 1}}
		if got := progress.Of(book, progress.Question{Now: now, Span: c.span}).Span.From.Format("2 Jan"); got != c.want {
			t.Errorf("%d weeks of takes, %v: from %s, want %s", c.weeks, c.span, got, c.want)
		}
	}
}
