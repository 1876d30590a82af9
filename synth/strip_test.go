package synth

import (
	"strings"
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// strip makes a passage from lines such as "snare: . . X . | . . X .": bars
// between |, beats apart, one character a cell. It is enough for tests; the
// text form proper is read elsewhere.
func strip(t testing.TB, metre, tempo string, lines ...string) passage.Passage {
	t.Helper()
	m, err := meter.ParseMetre(metre)
	if err != nil {
		t.Fatal(err)
	}
	bpm, err := meter.ParseTempo(tempo)
	if err != nil {
		t.Fatal(err)
	}
	p := passage.Passage{Tuning: passage.DefaultTuning}
	for _, text := range lines {
		name, cells, _ := strings.Cut(text, ":")
		v, ok := passage.VoiceNamed(name)
		if !ok {
			t.Fatalf("no voice %q", name)
		}
		bars := strings.Split(cells, "|")
		for len(p.Bars) < len(bars) {
			p.Bars = append(p.Bars, passage.Bar{Metre: m, Tempo: bpm})
		}
		p.Lines = append(p.Lines, passage.Line{Voice: v, Strokes: strokes(t, m, bars)})
	}
	if problems := passage.Check(p); problems != nil {
		t.Fatal(problems)
	}
	return p
}

func strokes(t testing.TB, m meter.Metre, bars []string) []passage.Stroke {
	var out []passage.Stroke
	var at meter.Rat
	for _, bar := range bars {
		beats := strings.Fields(bar)
		if len(beats) != len(m.Beats()) {
			t.Fatalf("%d beats in %q", len(beats), bar)
		}
		for i, length := range m.Beats() {
			cell := length.Div(meter.Int(int64(len(beats[i]))))
			for _, c := range beats[i] {
				k, sounds := passage.KindOf(c)
				switch {
				case sounds:
					s := passage.Stroke{At: at, Length: cell, Kind: k}
					if k == passage.Bend {
						s.Bend = 2
					}
					out = append(out, s)
				case c == '-':
					out[len(out)-1].Length = out[len(out)-1].Length.Add(cell)
				}
				at = at.Add(cell)
			}
		}
	}
	return out
}
