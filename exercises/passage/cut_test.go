package passage_test

import (
	"strings"
	"testing"

	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// cells writes strokes without groups in the cells that Regroup finds.
func cells(t *testing.T, metre string, places ...meter.Rat) string {
	t.Helper()
	p := read(t, metre, map[string]string{"1/4": "kick | . |", "2/4": "kick | . . |"}[metre])
	p.Lines[0].Groups = nil
	for i, at := range places {
		end := p.Length()
		if i+1 < len(places) {
			end = places[i+1]
		}
		p.Lines[0].Strokes = append(p.Lines[0].Strokes, passage.Stroke{At: at, Length: end.Sub(at), Kind: passage.Hit})
	}
	grouped, ps := p.Regroup()
	if len(ps) > 0 {
		return ps.Error()
	}
	text, err := drill.Print(passage.Climb{Title: "T", Tempo: []meter.Tempo{p.Bars[0].Tempo}, Metre: []meter.Metre{p.Bars[0].Metre}, Steps: []passage.Step{drill.Written("S", "", grouped)}})
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	return lines[len(lines)-1]
}

func TestFewestCells(t *testing.T) {
	r := meter.R
	for _, c := range []struct {
		name, metre string
		places      []meter.Rat
		want        string
	}{
		{"none", "1/4", nil, "kick | . |"},
		{"one", "1/4", []meter.Rat{{}}, "kick | x |"},
		{"sixteenths", "1/4", []meter.Rat{{}, r(1, 4), r(1, 2)}, "kick | xxx- |"},
		{"a triplet and a sixteenth: twelve", "1/4", []meter.Rat{r(1, 3), r(3, 4)}, "kick | ....x----x-- |"},
		{"a fifth", "1/4", []meter.Rat{r(1, 5)}, "kick | .x--- |"},
		{"a fifth and a seventh would be 35 cells: cut again", "1/4", []meter.Rat{r(1, 7), r(1, 5)}, "kick | [.....x-]x--- |"},
		{"sixty-firsts fit over two beats only", "2/4", []meter.Rat{r(2, 61)}, "kick | 2:.x----------------------------------------------------------- |"},
		{"no cells for a prime above 64", "1/4", []meter.Rat{r(1, 67)}, "kick at 1.1: the strokes of bar 1 do not fall on cells that can be written; use simpler divisions"},
		{"nor for many primes at once", "1/4", []meter.Rat{r(1, 31*29), r(1, 27*25), r(1, 23*19)}, "kick at 1.1: the strokes of bar 1 do not fall on cells that can be written; use simpler divisions"},
	} {
		if got := cells(t, c.metre, c.places...); got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.name, got, c.want)
		}
	}
}
