package grade

import "testing"

// What a player may set is what passes can be held against.
func TestPassingIsBounded(t *testing.T) {
	for _, tt := range []struct {
		p    Passing
		want string
	}{
		{DefaultPassing, ""},
		{Passing{1, 0, 1}, ""},
		{Passing{.5, 1, 50}, ""},
		{Passing{.49, 0, 20}, "hits of 0.49 are outside 0.5 to 1; choose the share of the strokes to be hit"},
		{Passing{95, 0, 20}, "hits of 95 are outside 0.5 to 1; choose the share of the strokes to be hit"},
		{Passing{.95, -.1, 20}, "extra hits of -0.1 are outside 0 to 1; choose a share of the strokes"},
		{Passing{.95, .05, 0}, "a spread of 0 ms is outside 1 to 50; choose one inside"},
	} {
		got := ""
		if err := tt.p.Check(); err != nil {
			got = err.Error()
		}
		if got != tt.want {
			t.Errorf("%+v: %q, want %q", tt.p, got, tt.want)
		}
	}
}

// The numbers that pages state are those that grading holds takes against.
func TestMarksInStrokes(t *testing.T) {
	for _, tt := range []struct {
		hits, extra    float64
		n, least, more int
	}{{.95, .05, 32, 31, 1}, {.95, .05, 20, 19, 1}, {.55, .55, 100, 55, 55}, {1, 0, 7, 7, 0}, {.95, .05, 0, 0, 0}} {
		p := Passing{Hits: tt.hits, Extra: tt.extra, SpreadMS: 20}
		if p.HitsOf(tt.n) != tt.least || p.ExtraOf(tt.n) != tt.more {
			t.Errorf("of %d strokes %d hits and %d extra, want %d and %d", tt.n, p.HitsOf(tt.n), p.ExtraOf(tt.n), tt.least, tt.more)
		}
		for _, hits := range []int{tt.least, tt.least - 1} {
			v := Verdict{Counts: Counts{Expected: tt.n, Matched: hits, Missed: tt.n - hits, Extra: tt.more}, Spread: Figure{Value: 9, OK: true}}
			if got, want := p.passed(&v), hits == tt.least && tt.n > 0; got != want {
				t.Errorf("%d of %d hits pass: %v, want %v", hits, tt.n, got, want)
			}
		}
	}
}
