package grade

import (
	"math"
	"slices"

	"stampmill/exercises/meter"
)

// straightGrids are the numbers of equal parts that a player falls into when
// a tuplet does not come out: common practice, the beat cut straight.
var straightGrids = []int{4, 6, 8}

// split returns lengths as the smallest whole numbers in the same ratio, such
// as 2 1 for 2/3 and 1/3. Lengths are above 0.
func split(lengths []meter.Rat) []int {
	num, den := int64(0), int64(1) // their greatest common part
	for _, l := range lengths {
		num, den = gcd(num*l.Den(), l.Num()*den), den*l.Den()
		g := gcd(num, den)
		num, den = num/g, den/g
	}
	unit := meter.R(num, den)
	out := make([]int, len(lengths))
	for i, l := range lengths {
		out[i] = int(l.Div(unit).Floor())
	}
	return out
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// reduced divides parts by their greatest common divisor.
func reduced(parts []int) []int {
	g := int64(0)
	for _, p := range parts {
		g = gcd(g, int64(p))
	}
	for i := range parts {
		parts[i] /= int(g)
	}
	return parts
}

// simpleRatios returns the ratios that k strokes are held against: equal parts
// and the splits of the straight grids. Of more than two parts these differ by
// one at most, as 3:3:2 does: the tuplet moved onto the grid.
func simpleRatios(k int) [][]int {
	all := [][]int{slices.Repeat([]int{1}, k)}
	for _, n := range straightGrids {
		splits(make([]int, k), 0, n, func(parts []int) {
			if k > 2 && slices.Max(parts)-slices.Min(parts) > 1 {
				return
			}
			parts = reduced(slices.Clone(parts))
			if !slices.ContainsFunc(all, func(r []int) bool { return slices.Equal(r, parts) }) {
				all = append(all, parts)
			}
		})
	}
	return all
}

// nearest returns the written ratio or the simple one nearest to the played
// shares; of equals the written one, then the simpler.
func nearest(played []float64, written []int) []int {
	best, least := written, distance(played, written)
	for _, parts := range simpleRatios(len(written)) {
		if d := distance(played, parts); d < least-1e-12 { // rounding decides nothing
			best, least = parts, d
		}
	}
	return best
}

// splits calls try with every way to write n as the parts from i on, each at
// least 1.
func splits(parts []int, i, n int, try func([]int)) {
	rest := len(parts) - i - 1
	switch {
	case n <= rest:
	case rest == 0:
		parts[i] = n
		try(parts)
	default:
		for p := 1; p <= n-rest; p++ {
			parts[i] = p
			splits(parts, i+1, n-p, try)
		}
	}
}

// distance returns the root mean square distance, as a share of the span,
// between the strokes of the played split and those of a ratio. The first
// stroke stands at 0 in both.
func distance(played []float64, parts []int) float64 {
	total := 0
	for _, p := range parts {
		total += p
	}
	at, want, sum := 0.0, 0, 0.0
	for i := range played[:len(played)-1] {
		at += played[i]
		want += parts[i]
		d := at - float64(want)/float64(total)
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(played)-1))
}
