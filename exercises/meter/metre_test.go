package meter

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// rats writes numbers in one line.
func rats(rs []Rat) string {
	var words []string
	for _, r := range rs {
		words = append(words, r.String())
	}
	return strings.Join(words, " ")
}

// Beats of common metres. Common practice: an upper number of 6, 9 or 12 over
// 8 or less counts dotted beats; irregular metres are written with their
// groups.
func TestCommonMetres(t *testing.T) {
	for _, c := range []struct{ text, beats, length, counted string }{
		{"4/4", "1 1 1 1", "4", "1"},
		{"3/4", "1 1 1", "3", "1"},
		{"2/2", "2 2", "4", "2"},
		{"6/4", "1 1 1 1 1 1", "6", "1"},
		{"6/4 (3+3)", "3 3", "6", "3"},
		{"6/8", "3/2 3/2", "3", "3/2"},
		{"9/8", "3/2 3/2 3/2", "9/2", "3/2"},
		{"12/8", "3/2 3/2 3/2 3/2", "6", "3/2"},
		{"6/16", "3/4 3/4", "3/2", "3/4"},
		{"3/8", "1/2 1/2 1/2", "3/2", "1/2"},
		{"3/8 (3)", "3/2", "3/2", "3/2"},
		{"4/8", "1/2 1/2 1/2 1/2", "2", "1/2"},
		{"5/8 (2+3)", "1 3/2", "5/2", "1"},
		{"7/8 (2+2+3)", "1 1 3/2", "7/2", "1"},
		{"7/8 (3+2+2)", "3/2 1 1", "7/2", "1"},
		{"8/8 (3+3+2)", "3/2 3/2 1", "4", "1"},
		{"11/16 (3+3+3+2)", "3/4 3/4 3/4 1/2", "11/4", "1/2"},
		{"5/4", "1 1 1 1 1", "5", "1"},
		{"5/8 (1+1+1+1+1)", "1/2 1/2 1/2 1/2 1/2", "5/2", "1/2"},
		{"1/32", "1/8", "1/8", "1/8"},
	} {
		m, err := ParseMetre(c.text)
		if err != nil {
			t.Error(err)
			continue
		}
		if got := rats(m.Beats()); got != c.beats || m.Length().String() != c.length || m.CountedBeat().String() != c.counted {
			t.Errorf("%s: beats %s, length %s, counted %s; want %s, %s, %s", c.text, got, m.Length(), m.CountedBeat(), c.beats, c.length, c.counted)
		}
		if m.String() != c.text {
			t.Errorf("%s prints as %s", c.text, m)
		}
	}
}

func TestMetresOfOneMeaningAreEqual(t *testing.T) {
	for _, pair := range [][2]string{
		{"4/4", "4/4 (1+1+1+1)"}, {"4/4", " 4/4 "}, {"6/8", "6/8 (3+3)"}, {"7/8 (2+2+3)", "7/8(2 + 2 + 3)"},
	} {
		a, err1 := ParseMetre(pair[0])
		b, err2 := ParseMetre(pair[1])
		if err1 != nil || err2 != nil || a != b {
			t.Errorf("%q is %v (%v), %q is %v (%v)", pair[0], a, err1, pair[1], b, err2)
		}
	}
}

