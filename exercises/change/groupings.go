package change

import (
	"slices"
	"strconv"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// groupings are the changes that carry a pattern over the bar line.
func groupings() []Entry {
	return []Entry{
		{
			Form:     "group {voices} in {groups} [of {length}] [at {ranges}] [filled]",
			About:    "Accents in groups of cells that run on over the bar lines, from the start of the range; cells are sixteenths unless said. Filled, the other cells are plain hits, and the last of a group of three or more is silent.",
			Example:  "group kick guitar in 3 3 2",
			effect:   group,
			sentence: grouped,
		},
		{
			Form:     "rotate {voices} by {shift} [at {ranges}]",
			About:    "The strokes move later or, with -, sooner; what leaves the range comes in again at its other end.",
			Example:  "rotate kick by 1/8",
			effect:   rotate,
			sentence: rotated,
			inverse:  func(_ passage.Passage, a Args) []Change { return []Change{with("rotate", a.sooner())} },
		},
		{
			Form:     "reverse {voices} [at {ranges}]",
			About:    "The range is played from its end to its start, cell by cell; several voices in the cells that they have in common, so that what strikes together still does.",
			Example:  "reverse kick guitar at 2",
			effect:   reverse,
			sentence: says("plays", "play", "backwards"),
			inverse:  by("reverse"),
		},
	}
}

// defaultCell is the cell of a grouping without a length: a sixteenth.
var defaultCell = meter.R(1, 4)

func group(p *passage.Passage, a Args) error {
	cell := a.By
	if cell == (meter.Rat{}) {
		cell = defaultCell
	}
	if cell.Less(shortest) {
		return refuse("choose 1/16, say", "%s is too short for a cell", lengthWords(cell))
	}
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l := addedLine(p, v)
		for _, s := range all {
			put(l, s, pattern(s, a.Groups, cell, a.As != ""))
			ungroup(l, s)
		}
	}
	return nil
}

// pattern fills a stretch with groups of cells, over and over.
func pattern(s stretch, groups []int, cell meter.Rat, full bool) []passage.Stroke {
	var out []passage.Stroke
	at := s.from
	for g := 0; at.Less(s.to); g++ {
		size := groups[g%len(groups)]
		for i := 0; i < size && at.Less(s.to); i++ {
			switch {
			case i == 0:
				out = append(out, passage.Stroke{At: at, Length: cell, Kind: passage.Accent})
			case full && (size < 3 || i < size-1):
				out = append(out, passage.Stroke{At: at, Length: cell, Kind: passage.Hit})
			}
			at = at.Add(cell)
		}
	}
	return out
}

func grouped(p passage.Passage, a Args) string {
	cell := a.By
	if cell.Sign() == 0 {
		cell = defaultCell
	}
	between := ""
	if a.As != "" {
		between = "with hits between"
	}
	groups := make([]string, len(a.Groups))
	for i, n := range a.Groups {
		groups[i] = strconv.Itoa(n)
	}
	return said(subject(a.Voices), agree(a.Voices, "marks", "mark"), "groups of", listWords(groups, "and"), steps(cell), between, a.where(p))
}

func rotate(p *passage.Passage, a Args) error {
	return eachStretch(p, a, func(s stretch, strokes []passage.Stroke) []passage.Stroke {
		for i := range strokes {
			into := strokes[i].At.Add(a.By).Sub(s.from)
			round := into.Div(s.length())
			if !round.Valid() {
				strokes[i].At = meter.Invalid
				continue
			}
			strokes[i].At = s.from.Add(into).Sub(s.length().Mul(meter.Int(round.Floor())))
		}
		return strokes
	})
}

func rotated(p passage.Passage, a Args) string {
	return said(subject(a.Voices), agree(a.Voices, "rotates", "rotate"), later(a.By), a.where(p))
}

// reverse mirrors the strokes of one voice as long as they are: in a voice that
// does not sound as long as it is written, one cell.
func reverse(p *passage.Passage, a Args) error {
	if len(a.Voices) > 1 {
		return reverseTogether(p, a)
	}
	return eachLine(p, a, func(l *passage.Line, s stretch, strokes []passage.Stroke) {
		if !l.Voice.Sustained() {
			endByCell(strokes, l.Groups)
		}
		for i, stroke := range strokes {
			stroke = endBy(stroke, s.to)
			stroke.At = s.from.Add(s.to.Sub(stroke.End()))
			strokes[i] = stroke
		}
		putLong(l, s, strokes)
	})
}

// reverseTogether mirrors the strokes of several voices by the cells that they
// have in common, so that what strikes together still does.
func reverseTogether(p *passage.Passage, a Args) error {
	beats := p.Beats()
	cells := commonCells(*p, a.Voices, beats)
	return eachLine(p, a, func(l *passage.Line, s stretch, strokes []passage.Stroke) {
		for i, stroke := range strokes {
			stroke = endBy(stroke, s.to)
			stroke.At = s.from.Add(s.to.Sub(stroke.At.Add(cells[beatIndex(beats, stroke.At)])))
			strokes[i] = endBy(stroke, s.to)
			if !l.Voice.Sustained() {
				strokes[i].Length = meter.Rat{}
			}
		}
		put(l, s, strokes)
		ungroup(l, s)
		for i, b := range beats {
			from := s.from.Add(s.to.Sub(b.At.Add(b.Length)))
			now := stretch{from, from.Add(b.Length)}
			to := beats[beatIndex(beats, from)] // written in the same cells, where it is a beat as well
			n := b.Length.Div(cells[i])
			if to.At == from && to.Length == b.Length && n.Den() == 1 && n.Floor() <= passage.MaxCells && len(strokesIn(*l, now)) > 0 {
				writeAs(*p, l, now, int(n.Floor()))
			}
		}
	})
}

// commonCells returns for each beat the longest cell in which all strokes of
// some voices begin and end there.
func commonCells(p passage.Passage, voices []passage.Voice, beats []passage.Beat) []meter.Rat {
	cells := make([]meter.Rat, len(beats))
	for i, b := range beats {
		beat := stretch{b.At, b.At.Add(b.Length)}
		cells[i] = b.Length
		for _, v := range voices {
			l, _ := p.Line(v)
			strokes := slices.Clone(strokesIn(l, beat))
			if !v.Sustained() {
				endByCell(strokes, l.Groups)
			}
			for _, s := range strokes {
				cells[i] = common(cells[i], s.At.Sub(b.At))
				cells[i] = common(cells[i], endBy(s, beat.to).End().Sub(b.At))
			}
		}
	}
	return cells
}

// endByCell ends strokes where the cell ends in which they are written.
func endByCell(strokes []passage.Stroke, groups []passage.Group) {
	for i, s := range strokes {
		if cell := cellAt(groups, s.At); cell.Sign() > 0 {
			strokes[i] = endBy(s, s.At.Add(cell))
		}
	}
}
