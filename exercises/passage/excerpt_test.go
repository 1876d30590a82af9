package passage_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// An excerpt holds what the whole passage, completely written, has in its bars.
func TestExcerpt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPassage().Draw(t, "passage")
		first := rapid.IntRange(1, len(p.Bars)).Draw(t, "first")
		last := rapid.IntRange(first, len(p.Bars)).Draw(t, "last")
		whole, _ := p.Regroup()
		from, to := p.Starts()[first-1], p.Starts()[last]
		in := func(at, end meter.Rat) bool { return from.Less(end) && at.Less(to) }
		want := whole
		want.Lines = nil
		for _, l := range whole.Lines {
			out := passage.Line{Voice: l.Voice}
			for _, s := range l.Strokes {
				if in(s.At, s.End()) {
					out.Strokes = append(out.Strokes, s)
				}
			}
			for _, g := range l.Groups {
				if in(g.At, g.End()) {
					out.Groups = append(out.Groups, g)
				}
			}
			want.Lines = append(want.Lines, out)
		}
		if diff := cmp.Diff(want, p.Excerpt(first, last), equal); diff != "" {
			t.Fatalf("bars %d to %d (-want +got):\n%s", first, last, diff)
		}
	})
}

// The counts of some bars are those of the whole passage there.
func TestCountsIn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPassage().Draw(t, "passage")
		first := rapid.IntRange(1, len(p.Bars)).Draw(t, "first")
		last := rapid.IntRange(first, len(p.Bars)).Draw(t, "last")
		from, to := p.Starts()[first-1], p.Starts()[last]
		var want []passage.Count
		for _, c := range p.Counts() {
			if !c.At.Less(from) && c.At.Less(to) {
				want = append(want, c)
			}
		}
		if diff := cmp.Diff(want, p.Excerpt(first, last).CountsIn(first, last), equal); diff != "" {
			t.Fatalf("bars %d to %d (-want +got):\n%s", first, last, diff)
		}
	})
}
