package app

import (
	"slices"
	"unicode/utf8"

	"stampmill/app/draft"
	"stampmill/app/strip"
	"stampmill/exercises/drill"
	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
)

// emptyPaper is what a dictation is written on: the bars of the ask with the
// asked voice alone, silent, in the cells that are offered.
func emptyPaper(ask ear.Ask) draft.Draft {
	p := passage.Passage{Bars: ask.Passage.Bars, Tuning: ask.Passage.Tuning}
	for _, v := range ask.Voices[:min(len(ask.Voices), 1)] {
		line := passage.Line{Voice: v}
		for i, b := range p.Beats() {
			if i < len(ask.Grid) && ask.Grid[i] > 1 {
				line.Groups = append(line.Groups, passage.Group{At: b.At, Length: b.Length, Cells: ask.Grid[i]})
			}
		}
		p.Lines = append(p.Lines, line)
	}
	const title = "Dictation"
	step := drill.Written(title, "", p)
	text, err := drill.Print(passage.Climb{Title: title, Tempo: step.Tempo, Metre: step.Metre, Tuning: p.Tuning, Steps: []passage.Step{step}})
	if err != nil {
		text = nil // no trial has such bars; the paper then takes no sign
	}
	d := draft.New(title, string(text), nil)
	for _, l := range p.Lines {
		if len(p.Bars) > 0 {
			d = d.Put(l.Voice, p.Starts()[0], false)
		}
	}
	return d.Saved()
}

// writes lets an edit be made of a dictation, or says why it is not.
func writes(edit func(d draft.Draft, how string) (draft.Draft, error)) func(State, Acted) (State, []Effect) {
	return func(s State, m Acted) (State, []Effect) {
		how := m.Arg
		if m.Value != "" {
			how = m.Value
		}
		if !s.dictating() {
			return s, nil
		}
		d, err := edit(s.Listen.Draft, how)
		if err != nil {
			s.Listen.Refused = sentence(err.Error())
			return s, nil
		}
		if d.Text() != s.Listen.Draft.Text() {
			s.Listen.Said = wroteWords(s.Listen.Draft, d)
		}
		s.Listen.Draft, s.Listen.Refused = d, ""
		return s, nil
	}
}

// wroteWords say what an edit wrote: the cell that was left, as it is now, or
// what was done, where the cursor stays and its cell is told anyway.
func wroteWords(was, d draft.Draft) string {
	c := was.Cursor()
	if c.At == d.Cursor().At || !c.Voice.Valid() {
		return d.Said()
	}
	return strip.Speak(d.Passage(), c) + "."
}

// dictating reports whether a dictation waits to be written.
func (s State) dictating() bool {
	_, ok := s.Listen.ask(ear.Strip)
	return ok && s.Page == listenPath && s.Listen.Stage == ListenAsking
}

func typeSign(d draft.Draft, sign string) (draft.Draft, error) {
	letter, _ := utf8.DecodeRuneInString(sign)
	return d.Type(letter)
}

// paperMoves are the keys that move the cursor of a dictation.
var paperMoves = []string{"ArrowLeft", "ArrowRight", "PageUp", "PageDown", "Home", "End"}

// paperPressed is a key while the strip of a dictation has the keyboard; false
// for one that means nothing there.
func paperPressed(s State, m Pressed) (State, []Effect, bool) {
	edit := func(f func(d draft.Draft, how string) (draft.Draft, error), how string) (State, []Effect, bool) {
		s, effects := writes(f)(s, Acted{Arg: how})
		return s, effects, true
	}
	letter, size := utf8.DecodeRuneInString(m.Label)
	switch {
	case (m.Ctrl || m.Meta) && !m.Alt && m.Code == "KeyZ" && m.Shift, (m.Ctrl || m.Meta) && !m.Alt && m.Code == "KeyY":
		return edit(redone, "")
	case (m.Ctrl || m.Meta) && !m.Alt && m.Code == "KeyZ":
		return edit(undone, "")
	case m.Modified:
	case slices.Contains(paperMoves, m.Code):
		return edit(func(d draft.Draft, _ string) (draft.Draft, error) { return d.Move(stripMoves[m.Code], m.Shift), nil }, "")
	case m.Code == "Backspace" || m.Code == "Delete":
		return edit(cleared, "")
	case size == 0 || size != len(m.Label) || letter == ' ' || m.Repeat && letter != '.' && letter != '-':
	case letter >= '1' && letter <= '9':
		return edit(divided, m.Label)
	default:
		return edit(typeSign, m.Label)
	}
	return s, nil, false
}

// paperPointed is a pointer on the strip of a dictation: a press goes to a cell,
// a drag selects.
func paperPointed(s State, m Pointed) (State, []Effect) {
	ask, ok := s.Listen.ask(ear.Strip)
	if !ok || !s.dictating() || m.Stage != portBegan && m.Stage != portMoved {
		return s, []Effect{Same{}}
	}
	sheet := s.paper(ask)
	layout := sheet.Layout()
	cell, ok := layout.CellAt(sheet.Passage, m.X*layout.Width, m.Y*layout.Height)
	if ok && m.Stage == portBegan || ok && cell.Voice == ask.Voices[0] {
		d := s.Listen.Draft.Put(ask.Voices[0], cell.At, m.Shift || m.Stage == portMoved) // also from a given voice: only this one is written
		if m.Stage == portMoved && d.Cursor() == s.Listen.Draft.Cursor() {
			return s, []Effect{Same{}}
		}
		s.Listen.Draft = d
	}
	effects := []Effect{Used{}}
	if m.Stage == portBegan {
		effects = append(effects, Focus{listenPaper})
	}
	return s, effects
}

func cleared(d draft.Draft, _ string) (draft.Draft, error) { return d.Clear() }
func undone(d draft.Draft, _ string) (draft.Draft, error)  { return d.Undo(), nil }
func redone(d draft.Draft, _ string) (draft.Draft, error)  { return d.Redo(), nil }
