package app

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"stampmill/app/delay"
	"stampmill/exercises/passage"
)

// acts is everything that a control can do, by its data-act. Keys use the same
// names, see [keyActs].
var acts map[string]func(State, Acted) (State, []Effect)

func init() { // a table of functions that look into it
	acts = map[string]func(State, Acted) (State, []Effect){
		"go":     goOn,
		"start":  func(s State, _ Acted) (State, []Effect) { return startTake(s) },
		"stop":   stopped,
		"hear":   hear,
		"along":  along,
		"again":  func(s State, _ Acted) (State, []Effect) { return startTake(s) },
		"slower": slowDown,
		"faster": atTempo,
		"loop":   loopBars,
		"more":   func(s State, _ Acted) (State, []Effect) { s.More = !s.More; return s, nil },
		"whole-go": func(s State, _ Acted) (State, []Effect) {
			s, _ = loopTo(s, Range{})
			return startTake(s)
		},
		"loop-set": func(s State, m Acted) (State, []Effect) {
			loop, _ := rangeNamed(m.Arg)
			return loopTo(s, loop)
		},
		"whole":      func(s State, _ Acted) (State, []Effect) { return loopTo(s, Range{}) },
		"bar":        pressBar,
		"next":       nextStep,
		"step":       chooseStep,
		"climb":      chooseClimb,
		"part":       choosePart,
		"mute":       turnVoice,
		"tempo":      typeTempo,
		"tempo-up":   func(s State, _ Acted) (State, []Effect) { return retempo(s, s.Tempo+1) },
		"tempo-down": func(s State, _ Acted) (State, []Effect) { return retempo(s, s.Tempo-1) },
		"tap":        func(s State, m Acted) (State, []Effect) { return tapTempo(s, m.Now) },
		"countin":    choose(maxCountIn, func(x *Settings, n int) { x.CountIn = n }),
		"passes":     choose(maxPasses, func(x *Settings, n int) { x.Passes = max(n, 1) }),
		"click": func(s State, m Acted) (State, []Effect) {
			if _, ok := clickNamed(m.Value); !ok {
				return s, nil
			}
			return restarted(with(s, func(x *Settings) { x.Click = m.Value }))
		},
		"save":       save,
		"dismiss":    func(s State, _ Acted) (State, []Effect) { s.Notice = Notice{}; return s, nil },
		"setup":      func(s State, _ Acted) (State, []Effect) { return s, []Effect{Go{"/setup/"}} },
		"measure-go": func(s State, _ Acted) (State, []Effect) { s.Target = "measure"; return s, []Effect{Go{"/setup/"}} },

		"measure":       measure,
		"byhand":        byHand,
		"delay":         typeDelay,
		"assign":        assign,
		"assigned":      func(s State, _ Acted) (State, []Effect) { s.Setup.Assigning = false; return s, nil },
		"keys-as-start": startKeysAgain,
		"areas":         areas,
		"level":         level,
		"master":        choose(100, func(x *Settings, n int) { x.Master = n }, Balanced),
		"theme":         theme,
		"single":        func(s State, _ Acted) (State, []Effect) { return with(s, func(x *Settings) { x.Single = !x.Single }) },
		"backup":        func(s State, _ Acted) (State, []Effect) { return s, []Effect{Backup{"stampmill-backup.json"}} },
		"delete": func(s State, _ Acted) (State, []Effect) {
			s.Setup.Deleting = true
			return s, []Effect{Focus{"delete-no"}}
		},
		"delete-no": func(s State, _ Acted) (State, []Effect) {
			s.Setup.Deleting = false
			return s, []Effect{Focus{"delete"}}
		},
		"delete-yes": deleteAll,
	}
}

// goOn is the one button that starts and stops.
func goOn(s State, m Acted) (State, []Effect) {
	if s.Phase != Idle {
		return stopped(s, m)
	}
	return startTake(s)
}

func startTake(s State) (State, []Effect) {
	if s.Page != "/practise/" {
		return along(s, Acted{})
	}
	return start(s, ForTake)
}

// hear plays the step, and stops when it plays already.
func hear(s State, m Acted) (State, []Effect) {
	if s.Phase != Idle && s.Aim == ForHearing {
		return stopped(s, m)
	}
	return start(s, ForHearing)
}

