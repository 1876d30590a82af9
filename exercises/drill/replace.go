package drill

import (
	"errors"
	"fmt"
	"slices"
	"sort"
	"strings"

	"stampmill/exercises/passage"
)

func (r Reading) replace(m *mending, step int, s passage.Step) error {
	if err := r.in(step); err != nil {
		return err
	}
	now, sec := r.steps[step], r.file.steps[step]
	if !now.good {
		return fmt.Errorf("step %.60q has problems in its text; mend them first", now.Title)
	}
	if s.Title != now.Title {
		if err := r.rename(m, step, s.Title); err != nil {
			return err
		}
	}
	if err := r.replaceMaking(m, step, s); err != nil {
		return err
	}
	p, err := now.settle(s.Passage)
	if err != nil {
		return err
	}
	w, err := r.wanted(step, s, p.Passage)
	if err != nil {
		return err
	}
	return m.replaceLines(sec, now, s.Says, p, w)
}

// replaceLines writes the keys and voice lines that a step is to have.
func (m *mending) replaceLines(sec *section, now madeStep, says string, p settled, w wanted) error {
	old := now.Written
	if !sameMetres(p.Bars, now.Passage.Bars) {
		old = nil // each of them has other cells
	}
	rows, err := p.regroup(w.rows, old)
	if err != nil {
		return err
	}
	if w.tempo != nil {
		m.keys(sec, stepKeys, "tempo", w.tempo...)
	}
	if w.metre != nil {
		m.keys(sec, stepKeys, "metre", w.metre...)
	}
	if err := m.text(sec, "says", says); err != nil {
		return err
	}
	if !slices.EqualFunc(rows, old, equalLine) {
		m.rows(sec, rows, old, p.Bars)
	}
	return nil
}

// settled is a passage that a step is to have: lines that stay are shared with
// those that the step has, others are checked and have the cells to write them in.
type settled struct {
	passage.Passage
	changed   []passage.Voice
	unwritten passage.Problems // where no cells hold them
}

// settle looks at a passage that a step is to have; what it costs goes by what
// changes.
func (now madeStep) settle(p passage.Passage) (settled, error) {
	if len(p.Lines) == 0 {
		return settled{}, errors.New("the step would have no voices; keep one, silent or not")
	}
	if v, doubled := twice(p.Lines); doubled {
		return settled{}, fmt.Errorf("%s stands twice; give each voice one line", v)
	}
	p, changed := unlike(now.Passage, p)
	out := settled{Passage: p}
	if ps := passage.Check(changed); len(ps) > 0 {
		return out, ps[0]
	}
	out.changed = changed.Voices()
	changed, out.unwritten = changed.Regroup()
	for _, l := range changed.Lines {
		out.Lines[indexOf(out.Lines, l.Voice)] = l
	}
	return out, nil
}

// regroup gives the lines to be written the cells for it, where those they have
// were never written.
func (p settled) regroup(lines, written []passage.Line) ([]passage.Line, error) {
	lines = slices.Clone(lines)
	unknown := passage.Passage{Bars: p.Bars}
	for _, l := range lines {
		stays := func(w passage.Line) bool { return w.Voice == l.Voice && equalLine(w, l) }
		if !slices.Contains(p.changed, l.Voice) && !slices.ContainsFunc(written, stays) {
			unknown.Lines = append(unknown.Lines, l)
		}
	}
	unknown, found := unknown.Regroup()
	for _, l := range unknown.Lines {
		lines[indexOf(lines, l.Voice)] = l
	}
	for _, f := range slices.Concat(p.unwritten, found) {
		if indexOf(lines, f.Voice) >= 0 {
			return nil, f
		}
	}
	return lines, nil
}

// text gives a key of a step a text, none for "".
func (m *mending) text(s *section, key, text string) error {
	old, _ := s.value(key)
	if text == old.text {
		return nil
	}
	if text == "" {
		m.keys(s, stepKeys, key)
		return nil
	}
	if why := unprintable(key, text); why != "" {
		return fmt.Errorf("%s %.40q %s", key, text, why)
	}
	m.keys(s, stepKeys, key, text)
	return nil
}

// replaceMaking writes what a step is made from and by.
func (r Reading) replaceMaking(m *mending, step int, s passage.Step) error {
	sec := r.file.steps[step]
	from, _ := sec.value("from")
	earlier := func(t StepText) bool { return fold(t.Title) == fold(s.From) }
	switch {
	case fold(s.From) == fold(from.text):
	case s.From != "" && !slices.ContainsFunc(r.Steps[:step], earlier):
		return fmt.Errorf("no step before it is called %.60q; name an earlier step", s.From)
	default:
		if err := m.text(sec, "from", s.From); err != nil {
			return err
		}
	}
	switch {
	case len(s.Do) > maxDo:
		return fmt.Errorf("%d changes in one step; keep to %d, or make several steps of it", len(s.Do), maxDo)
	case len(s.Do) > 0 && s.From == "" && step == 0:
		return errors.New("the first step has none before it to change; write it out")
	}
	for _, do := range s.Do {
		if why := unprintable("do", do); why != "" {
			return fmt.Errorf("do %.40q %s", do, why)
		}
	}
	m.keys(sec, stepKeys, "do", s.Do...)
	return nil
}