func TestMetresRefused(t *testing.T) {
	for text, want := range map[string]string{
		"":              `"" is not a metre; write it like 4/4 or 7/8 (2+2+3)`,
		"4":             `"4" is not a metre; write it like 4/4 or 7/8 (2+2+3)`,
		"4 / 4":         `"4 / 4" is not a metre; write it like 4/4 or 7/8 (2+2+3)`,
		"+4/4":          `"+4/4" is not a metre; write it like 4/4 or 7/8 (2+2+3)`,
		"7/8":           "7/8 does not say how it is counted; write its beats in brackets, for example 7/8 (2+2+3)",
		"5/16":          "5/16 does not say how it is counted; write its beats in brackets, for example 5/16 (2+3)",
		"0/4":           "a metre has 1 to 64 units, not 0; write it like 4/4",
		"65/4":          "a metre has 1 to 64 units, not 65; shorten the bar",
		"4/5":           "the lower number of a metre is 1, 2, 4, 8, 16 or 32, not 5; choose one of them",
		"4/64":          "the lower number of a metre is 1, 2, 4, 8, 16 or 32, not 64; choose one of them",
		"33/4":          "a bar has at most 32 beats, not 33; write two bars",
		"7/8 (2+2)":     "the beats in brackets add up to 4, but the bar has 7; make them equal",
		"7/8 (2+2+3":    "the bracket of the metre is not closed at its end; write it like 7/8 (2+2+3)",
		"7/8 (2+2+3) x": "the bracket of the metre is not closed at its end; write it like 7/8 (2+2+3)",
		"7/8 (2+x+3)":   `"x" is not the length of a beat; write whole numbers joined by +`,
		"7/8 (2+0+5)":   `"0" is not the length of a beat; write whole numbers joined by +`,
		"7/8 ()":        `"" is not the length of a beat; write whole numbers joined by +`,
	} {
		_, err := ParseMetre(text)
		if err == nil {
			t.Errorf("%q is accepted", text)
			continue
		}
		if diff := cmp.Diff(want, err.Error()); diff != "" {
			t.Errorf("%q (-want +got):\n%s", text, diff)
		}
	}
}

// anyMetre draws a metre with random beats.
func anyMetre() *rapid.Generator[Metre] {
	return rapid.Custom(func(t *rapid.T) Metre {
		upper, groups := 0, []string{}
		for _, g := range rapid.SliceOfN(rapid.IntRange(1, 5), 1, 12).Draw(t, "groups") {
			upper += g
			groups = append(groups, strconv.Itoa(g))
		}
		lower := rapid.SampledFrom([]int{1, 2, 4, 8, 16, 32}).Draw(t, "lower")
		m, err := ParseMetre(fmt.Sprintf("%d/%d (%s)", upper, lower, strings.Join(groups, "+")))
		if err != nil {
			t.Fatal(err)
		}
		return m
	})
}

func TestMetreProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMetre().Draw(t, "metre")
		if again, err := ParseMetre(m.String()); err != nil || again != m {
			t.Fatalf("%s is read as %s (%v)", m, again, err)
		}
		var at Rat
		shortest := m.Length()
		for i, b := range m.Beats() {
			if m.Starts()[i] != at {
				t.Fatalf("%s: beat %d starts at %s, want %s", m, i+1, m.Starts()[i], at)
			}
			at = at.Add(b)
			if b.Less(shortest) {
				shortest = b
			}
		}
		if at != m.Length() || m.CountedBeat() != shortest {
			t.Fatalf("%s: beats add up to %s of %s, shortest %s, counted %s", m, at, m.Length(), shortest, m.CountedBeat())
		}
	})
}

func TestNoMetre(t *testing.T) {
	var m Metre
	if !m.IsZero() || m.Beats() != nil || m.Length() != (Rat{}) || m.CountedBeat() != (Rat{}) || m.String() != "none" {
		t.Error("the zero Metre is something")
	}
}

func FuzzParseMetre(f *testing.F) {
	for _, s := range []string{"4/4", "7/8 (2+2+3)", "7/8", "64/32 (" + strings.Repeat("2+", 31) + "2)", "4/4 (((", "/", "99999999999999999999/4", "4/4 (+)", "٤/4", "12/8 (3+3+3+3)"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseMetre(s)
		if err != nil {
			if !strings.Contains(err.Error(), "; ") {
				t.Fatalf("%q: %v does not say what to do", s, err)
			}
			return
		}
		if again, err := ParseMetre(m.String()); err != nil || again != m {
			t.Fatalf("%q is %s, read again %s (%v)", s, m, again, err)
		}
		if n := len(m.Beats()); n < 1 || n > MaxBeats || !m.Length().Valid() {
			t.Fatalf("%q has %d beats", s, n)
		}
	})
}
