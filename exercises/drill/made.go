package drill

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/exercises/passage"
)

// make makes a step from an earlier one, up to its own voice lines. Even
// where there is nothing to start from, it looks whether the changes exist.
func (m *maker) make(i int, step *madeStep, s *section) ([]passage.Problems, bool) {
	from, named := s.value("from")
	base, ok := m.base(i, s, from, named)
	if named && ok {
		step.From = m.steps[base].Title
	}
	if ok {
		step.base = base
	}
	if i == 0 && !named && len(s.voices) > 0 {
		m.bars(step, s)
	}
	if !ok || !m.steps[base].good {
		m.changes(step, s, false)
		return nil, false
	}
	made := m.mem.remembered(&step.Step, m.steps[base].Passage)
	if made == nil || m.made+made.cost > maxMade {
		made = m.makeFrom(m.steps[base].Passage, step, s)
	} else {
		m.made += made.cost
	}
	if made == nil {
		return nil, false
	}
	step.under = made.out
	step.Passage = made.out
	step.Passage.Bars, step.Passage.Lines = slices.Clone(made.out.Bars), slices.Clone(made.out.Lines)
	return slices.Clone(made.limits), true
}

// makeFrom makes the changes of a step from a passage, nil when that fails.
func (m *maker) makeFrom(base passage.Passage, step *madeStep, s *section) *madePassage {
	cost, problems := m.made, len(m.found)+m.more
	ok := m.afford(base, s.at)
	if ok {
		step.Passage = base.Clone()
		ok = m.rebar(step, s)
	}
	if ok = m.changes(step, s, ok) && ok; !ok {
		return nil
	}
	made := &madePassage{base: base, tempo: step.Tempo, metre: step.Metre, cost: m.made - cost}
	made.finish(step.Passage, len(step.Do) > 0)
	if len(m.found)+m.more == problems {
		m.mem.keepMade(&step.Step, made)
	}
	return made
}

// finish notes what came out of the changes, if there were any. Lines that are
// those of the base have their cells and are within the limits already.
func (made *madePassage) finish(p passage.Passage, changes bool) {
	p, changed := unlike(made.base, p)
	if changes || made.metre != nil {
		changed, _ = changed.Regroup() // what has no cells is still a passage
	}
	made.limits = make([]passage.Problems, len(p.Lines))
	for _, l := range changed.Lines {
		i := indexOf(p.Lines, l.Voice)
		p.Lines[i], made.limits[i] = l, passage.Check(passage.Passage{Bars: p.Bars, Lines: []passage.Line{l}})
	}
	made.out = p
}

// unlike compares a passage with one before it: it returns the passage with
// lines that are the same shared, and with its other lines only. Under other
// metres no line is the same.
func unlike(before, p passage.Passage) (shared, changed passage.Passage) {
	shared, changed = p, p
	shared.Lines, changed.Lines = slices.Clone(p.Lines), nil
	stay := sameMetres(before.Bars, p.Bars)
	for i, l := range p.Lines {
		if old, ok := before.Line(l.Voice); stay && ok && equalLine(old, l) {
			shared.Lines[i] = old
		} else {
			changed.Lines = append(changed.Lines, l)
		}
	}
	return shared, changed
}

func sameMetres(a, b []passage.Bar) bool {
	return slices.EqualFunc(a, b, func(a, b passage.Bar) bool { return a.Metre == b.Metre })
}

// indexOf returns the index of the line of a voice, -1 for none.
func indexOf(lines []passage.Line, v passage.Voice) int {
	return slices.IndexFunc(lines, func(l passage.Line) bool { return l.Voice == v })
}

// twice returns a voice that has two lines, if there is one.
func twice(lines []passage.Line) (passage.Voice, bool) {
	for i, l := range lines {
		if indexOf(lines[:i], l.Voice) >= 0 {
			return l.Voice, true
		}
	}
	return passage.NoVoice, false
}

// afford counts what a copy of a passage takes, false when it is too much.
func (m *maker) afford(p passage.Passage, at piece) bool {
	before := m.made
	for _, l := range p.Lines {
		m.made += len(l.Strokes) + len(l.Groups)
	}
	if m.made <= maxMade {
		return true
	}
	if before <= maxMade {
		m.add(at, "make two climbs of it", "the steps up to here are made of more than %d strokes and groups of cells", maxMade)
	}
	return false
}

