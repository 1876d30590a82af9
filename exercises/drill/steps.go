package drill

import (
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A maker makes the steps of a climb one after the other.
type maker struct {
	*report
	cat   Catalogue
	out   passage.Climb
	good  []bool         // steps whose passage can be built upon
	title map[string]int // index of the step with a title, in small letters
	made  int            // strokes and groups copied so far
	tempo piece          // of the header
}

// fold makes titles that differ in capitals only the same.
func fold(title string) string { return strings.ToLower(title) }

// climb turns the sections of a file into a climb.
func (f file) climb(r *report, cat Catalogue) passage.Climb {
	m := maker{report: r, cat: cat, title: map[string]int{}}
	m.header(f)
	for i, s := range f.steps {
		title := fold(s.at.text)
		if first, twice := m.title[title]; twice && title != "" {
			m.add(s.at, "give each step a title of its own", "a step with this title already stands in line %d", f.steps[first].at.line)
		} else {
			m.title[title] = i
		}
	}
	for i, s := range f.steps {
		step, good := m.step(i, s)
		m.out.Steps = append(m.out.Steps, step)
		m.good = append(m.good, good)
	}
	return m.out
}

// step makes one step; false when nothing can be built upon it.
func (m *maker) step(i int, s *section) (passage.Step, bool) {
	says, _ := s.value("says")
	step := passage.Step{Title: s.at.text, Says: says.text}
	for _, d := range s.keys["do"] {
		step.Do = append(step.Do, d.text)
	}
	step.Tempo, _ = m.tempos(s) // a mistake in it says nothing about the bars
	var ok bool
	if step.Metre, ok = m.metres(s); !ok {
		return step, false
	}
	if _, from := s.value("from"); from || len(step.Do) > 0 {
		ok = m.make(i, &step, s)
	} else {
		ok = m.bars(&step, s)
	}
	if !ok {
		m.glance(step, s)
		return step, false
	}
	return step, m.lines(&step, s) && m.check(step, s)
}

// glance looks at the voice lines of a step that could not be made, as far as
// the bars it starts from tell what they mean.
func (m *maker) glance(step passage.Step, s *section) {
	metres := metresOf(step.Passage)
	for _, v := range s.voices {
		if len(v.bars) == len(metres) {
			m.place(v, metres)
		}
	}
}

func metresOf(p passage.Passage) []meter.Metre {
	metres := make([]meter.Metre, len(p.Bars))
	for i, b := range p.Bars {
		metres[i] = b.Metre
	}
	return metres
}

// bars gives a written-out step as many bars as most of its voices have.
func (m *maker) bars(step *passage.Step, s *section) bool {
	if len(s.voices) == 0 {
		if s.meant["voice"] {
			return false // said already
		}
		m.add(s.at, "write voice lines under it, or from: and do: to make it from an earlier step", "the step has no voice lines")
		return false
	}
	tempo, metre := step.Tempo, step.Metre
	if tempo == nil {
		tempo = m.out.Tempo
	}
	if tempo == nil {
		tempo = []meter.Tempo{{BPM: meter.Int(meter.MinBPM)}} // reported; any will do to look at the beats
	}
	if metre == nil {
		metre = m.out.Metre
	}
	n := usualBars(s.voices)
	if metre == nil || n == 0 {
		return false // said already
	}
	m.notLonger(s, "tempo", len(step.Tempo), n)
	m.notLonger(s, "metre", len(step.Metre), n)
	tempos, metres := spread(tempo, n), spread(metre, n)
	step.Passage = passage.Passage{Bars: make([]passage.Bar, n), Tuning: m.out.Tuning, Machine: m.out.Machine}
	for i := range step.Passage.Bars {
		step.Passage.Bars[i] = passage.Bar{Metre: metres[i], Tempo: tempos[i]}
	}
	return true
}

// usualBars returns the number of bars that most voices have; of several such
// numbers the one that comes first.
func usualBars(voices []voiceLine) int {
	votes := map[int]int{}
	for _, v := range voices {
		votes[len(v.bars)]++
	}
	best := 0
	for _, v := range voices {
		if n := len(v.bars); votes[n] > votes[best] {
			best = n
		}
	}
	return best
}

// lines places the voice lines of a step and puts them into its passage.
func (m *maker) lines(step *passage.Step, s *section) bool {
	good := true
	metres := metresOf(step.Passage)
	for _, v := range s.voices {
		good = m.sameBars(v, len(metres)) && good
		line, ok := m.place(v, metres)
		good = good && ok
		step.Written = append(step.Written, line)
		step.Passage.Lines = put(step.Passage.Lines, line)
	}
	return good
}

// sameBars checks that a voice has as many bars as the step.
func (m *maker) sameBars(v voiceLine, n int) bool {
	switch have := len(v.bars); {
	case have == 0:
		return false // said already
	case have < n:
		m.add(v.end, "write as many bars as the other voices have", "%s has %s where the step has %d", v.voice, plural(have, "bar"), n)
	case have > n:
		m.add(v.bars[n].src, "write as many bars as the other voices have", "%s has %s where the step has %d", v.voice, plural(have, "bar"), n)
	}
	return len(v.bars) == n
}

// put replaces the line of a voice, or adds it.
func put(lines []passage.Line, line passage.Line) []passage.Line {
	line.Strokes, line.Groups = slices.Clone(line.Strokes), slices.Clone(line.Groups)
	for i := range lines {
		if lines[i].Voice == line.Voice {
			lines[i] = line
			return lines
		}
	}
	return append(lines, line)
}

// check reports what the limits of passages still forbid.
func (m *maker) check(step passage.Step, s *section) bool {
	ps := passage.Check(step.Passage)
	for _, p := range ps {
		m.add(m.source(p, s), p.Do, "%s: %s", p.Place, p.What)
	}
	return len(ps) == 0
}

// source returns where a problem of a passage stands in the text: the line of
// its voice; for one of bars, which lists give, the tempo.
func (m *maker) source(p passage.Problem, s *section) piece {
	for _, v := range s.voices {
		if v.voice == p.Voice {
			return v.name
		}
	}
	if tempo, ok := s.value("tempo"); ok {
		return tempo
	}
	return m.tempo
}
