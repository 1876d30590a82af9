package app

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"stampmill/app/delay"
	"stampmill/synth"
)

// measure starts the click of the delay measurement, or stops it.
func measure(s State, m Acted) (State, []Effect) {
	if s.Setup.Measuring {
		return stopped(s, m)
	}
	s.Setup = Setup{Measuring: true}
	s, effects := start(s, ForDelay)
	return s, append(effects, Focus{"measure"}) // it has another place now
}

// measured takes one tap of the measurement. The first tap says which input is
// measured; the last one ends it.
func measured(s State, m Pressed) (State, []Effect) {
	used := []Effect{Used{}}
	if m.Area != "" {
		used = append(used, Light{m.Area, m.Down})
	}
	if !m.Placed.OK || !m.Down {
		return s, append(used[1:], Same{})
	}
	input := inputName(m.Source)
	if s.Setup.Input == "" {
		s.Setup.Input = input
	}
	if s.Setup.Input != input {
		return s, used
	}
	offset := delay.Offset(m.Placed.Seconds * 1000)
	s.Setup.Offsets = append(slices.Clip(s.Setup.Offsets), offset)
	if len(s.Setup.Offsets) < delay.Taps {
		return s, used
	}
	s.Setup.Measuring, s.Phase = false, Idle
	effects := append(used, Halt{}, Focus{"measure"})
	r, err := delay.Measure(s.Setup.Offsets)
	if err != nil {
		s.Setup.Refused = err.Error()
		return s, effects
	}
	s, store := with(s, func(x *Settings) {
		x.Delays[input] = Delay{MS: tenth(r.Mean), Spread: tenth(r.Spread), N: r.N}
	})
	return s, append(effects, store...)
}

func tenth(x float64) float64 { return math.Round(x*10) / 10 }

func byHand(s State, m Acted) (State, []Effect) {
	s.Setup.ByHand = !s.Setup.ByHand
	if s.Setup.ByHand {
		return s, []Effect{Focus{"delay-keyboard"}}
	}
	return s, nil
}

// typeDelay sets the delay of the input named by the field.
func typeDelay(s State, m Acted) (State, []Effect) {
	if m.Arg != "keyboard" && m.Arg != "touch" {
		return s, nil
	}
	s.Setup.Refused, s.Setup.Offsets = "", nil
	if strings.TrimSpace(m.Value) == "" {
		return with(s, func(x *Settings) { delete(x.Delays, m.Arg) })
	}
	ms := typed(m.Value)
	if !(math.Abs(ms) <= delay.Longest) {
		s.Setup.Refused = fmt.Sprintf("a delay is a number from %d to %d ms", -delay.Longest, delay.Longest)
		return s, nil
	}
	return with(s, func(x *Settings) { x.Delays[m.Arg] = Delay{MS: tenth(ms)} })
}

// A passMark is one of the things it takes to move on.
type passMark struct {
	name, label, unit string
	goes              string // begins what is said of its bounds
	least, most       int
	of                func(*Settings) *int
}

// passMarks is the one table of them.
var passMarks = []passMark{
	{"hits", "Hits, at least", "of 100 strokes", "Hits go", leastPassHits, 100, func(s *Settings) *int { return &s.PassHits }},
	{"extra", "Too many, at most", "for 100 strokes", "Hits too many go", 0, mostPassExtra, func(s *Settings) *int { return &s.PassExtra }},
	{"spread", "Spread, at most", "ms to either side", "The spread goes", leastPassSpread, mostPassSpread, func(s *Settings) *int { return &s.PassSpread }},
}

// typeMark sets what it takes to move on, by the field named in the act.
func typeMark(s State, m Acted) (State, []Effect) {
	for _, p := range passMarks {
		if p.name != m.Arg {
			continue
		}
		x := typed(m.Value)
		if !(x >= float64(p.least) && x <= float64(p.most)) { // the field keeps what was typed, to be mended
			s.Setup.Marked = fmt.Sprintf("%s from %d to %d; %d holds.", p.goes, p.least, p.most, *p.of(&s.Settings))
			return s, nil
		}
		return withMarks(s, func(set *Settings) { *p.of(set) = int(math.Round(x)) })
	}
	return s, nil
}

