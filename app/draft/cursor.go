package draft

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A spot is a place in a voice.
type spot struct {
	voice passage.Voice
	at    meter.Rat // quarter notes
}

// A stand is where the writer is.
type stand struct {
	caret          Caret
	step           int
	cursor, anchor spot         // the cells that the selection reaches from and to
	goal           meter.Rat    // where the cursor would be if every row had its cells
	chosen         passage.Span // a selection that was set as a whole; no voices for none
}

// A Direction is where [Draft.Move] goes.
type Direction uint8

// The directions: a cell, a row, a bar, or the ends of the passage.
const (
	Left Direction = iota
	Right
	Up
	Down
	BarLeft
	BarRight
	First
	Last
)

// at returns the draft with another stand.
func (d Draft) at(s stand) Draft {
	d.stand = s
	return d.settle()
}

// settle puts step, cursor and selection where something is.
func (d Draft) settle() Draft {
	d.step = max(0, min(d.step, len(d.steps)-1))
	p := d.Passage()
	d.cursor = settled(p, d.cursor)
	d.anchor = settled(p, d.anchor)
	if !within(p, d.chosen) {
		d.chosen = passage.Span{}
	}
	return d
}

// settled returns a spot that is in the passage: the beginning of the cell it
// lies in.
func settled(p passage.Passage, s spot) spot {
	if _, ok := p.Line(s.voice); !ok && len(p.Lines) > 0 {
		s.voice = p.Lines[0].Voice
	}
	if c, ok := p.CellAt(s.voice, s.at); ok {
		return spot{s.voice, c.At}
	}
	if s.at.Sign() > 0 {
		return spot{s.voice, lastCell(p, s.voice).At}
	}
	return spot{s.voice, meter.Rat{}}
}

// lastCell returns the last cell of a voice.
func lastCell(p passage.Passage, v passage.Voice) passage.Cell {
	if cells := p.Cells(v, len(p.Bars)); len(cells) > 0 {
		return cells[len(cells)-1]
	}
	return passage.Cell{Voice: v}
}

// within reports whether a span lies in the passage.
func within(p passage.Passage, s passage.Span) bool {
	for _, v := range s.Voices {
		if _, ok := p.Line(v); !ok {
			return false
		}
	}
	return s.From.Sign() >= 0 && s.From.Less(s.To) && !p.Length().Less(s.To)
}

// follow moves the caret, and step and cursor to what stands there in the text.
func (d Draft) follow(c Caret) Draft {
	d.caret = c
	step, v, at, ok := d.reading.At(c.Line, c.Column)
	if step >= 0 && step != d.step {
		d.step, d.chosen = step, passage.Span{}
	}
	if ok {
		return d.put(spot{v, at}, false)
	}
	return d.settle()
}

// SetCaret follows the caret of the text field: the step and the cell there
// become the current ones.
func (d Draft) SetCaret(c Caret) Draft {
	if c == d.caret {
		return d
	}
	d.past = closed(d.past)
	return d.Settled().follow(c)
}

// found moves the caret to the cell of the cursor. While the step cannot be
// read the caret stays.
func (d Draft) found() Draft {
	if d.Current().Good {
		line, column := d.reading.Locate(d.step, d.cursor.voice, d.cursor.at)
		d.caret = Caret{line, column}
	}
	return d
}

// put moves the cursor; the selection goes on from where it began, or begins
// anew.
func (d Draft) put(s spot, extend bool) Draft {
	d.cursor, d.goal = s, s.at
	if !extend {
		d.anchor = s
	}
	d.chosen = passage.Span{}
	return d.settle()
}

// Put moves the cursor to the cell of a voice in which a place lies, as after
// a press on the strip; the selection is extended to it, or only that cell.
func (d Draft) Put(v passage.Voice, at meter.Rat, extend bool) Draft {
	d.past = closed(d.past)
	return d.put(spot{v, at}, extend).found()
}

// Move moves the cursor; the selection is extended to it, or only that cell.
// At the ends of the passage it stays.
func (d Draft) Move(to Direction, extend bool) Draft {
	d.past = closed(d.past)
	goal := d.goal
	if s, ok := d.next(to); ok {
		d = d.put(s, extend)
		if to == Up || to == Down {
			d.goal = goal
		}
	} else if !extend {
		d = d.put(d.cursor, false)
	}
	return d.found()
}

// next returns where the cursor goes in a direction, false when nowhere.
func (d Draft) next(to Direction) (spot, bool) {
	p, c := d.Passage(), d.Cursor()
	switch to {
	case Left:
		c, ok := p.PrevCell(c)
		return spot{c.Voice, c.At}, ok
	case Right:
		c, ok := p.NextCell(c)
		return spot{c.Voice, c.At}, ok
	case Up:
		return d.row(-1)
	case Down:
		return d.row(1)
	case BarLeft, BarRight:
		return d.bar(to == BarRight)
	case First:
		return spot{c.Voice, meter.Rat{}}, true
	}
	return spot{c.Voice, lastCell(p, c.Voice).At}, true
}

// row returns the cell so many rows down in which the goal lies.
func (d Draft) row(down int) (spot, bool) {
	lines := d.Passage().Lines
	i := rowOf(lines, d.cursor.voice) + down
	if i < 0 || i >= len(lines) {
		return spot{}, false
	}
	return spot{lines[i].Voice, d.goal}, true
}

