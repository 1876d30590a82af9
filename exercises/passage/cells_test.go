package passage_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

func anyPassage() *rapid.Generator[passage.Passage] {
	return rapid.OneOf(passagetest.Passages(), passagetest.Loose())
}

// walk returns every cell of a voice by steps to the right.
func walk(p passage.Passage, v passage.Voice) []passage.Cell {
	var all []passage.Cell
	for c, ok := p.CellAt(v, meter.Rat{}); ok; c, ok = p.NextCell(c) {
		all = append(all, c)
	}
	return all
}

// Steps to the right visit every cell of every bar once, without gaps, and
// steps to the left the same ones back.
func TestCellsFillThePassage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPassage().Draw(t, "passage")
		for _, v := range append(p.Voices(), passage.Click) {
			var want []passage.Cell
			for bar := range p.Bars {
				want = append(want, p.Cells(v, bar+1)...)
			}
			got := walk(p, v)
			if diff := cmp.Diff(want, got, equal); diff != "" {
				t.Fatalf("%s: walked and listed (-want +got):\n%s", v, diff)
			}
			var at meter.Rat
			for _, c := range got {
				if c.At != at || c.Length.Sign() <= 0 || c.Index < 0 || c.Index >= c.Of || c.Voice != v {
					t.Fatalf("%s: cell %+v, want one at %s", v, c, at)
				}
				at = c.End()
			}
			if at != p.Length() {
				t.Fatalf("%s: cells end at %s, the passage at %s", v, at, p.Length())
			}
			var back []passage.Cell
			for c, ok := got[len(got)-1], true; ok; c, ok = p.PrevCell(c) {
				back = append(back, c)
			}
			slices.Reverse(back)
			if diff := cmp.Diff(got, back, equal); diff != "" {
				t.Fatalf("%s: to the right and back (-right +left):\n%s", v, diff)
			}
		}
	})
}

// A cell lies in the groups that Regroup writes, and every stroke begins with
// a cell that shows it.
func TestCellsAreThoseThatAreWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPassage().Draw(t, "passage")
		written, problems := p.Regroup()
		if len(problems) > 0 {
			t.Skip("not every mixture can be written")
		}
		for _, l := range written.Lines {
			letters := map[meter.Rat]string{}
			for _, c := range walk(p, l.Voice) {
				letters[c.At] = p.Letter(c)
				groups := p.GroupsAt(l.Voice, c.At)
				g := groups[len(groups)-1]
				if want := g.At.Add(g.Cell().Mul(meter.Int(int64(c.Index)))); c.At != want || c.Of != g.Cells || c.Length != g.Cell() {
					t.Fatalf("%s: cell %+v is not in its group %+v", l.Voice, c, g)
				}
				for _, g := range groups {
					if !slices.Contains(l.Groups, g) {
						t.Fatalf("%s: group %+v of a cell is not written", l.Voice, g)
					}
				}
			}
			for _, s := range l.Strokes {
				if letters[s.At] != s.Text() {
					t.Fatalf("%s: %q at %s, want %q", l.Voice, letters[s.At], s.At, s.Text())
				}
			}
		}
	})
}

// One line by hand: a beat of four, one of three with its second cell cut in
// two, one cell over two beats; a bar without strokes.
func handmade() passage.Passage {
	r := meter.R
	bar := passage.Bar{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: meter.Int(120)}}
	return passage.Passage{Bars: []passage.Bar{bar, bar}, Lines: []passage.Line{
		{Voice: passage.Snare},
		{
			Voice: passage.Guitar,
			Strokes: []passage.Stroke{
				{At: r(0, 1), Length: r(3, 4), Kind: passage.Hit, Fret: 3},
				{At: r(1, 1), Length: r(1, 3), Kind: passage.Bend, Fret: 8, Bend: 1},
				{At: r(4, 3), Length: r(1, 6), Kind: passage.Bend, Bend: 2},
				{At: r(3, 2), Length: r(1, 6), Kind: passage.Choke},
			},
			Groups: []passage.Group{
				{At: r(0, 1), Length: r(1, 1), Cells: 4},
				{At: r(1, 1), Length: r(1, 1), Cells: 3}, {At: r(4, 3), Length: r(1, 3), Cells: 2},
				{At: r(2, 1), Length: r(2, 1), Cells: 1},
			},
		},
	}}
}

