package drill

import (
	"bytes"
	"errors"
	"slices"
	"strings"

	"stampmill/exercises/passage"
)

// rows writes the voice lines that a step is to have, in their order, in place
// of those it has; old are lines whose cells may stay as they are written.
// Voices keep their lines, with their comments, unless the order of the voices
// changes; then the lines are dealt out anew. All are indented as the first was.
func (m *mending) rows(s *section, want, old []passage.Line, bars []passage.Bar) {
	texts, indent := aligned(s, want, old, bars), ""
	if len(s.voices) > 0 {
		first := s.voices[0]
		indent = first.text[:first.name.off]
	}
	slots := s.slots(want)
	for _, w := range s.voices {
		if indexOf(want, w.voice) < 0 {
			m.drop(w.line)
		}
	}
	before := s.last // where a new line goes while none was met
	if first := slices.IndexFunc(slots, func(n int) bool { return n > 0 }); first >= 0 {
		before = slots[first] - 1
	}
	for i, l := range want {
		if slots[i] == 0 {
			m.put(before, indent+texts[i])
			continue
		}
		before = slots[i]
		old := s.written(l.Voice)
		m.set[before] = indent + texts[i] + old.text[old.end.off:]
	}
}

// written returns the voice line of a voice, nil for none.
func (s *section) written(v passage.Voice) *voiceLine {
	for _, w := range s.voices {
		if w.voice == v {
			return w.voiceLine
		}
	}
	return nil
}

// slots returns the line in which each voice line that is wanted goes, 0 where
// it is new.
func (s *section) slots(want []passage.Line) []int {
	var free []int // lines of voices that stay, from the top
	for _, w := range s.voices {
		if indexOf(want, w.voice) >= 0 {
			free = append(free, w.line)
		}
	}
	slots := make([]int, len(want))
	for i, l := range want {
		if s.written(l.Voice) != nil {
			slots[i], free = free[0], free[1:]
		}
	}
	return slots
}

// aligned writes lines under one another, one text each. Those among old keep
// their words.
func aligned(s *section, lines, old []passage.Line, bars []passage.Bar) []string {
	var rows []row
	for _, l := range lines {
		text := s.written(l.Voice)
		if text != nil && slices.ContainsFunc(old, func(o passage.Line) bool { return equalLine(o, l) }) {
			rows = append(rows, text.row(bars))
			continue
		}
		r := newRow(l, bars)
		if text != nil {
			r.repeat(text.bars, bars)
		}
		rows = append(rows, r)
	}
	var out bytes.Buffer
	layout(&out, rows, bars)
	return strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
}

// row returns the words of a line that fills its bars.
func (v *voiceLine) row(bars []passage.Bar) row {
	r := row{name: v.voice.String()}
	for i, b := range v.bars {
		if b.repeat {
			r.bars = append(r.bars, wholeBar(bars[i]))
			continue
		}
		words := make([]word, 0, len(b.groups))
		beat := 0
		for _, g := range b.groups {
			words = append(words, word{beat, g.beats, g.src.text})
			beat += g.beats
		}
		r.bars = append(r.bars, words)
	}
	return r
}

// wholeBar is the word of a bar that repeats the one before.
func wholeBar(b passage.Bar) []word { return []word{{0, len(b.Metre.Beats()), "%"}} }

// repeat writes % again for the bars that were written so and still repeat the
// bar before.
func (r *row) repeat(old []bar, bars []passage.Bar) {
	words := slices.Clone(r.bars)
	for i := 1; i < min(len(old), len(bars)); i++ {
		if old[i].repeat && bars[i].Metre == bars[i-1].Metre && slices.Equal(words[i], words[i-1]) {
			r.bars[i] = wholeBar(bars[i])
		}
	}
}

// cells returns a passage with the cells it is written in, and where there are
// none; an error when it is no passage that can be in a text.
func cells(p passage.Passage) (passage.Passage, passage.Problems, error) {
	if ps := passage.Check(p); len(ps) > 0 {
		return p, nil, ps[0]
	}
	if len(p.Lines) == 0 {
		return p, nil, errors.New("the step would have no voices; keep one, silent or not")
	}
	p, ps := p.Regroup()
	return p, ps, nil
}
