package grade

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestWander: taps are followed by their intervals; off are what strokes a
// half second apart are off their places, in ms.
func TestWander(t *testing.T) {
	none := math.NaN()
	tests := []struct {
		name  string
		off   []float64
		extra []float64 // ms of taps too many
		want  []int
		cost  float64
	}{
		{"as written", []float64{0, 0, 0, 0, 0, 0}, nil, []int{0, 1, 2, 3, 4, 5}, 0},
		{"each interval 50 ms too long: 5 times (50/100)²", []float64{0, 50, 100, 150, 200, 250}, nil, []int{0, 1, 2, 3, 4, 5}, 1.25},
		{"there and back", []float64{0, 50, 100, 50, 0, 50}, nil, []int{0, 1, 2, 3, 4, 5}, 1.25},
		{"one missed on the way", []float64{0, 50, 100, none, 150, 200}, nil, []int{0, 1, 2, -1, 3, 4}, 1 + 1},
		{"one too many on the way", []float64{0, 50, 100, 150, 200, 250}, []float64{1400}, []int{0, 1, 2, 4, 5, 6}, 1 + 1.25},
		{"the first missed", []float64{none, 0, 0, 0, 0, 0}, nil, []int{-1, 0, 1, 2, 3, 4}, 1},
		{"200 ms late from the start: (200/400)²", []float64{200, 200, 200, 200, 200, 200}, nil, []int{0, 1, 2, 3, 4, 5}, .25},
		{"a leap of half an interval ends the way", []float64{0, 0, 0, 250, 250, 250}, nil, []int{0, 1, 2, -1, -1, -1}, 6},
	}
	for _, tt := range tests {
		var at, taps []float64
		for i, off := range tt.off {
			at = append(at, float64(i)/2)
			for _, ms := range tt.extra {
				if ms/1000 > float64(i-1)/2 && ms/1000 <= float64(i)/2 {
					taps = append(taps, ms/1000)
				}
			}
			if !math.IsNaN(off) {
				taps = append(taps, float64(i)/2+off/1000)
			}
		}
		of, cost := wander(at, windows(at), taps, 0)
		if diff := cmp.Diff(tt.want, of); diff != "" || math.Abs(cost-tt.cost) > 1e-9 {
			t.Errorf("%s: cost %g, want %g (-want +got):\n%s", tt.name, cost, tt.cost, diff)
		}
	}
}
