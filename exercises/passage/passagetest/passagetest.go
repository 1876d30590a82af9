// Package passagetest makes random valid passages and climbs for property
// tests. It is imported by tests only.
//
// Draw from [Passages] for passages whose groups are complete, as if they had
// been written; from [Loose] for passages as changes leave them, with groups
// missing or out of date; from [Climbs] for whole exercises.
package passagetest

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// metres are those drawn: simple, compound, and irregular.
var metres = []string{"4/4", "3/4", "2/2", "6/8", "12/8", "7/8 (2+2+3)", "5/8 (3+2)", "11/16 (3+3+3+2)", "1/4", "5/4"}

// Metres draws a metre.
func Metres() *rapid.Generator[meter.Metre] {
	return rapid.Custom(func(t *rapid.T) meter.Metre {
		m, err := meter.ParseMetre(rapid.SampledFrom(metres).Draw(t, "metre"))
		if err != nil {
			t.Fatal(err)
		}
		return m
	})
}

// Tempos draws a tempo, at times with a note value.
func Tempos() *rapid.Generator[meter.Tempo] {
	return rapid.Custom(func(t *rapid.T) meter.Tempo {
		tempo := meter.Tempo{BPM: meter.R(rapid.Int64Range(20*12, 400*12).Draw(t, "bpm"), 12)}
		if rapid.Bool().Draw(t, "pinned") {
			tempo.Unit = meter.R(rapid.Int64Range(1, 6).Draw(t, "unit"), 2)
		}
		return tempo
	})
}

// Passages draws a passage of one to four bars whose groups are complete.
func Passages() *rapid.Generator[passage.Passage] {
	return rapid.Custom(func(t *rapid.T) passage.Passage {
		p := passage.Passage{Tuning: passage.DefaultTuning}
		for range rapid.IntRange(1, 4).Draw(t, "bars") {
			p.Bars = append(p.Bars, passage.Bar{Metre: Metres().Draw(t, "metre"), Tempo: Tempos().Draw(t, "tempo")})
		}
		voices := rapid.SliceOfNDistinct(rapid.SampledFrom(passage.Voices()), 1, 4, rapid.ID[passage.Voice]).Draw(t, "voices")
		for _, v := range voices {
			p.Lines = append(p.Lines, Lines(v, p.Bars).Draw(t, v.String()))
		}
		return p
	})
}

// Lines draws a line of one voice for the given bars.
func Lines(v passage.Voice, bars []passage.Bar) *rapid.Generator[passage.Line] {
	return rapid.Custom(func(t *rapid.T) passage.Line {
		w := &writer{t: t, line: passage.Line{Voice: v}}
		for _, b := range bars {
			beats := b.Metre.Beats()
			for len(beats) > 0 {
				n := rapid.SampledFrom([]int{1, 1, 1, 1, 2, 3}).Draw(t, "span")
				n = min(n, len(beats))
				var span meter.Rat
				for _, beat := range beats[:n] {
					span = span.Add(beat)
				}
				w.group(span, rapid.SampledFrom([]int{1, 1, 2, 3, 4, 4, 5, 6, 7, 8, 9, 16}).Draw(t, "cells"), 0)
				beats = beats[n:]
			}
		}
		return w.line
	})
}

// A writer fills a line from left to right.
type writer struct {
	t        *rapid.T
	line     passage.Line
	at       meter.Rat
	sounding bool
}

func (w *writer) group(span meter.Rat, cells, depth int) {
	g := passage.Group{At: w.at, Length: span, Cells: cells}
	w.line.Groups = append(w.line.Groups, g)
	for range cells {
		if depth < 2 && rapid.IntRange(0, 19).Draw(w.t, "nest") == 0 {
			w.group(g.Cell(), rapid.IntRange(2, 5).Draw(w.t, "inner"), depth+1)
			continue
		}
		w.cell(g.Cell())
	}
}

func (w *writer) cell(length meter.Rat) {
	switch n := rapid.IntRange(0, 3).Draw(w.t, "cell"); {
	case n == 0:
		w.sounding = false
	case n == 1 && w.sounding:
		last := &w.line.Strokes[len(w.line.Strokes)-1]
		last.Length = last.Length.Add(length)
	default:
		s := Strokes(w.line.Voice).Draw(w.t, "stroke")
		s.At, s.Length = w.at, length
		w.line.Strokes = append(w.line.Strokes, s)
		w.sounding = s.Kind != passage.Choke
	}
	w.at = w.at.Add(length)
}