// along is the first take: the page of takes opens, and the count-in begins.
func along(s State, _ Acted) (State, []Effect) {
	s, effects := start(s, ForTake)
	s.Target = "go"
	return s, append(effects, Go{"/practise/"})
}

// slowDown lowers the tempo; after a take it plays the next one there.
func slowDown(s State, _ Acted) (State, []Effect) {
	s, effects := retempo(s, slower(s.Tempo))
	if s.Verdict == nil {
		return s, effects
	}
	return startTake(s)
}

// atTempo sets the tempo that a suggestion names and starts a take there.
func atTempo(s State, m Acted) (State, []Effect) {
	bpm, err := strconv.ParseFloat(m.Arg, 64)
	if err != nil {
		return s, nil
	}
	s, _ = retempo(s, bounded(bpm))
	return startTake(s)
}

// loopBars loops the bars that are named "3" or "3-4"; without a name, those
// of the suggestion or the weakest bar. It starts a take in them.
func loopBars(s State, m Acted) (State, []Effect) {
	loop, ok := rangeNamed(m.Arg)
	if !ok {
		loop = s.weakest()
	}
	if loop == (Range{}) {
		return s, nil
	}
	judged := s.Verdict != nil
	s, effects := loopTo(s, loop)
	if !judged {
		return s, effects
	}
	return startTake(s)
}

func rangeNamed(arg string) (Range, bool) {
	a, b, two := strings.Cut(arg, "-")
	if !two {
		b = a
	}
	first, err1 := strconv.Atoi(a)
	last, err2 := strconv.Atoi(b)
	return Range{first, last}, err1 == nil && err2 == nil && first >= 1 && last >= first
}

func pressBar(s State, m Acted) (State, []Effect) {
	bar, err := strconv.Atoi(m.Arg)
	if err != nil || s.Phase == Playing {
		return s, nil
	}
	if s.phone() && s.Bar != bar {
		s.Bar = min(max(bar, 1), len(s.written().Bars)) // a phone shows one bar: the first press looks at it
		return s, nil
	}
	if s.Verdict != nil && s.perWindow() < len(s.written().Bars) && s.Bar != bar {
		s.Bar = bar
		return s, nil
	}
	return loopTo(s, loopBar(s.Loop, bar, len(s.written().Bars)))
}

func nextStep(s State, _ Acted) (State, []Effect) {
	switch {
	case s.Step+1 < len(s.entry().Climb.Steps):
		s, effects := toStep(s, s.Climb, s.Step+1)
		return s, append(effects, Focus{"go"})
	case s.Climb+1 < len(s.Library):
		s, effects := toStep(s, s.Climb+1, 0)
		return s, append(effects, Focus{"go"})
	}
	return s, nil
}

func chooseStep(s State, m Acted) (State, []Effect) {
	n, err := strconv.Atoi(m.Arg)
	if err != nil {
		return s, nil
	}
	return toStep(s, s.Climb, n-1)
}

func chooseClimb(s State, m Acted) (State, []Effect) {
	for i, e := range s.Library {
		if e.Name == m.Value {
			return toStep(s, i, 0)
		}
	}
	return s, nil
}

func toStep(s State, climb, step int) (State, []Effect) {
	var effects []Effect
	if s.Phase != Idle {
		s.Phase, s.Pass = Idle, -1
		effects = append(effects, Halt{})
	}
	s = s.on(climb, step)
	effects = append(effects, keep(s), Clear{}, balance(s))
	if p, err := plan(s, ForTake); err == nil {
		effects = append(effects, Prepare{p})
	}
	return s, effects
}

func choosePart(s State, m Acted) (State, []Effect) {
	part := partNamed(m.Value)
	if !slices.Contains(parts(s.written()), part) {
		return s, nil
	}
	s.Turned, s.Verdict = nil, nil
	s, effects := with(s, func(x *Settings) { x.Part = part.String() })
	return s, append(effects, balance(s))
}

