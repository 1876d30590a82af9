package drill

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Replace returns the text with a step as s wants it: its title (also in the
// from of other steps), from, do and says, and the bars, strokes and groups of
// s.Passage. Voice lines are aligned anew as a block where any of them changes;
// comments and every other line stay.
//
// A step without from and do is written out, with the tempo and metre its bars
// need. In a made step whose From and Do stay, only voices that differ from
// what these make are written; where they change, it is the voices of s.Written
// that are written, and s.Tempo and s.Metre are its keys.
//
// It refuses what the text has no form for, and a made step whose from and do
// cannot lead to the passage: clear From and Do to write it out. Other steps
// made from this one change with it.
func (r Reading) Replace(step int, s passage.Step) ([]byte, error) {
	m := r.text.mend()
	if err := r.replace(m, step, s); err != nil {
		return nil, err
	}
	return m.bytes()
}

// Insert returns the text with a new step behind the step with index after, -1
// for before the first. With From or Do it is made, with the keys of s.Tempo
// and s.Metre and the voice lines of s.Written; else s.Passage is written out.
func (r Reading) Insert(after int, s passage.Step) ([]byte, error) {
	if err := r.wasRead(); err != nil {
		return nil, err
	}
	if after < -1 || after >= len(r.Steps) {
		return nil, fmt.Errorf("there is no step %d to put it behind; choose one of %d", after+1, len(r.Steps))
	}
	if len(r.Steps) == MaxSteps {
		return nil, fmt.Errorf("a climb has at most %d steps; make two climbs of it", MaxSteps)
	}
	if err := r.freeTitle(-1, s.Title); err != nil {
		return nil, err
	}
	lines, err := r.lines(after, s)
	if err != nil {
		return nil, err
	}
	m := r.text.mend()
	r.explicit(m, after+1)
	at := r.gap(after + 1)
	if at == 0 {
		lines = lines[1:]
	}
	if at < len(r.text.lines) && !r.text.blank(at+1) {
		lines = append(lines, "")
	}
	m.put(at, lines...)
	return m.bytes()
}

// lines returns the lines of a new step, a blank one first.
func (r Reading) lines(after int, s passage.Step) ([]string, error) {
	c := r.climb
	c.Steps = nil
	for _, before := range r.steps[:after+1] {
		c.Steps = append(c.Steps, before.Step)
	}
	if s.From == "" && len(s.Do) == 0 {
		p, unwritten, err := cells(s.Passage)
		switch {
		case err != nil:
			return nil, err
		case len(unwritten) > 0:
			return nil, unwritten[0]
		}
		s.Written, s.Tempo, s.Metre = p.Lines, nil, nil
		tempos, metres := listsOf(p.Bars)
		if tempos, own := ownList(tempos, c.Tempo); own {
			s.Tempo = tempos
		}
		if metres, own := ownList(metres, c.Metre); own {
			s.Metre = metres
		}
	}
	p := &printer{}
	p.step(c, len(c.Steps), s)
	if len(p.errs) > 0 {
		return nil, plain(p.errs[0])
	}
	return strings.Split(strings.TrimSuffix(p.out.String(), "\n"), "\n"), nil
}

// plain is an error of the printer without the step, which is the new one.
func plain(err error) error {
	text := err.Error()
	if i := strings.Index(text, ": "); i >= 0 && strings.HasPrefix(text, "step ") && isNumber(text[len("step "):i]) {
		text = text[i+2:]
	}
	return errors.New(text)
}

// gap returns the last line that is not blank before a step with the comments
// directly above it; before the step after the last, that of the file.
func (r Reading) gap(step int) int {
	n := len(r.text.lines)
	if step < len(r.Steps) {
		n = r.begin(step) - 1
	}
	for n > 0 && r.text.blank(n) {
		n--
	}
	return n
}

// Remove returns the text without a step and the comments in it, directly above
// it and directly below it. Steps made from it are written out, so that they
// stay what they are.
func (r Reading) Remove(step int) ([]byte, error) {
	if err := r.in(step); err != nil {
		return nil, err
	}
	if len(r.Steps) == 1 {
		return nil, fmt.Errorf("a climb has at least one step; add another before removing this one")
	}
	m := r.text.mend()
	for i, other := range r.steps {
		if other.base != step || i == step {
			continue
		}
		s := other.Step
		s.From, s.Do = "", nil
		if err := r.replace(m, i, s); err != nil {
			return nil, fmt.Errorf("step %.60q is made from it and cannot be written out: %w", s.Title, err)
		}
	}
	first, last := r.extent(step)
	for n := first; n <= last; n++ {
		m.gone[n] = true
	}
	return m.bytes()
}

// extent returns the first and last line of a step with the comments directly
// above and below it and the blank lines that follow, or for what ends the file
// those before it.
func (r Reading) extent(step int) (first, last int) {
	first, last = r.begin(step), r.Steps[step].Last
	end := len(r.text.lines)
	if step+1 < len(r.Steps) {
		end = r.begin(step+1) - 1
	}
	for last < end && r.text.comment(last+1) {
		last++
	}
	for last < end && r.text.blank(last+1) {
		last++
	}
	if last == len(r.text.lines) {
		for first > 1 && r.text.blank(first-1) {
			first--
		}
	}
	return first, last
}

// Rename returns the text with another title for a step, also in the from of
// other steps.
func (r Reading) Rename(step int, title string) ([]byte, error) {
	m := r.text.mend()
	if err := r.in(step); err != nil {
		return nil, err
	}
	if err := r.rename(m, step, title); err != nil {
		return nil, err
	}
	return m.bytes()
}

func (r Reading) rename(m *mending, step int, title string) error {
	if err := r.freeTitle(step, title); err != nil {
		return err
	}
	old := r.file.steps[step].at
	m.value(old, title)
	for _, s := range r.file.steps {
		if from, ok := s.value("from"); ok && from.text != "" && fold(from.text) == fold(old.text) {
			m.value(from, title)
		}
	}
	return nil
}

// freeTitle refuses a title that cannot be written, or that another step has.
func (r Reading) freeTitle(step int, title string) error {
	if why := unprintable("step", title); why != "" {
		return fmt.Errorf("the title %.40q %s", title, why)
	}
	for i, s := range r.Steps {
		if i != step && fold(s.Title) == fold(title) {
			return fmt.Errorf("step %d is called %.60q already; choose another title", i+1, s.Title)
		}
	}
	return nil
}

// FreeTitle returns a title that no step has: the given one, or with the next
// free number behind it.
func (r Reading) FreeTitle(title string) string {
	free := title
	for n := 2; r.titled(free); n++ {
		number := fmt.Sprintf(" %d", n)
		short := []rune(title)
		short = short[:min(len(short), maxTitle-len(number))]
		free = strings.TrimSpace(string(short)) + number
	}
	return free
}

func (r Reading) titled(title string) bool {
	return slices.ContainsFunc(r.Steps, func(s StepText) bool { return fold(s.Title) == fold(title) })
}

// Move returns the text with a step moved so that its index is to. Steps stay
// what they are: from is written where it went without saying.
func (r Reading) Move(step, to int) ([]byte, error) {
	if err := r.in(step); err != nil {
		return nil, err
	}
	if err := r.in(to); err != nil {
		return nil, err
	}
	order := slices.Delete(span(0, len(r.Steps)-1), step, step+1)
	order = slices.Insert(order, to, step)
	m := r.text.mend()
	for i, s := range order {
		base := r.steps[s].base
		if base >= 0 && slices.Index(order, base) > i {
			return nil, fmt.Errorf("%.60q is made from %.60q and must stay behind it; move the other first", r.Steps[s].Title, r.Steps[base].Title)
		}
		if i == 0 || order[i-1] != base {
			r.explicit(m, s)
		}
	}
	r.reorder(m, order)
	return m.bytes()
}

// reorder deals out the lines of the steps in another order, blank lines
// between them.
func (r Reading) reorder(m *mending, order []int) {
	m.order = span(1, r.begin(0)-1)
	for i, s := range order {
		first, last := r.begin(s), len(m.lines)
		if s+1 < len(r.Steps) {
			last = r.begin(s+1) - 1
		}
		m.order = append(m.order, span(first, last)...)
		full := last
		for full > first && m.blank(full) {
			full--
		}
		switch {
		case i == len(order)-1 && s+1 == len(order): // ends the text as before
		case i == len(order)-1:
			for n := full + 1; n <= last; n++ {
				m.gone[n] = true
			}
		case full == last:
			m.put(last, "")
		}
	}
}

// explicit writes from for a step that is made from the one before it without
// saying so.
func (r Reading) explicit(m *mending, step int) {
	if step >= len(r.steps) || r.steps[step].base < 0 {
		return
	}
	if s := r.file.steps[step]; len(s.keys["from"]) == 0 {
		m.keys(s, stepKeys, "from", r.Steps[r.steps[step].base].Title)
	}
}

// wasRead refuses a text that was too long to read.
func (r Reading) wasRead() error {
	if r.file.header == nil {
		return errors.New("the text is too long to be read; shorten it first")
	}
	return nil
}

// in refuses a step that is not there.
func (r Reading) in(step int) error {
	if step < 0 || step >= len(r.Steps) {
		return fmt.Errorf("there is no step %d; choose one of %d", step+1, len(r.Steps))
	}
	return nil
}

// listsOf returns the tempo and metre of each bar.
func listsOf(bars []passage.Bar) (tempos []meter.Tempo, metres []meter.Metre) {
	for _, b := range bars {
		tempos, metres = append(tempos, b.Tempo), append(metres, b.Metre)
	}
	return tempos, metres
}

// ownList returns the list that a step needs for values of its bars; false when
// that of the climb gives them.
func ownList[T comparable](values, climb []T) ([]T, bool) {
	if len(climb) > 0 && slices.Equal(spread(climb, len(values)), values) {
		return nil, false
	}
	return shorten(values), true
}
