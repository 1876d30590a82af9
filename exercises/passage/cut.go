package passage

import "stampmill/exercises/meter"

// maxTries bounds the search for nested cells in one beat. Our choice: what is
// written by hand is found within a hundred.
const maxTries = 5000

// cut returns the group with the fewest cells that holds the points inside a
// beat; where one row of cells is not enough, one that nests least.
func cut(at, length meter.Rat, points []meter.Rat) (node, bool) {
	if rows, ok := row(at, length, points, MaxCells); ok {
		return rows[0], true
	}
	tries := maxTries
	for depth := 1; depth <= MaxDepth; depth++ {
		if n, ok := nest(at, length, points, depth, &tries); ok {
			return n, true
		}
	}
	return node{}, false
}

// row cuts a span into one row of at most so many equal cells.
func row(at, length meter.Rat, points []meter.Rat, most int) ([]node, bool) {
	cells := int64(1)
	for _, p := range points {
		share := p.Sub(at).Div(length)
		if !share.Valid() || share.Den() > int64(most) {
			return nil, false
		}
		// cells and the denominator are both at most 2048, so is their step
		for n := cells; cells%share.Den() != 0; {
			cells += n
		}
		if cells > int64(most) {
			return nil, false
		}
	}
	g := Group{At: at, Length: length, Cells: int(cells)}
	return []node{{Group: g}}, g.Cell().Valid()
}

// nest cuts a span into cells and those cells again that need it, at most so
// many levels deep, in the fewest cells it finds.
func nest(at, length meter.Rat, points []meter.Rat, depth int, tries *int) (node, bool) {
	if rows, ok := row(at, length, points, MaxCells); ok {
		return rows[0], true
	}
	var best node
	if depth == 0 {
		return best, false
	}
	for cells := 2; cells <= MaxCells && *tries > 0; cells++ {
		*tries--
		n := node{Group: Group{At: at, Length: length, Cells: cells}}
		if n.Cell().Valid() && n.fill(points, depth-1, tries) && (best.Cells == 0 || n.size() < best.size()) {
			best = n
		}
	}
	return best, best.Cells > 0
}

// size returns the number of cells that are not cut again.
func (n node) size() int {
	all := n.Cells - len(n.inner)
	for _, inner := range n.inner {
		all += inner.size()
	}
	return all
}

// fill cuts those cells of n again whose borders do not hold the points.
func (n *node) fill(points []meter.Rat, depth int, tries *int) bool {
	cell := n.Cell()
	for len(points) > 0 {
		i := points[0].Sub(n.At).Div(cell)
		if !i.Valid() {
			return false
		}
		if i.Den() == 1 {
			points = points[1:]
			continue
		}
		g := Group{At: n.At.Add(cell.Mul(meter.Int(i.Floor()))), Length: cell}
		within := inside(points, g)
		if !g.At.Valid() || !g.End().Valid() || len(within) == 0 {
			return false
		}
		kid, ok := nest(g.At, cell, within, depth, tries)
		if !ok {
			return false
		}
		n.inner = append(n.inner, kid)
		points = points[len(within):]
	}
	return true
}
