package strip_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// shownCells returns the cells of the shown bars in every row.
func shownCells(p passage.Passage, l strip.Layout) []passage.Cell {
	var all []passage.Cell
	for _, r := range l.Rows {
		for bar := l.First; bar <= l.Last; bar++ {
			all = append(all, p.Cells(r.Voice, bar)...)
		}
	}
	return all
}

// rowOf returns the middle of a voice's row.
func rowOf(l strip.Layout, v passage.Voice) float64 {
	for _, r := range l.Rows {
		if r.Voice == v {
			return r.Y
		}
	}
	return math.NaN()
}

// A finger on a mark, or inside the frame that the cursor would have there,
// means that cell; beside the rows it means none.
func TestAFingerMeansTheCellItIsOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passages(t)
		s := sheetOf(t, p)
		s.Small = rapid.Bool().Draw(t, "small")
		l := s.Layout()
		cells := shownCells(p, l)
		c := rapid.SampledFrom(cells).Draw(t, "cell")
		y := rowOf(l, c.Voice) + rapid.Float64Range(-0.49, 0.49).Draw(t, "up")*l.RowHeight
		points := []float64{l.X(c.At.Float())}
		if wide := l.X(c.End().Float()) - points[0]; wide > 24 { // a narrower one may have a wider frame
			left, right := frame(t, s, c)
			points = append(points, left+0.3, (left+right)/2, right-0.3) // lengths are rounded to 0.1
		}
		for _, x := range points {
			if got, ok := l.CellAt(p, x, y); !ok || got != c {
				t.Fatalf("at %v, %v: %+v %v, want %+v", x, y, got, ok, c)
			}
		}
		v, quarters, ok := l.At(l.X(c.At.Float()), y)
		if !ok || v != c.Voice || math.Abs(quarters-c.At.Float()) > 1e-6 {
			t.Fatalf("place %s %v %v, want %s %s", v, quarters, ok, c.Voice, c.At)
		}
		for _, miss := range [][2]float64{{-1, y}, {l.Width + 1, y}, {l.X(c.At.Float()), -1}, {l.X(c.At.Float()), l.Height + 200}, {math.NaN(), y}, {l.Width / 2, math.NaN()}} {
			if got, ok := l.CellAt(p, miss[0], miss[1]); ok {
				t.Fatalf("at %v: %+v, want none", miss, got)
			}
		}
	})
}

// frame returns the inside of the cursor's frame on a cell.
func frame(t interface{ Fatalf(string, ...any) }, s strip.Sheet, c passage.Cell) (left, right float64) {
	s.Cursor = strip.CursorOn(c)
	found := 0
	parse(t, s.SVG()).find(func(e element) {
		if e.attr("class") == "sm-cursor" {
			left, _ = strconv.ParseFloat(e.attr("x"), 64)
			w, _ := strconv.ParseFloat(e.attr("width"), 64)
			left, right = left+1.5, left+w-1.5
			found++
		}
	})
	if found != 1 {
		t.Fatalf("%d cursors on %+v, want one", found, c)
	}
	return left, right
}

// To the right of a place lie later ones, and Quarters is X the other way
// round.
func TestPlacesAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheetOf(t, passages(t))
		l := s.Layout()
		from, to := l.From.Float(), l.To.Float()
		q := from + rapid.Float64Range(0, 1).Draw(t, "share")*(to-from)
		if got := l.Quarters(l.X(q)); math.Abs(got-q) > 1e-6 {
			t.Fatalf("%v stands at %v, where %v is read", q, l.X(q), got)
		}
		if got := l.Quarters(-1e9); got != from {
			t.Fatalf("far left is %v, want %v", got, from)
		}
		if got := l.Quarters(1e9); got != to {
			t.Fatalf("far right is %v, want %v", got, to)
		}
	})
}

func TestSpeak(t *testing.T) {
	p := written(t, "4/4", "88",
		"kick   | x..x x.x. .xx. x.x. | . . 2:xx-xx |",
		"guitar | x x[b(8+1)x(3)] b ! | 3:x-xxx o |",
		"snare  | . . X . | xxxxxxxxxxxxxx g f d |")
	for _, c := range []struct {
		voice passage.Voice
		at    meter.Rat
		want  string
	}{
		{passage.Kick, meter.R(9, 4), "Kick, bar 1, beat 3, second of four cells: hit"},
		{passage.Kick, meter.R(1, 4), "Kick, bar 1, beat 1, second of four cells: rest"},
		{passage.Kick, meter.R(34, 5), "Kick, bar 2, beats 3 and 4, third of five cells: still sounding"},
		{passage.Kick, meter.R(4, 1), "Kick, bar 2, beat 1: rest"},
		{passage.Guitar, meter.R(3, 2), "Guitar, bar 1, beat 2, second of two cells, first of two in it: bend, fret 8, up one semitone"},
		{passage.Guitar, meter.R(7, 4), "Guitar, bar 1, beat 2, second of two cells, second of two in it: hit, fret 3"},
		{passage.Guitar, meter.R(2, 1), "Guitar, bar 1, beat 3: bend, up two semitones"},
		{passage.Guitar, meter.R(3, 1), "Guitar, bar 1, beat 4: choke"},
		{passage.Guitar, meter.R(4, 1), "Guitar, bar 2, beats 1 to 3, first of five cells: hit"},
		{passage.Snare, meter.R(4*14+12, 14), "Snare, bar 2, beat 1, number 13 of 14 cells: hit"},
	} {
		cell := passage.Cell{Voice: c.voice, At: c.at}
		if got := strip.Speak(p, cell); got != c.want {
			t.Errorf("%s at %s: %q, want %q", c.voice, c.at, got, c.want)
		}
	}
}

// Every cell has words of its own, but those of one bar for different voices
// differ by the voice only.
func TestEveryCellIsSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passages(t)
		said := map[string]passage.Cell{}
		for _, v := range p.Voices() {
			for bar := range p.Bars {
				for _, c := range p.Cells(v, bar+1) {
					words := strip.Speak(p, c)
					where, what, ok := strings.Cut(words, ": ")
					if other, twice := said[where]; !ok || what == "" || twice {
						t.Fatalf("%+v is said %q, as is %+v", c, words, other)
					}
					said[where] = c
				}
			}
		}
	})
}

// What a movement of the pointer costs in a long passage.
func BenchmarkCellAt(b *testing.B) {
	p := longest(b, 64)
	l := strip.Sheet{Passage: p, First: 33, Last: 34, Width: 976}.Layout()
	for b.Loop() {
		if _, ok := l.CellAt(p, 700, l.Rows[9].Y); !ok {
			b.Fatal("no cell")
		}
	}
}