func TestCellsByHand(t *testing.T) {
	p := handmade()
	var got []string
	for _, c := range walk(p, passage.Guitar) {
		got = append(got, fmt.Sprintf("%s %s %d/%d %s", c.At, c.Length, c.Index+1, c.Of, p.Letter(c)))
	}
	want := []string{
		"0 1/4 1/4 x(3)", "1/4 1/4 2/4 -", "1/2 1/4 3/4 -", "3/4 1/4 4/4 .",
		"1 1/3 1/3 b(8+1)", "4/3 1/6 1/2 b", "3/2 1/6 2/2 !", "5/3 1/3 3/3 .",
		"2 2 1/1 .",
		"4 1 1/1 .", "5 1 1/1 .", "6 1 1/1 .", "7 1 1/1 .",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	from, _ := p.CellAt(passage.Guitar, meter.R(7, 4))
	up, ok := p.CellBeside(from, -1)
	if !ok || up != (passage.Cell{Voice: passage.Snare, At: meter.Int(1), Length: meter.Int(1), Of: 1}) {
		t.Errorf("over %+v lies %+v %v", from, up, ok)
	}
	for _, lines := range []int{1, -2} {
		if c, ok := p.CellBeside(from, lines); ok {
			t.Errorf("%d lines down: %+v, want none", lines, c)
		}
	}
	for _, at := range []meter.Rat{meter.Int(-1), meter.Int(8), meter.Invalid} {
		if c, ok := p.CellAt(passage.Guitar, at); ok {
			t.Errorf("cell at %s: %+v, want none", at, c)
		}
	}
}

// The cursor may stand where a cell was before the passage changed.
func TestStepsFromACellThatIsGone(t *testing.T) {
	p := handmade()
	gone := passage.Cell{Voice: passage.Guitar, At: meter.R(1, 8), Length: meter.R(1, 8), Index: 1, Of: 8}
	next, _ := p.NextCell(gone)
	prev, ok := p.PrevCell(gone)
	if next.At != meter.R(1, 4) || ok {
		t.Errorf("next %+v, before %+v %v", next, prev, ok)
	}
}

// 64 bars of 16 voices, as long as a passage may be.
func longest() passage.Passage {
	p := passage.Passage{}
	for range passage.MaxBars {
		p.Bars = append(p.Bars, passage.Bar{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: meter.Int(120)}})
	}
	for _, v := range passage.Voices() {
		l := passage.Line{Voice: v}
		for i := range int64(passage.MaxBars * 16) {
			l.Strokes = append(l.Strokes, passage.Stroke{At: meter.R(i, 4), Length: meter.R(1, 4), Kind: passage.Hit})
		}
		p.Lines = append(p.Lines, l)
	}
	return p
}

// What a key press of the cursor costs, far into a long passage.
func BenchmarkNextCell(b *testing.B) {
	p := longest()
	c, _ := p.CellAt(passage.Kick, meter.Int(200))
	for b.Loop() {
		p.NextCell(c)
	}
}

func BenchmarkRegroup(b *testing.B) {
	p := longest()
	for b.Loop() {
		p.Regroup()
	}
}

func ExamplePassage_NextCell() {
	p := handmade()
	var text strings.Builder
	for c, ok := p.CellAt(passage.Guitar, meter.Rat{}); ok && c.At.Less(meter.Int(2)); c, ok = p.NextCell(c) {
		text.WriteString(p.Letter(c) + " ")
	}
	fmt.Println(text.String())
	// Output: x(3) - - . b(8+1) b ! .
}
