package app

import (
	"strconv"
	"strings"

	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
)

// listenPaper is the data-keys of the strip of a dictation.
const listenPaper = "listen-strip"

// listenPressed is a key, finger or button on the Listen page; false leaves it
// to what keys mean elsewhere.
func listenPressed(s State, m Pressed) (State, []Effect, bool) {
	if s.Page != listenPath {
		return s, nil, false
	}
	if s.Aim == ForTapping && (s.Phase == Starting || s.Phase == Playing) {
		s, effects := tapping(s, m)
		return s, effects, true
	}
	if !m.Down || m.Source != Keyboard {
		return s, nil, false
	}
	if m.On == listenPaper && s.dictating() {
		if s, effects, ok := paperPressed(s, m); ok {
			return s, append(effects, Used{}), true
		}
	}
	if m.Modified || m.Repeat && !strings.HasPrefix(m.Code, "Arrow") {
		return s, nil, false
	}
	if m.Code == "Escape" && s.Phase != Idle {
		s, effects := stopListening(s)
		return s, append(effects, Used{}), true
	}
	if m.Typing {
		return s, nil, false
	}
	t, effects, ok := listenKey(s, m)
	if !ok {
		return s, nil, false
	}
	return t, append(effects, Used{}), true
}

// listenKey is a key that works no control and writes nothing.
func listenKey(s State, m Pressed) (State, []Effect, bool) {
	l := s.Listen
	switch m.Code {
	case "Space":
		s, effects := spaced(s)
		return s, effects, true
	case "Enter", "NumpadEnter":
		s, effects := entered(s)
		return s, effects, true
	case "ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown":
		by := map[string][2]int{"ArrowLeft": {-1, 0}, "ArrowRight": {1, 0}, "ArrowUp": {0, -1}, "ArrowDown": {0, 1}}[m.Code]
		if _, ok := l.ask(ear.Place); !ok || l.Stage != ListenAsking {
			return s, nil, false
		}
		s = s.walked(by[0], by[1])
		s.Listen.Said = placeSaid(s.Listen.Place)
		return s, nil, true
	}
	if !s.Settings.Single || m.Modified {
		return s, nil, false
	}
	label := strings.ToLower(m.Label)
	shows := l.Stage == ListenAsking || l.Stage == ListenAnswered
	var effects []Effect
	switch n := choiceAt(l, label); {
	case !shows:
		return s, nil, false
	case n >= 0:
		s = s.choosing(0, n)
		s.Listen.Said = chosenSaid(s.Listen)
	case label == "a", label == "b" && len(l.Trial.Sounds) > 1:
		s, effects = playSound(s, int(label[0]-'a'))
	case label == "s" && l.Stage == ListenAnswered:
		s, effects = slowly(s)
	case label == "n" && l.Stage == ListenAnswered:
		s, effects = nextQuestion(s)
	case label == "p" && l.Stage == ListenAnswered:
		s, effects = playItYourself(s)
	default:
		return s, nil, false
	}
	return s, effects, true
}

// spaced is the space key: it begins a session, and plays and stops.
func spaced(s State) (State, []Effect) {
	switch l := s.Listen; {
	case l.Stage == ListenReady || l.Stage == ListenEnded:
		return startListening(s, Acted{Arg: l.Summary.Task})
	case s.Phase != Idle:
		return stopListening(s)
	}
	return playSound(s, s.Listen.heard)
}

// entered is the enter key: what comes next.
func entered(s State) (State, []Effect) {
	switch l := s.Listen; l.Stage {
	case ListenAnswered:
		return nextQuestion(s)
	case ListenAsking:
		if _, taps := l.ask(ear.Taps); taps {
			return startTaps(s)
		}
		return answered(s)
	}
	return startListening(s, Acted{Arg: s.Listen.Summary.Task})
}

// slowly turns slow playing on or off, and lets it be heard.
func slowly(s State) (State, []Effect) {
	l := &s.Listen
	if l.Stage != ListenAnswered || len(l.Result.Slow) == 0 {
		return s, nil
	}
	s, halt := silenced(s)
	s.Listen.Slow = !s.Listen.Slow
	s, effects := playSound(s, s.Listen.heard)
	return s, append(halt, effects...)
}

// tapping is a press while the player taps an answer: Escape stops, Space stops
// unless it is assigned, and everything that plays the part is a hit.
func tapping(s State, m Pressed) (State, []Effect) {
	if !m.Down {
		return lift(s, m)
	}
	voice, plays := s.tapVoice(m.Press)
	switch {
	case m.Source == Keyboard && m.Code == "Escape", m.Code == "Space" && !plays && !m.Repeat && !m.Typing:
		s, effects := stopListening(s)
		return s, append(effects, Used{})
	case m.Modified || !plays:
		return s, []Effect{Same{}}
	case m.Repeat:
		return s, []Effect{Same{}, Used{}}
	}
	return tapped(s, m, voice)
}

// tapVoice is the voice that a press taps, and whether it taps at all: with one
// voice asked for any key of the part does.
func (s State) tapVoice(p Press) (passage.Voice, bool) {
	ask, _ := s.Listen.ask(ear.Taps)
	voice := passage.NoVoice
	if len(ask.Voices) == 1 {
		voice = ask.Voices[0]
	}
	if p.Source != Keyboard {
		return voice, p.Area != ""
	}
	_, assigned := s.Settings.handWith(p.Code)
	return voice, assigned || isLetter(p)
}

// choiceAt is the choice of a key, see [choiceKey]; -1 for none.
func choiceAt(l Listen, key string) int {
	if l.Stage != ListenAsking || len(l.Chosen) == 0 || key == "" {
		return -1
	}
	ask := chooses(l.Trial)[0]
	for n := range ask.Choices {
		if choiceKey(ask, n) == key {
			return n
		}
	}
	return -1
}

// placeSaid and chosenSaid are told when a key has chosen.
func placeSaid(p passage.Place) string {
	return "Bar " + strconv.Itoa(p.Bar) + ", beat " + strconv.Itoa(p.Beat) + "."
}

func chosenSaid(l Listen) string { return choiceSaid(chooses(l.Trial)[0], l.Chosen[0]) }
