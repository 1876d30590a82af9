package passage_test

import (
	"fmt"
	"strings"
	"testing"

	"stampmill/exercises/passage"
)

func words(cs []passage.Count) string {
	var all []string
	for _, c := range cs {
		all = append(all, c.Word)
	}
	return strings.Join(all, " ")
}

// How a drummer counts aloud; common practice.
func TestCounts(t *testing.T) {
	for _, c := range []struct {
		name, metre, lines, want string
	}{
		{"quarters", "4/4", "kick | x x x x |", "1 2 3 4"},
		{"eighths", "4/4", "kick | xx xx xx xx |", "1 & 2 & 3 & 4 &"},
		{"triplets", "4/4", "kick | xxx xxx xxx xxx |", "1 & a 2 & a 3 & a 4 & a"},
		{"sixteenths", "4/4", "kick | xxxx xxxx xxxx xxxx |", "1 e & a 2 e & a 3 e & a 4 e & a"},
		{"mixed", "4/4", "kick | x.x. .x . ..x. |", "1 e & a 2 & 3 4 e & a"},
		{"a silent beat has its number", "3/4", "kick | xx .... xx |", "1 & 2 3 &"},
		{"a held beat too", "3/4", "guitar | o- ---- xx |", "1 & 2 3 &"},
		{"two bars", "2/4", "kick | x x | xx x |", "1 2 1 & 2"},
		{"thirty-seconds keep the sixteenths' words", "2/4", "kick | xxxxxxxx x |", "1 e & a 2"},
		{"quintuplet", "4/4", "kick | x xxxxx x x |", "1 1 2 3 4 5 3 4"},
		{"septuplet", "2/4", "kick | x xxxxxxx |", "1 1 2 3 4 5 6 7"},
		{"sextuplet", "2/4", "kick | xxxxxx x |", "1 e & e a e 2"},
		{"compound", "6/8", "kick | xxx x.x |", "1 & a 2 & a"},
		{"compound, divided again", "6/8", "kick | xxxxxx xxx |", "1 e & e a e 2 & a"},
		{"a duplet in a dotted beat", "6/8", "kick | xx xxx |", "1 2 2 & a"},
		{"a quadruplet in a dotted beat", "6/8", "kick | xxxx xxx |", "1 2 3 4 2 & a"},
		{"seven eighths", "7/8 (2+2+3)", "kick | xx xx xxx |", "1 & 2 & 3 & a"},
		{"three over two beats", "4/4", "kick | x x 2:xxx |", "1 2 1 2 3"},
		{"three over two, cymbal in quarters", "4/4", "china | x x x x |\nkick | x x 2:xxx |", "1 2 1 2 3"},
		{"eighths written over two beats", "4/4", "kick | 2:xxxx x x |", "1 & 2 & 3 4"},
		{"triplets written over two beats", "4/4", "kick | 2:xxxxxx x x |", "1 & a 2 & a 3 4"},
		{"a whole note", "4/4", "guitar | 4:o |", "1 2 3 4"},
		{"half notes", "4/4", "guitar | 4:oo |", "1 2 3 4"},
		{"a whole note over eighths", "4/4", "guitar | 4:o |\nkick | xx xx xx xx |", "1 & 2 & 3 & 4 &"},
		{"the finest voice is counted", "2/4", "snare | x xx |\nkick | xx xxxx |", "1 & 2 e & a"},
		{"a voice that rests is not counted", "2/4", "snare | ...... xx |\nkick | xx x |", "1 & 2 &"},
		{"cells cut again are counted by the beat", "2/4", "kick | x[xx] xx |", "1 & 2 &"},
		{"overlapping spreads", "4/4", "snare | x 2:xxx x |\nkick | 2:xxx x x |", "1 2 3 3 4"},
	} {
		if got := words(read(t, c.metre, c.lines).Counts()); got != c.want {
			t.Errorf("%s: %s\ncounted %s\nwant    %s", c.name, c.lines, got, c.want)
		}
	}
}

func TestCountsWithoutGroups(t *testing.T) {
	p := read(t, "4/4", "kick | x.x. .x . xxx |")
	p.Lines[0].Groups = nil
	if got, want := words(p.Counts()), "1 e & a 2 & 3 4 & a"; got != want {
		t.Errorf("counted %s, want %s", got, want)
	}
}

// everyBar is a passage with the given number of bars, in all voices.
func everyBar(b *testing.B, bars int) passage.Passage {
	var lines []string
	for _, v := range passage.Voices() {
		lines = append(lines, v.String()+" |"+strings.Repeat(" xx.x 2:x.x .X.x |", bars))
	}
	return read(b, "4/4", lines...)
}

// Linear: twice the bars, twice the time.
func BenchmarkPassage(b *testing.B) {
	for name, f := range map[string]func(passage.Passage){
		"counts":  func(p passage.Passage) { p.Counts() },
		"tuplets": func(p passage.Passage) { p.Tuplets() },
		"regroup": func(p passage.Passage) { p.Regroup() },
		"check":   func(p passage.Passage) { passage.Check(p) },
	} {
		for _, bars := range []int{16, 32, 64} {
			b.Run(fmt.Sprintf("%s/bars=%d", name, bars), func(b *testing.B) {
				p := everyBar(b, bars)
				for b.Loop() {
					f(p)
				}
			})
		}
	}
}
