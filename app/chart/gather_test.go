package chart_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"stampmill/app/chart"
)

// column returns one column of a chart's table, without its name.
func column(t *testing.T, c chart.Chart, name string) []string {
	t.Helper()
	rows := c.Rows()
	i := slices.IndexFunc(rows[0], func(s string) bool { return strings.HasPrefix(s, name) })
	if i < 0 {
		t.Fatalf("no column %q in %q", name, rows[0])
	}
	var all []string
	for _, row := range rows[1:] {
		all = append(all, row[i])
	}
	return all
}

// Two takes of a week weigh as many strokes as they have; their spread is about
// each one's own mean (pooled variance): worked by hand,
// (10*-10 + 30*2) / 40 = -1 and sqrt((9*3² + 29*5²) / 38) = 4.6.
func TestAWeekOfLeaning(t *testing.T) {
	c := chart.Leaning{Span: span(4), Takes: []chart.Lean{
		{At: ago(3, 0), MS: 4, SpreadMS: math.NaN(), N: 5}, {At: ago(2, 0), MS: math.Inf(1), SpreadMS: 1, N: 5},
		{At: ago(1, 0), MS: 12, SpreadMS: 0, N: 5},
		{At: ago(0, 1), MS: -10, SpreadMS: 3, N: 10}, {At: ago(0, 0), MS: 2, SpreadMS: 5, N: 30},
	}}
	if got, want := column(t, c, "leaning"), []string{"4", "12", "-1"}; !slices.Equal(got, want) {
		t.Errorf("the weeks lean %q, want %q", got, want)
	}
	if got, want := column(t, c, "spread"), []string{"", "0", "4.6"}; !slices.Equal(got, want) {
		t.Errorf("they spread %q, want %q", got, want)
	}
}

