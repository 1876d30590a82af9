package change

import (
	"slices"

	"stampmill/exercises/meter"
)

// What players fall into where the catalogue leaves the amount open. All our
// choice: the note values of the style and the cells of the passage.
var (
	readLengths  = quarters(1, 1, 1, 2, 1, 3, 1, 4, 1, 5, 1, 6, 1, 8, 2, 1)
	readSpaces   = quarters(1, 4, 1, 2, 3, 4, 1, 1, 3, 2, 2, 1)
	readFactors  = quarters(2, 1, 3, 2, 4, 3, 3, 1, 5, 4)
	readTempi    = quarters(3, 2, 4, 3, 5, 4, 2, 1, 2, 3, 3, 4, 4, 5, 1, 2)
	readShifts   = quarters(1, 4, 1, 2, 1, 3, 3, 4, 1, 1, 2, 5, 3, 5, 2, 3)
	readCounts   = []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 12}
	readGroups   = withRotations([]int{3}, []int{2}, []int{4}, []int{5}, []int{7}, []int{3, 3, 2}, []int{3, 2}, []int{5, 5, 6}, []int{3, 3, 4, 2}, []int{3, 3, 3, 3, 4}, []int{3, 3, 3, 3, 2, 2}, []int{3, 4}, []int{2, 2, 3})
	readMultiple = int64(3) // a shift is at most so many cells
)

// withRotations returns groups begun at each of their numbers.
func withRotations(all ...[]int) [][]int {
	var out [][]int
	for _, g := range all {
		for i := range g {
			turned := slices.Concat(g[i:], g[:i])
			if !slices.ContainsFunc(out, func(o []int) bool { return slices.Equal(o, turned) }) {
				out = append(out, turned)
			}
		}
	}
	return out
}

// amounts returns what a clause that says how much may hold in a scope.
func (r *Reader) amounts(e *Entry, c clause, s Scope) []Args {
	switch c.param {
	case paramShift:
		return choose(r.shifts(s), func(a *Args, by meter.Rat) { a.By = by })
	case paramLength:
		switch {
		case e.Name == "group":
			return r.groupCells(s)
		case c.word == "for" && c.optional:
			return []Args{{}}
		case c.word == "for":
			return choose(readSpaces, func(a *Args, by meter.Rat) { a.By = by })
		}
		return choose(readLengths, func(a *Args, by meter.Rat) { a.By = by })
	case paramFactor:
		if c.name == "factor" && e.Name == "tempo" {
			return choose(readTempi, func(a *Args, f meter.Rat) { a.Factor = f })
		}
		return choose(readFactors, func(a *Args, f meter.Rat) { a.Factor = f })
	case paramCount:
		return choose(readCounts, func(a *Args, n int) { a.Count = n })
	case paramGroups:
		return []Args{{}} // with their cells
	case paramChoice:
		return choose(c.choices, func(a *Args, word string) { a.As = word })
	case paramWord:
		return []Args{{}, {As: c.word}}
	}
	return nil
}

// shifts returns how far the strokes of a scope may be moved: a few of its own
// cells or a usual note value, to either side, less than the scope is long.
func (r *Reader) shifts(s Scope) []meter.Rat {
	var all distances
	spans, err := Args{At: s.At}.stretches(r.p)
	if err != nil {
		return nil
	}
	long := spans[0].length()
	lengths := slices.Clone(readShifts)
	for _, cell := range r.cells(s) {
		for n := int64(1); n <= readMultiple; n++ {
			lengths = append(lengths, cell.Mul(meter.Int(n)))
		}
	}
	for _, by := range lengths {
		if by.Less(long) {
			all.add(by, by.Neg())
		}
	}
	return all
}

// groupCells returns groups with their cells: the usual patterns in sixteenths
// and eighths and, over a few beats, their splits into few parts.
func (r *Reader) groupCells(s Scope) []Args {
	spans, err := Args{At: s.At}.stretches(r.p)
	if err != nil {
		return nil
	}
	var all []Args
	long := spans[0].length()
	for _, cell := range []meter.Rat{defaultCell, meter.R(1, 2)} {
		for _, g := range readGroups {
			total := int64(g[0])
			for _, n := range g[1:] {
				total += int64(n)
			}
			if whole := cell.Mul(meter.Int(total)); whole.Less(long) || whole == long && len(g) > 1 {
				all = append(all, Args{Groups: g, By: cell})
			}
		}
	}
	if slices.Contains(splitSpans, long) {
		for _, split := range Splits() {
			n := 0
			for _, part := range split {
				n += part
			}
			all = append(all, Args{Groups: split, By: long.Div(meter.Int(int64(n)))})
		}
	}
	return all
}

// splitSpans are the lengths, in quarter notes, of which one tuplet is read.
// Our choice: a beat, its half, and a few of them.
var splitSpans = quarters(1, 2, 1, 1, 3, 2, 2, 1, 3, 1, 4, 1)

// splitGrids are the numbers of equal parts that a player falls into when a
// tuplet does not come out: common practice, the beat cut straight.
var splitGrids = []int{4, 6, 8}

// splitParts bounds the strokes of a tuplet that is read on a straight grid.
const splitParts = 7

var splits = func() [][]int {
	all := [][]int{}
	for n := 2; n <= splitParts; n++ {
		for _, grid := range splitGrids {
			uneven(make([]int, n), 0, grid, func(parts []int) { all = append(all, slices.Clone(parts)) })
		}
	}
	return all
}()

// Splits returns the uneven splits of a stretch into two to seven parts that a
// player falls into instead of even ones, as numbers of equal cells: on a grid
// of 4, 6 or 8 cells, of more than two parts with such that differ by one at
// most, as in 3 3 2: the tuplet moved onto the grid.
func Splits() [][]int { return splits }

// uneven calls try with every way to write n as the parts from i on.
func uneven(parts []int, i, n int, try func([]int)) {
	rest := len(parts) - i - 1
	switch {
	case n <= rest:
	case rest == 0:
		parts[i] = n
		most, least := slices.Max(parts), slices.Min(parts)
		common := 0
		for _, p := range parts {
			common = gcd(common, p)
		}
		if most > least && common == 1 && (len(parts) == 2 || most-least == 1) {
			try(parts)
		}
	default:
		for p := 1; p <= n-rest; p++ {
			parts[i] = p
			uneven(parts, i+1, n-p, try)
		}
	}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
