package passage_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

// described writes tuplets as "place ratio of written value, voices, <parent".
func described(ts []passage.Tuplet) string {
	var all []string
	for _, t := range ts {
		s := fmt.Sprintf("%s+%s %s of %s", t.At, t.Length, t.Ratio, meter.FormatLength(t.Note))
		for _, v := range t.Voices {
			s += " " + v.String()
		}
		if t.Parent >= 0 {
			s += fmt.Sprintf(" <%d", t.Parent)
		}
		all = append(all, s)
	}
	return strings.Join(all, "; ")
}

// Ratios from memory of E. Gould, Behind Bars, 2011, chapter "Tuplets";
// written values follow from MusicXML's time-modification (W3C, MusicXML 4.0).
func TestTuplets(t *testing.T) {
	for _, c := range []struct{ name, metre, lines, want string }{
		{"ordinary divisions have none", "4/4", "kick | x xx xxxx xxxxxxxx |", ""},
		{"triplet, quintuplet, sextuplet, septuplet", "4/4", "kick | xxx xxxxx xxxxxx xxxxxxx |",
			"0+1 3:2 of 1/8 kick; 1+1 5:4 of 1/16 kick; 2+1 6:4 of 1/16 kick; 3+1 7:4 of 1/16 kick"},
		{"three parts of a dotted beat are ordinary", "6/8", "kick | xxx xxxxxx |", ""},
		{"duplet and quadruplet in dotted beats", "6/8", "kick | xx xxxx |", "0+3/2 2:3 of 1/8 kick; 3/2+3/2 4:3 of 1/8 kick"},
		{"over two beats", "4/4", "kick | 2:xxx 2:xxxxx |", "0+2 3:2 of 1/4 kick; 2+2 5:4 of 1/8 kick"},
		{"over a bar", "4/4", "guitar | 4:xxx |", "0+4 3:2 of 1/2 guitar"},
		{"ordinary over two beats", "4/4", "kick | 2:xxxx 2:x |", ""},
		{"one for several voices", "2/4", "snare | . xxx |\nkick | xxx xxx |\nguitar | x xx. |", "0+1 3:2 of 1/8 kick; 1+1 3:2 of 1/8 snare kick guitar"},
		{"not for voices that rest", "2/4", "snare | ... x |\nkick | xxx ... |", "0+1 3:2 of 1/8 kick"},
		{"not for a held stroke", "2/4", "guitar | o --- |", ""},
		{"nested: three in one cell of a triplet", "2/4", "kick | x[xxx]x x |", "0+1 3:2 of 1/8 kick; 1/3+1/3 3:2 of 1/16 kick <0"},
		{"nested: two in one cell of a triplet", "2/4", "kick | x[xx]x x |", "0+1 3:2 of 1/8 kick"},
		{"nested in an ordinary group", "2/4", "kick | x[xxx] x |", "1/2+1/2 3:2 of 1/16 kick"},
		{"nested through an ordinary group", "2/4", "kick | x[x[xxx]]x x |", "0+1 3:2 of 1/8 kick; 1/2+1/6 3:2 of 1/32 kick <0"},
		{"the same cells in different tuplets", "2/4", "snare | xxx x |\nkick | x[xxx]x x |\nhat | [xx.]xx x |",
			"0+1 3:2 of 1/8 snare kick hat; 0+1/3 3:2 of 1/16 hat <0; 1/3+1/3 3:2 of 1/16 kick <0"},
		{"two divisions of one beat", "2/4", "snare | xxx x |\nkick | xxxxx x |", "0+1 3:2 of 1/8 snare; 0+1 5:4 of 1/16 kick"},
	} {
		if got := described(read(t, c.metre, c.lines).Tuplets()); got != c.want {
			t.Errorf("%s: %s\ngot  %s\nwant %s", c.name, c.lines, got, c.want)
		}
	}
}

// A cell lasts its written value times the ratios of all tuplets it lies in
// (MusicXML: nested tuplets multiply).
func TestTupletsMultiply(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ts := passagetest.Passages().Draw(t, "passage").Tuplets()
		for i, tup := range ts {
			sounding := tup.Note
			for j := i; j >= 0; j = ts[j].Parent {
				if ts[j].Parent >= j {
					t.Fatalf("tuplet %d lies in %d, which comes after it", j, ts[j].Parent)
				}
				sounding = ts[j].Ratio.Sounding(sounding)
			}
			if sounding != tup.Cell() {
				t.Fatalf("a cell of %s lasts %s, by its ratios %s", described(ts[i:i+1]), tup.Cell(), sounding)
			}
			if len(tup.Voices) == 0 || !tup.Ratio.Irregular() {
				t.Fatalf("%s is no tuplet", described(ts[i:i+1]))
			}
		}
	})
}