// In one or two weeks each take has its own mark.
func TestFewWeeksAreTakes(t *testing.T) {
	c := chart.Leaning{Span: span(12), Takes: []chart.Lean{{At: ago(0, 1), MS: -20, SpreadMS: 4, N: 9}, {At: ago(0, 0), MS: 20, SpreadMS: 4, N: 9}}}
	if got, want := c.Words(), "Newest take: 20 ms late, spread ±4; first take: 20 ms early, spread ±4. 2 takes."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A week not played leaves a gap in the band, and nothing drops for it.
func TestAWeekNotPlayed(t *testing.T) {
	c := tempi()[3] // not played five weeks ago, nor in the last two
	if n := strings.Count(c.SVG(300), "ch-band"); n != 2 {
		t.Errorf("the band has %d parts, want 2", n)
	}
	owned := column(t, c, "owned")
	if !slices.IsSortedFunc(owned, func(a, b string) int { return len(a) - len(b) }) || owned[len(owned)-1] != "104" {
		t.Errorf("the tempo owned goes %q", owned)
	}
}

// What was owned before the span is owned at its beginning, and what lies after
// now is not shown.
func TestTempoOutsideTheSpan(t *testing.T) {
	c := chart.Tempo{Span: span(4), Takes: []chart.Pace{
		{At: ago(40, 0), BPM: 60, Owned: 60}, {At: ago(20, 0), BPM: 70, Owned: 72},
		{At: ago(2, 0), BPM: 80, Owned: 72}, {At: ago(1, 0), BPM: 84, Owned: 76}, {At: ago(0, 0), BPM: 82, Owned: 76},
		{At: now.AddDate(0, 0, 3), BPM: 180, Owned: 180},
	}}
	if got, want := column(t, c, "owned"), []string{"72", "72", "72", "76", "76"}; !slices.Equal(got, want) {
		t.Errorf("owned %q, want %q", got, want)
	}
	if got, want := c.Words(), "76 BPM owned; 4 weeks ago it was 72. Played from 80 to 84 in 3 takes."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := chart.TempoScale(c), (chart.Scale{Low: 70, High: 85, Step: 5}); got != want {
		t.Errorf("scale %v, want %v", got, want)
	}
}

// Charts that stand together have one scale, which holds each one's goal.
func TestOneScale(t *testing.T) {
	all := tempi()
	all[2].Goal = 160
	if got, want := chart.TempoScale(all...), (chart.Scale{Low: 50, High: 200, Step: 50}); got != want {
		t.Errorf("scale %v, want %v", got, want)
	}
	if got, want := chart.TempoScale(), (chart.Scale{Low: 60, High: 120, Step: 20}); got != want {
		t.Errorf("scale of nothing %v, want %v", got, want)
	}
}

// Fewer than three takes are points, and the words say how many are missing.
func TestFewTakes(t *testing.T) {
	for n, want := range []string{"Three more takes and", "Two more takes and", "One more take and", ""} {
		c := few()
		c.Takes = nil
		for i := range n {
			c.Takes = append(c.Takes, chart.Pace{At: ago(0, n-i), BPM: 80, Owned: 80})
		}
		svg := c.SVG(900)
		if line := strings.Contains(svg, "ch-line"); line != (n == 3) {
			t.Errorf("%d takes: a line is %v", n, line)
		}
		if points := strings.Count(svg, `"ch-dot"`); n < 3 && points != n {
			t.Errorf("%d takes: %d points", n, points)
		}
		if want != "" && (!strings.Contains(svg, want) || !strings.Contains(c.Words(), want)) {
			t.Errorf("%d takes: nothing says %q", n, want)
		}
	}
}

// A week's split is the mean of its beats; takes of another number of strokes
// are another figure. Shares need not add up to 1.
func TestAWeekOfSplits(t *testing.T) {
	c := chart.Split{Span: span(4), Written: []float64{2, 1}, Takes: []chart.Division{
		{At: ago(0, 2), Shares: []float64{60, 40}, N: 30}, {At: ago(0, 1), Shares: []float64{0.7, 0.3}, N: 10}, {At: ago(0, 0), Shares: []float64{1, 1, 1}, N: 99},
	}}
	if got, want := column(t, c, "stroke 1"), []string{"66.7", "62.5"}; !slices.Equal(got, want) {
		t.Errorf("written and played %q, want %q", got, want)
	}
}

// A day without practice has no bar, today has its number, and a take without
// a length or of many days does not spoil the scale.
func TestMinutesOfDays(t *testing.T) {
	c := chart.Minutes{Span: span(2), Takes: []chart.Practice{
		{At: ago(0, 5), Minutes: 12}, {At: ago(0, 4), Minutes: -3}, {At: ago(0, 3), Minutes: 9e9}, {At: ago(0, 2), Minutes: math.Inf(1)}, {At: ago(0, 1), Minutes: math.NaN()}, {At: ago(0, 0), Minutes: 4}, {At: ago(0, 0), Minutes: 5.5},
	}}
	svg := c.SVG(600)
	if days, today := strings.Count(svg, "ch-day"), strings.Count(svg, "ch-today"); days != 2 || today != 1 {
		t.Errorf("%d bars and %d of today, want 2 and 1", days, today)
	}
	if !strings.Contains(svg, ">10 today<") {
		t.Error("today has no number")
	}
	if got, want := column(t, c, "minutes"), []string{"12.0", "1440.0", "9.5"}; !slices.Equal(got, want) {
		t.Errorf("minutes %q, want %q", got, want)
	}
}

// Long spans have wider bars: the unit goes by the span alone, so a title holds
// at any width.
func TestUnits(t *testing.T) {
	for weeks, want := range map[int]string{4: "day", 12: "day", 26: "week", 156: "week", 200: "month", 2000: "month"} {
		if got := (chart.Minutes{Span: span(weeks)}).Unit(); got != want {
			t.Errorf("%d weeks are drawn by %s, want %s", weeks, got, want)
		}
	}
}
