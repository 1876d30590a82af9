package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// acts is everything that a control can do, by its data-act. Keys use the same
// names, see [keyActs].
var acts map[string]func(State, Acted) (State, []Effect)

func init() { // a table of functions that look into it
	acts = map[string]func(State, Acted) (State, []Effect){
		"go":       goOn,
		"start":    func(s State, _ Acted) (State, []Effect) { return startTake(s) },
		"stop":     stopped,
		"hear":     hear,
		"along":    along,
		"again":    func(s State, _ Acted) (State, []Effect) { return startTake(s) },
		"slower":   slowDown,
		"faster":   atTempo,
		"loop":     loopBars,
		"more":     func(s State, _ Acted) (State, []Effect) { s.More = !s.More; return s, nil },
		"whole-go": wholeStep,
		"loop-set": func(s State, m Acted) (State, []Effect) {
			loop, _ := rangeNamed(m.Arg)
			return loopTo(s, loop)
		},
		"whole":    func(s State, _ Acted) (State, []Effect) { return loopTo(s, Range{}) },
		"bar":      pressBar,
		"next":     nextStep,
		"step":     chooseStep,
		"climb":    chooseClimb,
		"part":     choosePart,
		"alone":    voiceAlone,
		"together": together,
		"marks":    typeMark,
		"marks-usual": func(s State, _ Acted) (State, []Effect) {
			return withMarks(s, func(x *Settings) { x.setPassing(grade.DefaultPassing) })
		},
		"mute":       turnVoice,
		"tempo":      typeTempo,
		"tempo-up":   func(s State, _ Acted) (State, []Effect) { return retempo(s, s.Tempo+1) },
		"tempo-down": func(s State, _ Acted) (State, []Effect) { return retempo(s, s.Tempo-1) },
		"tap":        func(s State, m Acted) (State, []Effect) { return tapTempo(s, m.Now) },
		"countin":    choose(maxCountIn, func(x *Settings, n int) { x.CountIn = n }),
		"passes":     choose(maxPasses, func(x *Settings, n int) { x.Passes = max(n, 1) }),
		"click": func(s State, m Acted) (State, []Effect) {
			if _, _, err := synth.ParseClick(m.Value); err != nil {
				return s, nil
			}
			return restarted(with(s, func(x *Settings) { x.Click = m.Value }))
		},
		"silence":    chooseSilence,
		"follow":     follow,
		"cells-of":   cellsOf,
		"cell":       turnCell,
		"click-beat": turnBeat,
		"click-own":  useOwnClick,
		"save":       save,
		"dismiss":    func(s State, _ Acted) (State, []Effect) { s.Notice = Notice{}; return s, []Effect{Focus{"next"}} },
		"setup":      func(s State, _ Acted) (State, []Effect) { return s, []Effect{Go{"/setup/"}} },
		"measure-go": func(s State, _ Acted) (State, []Effect) { s.Target = "measure"; return s, []Effect{Go{"/setup/"}} },

		"measure":       measure,
		"byhand":        byHand,
		"delay":         typeDelay,
		"assign":        assign,
		"keys-as-start": startKeysAgain,
		"areas":         areas,
		"level":         balanced(level),
		"master":        balanced(choose(100, func(x *Settings, n int) { x.Master = n })),
		"view":          viewed,
		"theme":         theme,
		"single":        func(s State, _ Acted) (State, []Effect) { return with(s, func(x *Settings) { x.Single = !x.Single }) },
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

// showsVerdict reports whether the verdict of a take is what the page shows, and
// what is done next starts another take.
func (s State) showsVerdict() bool { return s.Verdict != nil && s.Phase == Idle }

// slowDown lowers the tempo; after a take it plays the next one there.
func slowDown(s State, _ Acted) (State, []Effect) {
	s, effects := retempo(s, slower(s.Tempo))
	if !s.showsVerdict() {
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
	judged := s.showsVerdict()
	s, effects := loopTo(s, loop)
	if !judged {
		return s, effects
	}
	return startTake(s)
}

// wholeStep ends the loop; after a take it plays the next one of all bars.
func wholeStep(s State, _ Acted) (State, []Effect) {
	judged := s.showsVerdict()
	s, effects := loopTo(s, Range{})
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
	if id, ok := own(m.Value); ok {
		return s, []Effect{Fetch{ID: id, Practise: true}}
	}
	return s, nil
}

// climbOptions are the climbs to choose: those of the library, and the
// player's own behind them.
func climbOptions(s State) []option {
	var all []option
	for _, e := range s.builtIn() {
		all = append(all, option{e.Name, e.Climb.Title})
	}
	listed := false
	for _, e := range s.readable() {
		all = append(all, option{ownName(e.ID), cmp.Or(e.Title, "Without a title")})
		listed = listed || ownName(e.ID) == s.entry().Name
	}
	if _, mine := own(s.entry().Name); mine && !listed {
		all = append(all, option{s.entry().Name, s.entry().Climb.Title})
	}
	return all
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
	if partIn(s.written(), part) != part {
		return s, nil
	}
	s.Together = Part{}
	return toPart(s, part)
}

func toPart(s State, part Part) (State, []Effect) {
	s.Turned, s.Verdict, s.Chosen = nil, nil, false
	s, effects := with(s, func(x *Settings) { x.Part = part.String() })
	s, more := repaced(s)
	return s, append(append(effects, more...), balance(s))
}

// voiceAlone starts a take of one voice of the part, and keeps in mind which
// part it was.
func voiceAlone(s State, m Acted) (State, []Effect) {
	part := Part{m.Arg, false}
	if partIn(s.written(), part) != part || part == s.part() {
		return s, nil
	}
	whole, tempo := s.part(), s.Tempo
	s, effects := toPart(s, part)
	s.Together, s.Tempo = whole, min(s.Tempo, tempo) // no faster than what was hard together
	s, more := startTake(s)
	return s, append(effects, more...)
}

// together starts a take of the part that a voice was taken out of.
func together(s State, _ Acted) (State, []Effect) {
	if !s.alone() {
		return s, nil
	}
	s, effects := toPart(s, s.Together)
	s.Together = Part{}
	s, more := startTake(s)
	return s, append(effects, more...)
}

// alone reports whether one voice of a part is played by itself.
func (s State) alone() bool {
	return s.Together != Part{} && partIn(s.written(), s.Together) == s.Together
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
	bpm := typed(m.Value)
	var effects []Effect
	if bpm >= 1 { // else the field is drawn again with the tempo that holds
		s, effects = retempo(s, bounded(bpm))
	}
	if !(bpm >= meter.MinBPM && bpm <= meter.MaxBPM) {
		s.Lesser = say(s.Lesser, tempoBounds)
	}
	return s, effects
}

// typed reads the number in a field, with a point or a comma; NaN for none.
func typed(value string) float64 {
	x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(value), ",", ".", 1), 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

var tempoBounds = Notice{Fact: fmt.Sprintf("Tempo goes from %d to %d.", meter.MinBPM, meter.MaxBPM)}

// choose makes an act that sets a number from 0 to most in the settings.
func choose(most int, set func(*Settings, int)) func(State, Acted) (State, []Effect) {
	return func(s State, m Acted) (State, []Effect) {
		n, err := strconv.Atoi(m.Value)
		if err != nil || n < 0 || n > most {
			return s, nil
		}
		return with(s, func(x *Settings) { set(x, n) })
	}
}

// balanced lets an act be heard at once.
func balanced(act func(State, Acted) (State, []Effect)) func(State, Acted) (State, []Effect) {
	return func(s State, m Acted) (State, []Effect) {
		s, effects := act(s, m)
		return s, append(effects, balance(s))
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