// base finds the step that a step is made from.
func (m *maker) base(i int, s *section, from piece, named bool) (int, bool) {
	if !named {
		if i == 0 {
			m.add(s.keys["do"][0], "write the first step out in voice lines", "the first step has none before it to change")
			return 0, false
		}
		return i - 1, true
	}
	if from.text == "" {
		return 0, false // said when it was read
	}
	j, ok := m.title[fold(from.text)]
	switch {
	case !ok:
		m.add(from, didYouMean(from.text, m.titles(), "write the title of an earlier step"), "no step is called %.60q", from.text)
	case j == i:
		m.add(from, "write the title of an earlier step", "a step cannot be made from itself")
	case j > i:
		m.add(from, "write the title of an earlier step, or move this one behind it", "%.60q is a later step", from.text)
	}
	return j, ok && j < i
}

// titles returns the titles of the steps made so far.
func (m *maker) titles() []string {
	var all []string
	for _, s := range m.steps {
		all = append(all, s.Title)
	}
	return all
}

// rebar gives the bars of a made step the tempo and metre of the step.
func (m *maker) rebar(step *madeStep, s *section) bool {
	p := &step.Passage
	n := len(p.Bars)
	m.notLonger(s, "tempo", len(step.Tempo), n)
	m.notLonger(s, "metre", len(step.Metre), n)
	if step.Tempo != nil {
		for i, t := range spread(step.Tempo, n) {
			p.Bars[i].Tempo = t
		}
	}
	if step.Metre == nil {
		return true
	}
	for i, metre := range spread(step.Metre, n) {
		if metre.Length() != p.Bars[i].Metre.Length() {
			at, _ := s.value("metre")
			m.add(at, "keep the lengths of the bars, or write the step out without from and do", "bar %d of the step it is made from is %s, and %s is not as long", i+1, p.Bars[i].Metre, metre)
			return false
		}
		p.Bars[i].Metre = metre
	}
	return true
}

// notLonger checks that a list gives values for no more bars than there are.
func (m *maker) notLonger(s *section, key string, n, bars int) {
	if n > bars {
		v, _ := s.value(key)
		m.add(v.split(bars + 1)[bars].trim(), "leave the rest out", "%s is given for %s, and the step has %d", key, plural(n, "bar"), bars)
	}
}

// changes makes the changes of a step. Without a passage to start from it only
// looks whether they exist.
func (m *maker) changes(step *madeStep, s *section, apply bool) bool {
	good := true
	for _, d := range s.keys["do"] {
		change, err := m.find(d.text)
		switch {
		case d.text == "":
			good = false // said when it was read
		case err != nil:
			m.addErr(d, err, "see the list of changes, or write the step's voice lines out")
			good = false
		case good && apply:
			good = m.afford(step.Passage, d) && m.apply(step, d, change)
		}
	}
	return good
}

// find looks a change up in the catalogue.
func (m *maker) find(text string) (func(passage.Passage) (passage.Passage, error), error) {
	if m.mem.cat == nil || text == "" {
		word, _, _ := strings.Cut(text, " ")
		return nil, fmt.Errorf("no change is called %q; write the step's voice lines out", word)
	}
	return m.mem.cat.Parse(text)
}

// apply makes one change and looks at what comes out.
func (m *maker) apply(step *madeStep, d piece, change func(passage.Passage) (passage.Passage, error)) bool {
	out, err := change(step.Passage.Clone())
	if err != nil {
		m.addErr(d, err, "choose another change, or write the step's voice lines out")
		return false
	}
	shared, changed := unlike(step.Passage, out)
	if _, doubled := twice(out.Lines); doubled || step.Metre != nil {
		changed = out
	}
	if ps := passage.Check(changed); len(ps) > 0 {
		m.add(d, "choose another change, or write the step's voice lines out", "the change leaves the limits: %s: %s", ps[0].Place, ps[0].What)
		return false
	}
	step.Passage = shared
	return true
}
