package passage_test

import (
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
