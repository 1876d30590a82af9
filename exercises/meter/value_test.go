package meter

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// n dots make a value x (2 - 2^-n): 3/2, 7/4, 15/8 (common practice).
func TestLengths(t *testing.T) {
	for text, want := range map[string]Rat{
		"1/1": Int(4), "1/2": Int(2), "1/4": Int(1), "1/8": R(1, 2), "1/16": R(1, 4), "1/32": R(1, 8),
		"1/4.": R(3, 2), "1/4..": R(7, 4), "1/4...": R(15, 8), "1/8.": R(3, 4),
		"1/12": R(1, 3), "1/20": R(1, 5), "1/28": R(1, 7), "3/8": R(3, 2),
	} {
		if got, err := ParseLength(text); err != nil || got != want {
			t.Errorf("%s is %s (%v), want %s", text, got, err, want)
		}
	}
	for _, text := range []string{"", "1", "4", "1/0", "0/4", "-1/4", "1/4....", "1.5/4", "1/4 .", "1/9999999", "1/999999..."} {
		if got, err := ParseLength(text); err == nil {
			t.Errorf("%q is accepted as %s", text, got)
		}
	}
}

func TestLengthText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := R(rapid.Int64Range(1, 100).Draw(t, "n"), rapid.Int64Range(1, 10000).Draw(t, "d"))
		if got, err := ParseLength(FormatLength(want)); err != nil || got != want {
			t.Fatalf("%s is written %s and read as %s (%v)", want, FormatLength(want), got, err)
		}
	})
}

// A sounding length is the written one times normal/actual, and nested tuplets
// multiply (W3C, MusicXML 4.0, musicxml.xsd, complexType time-modification).
// Ratios as listed for MusicXML time-modification by users of the format;
// 9:8 from memory of E. Gould, Behind Bars, 2011, chapter "Tuplets".
var tuplets = []struct {
	name    string
	written []Rat    // quarter notes: the note's own value
	ratio   []Tuplet // innermost last
	want    Rat      // sounding length of one note
}{
	{"triplet eighth", []Rat{R(1, 2)}, []Tuplet{{3, 2}}, R(1, 3)},
	{"triplet quarter", []Rat{Int(1)}, []Tuplet{{3, 2}}, R(2, 3)},
	{"quintuplet sixteenth", []Rat{R(1, 4)}, []Tuplet{{5, 4}}, R(1, 5)},
	{"sextuplet sixteenth", []Rat{R(1, 4)}, []Tuplet{{6, 4}}, R(1, 6)},
	{"septuplet sixteenth", []Rat{R(1, 4)}, []Tuplet{{7, 4}}, R(1, 7)},
	{"septuplet of thirty-seconds over 8", []Rat{R(1, 8)}, []Tuplet{{7, 8}}, R(1, 7)},
	{"nine in the time of 8", []Rat{R(1, 8)}, []Tuplet{{9, 8}}, R(1, 9)},
	{"duplet eighth in a dotted quarter", []Rat{R(1, 2)}, []Tuplet{{2, 3}}, R(3, 4)},
	{"triplet sixteenth within a triplet eighth", []Rat{R(1, 4)}, []Tuplet{{3, 2}, {3, 2}}, R(1, 9)},
	{"quintuplet within a triplet", []Rat{R(1, 8)}, []Tuplet{{3, 2}, {5, 4}}, R(1, 15)},
}

func TestTupletsBySounding(t *testing.T) {
	for _, c := range tuplets {
		got := c.written[0]
		for _, r := range c.ratio {
			got = r.Sounding(got)
		}
		if got != c.want {
			t.Errorf("%s lasts %s, want %s", c.name, got, c.want)
		}
	}
}

// Arithmetic: 480/{3, 5, 6, 7, 9} = 160, 96, 80, 68.571.., 53.333.., so 480
// ticks a quarter note hold sevenths and ninths only rounded; 5040 =
// lcm(16,9,5,7) and 10080 = lcm(32,9,5,7) hold all of them.
func TestTupletTicks(t *testing.T) {
	for _, c := range []struct {
		cell            Rat
		at480           []int64 // ticks of the first notes of a group
		exact5, exact10 int64   // ticks of one note
	}{
		{R(1, 3), []int64{0, 160, 320, 480}, 1680, 3360},
		{R(1, 5), []int64{0, 96, 192, 288, 384, 480}, 1008, 2016},
		{R(1, 6), []int64{0, 80, 160, 240, 320, 400, 480}, 840, 1680},
		{R(1, 7), []int64{0, 69, 137, 206, 274, 343, 411, 480}, 720, 1440},
		{R(1, 9), []int64{0, 53, 107, 160, 213, 267, 320, 373, 427, 480}, 560, 1120},
		{R(3, 4), []int64{0, 360, 720}, 3780, 7560},
	} {
		for i, want := range c.at480 {
			at := c.cell.Mul(Int(int64(i)))
			if got := Ticks(at, 480); got != want {
				t.Errorf("%s at 480: tick %d, want %d", at, got, want)
			}
			if got, want := Ticks(at, 5040), int64(i)*c.exact5; got != want {
				t.Errorf("%s at 5040: tick %d, want %d", at, got, want)
			}
			if got, want := Ticks(at, 10080), int64(i)*c.exact10; got != want {
				t.Errorf("%s at 10080: tick %d, want %d", at, got, want)
			}
		}
	}
	if Ticks(R(-1, 2), 1) != -1 || Ticks(R(1, 2), 1) != 1 {
		t.Error("half a tick is not rounded away from zero")
	}
}

