package strip_test

import (
	"strings"
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// written builds a passage from box notation, one bar between bars, for
// pictures that are easy to check by eye: letters as in exercise texts, a space
// between beats, "2:" before cells spread over two beats, brackets for a cell
// cut again.
func written(t testing.TB, metre string, bpm int64, lines ...string) passage.Passage {
	t.Helper()
	var p passage.Passage
	for _, text := range lines {
		name, bars, _ := strings.Cut(text, "|")
		v, ok := passage.VoiceNamed(strings.TrimSpace(name))
		if !ok {
			t.Fatalf("no voice %q", name)
		}
		w := writer{line: passage.Line{Voice: v}}
		p.Bars = nil
		for i, bar := range strings.Split(strings.Trim(bars, "| "), "|") {
			metres := strings.Split(metre, ",")
			m, err := meter.ParseMetre(strings.TrimSpace(metres[min(i, len(metres)-1)]))
			if err != nil {
				t.Fatal(err)
			}
			p.Bars = append(p.Bars, passage.Bar{Metre: m, Tempo: meter.Tempo{BPM: meter.Int(bpm)}})
			w.bar(m, bar)
		}
		p.Lines = append(p.Lines, w.line)
	}
	if err := passage.Check(p); len(err) > 0 {
		t.Fatal(err)
	}
	return p
}

type writer struct {
	line passage.Line
	at   meter.Rat
}

func (w *writer) bar(m meter.Metre, text string) {
	beats := m.Beats()
	for _, cells := range strings.Fields(text) {
		n := 1
		if len(cells) > 2 && cells[1] == ':' {
			n, cells = int(cells[0]-'0'), cells[2:]
		}
		var length meter.Rat
		for _, b := range beats[:n] {
			length = length.Add(b)
		}
		beats = beats[n:]
		w.group(cells, length)
	}
}

// group reads the cells of one group, those in brackets as a group each.
func (w *writer) group(cells string, length meter.Rat) {
	var parts []string
	for len(cells) > 0 {
		n := 1
		if cells[0] == '[' {
			n = strings.IndexByte(cells, ']') + 1
		}
		parts, cells = append(parts, cells[:n]), cells[n:]
	}
	w.line.Groups = append(w.line.Groups, passage.Group{At: w.at, Length: length, Cells: len(parts)})
	cell := length.Div(meter.Int(int64(len(parts))))
	for _, part := range parts {
		if part[0] == '[' {
			w.group(strings.Trim(part, "[]"), cell)
			continue
		}
		w.cell(rune(part[0]), cell)
	}
}

func (w *writer) cell(c rune, length meter.Rat) {
	k, _ := passage.KindOf(c)
	switch n := len(w.line.Strokes); {
	case c == '-' && n > 0:
		w.line.Strokes[n-1].Length = w.line.Strokes[n-1].Length.Add(length)
	case k == passage.Bend:
		w.line.Strokes = append(w.line.Strokes, passage.Stroke{At: w.at, Length: length, Kind: k, Bend: passage.DefaultBend})
	case k.Valid():
		w.line.Strokes = append(w.line.Strokes, passage.Stroke{At: w.at, Length: length, Kind: k})
	}
	w.at = w.at.Add(length)
}
