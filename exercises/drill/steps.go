package drill

import (
	"fmt"
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

func (m *maker) header(f file) {
	h := f.header
	for _, example := range []string{"title: Headframe", "tempo: 104", "metre: 4/4"} {
		key, _, _ := strings.Cut(example, ":")
		if _, ok := h.value(key); !ok && !h.meant[key] {
			m.note(h.at, "add a line such as "+example, "the climb has no %s", key)
		}
	}
	if len(f.steps) == 0 {
		m.note(h.at, "add a line such as step: The floor, and voice lines under it", "the climb has no steps")
	}
	text := func(key string) string { v, _ := h.value(key); return v.text }
	m.out = passage.Climb{Title: text("title"), By: text("by"), About: text("about"), Tuning: passage.DefaultTuning}
	m.tempo, _ = h.value("tempo")
	m.out.Tempo, _ = m.tempos(h)
	m.out.Metre, _ = m.metres(h)
	if v, ok := h.value("tuning"); ok {
		m.tuning(v)
	}
	if v, ok := h.value("machine"); ok {
		m.machine(v)
	}
}

func (m *maker) tuning(v piece) {
	p, err := passage.ParsePitch(v.text)
	if err != nil {
		m.addErr(v, err, "write it like A1")
		return
	}
	m.out.Tuning = p
}

func (m *maker) machine(v piece) {
	switch strings.ToLower(v.text) {
	case "yes":
		m.out.Machine = true
	case "no":
	default:
		m.add(v, "write yes or no", "machine is not %.20q", v.text)
	}
}

// tempos reads the tempo list of a section: nil when it has none, false when
// it has mistakes.
func (m *maker) tempos(s *section) ([]meter.Tempo, bool) {
	return values(m.report, s, "tempo", meter.ParseTempo)
}

func (m *maker) metres(s *section) ([]meter.Metre, bool) {
	return values(m.report, s, "metre", meter.ParseMetre)
}

// values reads a list with one value for each bar. Since the last goes on,
// repeats at the end are dropped.
func values[T comparable](r *report, s *section, key string, parse func(string) (T, error)) ([]T, bool) {
	v, ok := s.value(key)
	if !ok || v.text == "" {
		return nil, !ok
	}
	items := v.split('|')
	if len(items) > passage.MaxBars {
		r.add(items[passage.MaxBars], fmt.Sprintf("write at most %d", passage.MaxBars), "%s is given for %d bars", key, len(items))
		return nil, false
	}
	var all []T
	good := true
	for _, item := range items {
		if n := len(item.text); n > maxItem {
			r.add(item, "write it shorter", "a %s of %d characters", key, n)
			good = false
			continue
		}
		x, err := parse(item.trim().text)
		if err != nil {
			r.addErr(item.trim(), err, "write one value for each bar, separated by |")
			good = false
		}
		all = append(all, x)
	}
	if !good {
		return nil, false
	}
	for len(all) > 1 && all[len(all)-1] == all[len(all)-2] {
		all = all[:len(all)-1]
	}
	return all, true
}

// spread gives each of n bars its value of a list whose last goes on.
func spread[T any](list []T, n int) []T {
	all := make([]T, n)
	for i := range all {
		all[i] = list[min(i, len(list)-1)]
	}
	return all
}

// step makes one step; false when nothing can be built upon it.
func (m *maker) step(i int, s *section) (passage.Step, bool) {
	says, _ := s.value("says")
	step := passage.Step{Title: s.at.text, Says: says.text}
	for _, d := range s.keys["do"] {
		step.Do = append(step.Do, d.text)
	}
	var ok1, ok2 bool
	step.Tempo, ok1 = m.tempos(s)
	step.Metre, ok2 = m.metres(s)
	good := ok1 && ok2
	if _, from := s.value("from"); from || len(step.Do) > 0 {
		good = m.make(i, &step, s, good)
	} else {
		good = m.bars(&step, s) && good
	}
	return step, good && m.lines(&step, s) && m.check(step, s)
}

// make makes a step from an earlier one, up to its own voice lines. Even
// where there is nothing to start from, it looks whether the changes exist.
func (m *maker) make(i int, step *passage.Step, s *section, good bool) bool {
	from, named := s.value("from")
	base, ok := m.base(i, s, from, named)
	if named && ok {
		step.From = m.out.Steps[base].Title
	}
	if ok = ok && m.good[base] && m.afford(m.out.Steps[base].Passage, s.at); ok {
		step.Passage = m.out.Steps[base].Passage.Clone()
		ok = m.rebar(step, s)
	}
	good = good && ok
	good = m.changes(step, s, good) && good
	if good && (len(step.Do) > 0 || step.Metre != nil) {
		step.Passage, _ = step.Passage.Regroup() // what has no cells is still a passage
	}
	return good
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
	for _, s := range m.out.Steps {
		all = append(all, s.Title)
	}
	return all
}

// rebar gives the bars of a made step the tempo and metre of the step.
func (m *maker) rebar(step *passage.Step, s *section) bool {
	p := &step.Passage
	n := len(p.Bars)
	if !m.notLonger(s, "tempo", len(step.Tempo), n) || !m.notLonger(s, "metre", len(step.Metre), n) {
		return false
	}
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
func (m *maker) notLonger(s *section, key string, n, bars int) bool {
	if n <= bars {
		return true
	}
	v, _ := s.value(key)
	m.add(v.split('|')[bars].trim(), "leave the rest out", "%s is given for %s, and the step has %d", key, plural(n, "bar"), bars)
	return false
}

// changes makes the changes of a step. Without a passage to start from it only
// looks whether they exist.
func (m *maker) changes(step *passage.Step, s *section, apply bool) bool {
	good := true
	for _, d := range s.keys["do"] {
		if d.text == "" {
			good = false
			continue
		}
		change, err := m.find(d.text)
		if err != nil {
			m.addErr(d, err, "see the list of changes, or write the step's voice lines out")
			good = false
			continue
		}
		if good && apply {
			good = m.afford(step.Passage, d) && m.apply(step, d, change)
		}
	}
	return good
}

// find looks a change up in the catalogue.
func (m *maker) find(text string) (func(passage.Passage) (passage.Passage, error), error) {
	if m.cat == nil {
		word, _, _ := strings.Cut(text, " ")
		return nil, fmt.Errorf("no change is called %q; write the step's voice lines out", word)
	}
	return m.cat.Parse(text)
}

func (m *maker) apply(step *passage.Step, d piece, change func(passage.Passage) (passage.Passage, error)) bool {
	out, err := change(step.Passage.Clone())
	if err != nil {
		m.addErr(d, err, "choose another change, or write the step's voice lines out")
		return false
	}
	if ps := passage.Check(out); len(ps) > 0 {
		m.add(d, "choose another change, or write the step's voice lines out", "the change leaves the limits: %s: %s", ps[0].Place, ps[0].What)
		return false
	}
	step.Passage = out
	return true
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
	if metre == nil {
		metre = m.out.Metre
	}
	if tempo == nil || metre == nil {
		return false // said already
	}
	n := usualBars(s.voices)
	if n == 0 || !m.notLonger(s, "tempo", len(step.Tempo), n) || !m.notLonger(s, "metre", len(step.Metre), n) {
		return false
	}
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
	metres := make([]meter.Metre, len(step.Passage.Bars))
	for i, b := range step.Passage.Bars {
		metres[i] = b.Metre
	}
	for _, v := range s.voices {
		good = m.sameBars(v, len(metres)) && good
		line, _, ok := m.place(v, metres)
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