// withMarks changes what it takes to move on; the last take is judged by it anew.
func withMarks(s State, set func(*Settings)) (State, []Effect) {
	s.Setup.Marked = ""
	s, effects := with(s, set)
	s, more := remarked(s)
	return s, append(effects, more...)
}

// assign lets the next keys become those of a hand, or ends that.
func assign(s State, m Acted) (State, []Effect) {
	h, ok := handNamed(m.Arg)
	if !ok || h == ClickHand {
		return s, nil
	}
	if s.Setup.Assigning && s.Setup.Assign == h {
		s.Setup.Assigning = false
		return s, nil
	}
	s.Setup.Assigning, s.Setup.Assign = true, h
	s.Setup.Said = fmt.Sprintf("Press the keys for %s, then Escape. A key it has is taken off.", strings.ToLower(h.Label()))
	return s, nil
}

// assigning takes a key for the hand that waits for keys.
func assigning(s State, p Press) (State, []Effect) {
	used := []Effect{Used{}}
	switch {
	case !p.Down || p.Repeat || p.Source != Keyboard:
		return s, []Effect{Same{}}
	case p.Code == "Escape" || p.Code == "Tab" || p.Code == "Enter":
		s.Setup.Assigning, s.Setup.Said = false, ""
		if p.Code == "Tab" {
			return s, nil
		}
		return s, used
	case !assignable(p.Code):
		return s, nil
	}
	name := keyName(p.Code, p.Label)
	hand := s.Setup.Assign
	owner, taken := s.Settings.handWith(p.Code)
	key := Key{p.Code, name}
	switch {
	case taken && owner != hand:
		s.Setup.Said = fmt.Sprintf("%s plays the %s already. Take it off there first.", name, strings.ToLower(owner.Label()))
		return s, used
	case !taken && len(s.Settings.Keys[hand.String()]) >= maxKeys:
		s.Setup.Said = fmt.Sprintf("%s has %d keys. Take one off first.", hand.Label(), maxKeys)
		return s, used
	case taken:
		s.Setup.Said = fmt.Sprintf("%s is taken off %s.", name, strings.ToLower(hand.Label()))
	default:
		s.Setup.Said = fmt.Sprintf("%s plays the %s.", name, strings.ToLower(hand.Label()))
	}
	s, store := with(s, func(x *Settings) {
		keys := slices.DeleteFunc(slices.Clone(x.Keys[hand.String()]), func(k Key) bool { return k.Code == key.Code })
		if !taken {
			keys = append(keys, key)
		}
		x.Keys[hand.String()] = keys
	})
	return s, append(used, store...)
}

func startKeysAgain(s State, _ Acted) (State, []Effect) {
	s.Setup.Assigning, s.Setup.Said = false, "All keys are as they were at the start."
	return with(s, func(x *Settings) { x.Keys = startSettings().Keys })
}

func areas(s State, m Acted) (State, []Effect) {
	n, err := strconv.Atoi(m.Arg)
	if err != nil || n != 1 && n != 2 && n != 4 {
		return s, nil
	}
	return with(s, func(x *Settings) { x.Areas = n })
}

func level(s State, m Acted) (State, []Effect) {
	h, ok := handNamed(m.Arg)
	n, err := strconv.Atoi(m.Value)
	if !ok || err != nil || !within(n, 0, 100) {
		return s, nil
	}
	return with(s, func(x *Settings) { x.Levels[h.String()] = n })
}

func theme(s State, m Acted) (State, []Effect) {
	if !slices.Contains([]string{"", "dark", "light"}, m.Arg) {
		return s, nil
	}
	s, effects := with(s, func(x *Settings) { x.Theme = m.Arg })
	return s, append(effects, Look{m.Arg})
}

// viewed sets from where the drums are heard, from the next start on.
func viewed(s State, m Acted) (State, []Effect) {
	if _, err := synth.ParseView(m.Arg); err != nil {
		return s, nil
	}
	return with(s, func(x *Settings) { x.View = m.Arg })
}
