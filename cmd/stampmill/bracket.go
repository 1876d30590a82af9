package main

import (
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A ratio is an irregular group with the ratio to print over it.
type ratio struct {
	passage.Group
	tuplet meter.Tuplet
	depth  int // 0 for a group of beats, 1 for one in a cell of that, ...
}

// ratios returns the irregular groups of a line in which strokes begin.
func ratios(l passage.Line) []ratio {
	var all []ratio
	var open []frame // the groups around the next one
	for _, g := range l.Groups {
		for len(open) > 0 && !g.At.Less(open[len(open)-1].End()) {
			open = open[:len(open)-1]
		}
		written := g.Length
		if len(open) > 0 {
			written = open[len(open)-1].cell
		}
		tuplet, cell := meter.DivisionOf(written, g.Cells)
		if tuplet.Irregular() && struck(l, g) {
			all = append(all, ratio{g, tuplet, len(open)})
		}
		open = append(open, frame{g, cell})
	}
	return all
}

// A frame is a group with the written value of its cells.
type frame struct {
	passage.Group
	cell meter.Rat
}

func struck(l passage.Line, g passage.Group) bool {
	for _, s := range l.Strokes {
		if !s.At.Less(g.At) && s.At.Less(g.End()) {
			return true
		}
	}
	return false
}

// brackets draws the lines of brackets over a voice, outer groups on top;
// groups that an upper voice of this row has bracketed are not drawn again.
func (d *drawing) brackets(l passage.Line, spans []span) []string {
	var lines []canvas
	for _, r := range ratios(l) {
		if d.told[r.Group] {
			continue
		}
		for len(lines) <= r.depth {
			lines = append(lines, d.canvas("", spans))
		}
		if d.bracket(lines[r.depth], r, spans) {
			d.told[r.Group] = true
		}
	}
	var out []string
	for _, c := range lines {
		if text := strings.TrimSpace(string(c)); text != "" {
			out = append(out, string(c))
		}
	}
	return out
}

// bracket draws one bracket as far as it lies in the spans and reports whether
// its end does.
func (d *drawing) bracket(c canvas, r ratio, spans []span) bool {
	ends := false
	for _, s := range spans {
		if !r.At.Less(s.to) || !s.from.Less(r.End()) {
			continue
		}
		from, to := d.column(s, later(r.At, s.from)), d.column(s, earlier(r.End(), s.to))
		c.put(from, bracketText(to-from, r.tuplet.String()))
		ends = ends || !s.to.Less(r.End())
	}
	return ends
}

// bracketText is a bracket of so many columns around a ratio, or as much of it
// as there is room for.
func bracketText(columns int, ratio string) string {
	switch {
	case columns < 1:
		return ""
	case columns < len(ratio)+2:
		ratio, _, _ = strings.Cut(ratio, ":")
		return ratio[:min(len(ratio), columns)]
	}
	rest := columns - 2 - len(ratio)
	return "┌" + strings.Repeat("─", rest/2) + ratio + strings.Repeat("─", rest-rest/2) + "┐"
}