func turnVoice(s State, m Acted) (State, []Effect) {
	v, ok := passage.VoiceNamed(m.Arg)
	if !ok || s.Phase == Playing {
		return s, nil
	}
	turned := slices.DeleteFunc(slices.Clone(s.Turned), func(w passage.Voice) bool { return w == v })
	if len(turned) == len(s.Turned) {
		turned = append(turned, v)
	}
	s.Turned = turned
	return s, []Effect{balance(s)}
}

func typeTempo(s State, m Acted) (State, []Effect) {
	bpm, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(m.Value), ",", ".", 1), 64)
	if err != nil || !(bpm >= 1) {
		return s, nil // the field is drawn again with the tempo that holds
	}
	return retempo(s, bounded(bpm))
}

// Balanced asks [choose] to set the levels anew as well.
const Balanced = true

// choose makes an act that sets a number from 0 to most in the settings.
func choose(most int, set func(*Settings, int), balanced ...bool) func(State, Acted) (State, []Effect) {
	return func(s State, m Acted) (State, []Effect) {
		n, err := strconv.Atoi(m.Value)
		if err != nil || n < 0 || n > most {
			return s, nil
		}
		s, effects := with(s, func(x *Settings) { set(x, n) })
		if len(balanced) > 0 {
			effects = append(effects, balance(s))
		}
		return s, effects
	}
}

// restarted lets what is heard begin again after a change.
func restarted(s State, effects []Effect) (State, []Effect) {
	s, more := again(s)
	return s, append(effects, more...)
}

func save(s State, _ Acted) (State, []Effect) {
	if s.Verdict == nil {
		return s, nil
	}
	return s, []Effect{Offer{fileName(s.Verdict.Take.Take), s.Verdict.JSON}}
}

// measure starts the click of the delay measurement, or stops it.
func measure(s State, m Acted) (State, []Effect) {
	if s.Setup.Measuring {
		return stopped(s, m)
	}
	s.Setup = Setup{Measuring: true}
	return start(s, ForDelay)
}

// measured takes one tap of the measurement. The first tap says which input is
// measured; the last one ends it.
func measured(s State, m Pressed) (State, []Effect) {
	used := []Effect{Used{}}
	if !m.Placed.OK || !m.Down {
		return s, []Effect{Same{}}
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
	s.Setup.Measuring, s.Setup.Tapped, s.Phase = false, true, Idle
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
		return s, []Effect{Focus{"delay-" + "keyboard"}}
	}
	return s, nil
}

// typeDelay sets the delay of the input named by the field.
func typeDelay(s State, m Acted) (State, []Effect) {
	if m.Arg != "keyboard" && m.Arg != "touch" {
		return s, nil
	}
	if strings.TrimSpace(m.Value) == "" {
		return with(s, func(x *Settings) { delete(x.Delays, m.Arg) })
	}
	ms, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(m.Value), ",", ".", 1), 64)
	if err != nil || math.IsNaN(ms) || math.Abs(ms) > longestDelay {
		s.Setup.Refused = fmt.Sprintf("a delay is a number from %g to %g ms", -longestDelay, longestDelay)
		return s, nil
	}
	s.Setup.Refused, s.Setup.Tapped, s.Setup.Offsets = "", false, nil
	return with(s, func(x *Settings) { x.Delays[m.Arg] = Delay{MS: tenth(ms)} })
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
	s, effects := with(s, func(x *Settings) { x.Levels[h.String()] = n })
	return s, append(effects, balance(s))
}

func theme(s State, m Acted) (State, []Effect) {
	if !slices.Contains([]string{"", "dark", "light"}, m.Arg) {
		return s, nil
	}
	s, effects := with(s, func(x *Settings) { x.Theme = m.Arg })
	return s, append(effects, Look{m.Arg})
}

// deleteAll forgets everything on this device.
func deleteAll(s State, _ Acted) (State, []Effect) {
	fresh := first(s.Library)
	fresh.Page, fresh.Width, fresh.Calm, fresh.Offline = s.Page, s.Width, s.Calm, s.Offline
	fresh.Notice = Notice{Fact: "Everything was deleted.", Mend: "This page is as on the first visit."}
	return fresh, []Effect{Halt{}, Forget{""}, Look{""}, balance(fresh), Focus{"title"}}
}
