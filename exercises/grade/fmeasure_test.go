package grade

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The definitions and edge cases are those of mir_eval.onset (Raffel, McFee,
// Humphrey, Salamon, Nieto, Liang and Ellis 2014, "mir_eval: a transparent
// implementation of common MIR metrics", ISMIR) and of its tests.
func TestFMeasureEdges(t *testing.T) {
	tests := []struct {
		name            string
		written, played []float64
		f, p, r         float64
	}{
		{"identical lists score 1", []float64{0, 1, 2}, []float64{0, 1, 2}, 1, 1, 1},
		{"both empty", nil, nil, 0, 0, 0},
		{"nothing played", []float64{1}, nil, 0, 0, 0},
		{"nothing written", nil, []float64{1}, 0, 0, 0},
		{"the edge is inclusive, early", []float64{1}, []float64{.95}, 1, 1, 1},
		{"the edge is inclusive, late", []float64{1}, []float64{1.05}, 1, 1, 1},
		{"the edge is inclusive in spite of rounding", []float64{.14, 3.82}, []float64{.09, 3.87}, 1, 1, 1},
		{"and 0.1 ms beyond it is out", []float64{1}, []float64{1.0501}, 0, 0, 0},
		{"doubled: one hit only", []float64{1, 5}, []float64{1, 1.01}, .5, .5, .5},
		// The nearest pair first (.06 with .1) would leave 0 without a partner.
		{"maximum matching, not nearest first", []float64{.02, .1}, []float64{.06, .15}, 1, 1, 1},
		{"two of three and three of four: F = 2*2/(3+4)", []float64{0, 1, 2}, []float64{0, .5, 1, 1.5}, 4. / 7, 2. / 4, 2. / 3},
	}
	for _, tt := range tests {
		f, p, r, err := FMeasure(tt.written, tt.played, .05)
		if err != nil || math.Abs(f-tt.f)+math.Abs(p-tt.p)+math.Abs(r-tt.r) > 1e-9 {
			t.Errorf("%s: got %g %g %g, %v; want %g %g %g", tt.name, f, p, r, err, tt.f, tt.p, tt.r)
		}
	}
	for _, bad := range [][]float64{{1, 0}, {math.NaN()}, {math.Inf(1)}, {30001}} {
		if _, _, _, err := FMeasure(bad, []float64{0}, .05); err == nil {
			t.Errorf("%v is accepted as written", bad)
		}
		if _, _, _, err := FMeasure([]float64{0}, bad, .05); err == nil {
			t.Errorf("%v is accepted as played", bad)
		}
	}
}

// TestFMeasureFixtures holds the table of sizes and scores of mir_eval's own
// onset fixtures: F, P and R follow from the number of hits.
func TestFMeasureFixtures(t *testing.T) {
	for _, tt := range []struct {
		written, played, hits int
		f, p, r               float64
	}{
		{22, 27, 13, 0.5306122448979591, 0.48148148148148145, 0.5909090909090909},
		{58, 3, 1, 0.03278688524590164, 0.3333333333333333, 0.017241379310344827},
		{55, 36, 8, 0.17582417582417584, 0.2222222222222222, 0.14545454545454545},
		{15, 25, 10, 0.5, 0.4, 0.6666666666666666},
		{1, 45, 0, 0, 0, 0},
		{11, 10, 10, 0.9523809523809523, 1.0, 0.9090909090909091},
		{66, 58, 3, 0.04838709677419355, 0.05172413793103448, 0.045454545454545456},
	} {
		var written, played []float64
		for i := range tt.written {
			written = append(written, float64(i))
		}
		for i := range tt.played { // so many hits, the others half way between
			at := float64(i)
			if i >= tt.hits {
				at += .5
			}
			played = append(played, at)
		}
		f, p, r, err := FMeasure(written, played, .05)
		if err != nil || math.Abs(f-tt.f)+math.Abs(p-tt.p)+math.Abs(r-tt.r) > 1e-9 {
			t.Errorf("%d hits: got %g %g %g, %v; want %g %g %g", tt.hits, f, p, r, err, tt.f, tt.p, tt.r)
		}
	}
}

// mostPairs tries every way to pair written onsets from i on with what is left
// of the played ones.
func mostPairs(written, played []float64, window float64, i int, used uint) int {
	if i == len(written) {
		return 0
	}
	best := mostPairs(written, played, window, i+1, used)
	for j, p := range played {
		if used&(1<<j) == 0 && math.Abs(p-written[i]) <= window+1e-9 {
			best = max(best, 1+mostPairs(written, played, window, i+1, used|1<<j))
		}
	}
	return best
}

func TestFMeasureIsMaximumMatching(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		written, played := drawTimes(t, "written", 6), drawTimes(t, "played", 6)
		window := rapid.SampledFrom([]float64{.025, .05, .1}).Draw(t, "window")
		if got, want := within(written, played, window), mostPairs(written, played, window, 0, 0); got != want {
			t.Fatalf("%d pairs, %d are possible", got, want)
		}
	})
}