// wanted is what else the text of a step must say: its voice lines, and the
// values of its keys, none for no key; nil where the key stays as it is.
type wanted struct {
	rows         []passage.Line
	tempo, metre []string
}

// wanted returns what leads to a passage.
func (r Reading) wanted(step int, s passage.Step, p passage.Passage) (wanted, error) {
	now := r.steps[step]
	same := fold(s.From) == fold(now.From) && slices.Equal(s.Do, now.Do)
	made := s.From != "" || len(s.Do) > 0
	switch {
	case !made:
		return r.writtenOut(step, p, same), nil
	case !same:
		return madeAnew(s, p), nil
	default:
		return r.madeStill(step, p)
	}
}

// writtenOut is a step with all its voices; same when it is already such.
func (r Reading) writtenOut(step int, p passage.Passage, same bool) wanted {
	w := wanted{rows: p.Lines}
	if same && slices.Equal(r.steps[step].Passage.Bars, p.Bars) {
		return w
	}
	tempos, metres := listsOf(p.Bars)
	w.tempo = keyOf(tempos, r.climb.Tempo)
	w.metre = keyOf(metres, r.climb.Metre)
	return w
}

// keyOf returns the value of a key that gives bars their values, where the climb
// gives them others.
func keyOf[T interface {
	comparable
	String() string
}](values, climb []T) []string {
	list, own := ownList(values, climb)
	if !own {
		return []string{}
	}
	return listText(list)
}

// listText returns the value of a key, none for no list.
func listText[T interface{ String() string }](list []T) []string {
	if len(list) == 0 {
		return []string{}
	}
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = x.String()
	}
	return []string{strings.Join(words, " | ")}
}

// madeAnew is a step that is made by other changes than before.
func madeAnew(s passage.Step, p passage.Passage) wanted {
	w := wanted{tempo: listText(shorten(s.Tempo)), metre: listText(shorten(s.Metre))}
	for _, l := range p.Lines {
		if indexOf(s.Written, l.Voice) >= 0 {
			w.rows = append(w.rows, l)
		}
	}
	return w
}

// madeStill is a step made by the same changes as before, with voice lines for
// what differs.
func (r Reading) madeStill(step int, p passage.Passage) (wanted, error) {
	now := r.steps[step]
	var w wanted
	if !slices.Equal(now.under.Bars, p.Bars) {
		var err error
		if w, err = r.rebarred(step, p.Bars); err != nil {
			return w, err
		}
	}
	for _, l := range now.under.Lines {
		if _, ok := p.Line(l.Voice); !ok {
			return w, fmt.Errorf("the %s comes from the step it is made from; make it silent, or write the step out", l.Voice)
		}
	}
	for _, l := range p.Lines {
		own := indexOf(now.Written, l.Voice)
		kept := own >= 0 && equalLine(now.Written[own], l)
		if under, ok := now.under.Line(l.Voice); kept || !ok || !equalLine(under, l) {
			w.rows = append(w.rows, l)
		}
	}
	w.rows = inOrder(w.rows, now.Written)
	return w, nil
}

// inOrder puts lines in the order in which they are written, new ones last: in
// a made step the order of voices is that of the step it is made from.
func inOrder(lines, written []passage.Line) []passage.Line {
	at := func(l passage.Line) int {
		if i := indexOf(written, l.Voice); i >= 0 {
			return i
		}
		return len(written)
	}
	sort.SliceStable(lines, func(i, j int) bool { return at(lines[i]) < at(lines[j]) })
	return lines
}

// rebarred returns the keys that give a copy of a step other tempi or metres.
func (r Reading) rebarred(step int, bars []passage.Bar) (wanted, error) {
	now := r.steps[step]
	base := r.steps[now.base].Passage.Bars
	fits := func(a, b passage.Bar) bool { return a.Metre.Length() == b.Metre.Length() }
	if len(now.Do) > 0 || !slices.EqualFunc(base, bars, fits) {
		return wanted{}, errors.New("the bars are not those that its from and do make; write the step out")
	}
	tempos, metres := listsOf(bars)
	baseTempos, baseMetres := listsOf(base)
	return wanted{tempo: keyOf(tempos, baseTempos), metre: keyOf(metres, baseMetres)}, nil
}
