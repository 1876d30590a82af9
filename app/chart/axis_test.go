package chart

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Steps of 1, 2 and 5 are Heckbert's (P. Heckbert, "Nice Numbers for Graph
// Labels", Graphics Gems, 1990; his worked range is 105 to 543, from memory).
// Three or four numbers, the quarters and what each range gives are our choice,
// worked by hand.
func TestRound(t *testing.T) {
	for _, c := range []struct {
		low, high, least float64
		want             []float64
	}{
		{105, 543, 1, []float64{0, 200, 400, 600}}, // he allows five: 100 to 600 by 100
		{60, 120, 5, []float64{60, 80, 100, 120}},  // as drawn in the design
		{0, 44, 5, []float64{0, 20, 40, 60}},       // so are these minutes
		{52, 112, 5, []float64{50, 75, 100, 125}},
		{64, 112, 5, []float64{60, 80, 100, 120}},
		{92, 108, 5, []float64{90, 100, 110}},
		{96, 104, 5, []float64{95, 100, 105}},
		{100, 100, 5, []float64{95, 100, 105}},
		{100, 104, 5, []float64{95, 100, 105}},  // grows where the room is less
		{101, 104, 5, []float64{100, 105, 110}}, // and upwards where it is the same
		{0, 0, 5, []float64{0, 5, 10}},
		{0, 10, 5, []float64{0, 5, 10}},
		{0, 90, 5, []float64{0, 50, 100}}, // by 25 it would take five numbers
		{0, 75, 5, []float64{0, 25, 50, 75}},
		{0, 1440, 5, []float64{0, 500, 1000, 1500}},
		{-40, 40, 1, []float64{-50, 0, 50}}, // by 20 it would take five
		{10, -10, 1, []float64{-10, 0, 10}},
		{math.NaN(), math.NaN(), 1, []float64{0, 1, 2}},
	} {
		got := Round(c.low, c.high, c.least).Numbers()
		if !slices.Equal(got, c.want) {
			t.Errorf("Round(%v, %v, %v) has %v, want %v", c.low, c.high, c.least, got, c.want)
		}
	}
}

func TestRoundHoldsAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, high := rapid.Float64().Draw(t, "low"), rapid.Float64().Draw(t, "high")
		s := Round(low, high, rapid.SampledFrom([]float64{1, 5, 20}).Draw(t, "least"))
		if n := len(s.Numbers()); n != 3 && n != 4 {
			t.Fatalf("%v has %d numbers", s, n)
		}
		for _, x := range []float64{number(low), number(high)} {
			if x < s.Low || x > s.High {
				t.Fatalf("%v does not hold %v", s, x)
			}
		}
		for _, x := range s.Numbers() {
			if x != math.Trunc(x) {
				t.Fatalf("%v is not whole in %v", x, s)
			}
		}
	})
}
