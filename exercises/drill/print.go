package drill

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Print writes a climb in the canonical form: keys in their order, a blank
// line before each step, the beats of a step's voices under one another. What
// [Parse] read is printed so that reading it again gives an equal climb.
//
// Voice lines are those of Step.Written, in the cells that
// [passage.Passage.Regroup] gives them. Print refuses, with all reasons, what
// the text has no form for: strokes too fine for cells, a title that would be
// a comment, a step with neither voice lines nor anything to be made from.
func Print(c passage.Climb) ([]byte, error) {
	p := &printer{}
	p.header(c)
	for i, s := range c.Steps {
		p.step(c, i, s)
	}
	if len(c.Steps) == 0 || len(c.Steps) > MaxSteps {
		p.refuse("the climb has %d steps; write 1 to %d", len(c.Steps), MaxSteps)
	}
	if p.out.Len() > MaxFile {
		p.refuse("the text would have %d bytes; keep it within %d, or make two climbs of it", p.out.Len(), MaxFile)
	}
	if len(p.errs) > 0 {
		return nil, errors.Join(p.errs...)
	}
	return p.out.Bytes(), nil
}

// Written returns a step that is written out in voice lines, from a passage.
func Written(title, says string, p passage.Passage) passage.Step {
	p = p.Clone()
	s := passage.Step{Title: title, Says: says, Passage: p, Written: p.Clone().Lines}
	for _, b := range p.Bars {
		s.Tempo, s.Metre = append(s.Tempo, b.Tempo), append(s.Metre, b.Metre)
	}
	s.Tempo, s.Metre = shorten(s.Tempo), shorten(s.Metre)
	return s
}

// Silent returns a step that is written out with the bars and voices of a
// passage, one empty cell a beat.
func Silent(title, says string, p passage.Passage) passage.Step {
	p = p.Clone()
	for i, l := range p.Lines {
		p.Lines[i] = passage.Line{Voice: l.Voice}
	}
	return Written(title, says, p)
}

type printer struct {
	out   bytes.Buffer
	where string // the step, for errors
	errs  []error
}

func (p *printer) refuse(format string, args ...any) {
	p.errs = append(p.errs, fmt.Errorf(p.where+format, args...))
}

func (p *printer) header(c passage.Climb) {
	p.value("title", c.Title, true)
	p.value("by", c.By, false)
	p.lists(c.Tempo, c.Metre, true)
	tuning := c.Tuning
	if tuning == 0 {
		tuning = passage.DefaultTuning
	}
	if tuning < passage.LowestTuning || tuning > passage.HighestTuning {
		p.refuse("a tuning to %s; choose one from %s to %s", tuning, passage.LowestTuning, passage.HighestTuning)
	}
	p.value("tuning", tuning.String(), true)
	p.value("about", c.About, false)
	if c.Machine {
		p.value("machine", "yes", true)
	}
}

// value prints a key with its value, nothing for an empty value unless it must
// be there.
func (p *printer) value(key, value string, must bool) {
	if value == "" && !must {
		return
	}
	if why := unprintable(key, value); why != "" {
		p.refuse("%s %.40q %s", key, value, why)
	}
	fmt.Fprintf(&p.out, "%s: %s\n", key, value)
}

// unprintable says why a value could not be read back, "" when it can.
func unprintable(key, value string) string {
	n := utf8.RuneCountInString(value)
	if most := limitOf(key); most > 0 && n > most {
		return fmt.Sprintf("has %d characters; keep it within %d", n, most)
	}
	if at, what := badCharacter(value); at >= 0 {
		return "holds " + what + "; remove it"
	}
	switch {
	case value == "":
		return "is missing; write it"
	case strings.TrimFunc(value, unicode.IsSpace) != value:
		return "begins or ends with a space; remove it"
	case stripComment(value) != value:
		return "has a # that begins a comment; put something before it"
	}
	return ""
}

func (p *printer) lists(tempo []meter.Tempo, metre []meter.Metre, must bool) {
	var words []string
	for _, t := range shorten(tempo) {
		if err := t.Check(); err != nil {
			p.refuse("%w", err)
		}
		words = append(words, t.String())
	}
	p.value("tempo", strings.Join(words, " | "), must)
	words = nil
	for _, m := range shorten(metre) {
		if m.IsZero() {
			p.refuse("a bar has no metre; give it one")
		}
		words = append(words, m.String())
	}
	p.value("metre", strings.Join(words, " | "), must)
}

func (p *printer) step(c passage.Climb, i int, s passage.Step) {
	p.where = fmt.Sprintf("step %d: ", i+1)
	defer func() { p.where = "" }()
	p.out.WriteByte('\n')
	p.value("step", s.Title, true)
	p.from(c, i, s)
	p.value("from", s.From, false)
	for _, d := range s.Do {
		p.value("do", d, true)
	}
	p.lists(s.Tempo, s.Metre, false)
	p.value("says", s.Says, false)
	if len(s.Written) > 0 {
		p.lines(c, s)
	}
}

// from refuses steps that are made from nothing, or titled twice.
func (p *printer) from(c passage.Climb, i int, s passage.Step) {
	same := func(title string) func(passage.Step) bool {
		return func(t passage.Step) bool { return fold(t.Title) == fold(title) }
	}
	if slices.ContainsFunc(c.Steps[:i], same(s.Title)) {
		p.refuse("a step before it has the same title; give each its own")
	}
	switch made := s.From != "" || len(s.Do) > 0; {
	case s.From != "" && !slices.ContainsFunc(c.Steps[:i], same(s.From)):
		p.refuse("no step before it is called %.40q; name an earlier step", s.From)
	case len(s.Do) > 0 && i == 0:
		p.refuse("the first step has none before it to change; write it out")
	case len(s.Do) > maxDo:
		p.refuse("%d changes in one step; make several steps of it", len(s.Do))
	case !made && len(s.Written) == 0:
		p.refuse("it has neither voice lines nor a step it is made from; write it out")
	case !made:
		p.bars(c, s)
	}
}

// bars refuses a written-out step whose bars are not those of its lists.
func (p *printer) bars(c passage.Climb, s passage.Step) {
	tempo, metre := s.Tempo, s.Metre
	if len(tempo) == 0 {
		tempo = c.Tempo
	}
	if len(metre) == 0 {
		metre = c.Metre
	}
	for i, b := range s.Passage.Bars {
		if len(tempo) > 0 && b.Tempo != spread(tempo, i+1)[i] || len(metre) > 0 && b.Metre != spread(metre, i+1)[i] {
			p.refuse("bar %d is not in the tempo and metre the step is given; set its Tempo and Metre", i+1)
			return
		}
	}
}

// lines prints the voice lines of a step.
func (p *printer) lines(c passage.Climb, s passage.Step) {
	written := s.Passage
	written.Lines = s.Written
	if ps := passage.Check(written); len(ps) > 0 {
		p.refuse("%w", ps)
		return
	}
	grouped, ps := written.Regroup()
	if len(ps) > 0 {
		p.refuse("%w", ps)
		return
	}
	var rows []row
	for _, l := range grouped.Lines {
		rows = append(rows, newRow(l, grouped.Bars))
	}
	layout(&p.out, rows, grouped.Bars)
}
