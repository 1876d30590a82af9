package app

import (
	"strconv"
	"strings"
)

// keyActs are the single keys between takes.
var keyActs = map[string]string{
	"h": "hear", "r": "again", "s": "slower", "l": "loop", "n": "next", "t": "tap", "w": "whole-go", "m": "measure-go", "+": "tempo-up", "=": "tempo-up", "-": "tempo-down",
}

// pressed is a key or finger that went down or up.
func pressed(s State, m Pressed) (State, []Effect) {
	if t, effects, ok := writePressed(s, m); ok {
		return t, effects
	}
	if t, effects, ok := listenPressed(s, m); ok {
		return t, effects
	}
	switch {
	case m.Modified:
		return s, []Effect{Same{}}
	case s.Setup.Assigning:
		return assigning(s, m.Press)
	case s.Phase == Playing || s.Phase == Starting && s.Aim == ForTake:
		return playing(s, m)
	case s.Setup.Measuring && taps(m.Press):
		return measured(s, m)
	case !m.Down || m.Repeat || m.Source != Keyboard:
		return s, []Effect{Same{}}
	case m.Code == "Escape":
		return escape(s, m)
	case m.Typing:
		return s, []Effect{Same{}}
	}
	return command(s, m)
}

// taps reports whether a press counts in the delay measurement: a letter key,
// a touch on the pad.
func taps(p Press) bool {
	if p.Source != Keyboard {
		return p.Area != ""
	}
	return !p.Repeat && !p.Typing && isLetter(p)
}

// playing is a press during a take: Escape stops, space stops unless it is
// assigned, and everything that plays the part is a hit.
func playing(s State, m Pressed) (State, []Effect) {
	if !m.Down {
		return lift(s, m)
	}
	voice, plays := voiceFor(m.Press, s.part(), s.written(), s.Settings)
	switch {
	case m.Source == Keyboard && m.Code == "Escape":
		return escape(s, m)
	case plays && m.Repeat:
		return s, []Effect{Same{}, Used{}}
	case plays:
		return hit(s, m, voice)
	case m.Code == "Space" && !m.Repeat && !m.Typing:
		return escape(s, m)
	}
	return s, []Effect{Same{}}
}

// escape ends what is going on.
func escape(s State, m Pressed) (State, []Effect) {
	switch {
	case s.Phase != Idle:
		s, effects := stopped(s, Acted{Placed: m.Placed, Now: m.At, Wall: m.Wall})
		return s, append(effects, Used{})
	case s.Setup.Deleting:
		s.Setup.Deleting = false
		return s, []Effect{Used{}, Focus{"delete"}}
	case s.Page == writePath && s.Write.Menu:
		s.Write.Menu = false
		return s, []Effect{Used{}, Focus{"write-menu-button"}}
	}
	return s, []Effect{Same{}}
}

// command is a single key between takes.
func command(s State, m Pressed) (State, []Effect) {
	name, arg := keyAct(s, m.Press)
	act, ok := acts[name]
	if !ok {
		return s, []Effect{Same{}}
	}
	s, effects := act(s, Acted{Act: name, Arg: arg, Placed: m.Placed, Now: m.At, Wall: m.Wall})
	return s, append(effects, Used{})
}

// keyAct returns the act of a key on the page shown.
func keyAct(s State, p Press) (act, arg string) {
	label := strings.ToLower(p.Label)
	switch {
	case p.Code == "Space":
		return pageAct(s, "go"), ""
	case !s.Settings.Single:
		return "", ""
	case s.Page == "/" && label == "h":
		return "hear", ""
	case s.Page != "/practise/":
		return "", ""
	}
	if s.showsVerdict() {
		for _, a := range s.actions() {
			if strings.ToLower(a.key) == label {
				return a.act, a.arg
			}
		}
	}
	if n, err := strconv.Atoi(label); err == nil && n >= 1 {
		return "bar", label
	}
	return keyActs[label], ""
}

// pageAct is what the space key does on a page.
func pageAct(s State, act string) string {
	switch {
	case s.Page == "/practise/":
		return act
	case s.Page == writePath:
		return "write-hear"
	case s.Page == "/" && s.Phase != Idle:
		return "stop"
	case s.Page == "/":
		return "along"
	}
	return ""
}
