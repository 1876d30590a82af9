package grade

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestMatch(t *testing.T) {
	tests := []struct {
		name         string
		onsets, taps []float64
		want         []int
	}{
		{"nothing", nil, nil, []int{}},
		{"no taps", []float64{0, 1}, nil, []int{-1, -1}},
		{"all a little late", []float64{0, .5, 1}, []float64{.01, .51, 1.01}, []int{0, 1, 2}},
		{"one missed", []float64{0, .5, 1}, []float64{.01, 1.01}, []int{0, -1, 1}},
		{"one extra", []float64{0, .5, 1}, []float64{0, .25, .5, 1}, []int{0, 2, 3}},
		{"doubled tap: the earlier", []float64{0}, []float64{.03, .03}, []int{0}},
		{"half way between two: the earlier", []float64{0, .2}, []float64{.1}, []int{0, -1}},
		{"a pair costs 2 at w*sqrt(2) = 141 ms", []float64{0}, []float64{.1414}, []int{0}},
		{"beyond it the two stay alone", []float64{0}, []float64{.1415}, []int{-1}},
		// With w = 50 ms both pairs 55 ms late cost 2.42; the nearest pair, 45 ms early, costs .81 and leaves two alone.
		{"as a whole, not nearest first", []float64{0, .1}, []float64{.055, .155}, []int{0, 1}},
	}
	for _, tt := range tests {
		got, err := Match(tt.onsets, tt.taps)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

func TestMatchRefusesDisorder(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, tt := range []struct{ onsets, taps []float64 }{
		{[]float64{1, 0}, nil}, {[]float64{0, 0}, nil}, {[]float64{nan}, nil}, {[]float64{inf}, nil},
		{nil, []float64{1, 0}}, {nil, []float64{nan}}, {nil, []float64{0, inf}},
	} {
		if _, err := Match(tt.onsets, tt.taps); err == nil {
			t.Errorf("Match(%v, %v) is no error", tt.onsets, tt.taps)
		}
	}
}

// cost is the cost of an alignment by the definition.
func cost(onsets, taps []float64, of []int) float64 {
	w := windows(onsets)
	sum := float64(len(taps))
	for i, j := range of {
		if j < 0 {
			sum++
			continue
		}
		e := (taps[j] - onsets[i]) / w[i]
		sum += e*e - 1
	}
	return sum
}

// leastCost tries every alignment of onsets from i on with taps from j on.
func leastCost(onsets, w, taps []float64, i, j int) float64 {
	if i == len(onsets) {
		return float64(len(taps) - j)
	}
	best := 1 + leastCost(onsets, w, taps, i+1, j)
	for k := j; k < len(taps); k++ {
		e := (taps[k] - onsets[i]) / w[i]
		best = min(best, float64(k-j)+e*e+leastCost(onsets, w, taps, i+1, k+1))
	}
	return best
}

func drawTimes(t *rapid.T, label string, most int) []float64 {
	ms := rapid.SliceOfN(rapid.IntRange(0, 600), 0, most).Draw(t, label)
	slices.Sort(ms)
	out := make([]float64, len(ms))
	for i, m := range ms {
		out[i] = float64(m) / 1000
	}
	return out
}

func TestMatchIsTheLeastOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onsets := slices.Compact(drawTimes(t, "onsets", 6))
		taps := drawTimes(t, "taps", 7)
		of, err := Match(onsets, taps)
		if err != nil {
			t.Fatal(err)
		}
		last := -1
		for _, j := range of {
			if j >= 0 && j <= last {
				t.Fatalf("%v is not in order", of)
			}
			last = max(last, j)
		}
		if got, want := cost(onsets, taps, of), leastCost(onsets, windows(onsets), taps, 0, 0); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%v costs %g, the least is %g", of, got, want)
		}
	})
}

// TestMatchStaysSmall holds the memory bound where one window holds every tap.
func TestMatchStaysSmall(t *testing.T) {
	taps := make([]float64, 100_000)
	of, err := Match([]float64{0, .2, 5}, taps)
	if err != nil || !slices.Equal(of, []int{0, -1, -1}) {
		t.Errorf("got %v, %v", of, err)
	}
}

// human returns n onsets at sixteenths of 120 BPM and taps with a spread of 10
// ms, 2 % missed and 2 % extra.
func human(n int) (onsets, taps []float64) {
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range n {
		at := float64(i) * 0.125
		onsets = append(onsets, at)
		if rng.Float64() >= .02 {
			taps = append(taps, at+.010*rng.NormFloat64())
		}
		if rng.Float64() < .02 {
			taps = append(taps, at+.0625)
		}
	}
	slices.Sort(taps)
	return onsets, taps
}

// BenchmarkMatch shows time and memory growing with the number of onsets:
// ns/onset and B/onset stay the same.
func BenchmarkMatch(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			onsets, taps := human(n)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Match(onsets, taps); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/onset")
		})
	}
}
