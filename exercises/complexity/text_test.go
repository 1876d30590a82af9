package complexity_test

import (
	"strings"
	"testing"

	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// read returns the passage of voice lines in a metre, at 120.
func read(t testing.TB, metre string, lines ...string) passage.Passage {
	t.Helper()
	text := "title: T\ntempo: 120\nmetre: " + metre + "\nstep: S\n" + strings.Join(lines, "\n")
	climb, ps := drill.Parse("t.drill", []byte(text), nil)
	if err := ps.Err(); err != nil {
		t.Fatal(err)
	}
	return climb.Steps[0].Passage
}

// timeline returns one bar of a voice from a string of equal cells, as the
// literature writes them.
func timeline(t testing.TB, metre string, v passage.Voice, cells string) passage.Passage {
	t.Helper()
	m, err := meter.ParseMetre(metre)
	if err != nil {
		t.Fatal(err)
	}
	p := passage.Passage{Bars: []passage.Bar{{Metre: m, Tempo: meter.Tempo{BPM: meter.Int(120)}}}}
	return withTimeline(p, v, cells)
}

// withTimeline adds a voice to a passage of one bar.
func withTimeline(p passage.Passage, v passage.Voice, cells string) passage.Passage {
	cell := p.Length().Div(meter.Int(int64(len(cells))))
	line := passage.Line{Voice: v}
	for i, c := range cells {
		if c == 'x' || c == '1' {
			at := cell.Mul(meter.Int(int64(i)))
			line.Strokes = append(line.Strokes, passage.Stroke{At: at, Length: cell, Kind: passage.Hit})
		}
	}
	p.Lines = append(p.Lines, line)
	return p
}

func place(t testing.TB, s string) meter.Rat {
	t.Helper()
	at, err := meter.ParseRat(s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}
