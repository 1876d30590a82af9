package complexity_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/complexity"
	"stampmill/exercises/passage"
)

// weights returns the weights of equal cells of a bar.
func weights(t *testing.T, metre string, cells int) []int {
	p := timeline(t, metre, passage.Kick, strings.Repeat("x", cells))
	var all []int
	for _, s := range p.Lines[0].Strokes {
		all = append(all, complexity.Weight(p, s.At))
	}
	return all
}

func TestWeights(t *testing.T) {
	cases := []struct {
		metre, source string
		want          []int
	}{
		{"4/4", "Witek et al. 2014, PLoS ONE 9(4) e94446: the profile of 16 steps", []int{0, -3, -2, -3, -1, -3, -2, -3, -1, -3, -2, -3, -1, -3, -2, -3}},
		// What follows is our extension; the trees by hand.
		{"4/4", "triplets: bar, beats, thirds", []int{0, -2, -2, -1, -2, -2, -1, -2, -2, -1, -2, -2}},
		{"1/4", "quintuplet", []int{0, -2, -2, -2, -2}},
		{"1/4", "septuplet", []int{0, -2, -2, -2, -2, -2, -2}},
		{"1/4", "sextuplet: halves and thirds stand above the rest", []int{0, -3, -2, -2, -2, -3}},
		{"1/4", "a triplet in each cell of a triplet", []int{0, -3, -3, -2, -3, -3, -2, -3, -3}},
		{"3/4", "eighths", []int{0, -2, -1, -2, -1, -2}},
		{"5/4", "eighths", []int{0, -2, -1, -2, -1, -2, -1, -2, -1, -2}},
		{"6/8", "eighths: two beats of three", []int{0, -2, -2, -1, -2, -2}},
		{"6/8", "sixteenths", []int{0, -3, -2, -2, -2, -3, -1, -3, -2, -2, -2, -3}},
		{"7/8 (2+2+3)", "eighths: two, two, three", []int{0, -2, -1, -2, -1, -2, -2}},
	}
	for _, c := range cases {
		if diff := cmp.Diff(c.want, weights(t, c.metre, len(c.want))); diff != "" {
			t.Errorf("%s, %s (-want +got):\n%s", c.metre, c.source, diff)
		}
	}
}

// TestMetricalComplexity holds the binary tree against Toussaint 2002, Bridges,
// pp. 157-168: with half bars as beats, our weights plus 5 are his 5 1 2 1 3 1
// 2 1 4 ..., and his complexity of a timeline is the sum of the n largest
// weights less the sum of those at its n onsets. The values are from memory,
// equal to derived ones and to SynPy TMC; son is published as 17 - 13 = 4.
func TestMetricalComplexity(t *testing.T) {
	const halves = "4/4 (2+2)"
	all := weights(t, halves, 16)
	if diff := cmp.Diff([]int{0, -4, -3, -4, -2, -4, -3, -4, -1, -4, -3, -4, -2, -4, -3, -4}, all); diff != "" {
		t.Errorf("weights (-want +got):\n%s", diff)
	}
	want := map[string]int{"shiko": 2, "son": 4, "soukous": 6, "rumba": 5, "bossa": 6, "gahu": 5}
	for _, line := range timelines {
		p := timeline(t, halves, passage.Kick, line.cells)
		largest := slices.Sorted(slices.Values(all))
		got := 0
		for i, s := range p.Lines[0].Strokes {
			got += largest[len(largest)-1-i] - complexity.Weight(p, s.At)
		}
		if got != want[line.name] {
			t.Errorf("%s: metrical complexity %d, want %d", line.name, got, want[line.name])
		}
	}
}

func TestWeightGoesRound(t *testing.T) {
	p := read(t, "3/4", "kick | x x x |")
	for at, want := range map[string]int{"3": 0, "4": -1, "-1/2": -2, "0": 0} {
		if got := complexity.Weight(p, place(t, at)); got != want {
			t.Errorf("weight at %s: %d, want %d", at, got, want)
		}
	}
	if got := complexity.Weight(passage.Passage{}, place(t, "1")); got != 0 {
		t.Errorf("weight in no bars: %d, want 0", got)
	}
}