// bar returns the beginning of the next bar; or that of this one or, from
// there, of the one before.
func (d Draft) bar(right bool) (spot, bool) {
	starts := d.Passage().Starts()
	for i := range starts[:len(starts)-1] {
		if right && d.cursor.at.Less(starts[i]) {
			return spot{d.cursor.voice, starts[i]}, true
		}
		if !right && starts[i].Less(d.cursor.at) && !starts[i+1].Less(d.cursor.at) {
			return spot{d.cursor.voice, starts[i]}, true
		}
	}
	return spot{}, false
}

// rowOf returns the index of a voice among the lines, -1 for none.
func rowOf(lines []passage.Line, v passage.Voice) int {
	return slices.IndexFunc(lines, func(l passage.Line) bool { return l.Voice == v })
}

// Cursor returns the cell of the cursor; one without length when the passage
// has none.
func (d Draft) Cursor() passage.Cell { return cellAt(d.Passage(), d.cursor) }

func cellAt(p passage.Passage, s spot) passage.Cell {
	if c, ok := p.CellAt(s.voice, s.at); ok {
		return c
	}
	return passage.Cell{Voice: s.voice, At: s.at}
}

// Select selects a span as a whole: any voices, any stretch of time. The
// cursor goes to its beginning. A span outside the passage selects nothing.
func (d Draft) Select(s passage.Span) Draft {
	d.past = closed(d.past)
	if len(s.Voices) == 0 || !within(d.Passage(), s) {
		return d
	}
	d = d.put(spot{s.Voices[0], s.From}, false)
	d.chosen = passage.Span{From: s.From, To: s.To, Voices: slices.Clone(s.Voices)}
	return d.found()
}

// Selection returns what is selected: the cells from where the selection began
// to the cursor, in all rows between; at least the cell of the cursor. It has
// no voices when the passage has no lines.
func (d Draft) Selection() passage.Span {
	if len(d.chosen.Voices) > 0 {
		return d.chosen
	}
	p := d.Passage()
	one, two := cellAt(p, d.anchor), cellAt(p, d.cursor)
	s := passage.Span{From: least(one.At, two.At), To: most(one.End(), two.End())}
	i, j := rowOf(p.Lines, one.Voice), rowOf(p.Lines, two.Voice)
	if i < 0 || j < 0 {
		return s
	}
	for _, l := range p.Lines[min(i, j) : max(i, j)+1] {
		s.Voices = append(s.Voices, l.Voice)
	}
	return s
}

// Selected reports whether more than the cell of the cursor is selected.
func (d Draft) Selected() bool { return len(d.chosen.Voices) > 0 || d.anchor != d.cursor }

// Scope returns what changes are offered for: the selection, and for a single
// cell the beat it lies in, with the voices that strike together there as one
// machine. [Draft.Alone] leaves those out.
func (d Draft) Scope() passage.Span {
	s := d.Selection()
	if d.Selected() || len(s.Voices) == 0 {
		return s
	}
	p := d.Passage()
	b := beatAt(p, s.From)
	s.From, s.To = b.At, most(s.To, b.At.Add(b.Length))
	s.Voices = together(p, s.Voices[0], b)
	return s
}

// Alone selects the beat of the cursor in its voice alone.
func (d Draft) Alone() Draft {
	s := d.Scope()
	s.Voices = valid(d.cursor.voice)
	return d.Select(s)
}

// beatAt returns the beat in which a place lies; the last one for what lies
// behind.
func beatAt(p passage.Passage, at meter.Rat) passage.Beat {
	var last passage.Beat
	for _, b := range p.Beats() {
		if at.Less(b.At) {
			break
		}
		last = b
	}
	return last
}

// riff are the voices that play as one machine in the style.
var riff = []passage.Voice{passage.Kick, passage.Guitar, passage.Bass}

// together returns, for a voice of the riff, those that strike with it
// throughout a beat, in the order of the lines; else the voice alone.
func together(p passage.Passage, v passage.Voice, b passage.Beat) []passage.Voice {
	line, _ := p.Line(v)
	own := onsets(line, b)
	if !slices.Contains(riff, v) || len(own) == 0 {
		return valid(v)
	}
	var all []passage.Voice
	for _, l := range p.Lines {
		if slices.Contains(riff, l.Voice) && slices.Equal(onsets(l, b), own) {
			all = append(all, l.Voice)
		}
	}
	return all
}

// GoTo makes a step, from 0, the current one. The cursor stays in its voice
// and place where the step has them.
func (d Draft) GoTo(step int) Draft {
	d = d.Settled()
	d.past = closed(d.past)
	d.step, d.chosen = step, passage.Span{}
	d.anchor = d.cursor
	d = d.settle().found()
	if s := d.Current(); !s.Good && s.Line > 0 {
		d.caret = Caret{s.Line, 1}
	}
	return d
}

func least(a, b meter.Rat) meter.Rat {
	if b.Less(a) {
		return b
	}
	return a
}

func most(a, b meter.Rat) meter.Rat {
	if a.Less(b) {
		return b
	}
	return a
}
