package drill

import (
	"unicode/utf8"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A CellText is one cell of a voice line where it stands in the text. A bar
// that repeats the one before is one cell.
type CellText struct {
	Line, Column, Width int
	At, Length          meter.Rat // quarter notes
	Mark                Mark
	Stroke              passage.Stroke // where Mark is Struck; as long as the cell
}

// A Mark is what a cell holds.
type Mark uint8

// The marks.
const (
	Rest     Mark = iota // .
	Held                 // -
	Struck               // a stroke
	Repeated             // %, the whole bar
)

// Cells returns the cells of the line from left to right, as far as they can be
// read: bars with problems are left out, and everything where the bars of the
// step are not known. They are worked out when asked for.
func (v VoiceText) Cells() []CellText {
	w := cellWalker{text: v.written.text, line: v.Line}
	for i, b := range v.written.bars[:min(len(v.written.bars), len(v.metres))] {
		w.bar(b, v.metres[i])
	}
	return w.all
}

// A cellWalker walks along a voice line.
type cellWalker struct {
	text   string // of the whole line
	line   int
	at     meter.Rat
	off    int // bytes counted
	column int // characters in them
	all    []CellText
}

func (w *cellWalker) bar(b bar, m meter.Metre) {
	start := w.at
	beats := m.Beats()
	n := 0
	for _, g := range b.groups {
		n += g.beats
	}
	switch {
	case b.repeat:
		w.add(b.src.off, len(b.src.text), m.Length(), Repeated, passage.Stroke{})
	case !b.broken && n == len(beats):
		for _, g := range b.groups {
			var span meter.Rat
			for _, beat := range beats[:g.beats] {
				span = span.Add(beat)
			}
			beats = beats[g.beats:]
			w.cells(g.cells, span)
		}
	}
	w.at = start.Add(m.Length())
}

// cells adds cells that share a span of time.
func (w *cellWalker) cells(cells []cell, span meter.Rat) {
	size := span.Div(meter.Int(int64(len(cells))))
	for _, c := range cells {
		switch c.mark {
		case bracket:
			w.cells(c.inner, size)
		case stroke:
			w.add(c.off, c.size, size, Struck, passage.Stroke{At: w.at, Length: size, Kind: c.kind, Fret: c.fret, Bend: c.bend})
		case hold:
			w.add(c.off, c.size, size, Held, passage.Stroke{})
		default:
			w.add(c.off, c.size, size, Rest, passage.Stroke{})
		}
	}
}

// add adds a cell of so many bytes of the line and a length of time.
func (w *cellWalker) add(off, size int, length meter.Rat, mark Mark, s passage.Stroke) {
	w.column += utf8.RuneCountInString(w.text[w.off:off])
	w.off = off
	if end := w.at.Add(length); w.at.Valid() && end.Valid() {
		width := utf8.RuneCountInString(w.text[off : off+size])
		w.all = append(w.all, CellText{w.line, w.column + 1, width, w.at, length, mark, s})
		w.at = end
	} else {
		w.at = meter.Invalid
	}
}