// Strokes draws how a voice plays a stroke; its place is 0.
func Strokes(v passage.Voice) *rapid.Generator[passage.Stroke] {
	return rapid.Custom(func(t *rapid.T) passage.Stroke {
		s := passage.Stroke{Length: meter.Int(1), Kind: rapid.SampledFrom(v.Kinds()).Draw(t, "kind")}
		if v.Family() == passage.Strings {
			s.Fret = rapid.SampledFrom([]uint8{0, 0, 0, 1, 3, 8, passage.MaxFret}).Draw(t, "fret")
		}
		if s.Kind == passage.Bend {
			s.Bend = rapid.Uint8Range(1, passage.MaxBend).Draw(t, "bend")
		}
		return s
	})
}

// Loose draws a passage whose groups are partly missing or hold other strokes
// than those there are, as a change may leave them.
func Loose() *rapid.Generator[passage.Passage] {
	return rapid.Custom(func(t *rapid.T) passage.Passage {
		p := Passages().Draw(t, "passage")
		other := Passages().Draw(t, "other")
		for i := range p.Lines {
			groups := p.Lines[i].Groups
			if rapid.Bool().Draw(t, "stale") {
				groups = other.Lines[0].Groups
			}
			p.Lines[i].Groups = nil
			for _, g := range groups {
				if !p.Length().Less(g.End()) && rapid.IntRange(0, 3).Draw(t, "drop") > 0 {
					p.Lines[i].Groups = append(p.Lines[i].Groups, g)
				}
			}
		}
		return p
	})
}

// Climbs draws a climb of written-out steps and copies.
func Climbs() *rapid.Generator[passage.Climb] {
	return rapid.Custom(func(t *rapid.T) passage.Climb {
		c := passage.Climb{Title: Titles().Draw(t, "title"), By: Titles().Draw(t, "by"), Tuning: rapid.Custom(tuning).Draw(t, "tuning"), Machine: rapid.Bool().Draw(t, "machine")}
		c.Tempo, c.Metre = []meter.Tempo{Tempos().Draw(t, "tempo")}, []meter.Metre{Metres().Draw(t, "metre")}
		for i := range rapid.IntRange(1, 4).Draw(t, "steps") {
			s := passage.Step{Title: fmt.Sprintf("%s %d", Titles().Draw(t, "step"), i)}
			if i > 0 && rapid.IntRange(0, 3).Draw(t, "copy") == 0 {
				from := rapid.SampledFrom(c.Steps).Draw(t, "from")
				s.From, s.Passage = from.Title, from.Passage
			} else {
				s.Passage = Passages().Draw(t, "passage")
				s.Passage.Tuning, s.Passage.Machine = c.Tuning, c.Machine
				s.Written = s.Passage.Lines
				s.Tempo, s.Metre = lists(s.Passage)
			}
			c.Steps = append(c.Steps, s)
		}
		return c
	})
}

func tuning(t *rapid.T) passage.Pitch {
	return passage.Pitch(rapid.IntRange(int(passage.LowestTuning), int(passage.HighestTuning)).Draw(t, "pitch"))
}

// Titles draws a short text that can stand in a file.
func Titles() *rapid.Generator[string] {
	return rapid.StringMatching(`[A-Za-z0-9äöüß€☃][A-Za-z0-9 .:|#%'äß☃]{0,20}[A-Za-z0-9ß☃]`).Filter(func(s string) bool {
		return !strings.Contains(s, " #")
	})
}

// lists returns the tempo and metre of each bar, without repeats at the end.
func lists(p passage.Passage) ([]meter.Tempo, []meter.Metre) {
	var tempos []meter.Tempo
	var metres []meter.Metre
	for _, b := range p.Bars {
		tempos, metres = append(tempos, b.Tempo), append(metres, b.Metre)
	}
	return trimmed(tempos), trimmed(metres)
}

func trimmed[T comparable](list []T) []T {
	for len(list) > 1 && list[len(list)-1] == list[len(list)-2] {
		list = list[:len(list)-1]
	}
	return list
}
