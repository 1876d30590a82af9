package drill

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A row is one voice line as text, cut into the groups of each bar.
type row struct {
	name string
	bars [][]word
}

// A word is a group as text, with the beats it takes.
type word struct {
	beat, beats int // the first beat, from 0, and how many
	text        string
}

// newRow writes the groups of a line, which must be complete.
func newRow(l passage.Line, bars []passage.Bar) row {
	w := cellWriter{strokes: l.Strokes, groups: l.Groups}
	r := row{name: l.Voice.String()}
	var at meter.Rat
	for _, b := range bars {
		var words []word
		beats := b.Metre.Beats()
		for i := 0; i < len(beats); {
			end := w.groups[0].End()
			n := 0
			for i+n < len(beats) && at.Less(end) {
				at = at.Add(beats[i+n])
				n++
			}
			words = append(words, word{i, n, w.word(n)})
			i += n
		}
		r.bars = append(r.bars, words)
	}
	return r
}

// A cellWriter writes cells from left to right.
type cellWriter struct {
	out     strings.Builder
	strokes []passage.Stroke // from the one that may still sound
	groups  []passage.Group  // not yet written
}

// word writes the next group over n beats.
func (w *cellWriter) word(n int) string {
	w.out.Reset()
	if n > 1 {
		w.out.WriteString(strconv.Itoa(n) + ":")
	}
	w.group()
	return w.out.String()
}

func (w *cellWriter) group() {
	g := w.groups[0]
	w.groups = w.groups[1:]
	at, size := g.At, g.Cell()
	for range g.Cells {
		if len(w.groups) > 0 && w.groups[0].At == at && w.groups[0].Length == size && at.Less(g.End()) {
			w.out.WriteByte('[')
			w.group()
			w.out.WriteByte(']')
		} else {
			w.cell(at)
		}
		at = at.Add(size)
	}
}

func (w *cellWriter) cell(at meter.Rat) {
	for len(w.strokes) > 0 && !at.Less(w.strokes[0].End()) {
		w.strokes = w.strokes[1:]
	}
	switch {
	case len(w.strokes) == 0 || at.Less(w.strokes[0].At):
		w.out.WriteByte('.')
	case w.strokes[0].At == at:
		w.stroke(w.strokes[0])
	case w.strokes[0].Kind == passage.Choke:
		w.out.WriteByte('.')
	default:
		w.out.WriteByte('-')
	}
}

// stroke writes a letter and the details that do not go without saying.
func (w *cellWriter) stroke(s passage.Stroke) {
	w.out.WriteRune(s.Kind.Letter())
	bent := s.Kind == passage.Bend && s.Bend != passage.DefaultBend
	switch {
	case s.Fret > 0 && bent:
		fmt.Fprintf(&w.out, "(%d+%d)", s.Fret, s.Bend)
	case s.Fret > 0:
		fmt.Fprintf(&w.out, "(%d)", s.Fret)
	case bent:
		fmt.Fprintf(&w.out, "(+%d)", s.Bend)
	}
}

// layout prints rows with their beats under one another.
func layout(out *bytes.Buffer, rows []row, bars []passage.Bar) {
	nameWidth := 0
	for _, r := range rows {
		nameWidth = max(nameWidth, len(r.name))
	}
	columns := make([][]int, len(bars))
	for i, b := range bars {
		columns[i] = columnsOf(rows, i, len(b.Metre.Beats()))
	}
	for _, r := range rows {
		fmt.Fprintf(out, "%-*s |", nameWidth, r.name)
		for i, words := range r.bars {
			writeBar(out, words, columns[i])
		}
		out.WriteByte('\n')
	}
}

// columnsOf returns the column at which each beat of a bar begins, and last
// that of the bar sign: as narrow as the words of all rows allow. What a word
// over several beats needs more than they have is shared out among them.
func columnsOf(rows []row, bar, beats int) []int {
	widths := make([]int, beats)
	for _, r := range rows {
		for _, w := range r.bars[bar] {
			if w.beats == 1 {
				widths[w.beat] = max(widths[w.beat], len(w.text)+1)
			}
		}
	}
	spanning := make([][]word, beats+1) // by number of beats
	for _, r := range rows {
		for _, w := range r.bars[bar] {
			if w.beats > 1 {
				spanning[w.beats] = append(spanning[w.beats], w)
			}
		}
	}
	for _, words := range spanning {
		for _, w := range words {
			widen(widths[w.beat:w.beat+w.beats], len(w.text)+1)
		}
	}
	columns := make([]int, beats+1)
	for i, w := range widths {
		columns[i+1] = columns[i] + w
	}
	return columns
}

// widen makes beats together at least as wide as a word, the first beats first.
func widen(widths []int, need int) {
	for _, w := range widths {
		need -= w
	}
	for i := range widths {
		if need > 0 {
			share := (need + len(widths) - i - 1) / (len(widths) - i)
			widths[i] += share
			need -= share
		}
	}
}

func writeBar(out *bytes.Buffer, words []word, columns []int) {
	at := -1 // the space behind the bar sign
	for _, w := range words {
		pad(out, columns[w.beat]-at)
		out.WriteString(w.text)
		at = columns[w.beat] + len(w.text)
	}
	pad(out, columns[len(columns)-1]-at)
	out.WriteByte('|')
}

func pad(out *bytes.Buffer, n int) {
	for range n {
		out.WriteByte(' ')
	}
}
