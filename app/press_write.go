package app

import (
	"unicode/utf8"

	"stampmill/app/draft"
	"stampmill/app/port"
)

const (
	portBegan = port.Began
	portMoved = port.Moved
)

// stripMoves are the keys that move the cursor of the strip.
var stripMoves = map[string]draft.Direction{
	"ArrowLeft": draft.Left, "ArrowRight": draft.Right, "ArrowUp": draft.Up, "ArrowDown": draft.Down,
	"PageUp": draft.BarLeft, "PageDown": draft.BarRight, "Home": draft.First, "End": draft.Last,
}

// writePressed is a key on the Write page that means something there; false
// leaves it to what keys mean elsewhere.
func writePressed(s State, m Pressed) (State, []Effect, bool) {
	if s.Page != writePath || s.Write.ID == "" || !m.Down || m.Source != Keyboard {
		return s, nil, false
	}
	mine := m.On == "strip" || m.On == "text" || !m.Typing
	act := Acted{Placed: m.Placed, Now: m.At, Wall: m.Wall}
	var effects []Effect
	switch {
	case (m.Ctrl || m.Meta) && !m.Alt && mine:
		switch m.Code {
		case "KeyZ":
			if m.Shift {
				s, effects = redo(s, act)
			} else {
				s, effects = undo(s, act)
			}
		case "KeyY":
			s, effects = redo(s, act)
		case "KeyA":
			if m.On != "strip" {
				return s, nil, false
			}
			s, effects = selectBars(s, 1, len(s.Write.Draft.Passage().Bars))
		default:
			return s, nil, false
		}
	case m.Modified || m.On != "strip":
		return s, nil, false
	default:
		var ok bool
		if s, effects, ok = stripPressed(s, m, act); !ok {
			return s, nil, false
		}
	}
	return s, append(effects, Used{}), true
}

// stripPressed is a key while the strip has the keyboard.
func stripPressed(s State, m Pressed, act Acted) (State, []Effect, bool) {
	if dir, ok := stripMoves[m.Code]; ok {
		s, effects := edited(s, s.Write.Draft.Move(dir, m.Shift), nil)
		return s, effects, true
	}
	letter, size := utf8.DecodeRuneInString(m.Label)
	switch {
	case m.Code == "Escape":
		d := s.Write.Draft
		switch {
		case d.Selected():
			s, effects := edited(s, d.Put(d.Cursor().Voice, d.Cursor().At, false), nil)
			return s, effects, true
		case s.Phase == Idle && s.Write.Chosen != "":
			s, effects := unchosen(s)
			return s, effects, true
		}
		return s, nil, false
	case m.Code == "Space":
		s, effects := hearFrom(s, act)
		return s, effects, true
	case m.Code == "Backspace" || m.Code == "Delete":
		d, err := s.Write.Draft.Clear()
		s, effects := edited(s, d, err)
		return s, effects, true
	case m.Code == "Enter" || m.Code == "NumpadEnter":
		if s.Write.Chosen == "" {
			return s, []Effect{Focus{"write-search"}}, true
		}
		act.Arg = s.Write.Chosen
		s, effects := acts["write-apply"](s, act)
		return s, effects, true
	case size == 0 || size != len(m.Label) || m.Repeat && letter != '.' && letter != '-':
		return s, nil, false
	case letter >= '1' && letter <= '9':
		d, err := s.Write.Draft.Divide(int(letter - '0'))
		s, effects := edited(s, d, err)
		return s, effects, true
	}
	act.Arg = m.Label
	s, effects := sign(s, act)
	return s, effects, true
}
