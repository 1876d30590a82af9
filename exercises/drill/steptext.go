package drill

import (
	"slices"
	"sort"
	"strings"
	"unicode/utf8"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A StepText tells where a step stands in the text. Lines count from 1,
// columns are characters from 1, as in a [Problem].
type StepText struct {
	Title  string
	First  int       // the line with the title
	Last   int       // the last line that is a key or voice line
	Keys   []KeyText // step and the others, in the order of the text
	Voices []VoiceText
}

// A KeyText is a key of the header or of a step, with its value.
type KeyText struct {
	Key, Value          string
	Line, Column, Width int // of the value
}

// A VoiceText is a voice line of a step.
type VoiceText struct {
	Voice        passage.Voice
	Line, Column int // of its name

	written writtenLine
	metres  []meter.Metre
}

// describe notes where everything stands.
func (r *Reading) describe() {
	if r.file.header == nil {
		return
	}
	r.Header = r.keys(r.file.header)
	for i, s := range r.file.steps {
		r.Steps = append(r.Steps, StepText{
			Title: s.at.text, First: s.at.line, Last: s.last,
			Keys: r.keys(s), Voices: r.voices(s, metresOf(r.steps[i].Passage)),
		})
	}
}

func (r *Reading) keys(s *section) []KeyText {
	var all []KeyText
	for key, values := range s.keys {
		for _, v := range values {
			line, column := r.place(v)
			all = append(all, KeyText{key, v.text, line, column, utf8.RuneCountInString(v.text)})
		}
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Line < all[j].Line })
	return all
}

func (r *Reading) voices(s *section, metres []meter.Metre) []VoiceText {
	var all []VoiceText
	for _, w := range s.voices {
		line, column := r.place(w.at(w.name))
		all = append(all, VoiceText{w.voice, line, column, w, metres})
	}
	return all
}

// place returns the line and column at which a piece begins.
func (r *Reading) place(p piece) (line, column int) {
	return p.line, utf8.RuneCountInString(r.text.lines[p.line-1][:p.off]) + 1
}

// StepAt returns the step, from 0, that a line belongs to, -1 for the header.
// Comments directly above a step belong to it.
func (r Reading) StepAt(line int) int {
	for i := len(r.Steps) - 1; i >= 0; i-- {
		if line >= r.begin(i) {
			return i
		}
	}
	return -1
}

// begin returns the first line of a step with the comments directly above it.
func (r Reading) begin(step int) int {
	first := r.Steps[step].First
	for first > 1 && r.text.comment(first-1) {
		first--
	}
	return first
}

// keyPlace returns the place of the first key of the given names that a step
// has, in the order of the names.
func (s StepText) keyPlace(names ...string) (line, column int, ok bool) {
	for _, name := range names {
		for _, k := range s.Keys {
			if k.Key == name {
				return k.Line, k.Column, true
			}
		}
	}
	return 0, 0, false
}

func (s StepText) voice(v passage.Voice) (VoiceText, bool) {
	i := slices.IndexFunc(s.Voices, func(t VoiceText) bool { return t.Voice == v || !v.Valid() })
	if i < 0 {
		return VoiceText{}, false
	}
	return s.Voices[i], true
}

// Locate returns where a place of a voice stands in the text: its cell; where
// the step does not write the voice out, the change that names it, or else what
// the step is made by; and last the title of the step. Without a voice it is
// that place in the first voice line.
func (r Reading) Locate(step int, v passage.Voice, at meter.Rat) (line, column int) {
	if step < 0 || step >= len(r.Steps) {
		return 1, 1
	}
	s := r.Steps[step]
	if text, ok := s.voice(v); ok {
		if c, ok := cellAt(text.Cells(), at); ok {
			return c.Line, c.Column
		}
		return text.Line, text.Column
	}
	for _, k := range s.Keys {
		if k.Key == "do" && slices.Contains(strings.Fields(strings.ToLower(k.Value)), v.String()) {
			return k.Line, k.Column
		}
	}
	line, column, _ = s.keyPlace("do", "from", "step")
	return line, column
}

// cellAt returns the cell that sounds at a place, or else the first.
func cellAt(cells []CellText, at meter.Rat) (CellText, bool) {
	for _, c := range cells {
		if !at.Less(c.At) && at.Less(c.At.Add(c.Length)) {
			return c, true
		}
	}
	return CellText{}, false
}

// At returns what stands at a line and column: the step, or -1 in the header,
// and where it is a voice line the voice and the place of the cell there or
// next to the left, in front of all cells the first one's; false where it is no
// voice line, or one without cells that can be read.
func (r Reading) At(line, column int) (step int, v passage.Voice, at meter.Rat, ok bool) {
	step = r.StepAt(line)
	if step < 0 {
		return step, v, at, false
	}
	for _, text := range r.Steps[step].Voices {
		if text.Line != line {
			continue
		}
		cells := text.Cells()
		for i, c := range cells {
			if i == 0 || c.Column <= column {
				at = c.At
			}
		}
		return step, text.Voice, at, len(cells) > 0
	}
	return step, v, at, false
}

// Place gives problems of a step's passage their places in the text.
func (r Reading) Place(step int, ps passage.Problems) Problems {
	var all Problems
	for _, p := range ps {
		line, column := r.Locate(step, p.Voice, p.At)
		all = append(all, Problem{r.name, line, column, p.Place.String() + ": " + p.What, p.Do})
	}
	return all
}

// Unplayable judges every step whose passage is whole, and returns what the
// judge found at its places in the text, the first [MaxProblems] of it.
func (r Reading) Unplayable(judge func(passage.Passage) passage.Problems) Problems {
	var all Problems
	for i := range r.Steps {
		if step, ok := r.Step(i); ok {
			all = append(all, r.Place(i, judge(step.Passage))...)
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return byPlace(all[i], all[j]) < 0 })
	return all[:min(len(all), MaxProblems)]
}
