package strip_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// edited draws what the page for writing lays over a sheet.
func edited(t *rapid.T, s strip.Sheet) strip.Sheet {
	span := rapid.Custom(func(t *rapid.T) passage.Span {
		place := rapid.Custom(func(t *rapid.T) meter.Rat { return meter.R(rapid.Int64Range(-4, 60).Draw(t, "n"), 4) })
		return passage.Span{From: place.Draw(t, "from"), To: place.Draw(t, "to"), Voices: rapid.SliceOfN(rapid.SampledFrom(s.Passage.Voices()), 0, 3).Draw(t, "voices")}
	})
	s.Small, s.TagRoom, s.Labels = rapid.Bool().Draw(t, "small"), rapid.Bool().Draw(t, "room"), strip.Labels(rapid.IntRange(0, 2).Draw(t, "labels"))
	s.Selected = rapid.SliceOfN(span, 0, 3).Draw(t, "selected")
	for _, n := range rapid.SliceOfN(span, 0, 6).Draw(t, "problems") {
		s.Problems = append(s.Problems, strip.Problem{Span: n, Tag: rapid.SampledFrom([]string{"", "problem, line 3", "problem, line 4", "no comma"}).Draw(t, "tag")})
	}
	for _, line := range s.Passage.Lines {
		for _, stroke := range line.Strokes {
			s.Sticking = append(s.Sticking, strip.Sign{Voice: line.Voice, At: stroke.At, Text: rapid.SampledFrom([]string{"R", "L", "↓", "up"}).Draw(t, "sign")})
		}
		s.Cursor = strip.CursorOn(rapid.SampledFrom(s.Passage.Cells(line.Voice, 1)).Draw(t, "cursor"))
	}
	return s
}

// box is the room of an element, of a text as wide as it is at most.
func boxOf(e element) (left, top, right, bottom float64) {
	number := func(name string) float64 {
		x, _ := strconv.ParseFloat(e.attr(name), 64)
		return x
	}
	x, y := number("x"), number("y")
	switch e.XMLName.Local {
	case "rect":
		return x, y, x + number("width"), y + number("height")
	case "path":
		var from, top, to, bottom float64
		fmt.Sscanf(e.attr("d"), "M%f %fH%fV%f", &from, &top, &to, &bottom)
		return min(from, to), top, max(from, to), bottom
	}
	wide := 7 * float64(utf8.RuneCountInString(e.Text))
	switch e.attr("text-anchor") {
	case "middle":
		x -= wide / 2
	case "end":
		x -= wide
	}
	return x, y - 9, x + wide, y
}

// Whatever is selected, wrong, or under the cursor: its frames, leaders, tags
// and signs stay in the picture.
func TestWhatWritingAddsStaysInThePicture(t *testing.T) {
	inside := map[string]bool{"sm-cursor": true, "sm-gap": true, "sm-problem": true, "sm-leader": true, "sm-fault": true, "sm-band": true, "sm-stick": true}
	rapid.Check(t, func(t *rapid.T) {
		s := edited(t, sheetOf(t, passages(t)))
		l := s.Layout()
		parse(t, s.SVG()).find(func(e element) {
			if !inside[e.attr("class")] {
				return
			}
			if left, top, right, bottom := boxOf(e); left < 0 || top < 0 || right > l.Width+1 || bottom > l.Height || right < left || bottom < top {
				t.Fatalf("%s %q from %v, %v to %v, %v in a picture of %v x %v", e.attr("class"), e.Text, left, top, right, bottom, l.Width, l.Height)
			}
		})
	})
}

// Tags in the ruler hide neither each other nor the names of bars, and name
// every problem that is first in its place.
func TestTagsInTheRulerKeepApart(t *testing.T) {
	p := written(t, "4/4", "120", "kick | "+strings.Repeat("xxxx xxxx xxxx xxxx | ", 8), "snare | "+strings.Repeat(". X . X | ", 8))
	for _, width := range []float64{390, 976} {
		for last := 1; last <= 8; last++ {
			s := strip.Sheet{Passage: p, Last: last, Width: width, Compact: width < 500}
			for i := range int64(32) {
				s.Problems = append(s.Problems, strip.Problem{Span: passage.Span{From: meter.Int(i), To: meter.Int(i + 1), Voices: []passage.Voice{passage.Kick}}, Tag: fmt.Sprintf("problem, line %d", i+3)})
			}
			type text struct {
				words                    string
				left, top, right, bottom float64
			}
			var all []text
			tags := 0
			parse(t, s.SVG()).find(func(e element) {
				class := e.attr("class")
				if class != "sm-fault" && class != "sm-name" {
					return
				}
				if class == "sm-fault" {
					tags++
				}
				left, top, right, bottom := boxOf(e)
				for _, o := range all {
					if left < o.right-1 && o.left < right-1 && top < o.bottom && o.top < bottom {
						t.Errorf("%v wide, %d bars: %q stands on %q", width, last, e.Text, o.words)
					}
				}
				all = append(all, text{e.Text, left, top, right, bottom})
			})
			if tags < 2 {
				t.Errorf("%v wide, %d bars: %d tags", width, last, tags)
			}
		}
	}
}

