package chart_test

import (
	"math"
	"testing"

	"stampmill/app/chart"
	"stampmill/exercises/meter"
)

// A place is said as players count it (common practice); where the beat has no
// word for it, or the same word twice, by its number.
func TestPlacesInWords(t *testing.T) {
	for _, c := range []struct {
		metre, cells string
		n, d         int64
		want         string
	}{
		{"4/4", "x xxxx x x", 0, 1, "17 early on 1."},
		{"4/4", "x xxxx x x", 5, 4, "17 early on the e of 2."},
		{"4/4", "x xxxx x x", 7, 4, "17 early on the a of 2."},
		{"4/4", "x xxx x x", 5, 3, "17 early on the a of 2."},
		{"4/4", "x xxxxx x x", 7, 5, "17 early on the 3rd of 5 in beat 2."},
		{"4/4", "x xxxxxxx x x", 13, 7, "17 early on the 7th of 7 in beat 2."},
		{"7/8 (2+2+3)", "x. x. x.xx.x", 5, 2, "17 early on the & of 3."},
		{"7/8 (2+2+3)", "x. x. x.xx.x", 11, 4, "17 early on the 4th of 6 in beat 3."},
		{"6/8", "xxx xxx", 5, 2, "17 early on the a of 2."},
	} {
		w := chart.Weak{Passage: step(t, c.metre, "100", "kick | "+c.cells+" |"), Spots: []chart.Spot{{At: meter.R(c.n, c.d), MS: -17, Hits: 8}}}
		if got := w.Words(); got != c.want {
			t.Errorf("%s, %s at %d/%d: %q, want %q", c.metre, c.cells, c.n, c.d, got, c.want)
		}
	}
}

// The worst come first: what is far off, then what is missed, and nothing that
// is tight; one bar of several is named.
func TestWorstPlaces(t *testing.T) {
	two := step(t, "4/4", "100", "kick | x x x x | x x x x |")
	for _, c := range []struct {
		spots []chart.Spot
		want  string
	}{
		{nil, "Nothing measured in this bar."},
		{[]chart.Spot{{At: meter.Int(0), MS: 17, Hits: 7, Missed: 1}}, "Bar 1: too few hits to tell a weak place."},
		{[]chart.Spot{{At: meter.Int(0), MS: math.NaN(), Hits: 30}}, "Bar 1: no place missed often; early and late are not known."},
		{[]chart.Spot{{At: meter.Int(4), MS: 9, Hits: 9}, {At: meter.Int(5), MS: -10, Hits: 9}}, "Bar 2: every place within ±10 ms."},
		{[]chart.Spot{{At: meter.Int(0), MS: 9, Hits: 19, Missed: 1}}, "Bar 1: every place within ±10 ms."},
		{[]chart.Spot{{At: meter.Int(0), MS: 30, Hits: 9}, {At: meter.Int(4), MS: 12, Hits: 9}, {At: meter.Int(6), MS: -14, Hits: 9}, {At: meter.Int(7), MS: 2, Missed: 12}},
			"Bar 2: missed 12 of 12 on 4, 14 early on 3."},
		{[]chart.Spot{{At: meter.Int(0), MS: 60, Hits: 9}, {At: meter.Int(1), MS: 3, Hits: 6, Missed: 3}, {At: meter.Int(3), MS: -22, Hits: 9}},
			"Bar 1: 60 late on 1, 22 early on 4."},
		{[]chart.Spot{{At: meter.Int(0), Voices: "kick", MS: 2, Hits: 9}, {At: meter.Int(0), Voices: "guitar", MS: -15, Hits: 9}, {At: meter.Int(2), Voices: "kick", MS: 12, Hits: 9}},
			"Bar 1: guitar 15 early on 1, 12 late on 3."}, // the voice is told where there are two
	} {
		if got := (chart.Weak{Passage: two, Spots: c.spots}).Words(); got != c.want {
			t.Errorf("%v: %q, want %q", c.spots, got, c.want)
		}
	}
}
