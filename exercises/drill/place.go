package drill

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// What came before a cell decides whether a hold may follow.
type before uint8

const (
	silence before = iota
	sounding
	choked
	unknown // something was reported; keep quiet
)

// A placer turns the cells of one voice line into strokes, bar by bar.
type placer struct {
	*report
	line   passage.Line
	before before
	at     piece // the bar, where it stands for another (%); else empty
	src    piece // the group being placed
	broken bool
	failed int // index of the last bar that did not fit, -1 for none
}

// place gives every cell of a voice line its place under the metres of the
// bars, or remembers it.
func (r *report) place(v writtenLine, metres []meter.Metre) *placement {
	p := v.placement(metres)
	if p == nil {
		p = &placement{metres: metres, report: r.aside(v.line)}
		p.line, p.ok = p.report.placeCells(v.voiceLine, metres)
		if p.more == 0 && !r.mute[v.line] {
			v.placed = append(v.placed, p)
		}
	}
	r.take(p.report, v.line)
	return p
}

// placeCells returns what a voice line says; false when anything was reported.
func (r *report) placeCells(v *voiceLine, metres []meter.Metre) (passage.Line, bool) {
	pl := placer{report: r, line: passage.Line{Voice: v.voice}, failed: -1}
	var start meter.Rat
	content := -1 // index of the bar that a % repeats
	for i, b := range v.bars[:min(len(v.bars), len(metres))] {
		if !b.repeat {
			content = i
		}
		pl.bar(v.bars, i, content, start, metres)
		start = start.Add(metres[i].Length())
	}
	pl.line.Strokes, pl.line.Groups = slices.Clip(pl.line.Strokes), slices.Clip(pl.line.Groups)
	return pl.line, !pl.broken
}

// bar places the bar with index i, whose cells are written in bar content.
func (pl *placer) bar(bars []bar, i, content int, start meter.Rat, metres []meter.Metre) {
	if content < 0 || content == pl.failed || bars[content].broken || bars[i].broken {
		if b := bars[i]; !b.repeat && !b.lost && len(b.groups) > 0 {
			pl.count(b, i, metres[i], len(metres[i].Beats()))
		}
		pl.before, pl.broken = unknown, true
		return
	}
	pl.at = piece{}
	if bars[i].repeat {
		pl.at = bars[i].src
		if metres[i] != metres[content] {
			pl.add(pl.at, "write the bar out", "%% repeats a bar of %s in a bar of %s", metres[content], metres[i])
			pl.before, pl.broken = unknown, true
			return
		}
	}
	if !pl.beats(bars[content], i, start, metres[i]) {
		pl.failed = content // said once; bars that repeat it keep quiet
		pl.before, pl.broken = unknown, true
	}
}

// beats places the groups of a bar on its beats; false when they do not fit.
func (pl *placer) beats(b bar, index int, start meter.Rat, m meter.Metre) bool {
	beats := m.Beats()
	if !pl.count(b, index, m, len(beats)) {
		return false
	}
	at := start
	for _, g := range b.groups {
		var span meter.Rat
		for _, beat := range beats[:g.beats] {
			span = span.Add(beat)
		}
		beats = beats[g.beats:]
		pl.src = g.src
		if !pl.cells(g.cells, at, span) {
			return false
		}
		at = at.Add(span)
	}
	return true
}

// count compares the beats written with those of the metre.
func (pl *placer) count(b bar, index int, m meter.Metre, want int) bool {
	n := 0
	var extra, last piece
	for _, g := range b.groups {
		if n+g.beats > want && extra.line == 0 {
			extra = g.src
		}
		n += g.beats
		last = g.src
	}
	switch {
	case n > want:
		pl.add(extra, "cells of one beat stand together, without a space", "bar %d has %s where %s has %d", index+1, plural(n, "beat"), m, want)
	case n < want:
		pl.add(last.end(), "separate beats by spaces; write . for a silent beat", "bar %d has %s where %s has %d", index+1, plural(n, "beat"), m, want)
	}
	return n == want
}

// cells places the cells of a group or bracket; false when they are too fine.
func (pl *placer) cells(cells []cell, at, span meter.Rat) bool {
	g := passage.Group{At: at, Length: span, Cells: len(cells)}
	size := g.Cell()
	pl.line.Groups = append(pl.line.Groups, g)
	for _, c := range cells {
		next := at.Add(size)
		if !next.Valid() {
			pl.add(pl.where(c), "use simpler divisions", "a cell of a beat cut too often for exact time")
			return false
		}
		if c.mark == bracket {
			if !pl.cells(c.inner, at, size) {
				return false
			}
		} else if !pl.cell(c, at, size) {
			return false
		}
		at = next
	}
	return true
}

func (pl *placer) where(c cell) piece {
	if pl.at.line > 0 {
		return pl.at
	}
	return pl.src.from(c.off - pl.src.off)
}

// cell places a rest, a hold or a stroke.
func (pl *placer) cell(c cell, at, size meter.Rat) bool {
	switch c.mark {
	case rest:
		pl.before = silence
	case hold:
		return pl.hold(c, size)
	case stroke:
		pl.line.Strokes = append(pl.line.Strokes, passage.Stroke{At: at, Length: size, Kind: c.kind, Fret: c.fret, Bend: c.bend})
		pl.before = sounding
		if c.kind == passage.Choke {
			pl.before = choked
		}
	}
	return true
}

// hold lengthens the stroke before.
func (pl *placer) hold(c cell, size meter.Rat) bool {
	switch pl.before {
	case silence:
		pl.add(pl.where(c), "write . for silence, or a stroke before it", "- holds a stroke, and nothing sounds here")
	case choked:
		pl.add(pl.where(c), "write . for silence", "- holds a stroke, and the choke before it ended what rang")
	case sounding:
		last := &pl.line.Strokes[len(pl.line.Strokes)-1]
		last.Length = last.Length.Add(size)
		if last.Length.Valid() {
			return true
		}
		pl.add(pl.where(c), "use simpler divisions", "a stroke whose length is no exact number")
	}
	pl.before, pl.broken = unknown, true
	return true
}
