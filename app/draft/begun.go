package draft

import (
	"strings"

	"stampmill/exercises/drill"
)

// maxAtOnce is how many strokes may follow the current step for the text to be
// read as a whole at each key press. Our choice: steps made of as many take
// about a millisecond.
const maxAtOnce = 1000

// begun returns the draft with another text, read up to the end of the step in
// which the caret is. What follows is left as it was, where that is much and
// its text is the same; else the text is read as a whole.
func (d Draft) begun(text string, caret Caret) Draft {
	end := nextStep(text, caret)
	rest := text[end:]
	if rest == "" || !strings.HasSuffix(d.text, rest) {
		return d.reread(text)
	}
	first := newlines(d.text[:len(d.text)-len(rest)]) + 1 // line of the rest, as it was
	before, after := d.stepsFrom(first)
	if strokes(after) <= d.reader.most {
		return d.reread(text)
	}
	reading := d.reader.begun.Read(d.name, []byte(text[:end]), d.reader.catalogue)
	if len(reading.Steps) == 0 {
		return d.reread(text)
	}
	down := newlines(text[:end]) + 1 - first
	d.late = moved(d.Problems(), first, down)
	d.text, d.said, d.reading, d.covered = text, "", reading, end
	d.steps = stepsOf(reading, before)
	for _, s := range after {
		s.Line += down
		d.steps = append(d.steps, s)
	}
	return d
}

// Settled returns the draft with its text read as a whole, as it is unless a
// large exercise was just typed in.
func (d Draft) Settled() Draft {
	if d.covered == len(d.text) {
		return d
	}
	said := d.said
	d = d.reread(d.text).settle()
	d.said = said
	return d
}

// nextStep returns where the first step begins whose line is below a caret, in
// bytes; the length of the text when there is none.
func nextStep(text string, caret Caret) int {
	at := Caret{caret.Line, 1}.Offset(text)
	for at < len(text) {
		line := firstLine(text[at:])
		key, _, ok := strings.Cut(line, ":")
		if at += len(line); ok && strings.EqualFold(strings.TrimSpace(key), "step") && at-len(line) > Caret.Offset(caret, text) {
			return at - len(line)
		}
	}
	return len(text)
}

// stepsFrom returns the steps before a line and those from it on.
func (d Draft) stepsFrom(line int) (before, after []Step) {
	for i, s := range d.steps {
		if s.Line >= line {
			return d.steps[:i:i], d.steps[i:]
		}
	}
	return d.steps, nil
}

// strokes returns how many strokes some steps have.
func strokes(steps []Step) int {
	n := 0
	for _, s := range steps {
		for _, l := range s.Passage.Lines {
			n += len(l.Strokes)
		}
	}
	return n
}

// moved returns the problems from a line on, so many lines further down.
func moved(ps drill.Problems, line, down int) drill.Problems {
	var out drill.Problems
	for _, p := range ps {
		if p.Line >= line {
			p.Line += down
			out = append(out, p)
		}
	}
	return out
}

// newlines returns how many lines end in a text.
func newlines(text string) int { return strings.Count(text, "\n") }
