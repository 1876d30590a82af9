package main

import (
	"fmt"
	"strconv"
	"strings"

	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// strip draws a passage as lines of text, time to scale from left to right: the
// bars and beats on top, a row for each voice with brackets over irregular
// groups and the letters of its sticking under it, the counting words under
// all. Rows of bars follow one another where they do not fit side by side.
func strip(p passage.Passage, under map[passage.Voice][]limbs.Mark) []string {
	d := drawing{p: p, label: len("count"), told: map[passage.Group]bool{}, under: under}
	for _, v := range p.Voices() {
		d.label = max(d.label, len(v.String()))
	}
	var lines []string
	for _, row := range rows(spans(p, stripWidth-d.label-3), stripWidth-d.label-2) {
		lines = append(lines, "")
		lines = append(lines, d.row(row)...)
	}
	return lines
}

// several stands for strokes that are nearer to one another than a column.
const several = '*'

// A drawing is what the rows of a strip share.
type drawing struct {
	p     passage.Passage
	label int                    // columns of the names
	told  map[passage.Group]bool // groups that an upper row has bracketed
	under map[passage.Voice][]limbs.Mark
}

// row draws one row of spans.
func (d *drawing) row(spans []span) []string {
	lines := []string{d.beats(spans)}
	if spans[0].opens {
		lines = []string{d.bars(spans), d.beats(spans)}
	}
	for _, l := range d.p.Lines {
		lines = append(lines, d.brackets(l, spans)...)
		lines = append(lines, d.voice(l, spans))
		if marks := d.marks(l.Voice, spans); marks != "" {
			lines = append(lines, marks)
		}
	}
	lines = append(lines, d.counts(spans))
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return lines
}

// A canvas is one line of text under the hand.
type canvas []rune

// canvas returns a blank line for a row, with a name in front.
func (d *drawing) canvas(name string, spans []span) canvas {
	last := spans[len(spans)-1]
	width := d.label + 2 + last.origin + last.columns + 1
	return canvas(fmt.Sprintf("%-*s", width, name))
}

// put writes a text from a column on, as far as the line goes.
func (c canvas) put(column int, text string) {
	for _, r := range text {
		if column < len(c) {
			c[column] = r
		}
		column++
	}
}

// column returns where a place of a span stands on the canvas.
func (d *drawing) column(s span, at meter.Rat) int {
	return d.label + 2 + s.origin + s.column(at)
}

func (d *drawing) bars(spans []span) string {
	c := d.canvas("", spans)
	for _, s := range spans {
		if s.opens {
			c.put(d.column(s, s.from), fmt.Sprintf("bar %d", s.bar))
		}
	}
	return string(c)
}

func (d *drawing) beats(spans []span) string {
	c := d.canvas("beat", spans)
	for _, b := range d.p.Beats() {
		for _, s := range spans {
			if s.holds(b.At) {
				c.put(d.column(s, b.At), strconv.Itoa(b.Number))
			}
		}
	}
	return string(c)
}

// counts writes the counting words, each where it keeps clear of the next;
// single letters always.
func (d *drawing) counts(spans []span) string {
	c := d.canvas("count", spans)
	counts := d.p.Counts()
	for i, count := range counts {
		for _, s := range spans {
			if !s.holds(count.At) {
				continue
			}
			from, to := d.column(s, count.At), d.column(s, s.to)
			if i+1 < len(counts) && s.holds(counts[i+1].At) {
				to = d.column(s, counts[i+1].At)
			}
			if len(count.Word) == 1 || len(count.Word) < to-from {
				c.put(from, count.Word)
			}
		}
	}
	return string(c)
}

// voice draws the strokes of one voice.
func (d *drawing) voice(l passage.Line, spans []span) string {
	c := d.canvas(l.Voice.String(), spans)
	for _, s := range spans {
		c.put(d.column(s, s.from)-1, s.edge())
		c.put(d.column(s, s.to), "|")
		for _, b := range d.p.Beats() {
			if s.holds(b.At) {
				c.put(d.column(s, b.At), ".")
			}
		}
		taken := map[int]bool{}
		for _, stroke := range l.Strokes {
			d.stroke(c, s, l.Voice, stroke, taken)
		}
	}
	return string(c)
}

// marks writes the letters of a voice's sticking, each under its stroke; "" when
// there is none here.
func (d *drawing) marks(v passage.Voice, spans []span) string {
	c := d.canvas("", spans)
	taken := map[int]bool{}
	for _, m := range d.under[v] {
		for _, s := range spans {
			if !s.holds(m.At) {
				continue
			}
			column := d.column(s, m.At)
			if taken[column] {
				m.Letter = string(several)
			}
			taken[column] = true
			c.put(column, m.Letter)
		}
	}
	if len(taken) == 0 {
		return ""
	}
	return string(c)
}

// stroke draws one stroke, as far as it lies in the span: its letter, the
// details where there is room, and = as long as strings and lows sound.
func (d *drawing) stroke(c canvas, s span, v passage.Voice, stroke passage.Stroke, taken map[int]bool) {
	if !stroke.At.Less(s.to) || !s.from.Less(stroke.End()) {
		return
	}
	from, to := d.column(s, later(stroke.At, s.from)), d.column(s, earlier(stroke.End(), s.to))
	if f := v.Family(); (f == passage.Strings || f == passage.Lows) && stroke.Sounds() {
		c.put(from, strings.Repeat("=", max(to-from, 0)))
	}
	if stroke.At.Less(s.from) {
		return
	}
	if taken[from] {
		c.put(from, string(several))
		return
	}
	taken[from] = true
	c.put(from, string(stroke.Kind.Letter()))
	if text := details(stroke); len(text) < to-from {
		c.put(from+1, text)
	}
}

// details returns the fret and bend of a stroke; "" for the open string.
func details(s passage.Stroke) string {
	switch {
	case s.Bend > 0:
		return fmt.Sprintf("%d+%d", s.Fret, s.Bend)
	case s.Fret > 0:
		return strconv.Itoa(int(s.Fret))
	}
	return ""
}

func later(a, b meter.Rat) meter.Rat {
	if a.Less(b) {
		return b
	}
	return a
}

func earlier(a, b meter.Rat) meter.Rat {
	if b.Less(a) {
		return b
	}
	return a
}