// A problem without length is its beat, one without voices is in all rows, and
// the same place is boxed once.
func TestBoxesOfProblems(t *testing.T) {
	p := gangue(t)
	at := func(from, to int64, voices ...passage.Voice) strip.Problem {
		return strip.Problem{Span: passage.Span{From: meter.Int(from), To: meter.Int(to), Voices: voices}, Tag: "problem, line 3"}
	}
	for _, c := range []struct {
		problems []strip.Problem
		boxes    int
		wide     float64 // of the first, in quarter notes, about
		high     float64 // in rows
	}{
		{[]strip.Problem{at(1, 1, passage.Kick)}, 1, 1, 1},
		{[]strip.Problem{at(4, 8)}, 1, 4, 4},
		{[]strip.Problem{at(0, 2, passage.China, passage.Kick)}, 2, 2, 1},
		{[]strip.Problem{at(0, 2, passage.Snare), at(0, 2, passage.Snare)}, 1, 2, 1},
		{[]strip.Problem{at(16, 18, passage.Snare), at(-2, 0, passage.Snare), at(0, 1, passage.Bass)}, 0, 0, 0},
	} {
		s := strip.Sheet{Passage: p, Width: 976, Problems: c.problems}
		l := s.Layout()
		boxes := 0
		parse(t, s.SVG()).find(func(e element) {
			if e.attr("class") != "sm-problem" {
				return
			}
			left, top, right, bottom := boxOf(e)
			wide, high := (right-left)/(l.X(1)-l.X(0)), (bottom-top)/l.RowHeight
			if boxes == 0 && (math.Abs(wide-c.wide) > 0.3 || math.Abs(high-c.high) > 0.2) {
				t.Errorf("%+v: %v quarters wide and %v rows high, want %v and %v", c.problems, wide, high, c.wide, c.high)
			}
			boxes++
		})
		if boxes != c.boxes {
			t.Errorf("%+v: %d boxes, want %d", c.problems, boxes, c.boxes)
		}
	}
}

// Selecting, erring and moving the cursor move nothing else on the page for
// writing.
func TestNothingMovesWhileWriting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheetOf(t, passages(t))
		s.TagRoom, s.New = true, nil
		e := edited(t, s)
		e.Small, e.TagRoom, e.Labels, e.Sticking = s.Small, true, s.Labels, nil
		a, b := s.Layout(), e.Layout()
		if a.Height != b.Height || a.Rows[0].Y != b.Rows[0].Y || a.X(1) != b.X(1) {
			t.Fatalf("plain %+v, edited %+v", a, b)
		}
	})
}

// Signs can be read: none stands on another in its row.
func TestSignsKeepApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := edited(t, sheetOf(t, passages(t)))
		ends := map[float64]float64{} // right end of the sign before, by row
		parse(t, s.SVG()).find(func(e element) {
			if e.attr("class") != "sm-stick" {
				return
			}
			left, _, right, bottom := boxOf(e)
			if end, ok := ends[bottom]; ok && left < end-0.2 {
				t.Fatalf("%q at %v stands on the one before, that ends at %v", e.Text, left, end)
			}
			ends[bottom] = right
		})
	})
}

// A voice without strokes has its row, with cells to write in.
func TestEmptyRows(t *testing.T) {
	p := written(t, "4/4", "120", "kick | x x x x |", "snare | . . . . |")
	p.Lines = append(p.Lines, passage.Line{Voice: passage.Bass})
	l := strip.Sheet{Passage: p, Width: 700}.Layout()
	if len(l.Rows) != 3 {
		t.Fatalf("rows %+v, want 3", l.Rows)
	}
	for _, r := range l.Rows[1:] {
		want := passage.Cell{Voice: r.Voice, At: meter.Int(2), Length: meter.Int(1), Of: 1}
		if c, ok := l.CellAt(p, l.X(2), r.Y); !ok || c != want {
			t.Errorf("%+v %v, want %+v", c, ok, want)
		}
	}
}
