package main

import (
	"math"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Sizes of the strip in columns, our choice: a hundred fit every terminal and
// mail, and eight a quarter note leave room for counting sixteenths.
const (
	stripWidth   = 100
	leastQuarter = 8
)

// A span is a stretch of a row of the strip: a bar or, where that is too long,
// one of its beats.
type span struct {
	bar      int // from 1
	opens    bool
	from, to meter.Rat // quarter notes
	columns  int
	origin   int // first column within the row
}

// holds reports whether a place begins in the span.
func (s span) holds(at meter.Rat) bool { return !at.Less(s.from) && at.Less(s.to) }

// edge is what stands in front of the span.
func (s span) edge() string {
	if s.opens {
		return "|"
	}
	return ":"
}

// column returns the column of a place within the span.
func (s span) column(at meter.Rat) int {
	share := (at.Float() - s.from.Float()) / (s.to.Float() - s.from.Float())
	return int(math.Floor(share*float64(s.columns) + 1e-9)) // the nudge keeps exact columns exact
}

// spans cuts a passage into bars, or into beats where bars would not fit into
// the given number of columns. All have one scale as far as that fits.
func spans(p passage.Passage, most int) []span {
	cut := barSpans(p)
	if !fit(p, cut, most) {
		cut = beatSpans(p)
		fit(p, cut, most)
	}
	return cut
}

func barSpans(p passage.Passage) []span {
	starts := p.Starts()
	all := make([]span, len(p.Bars))
	for i := range all {
		all[i] = span{bar: i + 1, opens: true, from: starts[i], to: starts[i+1]}
	}
	return all
}

func beatSpans(p passage.Passage) []span {
	var all []span
	for _, b := range p.Beats() {
		all = append(all, span{bar: b.Bar, opens: b.Number == 1, from: b.At, to: b.At.Add(b.Length)})
	}
	return all
}

// fit gives the spans their columns: the fewest that put every stroke on a
// column of its own, at least leastQuarter a quarter note. It reports whether
// that is possible; if not, every span gets what there is.
func fit(p passage.Passage, all []span, most int) bool {
	longest := meter.Rat{}
	for _, s := range all {
		longest = later(longest, s.to.Sub(s.from))
	}
	quarter := finest(p, most)
	if step := quarter; step > 0 {
		for quarter < leastQuarter && longest.Float()*float64(quarter+step) <= float64(most) {
			quarter += step
		}
	}
	exact := quarter > 0 && longest.Float()*float64(quarter) <= float64(most)
	for i, s := range all {
		all[i].columns = max(1, int(float64(most)*s.to.Sub(s.from).Float()/longest.Float()))
		if exact {
			all[i].columns = int(s.to.Sub(s.from).Float() * float64(quarter))
		}
	}
	return exact
}

// finest returns into how many parts a quarter note has to fall so that every
// stroke and beat has a place of its own; 0 for more than most.
func finest(p passage.Passage, most int) int {
	parts := int64(1)
	add := func(at meter.Rat) {
		if parts > 0 && at.Valid() {
			parts = parts / gcd(parts, at.Den()) * at.Den()
		}
		if parts > int64(most) {
			parts = 0
		}
	}
	for _, b := range p.Beats() {
		add(b.At)
	}
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			add(s.At)
		}
	}
	return int(parts)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// rows lays spans side by side, each with an edge in front, into the fewest
// rows of at most so many columns, about as many spans in each.
func rows(all []span, most int) [][]span {
	full := pack(all, most, len(all))
	even := pack(all, most, (len(all)+len(full)-1)/len(full))
	if len(even) > len(full) {
		return full
	}
	return even
}

// pack fills row after row with at most so many columns and spans.
func pack(all []span, columns, each int) [][]span {
	var out [][]span
	next := columns + 1
	for _, s := range all {
		if next+s.columns > columns || len(out[len(out)-1]) == each {
			out = append(out, nil)
			next = 0
		}
		s.origin = next
		next += s.columns + 1
		out[len(out)-1] = append(out[len(out)-1], s)
	}
	return out
}
