package passage_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

var equal = cmp.Options{cmpopts.EquateEmpty(), cmpopts.EquateComparable(meter.Rat{}, meter.Metre{})}

// What is drawn must be valid, or the properties say nothing.
func TestDrawnPassagesAreValid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		if ps := passage.Check(passagetest.Passages().Draw(t, "passage")); len(ps) > 0 {
			t.Fatal(ps)
		}
		if ps := passage.Check(passagetest.Loose().Draw(t, "loose")); len(ps) > 0 {
			t.Fatal(ps)
		}
	})
}

func TestRegroupKeepsCompleteGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Passages().Draw(t, "passage")
		got, ps := p.Regroup()
		if len(ps) > 0 {
			t.Fatal(ps)
		}
		if diff := cmp.Diff(p, got, equal); diff != "" {
			t.Fatalf("(-want +got):\n%s", diff)
		}
	})
}

// Every beat is covered once, in order, and every stroke begins and ends on
// the border of a cell; strokes stay.
func TestRegroupCompletesGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Loose().Draw(t, "passage")
		got, ps := p.Regroup()
		if len(ps) > 0 {
			t.Skip("not every mixture can be written")
		}
		for i, l := range got.Lines {
			if diff := cmp.Diff(p.Lines[i].Strokes, l.Strokes, equal); diff != "" {
				t.Fatalf("strokes (-want +got):\n%s", diff)
			}
			var end meter.Rat
			borders := map[meter.Rat]bool{}
			for _, g := range l.Groups {
				for c := range g.Cells + 1 {
					borders[g.At.Add(g.Cell().Mul(meter.Int(int64(c))))] = true
				}
				if end.Less(g.At) {
					t.Fatalf("%s: nothing between %s and %s", l.Voice, end, g.At)
				}
				if end.Less(g.End()) {
					end = g.End()
				}
			}
			if end != p.Length() {
				t.Fatalf("%s: groups end at %s, passage at %s", l.Voice, end, p.Length())
			}
			for _, s := range l.Strokes {
				if !borders[s.At] || s.Kind != passage.Choke && !borders[s.End()] {
					t.Fatalf("%s: stroke at %s for %s is on no cell", l.Voice, s.At, s.Length)
				}
			}
		}
	})
}

// Passages that Check refuses do not make anything panic.
func TestNonsenseDoesNotPanic(t *testing.T) {
	number := rapid.Custom(func(t *rapid.T) meter.Rat {
		return meter.R(rapid.Int64Range(-5, 20).Draw(t, "n"), rapid.SampledFrom([]int64{0, 1, 2, 3, 7, 61, 999_983}).Draw(t, "d"))
	})
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Passages().Draw(t, "passage")
		for range rapid.IntRange(0, 2).Draw(t, "no metre") {
			p.Bars = append(p.Bars, passage.Bar{})
		}
		for i := range p.Lines {
			l := &p.Lines[i]
			for range rapid.IntRange(0, 8).Draw(t, "groups") {
				at := rapid.IntRange(0, len(l.Groups)).Draw(t, "at")
				g := passage.Group{At: number.Draw(t, "at"), Length: number.Draw(t, "length"), Cells: rapid.SampledFrom([]int{-1, 0, 1, 2, 5, 33, 1 << 40}).Draw(t, "cells")}
				l.Groups = slices.Insert(l.Groups, at, g)
			}
			for range rapid.IntRange(0, 8).Draw(t, "strokes") {
				at := rapid.IntRange(0, len(l.Strokes)).Draw(t, "at")
				l.Strokes = slices.Insert(l.Strokes, at, passage.Stroke{At: number.Draw(t, "at"), Length: number.Draw(t, "length"), Kind: passage.Kind(rapid.Byte().Draw(t, "kind"))})
			}
		}
		passage.Check(p)
		p.Regroup()
		p.Counts()
		p.Tuplets()
		p.Section(1, len(p.Bars))
		p.Excerpt(-1, len(p.Bars)+1)
		for _, v := range p.Voices() {
			for bar := range len(p.Bars) + 2 {
				p.Cells(v, bar)
			}
			at := number.Draw(t, "place")
			c, _ := p.CellAt(v, at)
			p.NextCell(c)
			p.PrevCell(passage.Cell{Voice: v, At: at})
			p.CellBeside(c, 1)
			p.GroupsAt(v, at)
			p.Letter(c)
		}
	})
}