// The ratio of a division and the written value of its cells, from memory of
// E. Gould, Behind Bars, 2011, chapter "Tuplets": the note value that fills
// the span with the next lower number of ordinary notes.
func TestDivisions(t *testing.T) {
	for _, c := range []struct {
		span  Rat
		cells int
		want  Tuplet
		note  Rat
	}{
		{Int(1), 1, Tuplet{1, 1}, Int(1)},
		{Int(1), 2, Tuplet{2, 2}, R(1, 2)},
		{Int(1), 3, Tuplet{3, 2}, R(1, 2)},
		{Int(1), 4, Tuplet{4, 4}, R(1, 4)},
		{Int(1), 5, Tuplet{5, 4}, R(1, 4)},
		{Int(1), 6, Tuplet{6, 4}, R(1, 4)},
		{Int(1), 7, Tuplet{7, 4}, R(1, 4)},
		{Int(1), 8, Tuplet{8, 8}, R(1, 8)},
		{Int(1), 9, Tuplet{9, 8}, R(1, 8)},
		{Int(1), 12, Tuplet{12, 8}, R(1, 8)},
		{Int(2), 3, Tuplet{3, 2}, Int(1)},
		{Int(2), 5, Tuplet{5, 4}, R(1, 2)},
		{Int(4), 3, Tuplet{3, 2}, Int(2)},
		{Int(4), 7, Tuplet{7, 4}, Int(1)},
		{R(1, 2), 3, Tuplet{3, 2}, R(1, 4)},
		{R(3, 2), 2, Tuplet{2, 3}, R(1, 2)},
		{R(3, 2), 3, Tuplet{3, 3}, R(1, 2)},
		{R(3, 2), 4, Tuplet{4, 3}, R(1, 2)},
		{R(3, 2), 5, Tuplet{5, 3}, R(1, 2)},
		{R(3, 2), 6, Tuplet{6, 6}, R(1, 4)},
		{R(3, 2), 7, Tuplet{7, 6}, R(1, 4)},
		{R(3, 2), 8, Tuplet{8, 6}, R(1, 4)},
		{Int(3), 4, Tuplet{4, 3}, Int(1)},
		{R(5, 2), 4, Tuplet{4, 5}, R(1, 2)},
	} {
		got, note := DivisionOf(c.span, c.cells)
		if got != c.want || note != c.note {
			t.Errorf("%d cells in %s: %s of %s, want %s of %s", c.cells, c.span, got, note, c.want, c.note)
		}
	}
}

// Whatever the ratio, the written value times normal/actual is the cell.
func TestDivisionsSoundAsTheyAre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		span := R(rapid.Int64Range(1, 16).Draw(t, "n"), rapid.SampledFrom([]int64{1, 2, 4, 8}).Draw(t, "d"))
		cells := rapid.IntRange(1, 64).Draw(t, "cells")
		ratio, note := DivisionOf(span, cells)
		if got, want := ratio.Sounding(note), span.Div(Int(int64(cells))); got != want {
			t.Fatalf("%d in %s: %s of %s lasts %s, want %s", cells, span, ratio, note, got, want)
		}
	})
}

func TestDivisionOfNothing(t *testing.T) {
	for _, c := range []struct {
		span  Rat
		cells int
	}{{Int(1), 0}, {Int(1), -3}, {Int(0), 3}, {Int(-1), 3}, {R(1, 3), 2}, {Invalid, 3}} {
		if got, _ := DivisionOf(c.span, c.cells); got.Irregular() {
			t.Errorf("%d in %s is %s", c.cells, c.span, got)
		}
	}
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"1/8", "1/4.", "1/12", "3/8...", "1/1000000", "1000000/1", "0/1", "1/4....", "/", "1/", "./.", "1/1000000..."} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, err := ParseLength(s)
		if err != nil {
			if a.Valid() || !strings.Contains(err.Error(), "; ") {
				t.Fatalf("%q is %s, %v", s, a, err)
			}
			return
		}
		if b, err := ParseLength(FormatLength(a)); err != nil || b != a || a.Sign() <= 0 {
			t.Fatalf("%q is %s, read again %s (%v)", s, a, b, err)
		}
	})
}
