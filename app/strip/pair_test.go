package strip_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/app/strip"
	"stampmill/exercises/passage"
)

// grid returns the x of the beat and bar lines of a picture, and how many bands
// it has.
func grid(t interface{ Fatalf(string, ...any) }, svg string) (lines []string, bands int) {
	parse(t, svg).find(func(e element) {
		switch e.attr("class") {
		case "sm-beat", "sm-barline":
			lines = append(lines, e.attr("x1"))
		case "sm-band":
			bands++
		}
	})
	slices.Sort(lines)
	return lines, bands
}

// A bar that loses a beat is drawn to the same scale: its beats stand where
// they stood, and it ends sooner.
func TestPairsHaveOneScale(t *testing.T) {
	pair := strip.Pair{
		Before: written(t, "4/4", "120", "kick | x x x x | x x x x |"),
		After:  written(t, "3/4 | 4/4", "120", "kick | x x x | x x x x |"),
		First:  1, Last: 1, Width: 460,
	}
	got := pair.Draw()
	before, _ := grid(t, got.Before)
	after, bands := grid(t, got.After)
	if len(before) != 5 || len(after) != 4 {
		t.Fatalf("lines before %v, after %v", before, after)
	}
	for _, x := range after {
		if !slices.Contains(before, x) {
			t.Errorf("a line at %s after, not before: %v", x, before)
		}
	}
	if bands != 1 {
		t.Errorf("%d bands, want one: the whole bar is another", bands)
	}
	// By hand: 432 for the four seconds of the slower bar are 54 a half second.
	pair.After = written(t, "4/4", "60", "kick | x x x x | x x x x |")
	got = pair.Draw()
	before, _ = grid(t, got.Before)
	after, _ = grid(t, got.After)
	if diff := cmp.Diff([][]string{{"126", "18", "180", "234", "72"}, {"126", "18", "234", "342", "450"}}, [][]string{before, after}); diff != "" {
		t.Errorf("beside half the tempo (-want +got):\n%s", diff)
	}
}

// Rows are those asked for, then those that differ, in the order of the lines;
// what has no room is named. Bars are the first two that differ.
func TestPairsShowWhatDiffers(t *testing.T) {
	lines := func(kick, sub string) []string {
		lines := []string{"china | x x | x x | x x |", "snare | . . | . . | . x |", "kick " + kick, "tom-high | . . | . . | . . |", "guitar | x x | x x | x x |"}
		if sub != "" {
			lines = append(lines, "sub "+sub)
		}
		return lines
	}
	before := written(t, "2/4", "100", lines("| x x | x x | x x |", "")...)
	after := written(t, "2/4", "100", lines("| x x | x xx | x xx |", "| . . | x - | . . |")...)
	for _, c := range []struct {
		pair strip.Pair
		want string
	}{
		{strip.Pair{}, "bars 2-3, kick sub, left out "},
		{strip.Pair{Voices: []passage.Voice{passage.China, passage.Kick}}, "bars 2-3, china kick sub, left out "},
		{strip.Pair{Rows: 1}, "bars 2-3, kick, left out sub"},
		{strip.Pair{Voices: []passage.Voice{passage.Bass, passage.Snare}, Rows: 2, First: 3, Last: 3}, "bars 3-3, snare kick, left out "},
		{strip.Pair{First: 1, Last: 1}, "bars 1-1, china snare kick tom-high, left out "},
		{strip.Pair{First: 2, Last: 60}, "bars 2-3, kick sub, left out "},
	} {
		c.pair.Before, c.pair.After, c.pair.Width = before, after, 400
		d := c.pair.Draw()
		names := func(voices []passage.Voice) string { return strings.Trim(fmt.Sprint(voices), "[]") }
		got := fmt.Sprintf("bars %d-%d, %s, left out %s", d.First, d.Last, names(d.Voices), names(d.LeftOut))
		if got != c.want {
			t.Errorf("%+v: %s, want %s", c.pair.Voices, got, c.want)
		}
		if _, bands := grid(t, d.Before); bands > 0 {
			t.Error("the picture before is hatched")
		}
	}
}

// Any two passages make two well-formed pictures of one height.
func TestAnyPairIsDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pair := strip.Pair{
			Before: passages(t), After: passages(t), Width: rapid.Float64Range(-1, 900).Draw(t, "width"),
			First: rapid.IntRange(-1, 9).Draw(t, "first"), Last: rapid.IntRange(-1, 9).Draw(t, "last"),
			Rows: rapid.IntRange(0, 20).Draw(t, "rows"), Labels: strip.Labels(rapid.IntRange(0, 1).Draw(t, "labels")),
		}
		if rapid.Bool().Draw(t, "nothing after") {
			pair.After = passage.Passage{}
		}
		d := pair.Draw()
		a, b := parse(t, d.Before), parse(t, d.After)
		if a.attr("viewBox") != b.attr("viewBox") {
			t.Fatalf("%s beside %s", a.attr("viewBox"), b.attr("viewBox"))
		}
	})
}

// What a preview costs in a passage at the limits.
func BenchmarkPair(b *testing.B) {
	p := longest(b, 64)
	after := p.Clone()
	after.Lines[6].Strokes[400].Kind = passage.Accent
	at := after.Place(after.Lines[6].Strokes[400].At).Bar
	pair := strip.Pair{Before: p, After: after, First: at, Last: at, Width: 460}
	for b.Loop() {
		pair.Draw()
	}
}
