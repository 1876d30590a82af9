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
	mem   *memory
	out   passage.Climb
	steps []madeStep
	title map[string]int // index of the step with a title, in small letters
	made  int            // strokes and groups copied so far
	tempo piece          // of the header
}

// fold makes titles that differ in capitals only the same.
func fold(title string) string { return strings.ToLower(title) }

func newMaker(r *report, mem *memory) *maker {
	return &maker{report: r, mem: mem, title: map[string]int{}}
}

// climb turns the sections of a file into a climb.
func (m *maker) climb(f file) {
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
		step := madeStep{base: -1}
		step.good = m.step(i, &step, s)
		m.steps = append(m.steps, step)
		m.out.Steps = append(m.out.Steps, step.Step)
	}
}

// step makes one step; false when nothing can be built upon it.
func (m *maker) step(i int, step *madeStep, s *section) bool {
	says, _ := s.value("says")
	step.Title, step.Says = s.at.text, says.text
	for _, d := range s.keys["do"] {
		step.Do = append(step.Do, d.text)
	}
	step.Tempo, _ = m.tempos(s) // a mistake in it says nothing about the bars
	var ok bool
	if step.Metre, ok = m.metres(s); !ok {
		return false
	}
	var under []passage.Problems // of the lines it is made with
	if _, from := s.value("from"); from || len(step.Do) > 0 {
		under, ok = m.make(i, step, s)
	} else {
		ok = m.bars(step, s)
	}
	if !ok {
		m.glance(step, s)
		return false
	}
	return m.lines(step, s, under)
}

// glance looks at the voice lines of a step that could not be made, as far as
// the bars it starts from tell what they mean.
func (m *maker) glance(step *madeStep, s *section) {
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
func (m *maker) bars(step *madeStep, s *section) bool {
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
func usualBars(voices []writtenLine) int {
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

// lines places the voice lines of a step and puts them into its passage, whose
// lines so far have the given problems; false when anything is wrong.
func (m *maker) lines(step *madeStep, s *section, limits []passage.Problems) bool {
	good := true
	metres := metresOf(step.Passage)
	var placed []*placement
	for _, v := range s.voices {
		good = m.sameBars(v, len(metres)) && good
		p := m.place(v, metres)
		good = good && p.ok
		step.Written = append(step.Written, p.line)
		placed = append(placed, p)
	}
	if good {
		checkLines(placed, metres)
	}
	for _, p := range placed {
		i := indexOf(step.Passage.Lines, p.line.Voice)
		if i < 0 {
			i = len(step.Passage.Lines)
			step.Passage.Lines, limits = append(step.Passage.Lines, passage.Line{}), append(limits, nil)
		}
		step.Passage.Lines[i], limits[i] = p.line, p.limits
	}
	return good && m.check(step, s, limits)
}

// sameBars checks that a voice has as many bars as the step.
func (m *maker) sameBars(v writtenLine, n int) bool {
	switch have := len(v.bars); {
	case have == 0:
		return false // said already
	case have < n:
		m.add(v.at(v.end), "write as many bars as the other voices have", "%s has %s where the step has %d", v.voice, plural(have, "bar"), n)
	case have > n:
		m.add(v.at(v.bars[n].src), "write as many bars as the other voices have", "%s has %s where the step has %d", v.voice, plural(have, "bar"), n)
	}
	return len(v.bars) == n
}

// checkLines notes what the limits of passages forbid in the lines of a step,
// in bars of a tempo that they allow. Lines that were checked before are not
// looked at again.
func checkLines(placed []*placement, metres []meter.Metre) {
	p := passage.Passage{Bars: make([]passage.Bar, len(metres))}
	for i, m := range metres {
		p.Bars[i] = passage.Bar{Metre: m, Tempo: meter.Tempo{BPM: meter.Int(meter.MinBPM)}}
	}
	for _, l := range placed {
		if !l.checked {
			p.Lines = append(p.Lines, l.line)
		}
	}
	if len(p.Lines) == 0 {
		return
	}
	found := passage.Check(p)
	for _, l := range placed {
		for _, f := range found {
			if !l.checked && f.Voice == l.line.Voice {
				l.limits = append(l.limits, f)
			}
		}
		l.checked = true
	}
}

// check reports what the limits of passages still forbid: in the bars, or else
// in the lines, as found.
func (m *maker) check(step *madeStep, s *section, lines []passage.Problems) bool {
	ps := passage.Check(passage.Passage{Bars: step.Passage.Bars})
	if len(ps) == 0 {
		ps = slices.Concat(lines...)
	}
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
			return v.at(v.name)
		}
	}
	if tempo, ok := s.value("tempo"); ok {
		return tempo
	}
	return m.tempo
}
