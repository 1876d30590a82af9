package clock

import (
	"sort"
	"testing"

	"pgregory.net/rapid"
)

// The running median is the median of the same pairs, sorted afresh.
func TestMedianAgainstSorting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := medians{least: 1e9}
		var offs []float64
		device, event := 1.0, 1000.0
		for range rapid.IntRange(1, 3*Window).Draw(t, "pairs") {
			event += 1 + rapid.Float64Range(0, 20).Draw(t, "ms")
			device += 0.001 + rapid.Float64Range(0, 0.02).Draw(t, "seconds")
			if used, _ := m.add(device, event); !used {
				t.Fatalf("pair %g, %g not used", device, event)
			}
			offs = append(offs, device*1000-event)
		}
		last := append([]float64(nil), offs[max(0, len(offs)-Window):]...)
		sort.Float64s(last)
		want := (last[(len(last)-1)/2] + last[len(last)/2]) / 2
		if m.n != len(last) || m.median() != want {
			t.Fatalf("median %g of %d, want %g of %d", m.median(), m.n, want, len(last))
		}
	})
}
