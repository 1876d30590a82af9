package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"stampmill/app/delay"
	"stampmill/app/transport"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// Update is what happens to the state when something happened. It is pure: it
// changes nothing that the old state holds, and what is to be done comes back
// as effects.
func Update(s State, m Msg) (State, []Effect) {
	switch m := m.(type) {
	case Acted:
		if act, ok := acts[m.Act]; ok {
			return act(s, m)
		}
	case Pressed:
		return pressed(s, m)
	case Went:
		return went(s, m.Path)
	case Made:
		s.Making = m.Progress
		if s.Phase != Starting {
			return s, []Effect{Same{}}
		}
	case Began:
		return began(s, m.Rate)
	case Reached:
		return reached(s, m)
	case Ended:
		return ended(s, m.Now)
	case Halted:
		return halted(s, m)
	case Said:
		return said(s, m)
	case Full:
		s.Lesser = say(s.Lesser, Notice{Fact: "This device has no room for the settings.", Mend: "They hold until the page is closed."})
	case Read:
		return read(s, m.News)
	case Sought:
		return sought(s, m)
	case Posed:
		return posedNow(s, m)
	case Left:
		return leftSight(s)
	case TakeKept:
		return found(s, m)
	case TakeLost:
		return lost(s, m)
	case Transferred:
		return transferred(s, m)
	case Restored:
		return restored(s, m)
	case Unsaved:
		return unsaved(s, m)
	case Deleted:
		return deleted(s, m)
	case Sized:
		phone := s.phone()
		s.Width, s.Height = m.Width, m.Height
		if s.writing() && s.phone() != phone { // the page has another text field then
			return s, []Effect{Fill{}}
		}
	case Wired:
		s.Offline = !m.Online
	case Unplayable:
		s.Phase, s.Pass, s.Setup.Measuring = Idle, -1, false
		s.Listen.Sounding, s.Listen.Taking = -1, false
		s.Notice = Notice{Fact: "This step cannot be played.", Mend: m.Reason}
		return s, []Effect{Halt{}} // what was heard before another tempo goes on by itself
	case Typed:
		return typedText(s, m)
	case Caretted:
		return caretted(s, m)
	case Pointed:
		return pointed(s, m)
	case Shelved:
		return shelved(s, m)
	case Taken:
		return taken(s, m)
	case Arrived:
		return arrived(s, m)
	case Explained:
		return explained(s, m)
	case Adopted:
		return adopted(s, m)
	case Copied:
		return copied(s, m)
	case Due:
		return due(s, m)
	case Unkept:
		return unkept(s, m)
	case Newer:
		s.Lesser = say(s.Lesser, Notice{Fact: "A newer version is here.", Mend: "It comes with the next load."})
	}
	return s, nil
}

func went(s State, path string) (State, []Effect) {
	if path == s.Page {
		return s, nil
	}
	var effects []Effect
	if s.Page != "" {
		effects = []Effect{Focus{cmp.Or(s.Target, "title")}}
	}
	left := s.Page
	s.Page, s.Target = path, ""
	s.Setup, s.More = Setup{}, false
	s.Progress.Page, s.Progress.Open = 0, ""
	if left != "" && path != writePath { // what is said of a file or link that came in is read there
		s.Notice = Notice{}
	}
	switch left {
	case writePath:
		s = leftWrite(s)
	case listenPath:
		s = leftListen(s)
	}
	s = regraded(s)
	if path == writePath {
		var more []Effect
		s, more = wentToWrite(s)
		effects = append(effects, more...)
	}
	if path == listenPath {
		var more []Effect
		s, more = wentToListen(s)
		effects = append(effects, more...)
	}
	if s.Phase == Idle || s.Aim == ForTake && path == "/practise/" {
		return s, effects // a take that "Tap along" began goes on
	}
	s.Phase, s.Pass = Idle, -1
	return s, append(effects, Halt{})
}

// keep stores the settings.
func keep(s State) Effect { return Keep{settingsName, s.Settings.write()} }

// with changes the settings by f and stores them.
func with(s State, f func(*Settings)) (State, []Effect) {
	s.Settings = s.Settings.clone()
	f(&s.Settings)
	return s, []Effect{keep(s)}
}

// balance is how loud each voice is now.
func balance(s State) Effect {
	b := Balance{Silent: s.silent(), Levels: map[passage.Voice]float32{}, Master: masterGain(s.Settings.Master)}
	if s.Aim == ForDelay {
		b.Silent = nil
	}
	for _, v := range passage.Voices() {
		b.Levels[v] = gain(s.Settings.Levels[handOf(v).String()], startLevel)
	}
	return b
}

// dbStep is the change of one step of a slider, in dB: our choice, 100 steps
// make 40 dB. The lowest step is silence.
const dbStep = 0.4

// plan is what is played for an aim.
func plan(s State, aim Aim) (synth.Plan, error) {
	if aim == ForDelay {
		return synth.Plan{Passage: clickPassage(), Click: synth.ClickBeats}, nil
	}
	first, last := s.bars()
	if s.writing() {
		first, last = s.heardBars()
		p, err := s.heardOnWrite().Section(first, last) // at its own tempo, exactly
		return synth.Plan{Passage: p, Click: synth.ClickNone, View: s.Settings.view()}, err
	}
	whole, err := s.written().AtTempo(meter.Int(int64(s.Tempo)))
	if err != nil {
		return synth.Plan{}, err
	}
	p, err := whole.Section(first, last)
	if err != nil {
		return synth.Plan{}, err
	}
	plan := synth.Plan{Passage: p, CountIn: s.Settings.CountIn, Passes: s.Settings.Passes, View: s.Settings.view()}
	if plan.Makeup, err = synth.Makeup(whole); err != nil { // a bar alone is as loud as among the others
		return synth.Plan{}, err
	}
	plan.Click, plan.Places = s.Settings.click()
	plan.Silence = s.Settings.silence()
	if aim == ForHearing {
		plan.CountIn, plan.Passes, plan.Silence = 0, 0, synth.Silence{}
	}
	return plan, nil
}

// clickPassage is a bar of nothing at the tempo of the delay measurement.
func clickPassage() passage.Passage {
	tempo := meter.Tempo{BPM: meter.Int(delay.BPM)}
	return passage.Passage{
		Bars:   []passage.Bar{{Metre: meter.CommonTime, Tempo: tempo}},
		Lines:  []passage.Line{{Voice: passage.Click}},
		Tuning: passage.DefaultTuning,
	}
}

// start begins to play for an aim.
func start(s State, aim Aim) (State, []Effect) {
	p, err := plan(s, aim)
	if err != nil {
		s.Notice = Notice{Fact: "These bars cannot be played.", Mend: err.Error()}
		return s, nil
	}
	s.Notice, s.Lesser = Notice{}, nil
	s.Phase, s.Aim, s.Pass, s.More = Starting, aim, -1, false
	effects := []Effect{Clear{}}
	if aim == ForTake {
		if s, err = armed(s); err != nil {
			s.Phase = Idle
			s.Notice = Notice{Fact: "There is nothing to play here.", Mend: err.Error()}
			return s, nil
		}
		s.Bar = s.Take.Expected.Bars[0]
		s.Verdict = nil
	}
	if !s.Settings.Heard {
		var store []Effect
		s, store = with(s, func(x *Settings) { x.Heard = true })
		effects = append(effects, store...)
	}
	effects = append(effects, balance(s), Play{p})
	if aim == ForTake {
		effects = append(effects, Focus{"go"})
	}
	return s, effects
}

// armed makes the take that is about to be recorded.
func armed(s State) (State, error) {
	part := s.part()
	t := grade.Take{
		Exercise: s.entry().Name, Step: s.Step + 1, Tempo: float64(s.Tempo), Passes: s.Settings.Passes,
		Part: part.voices(s.written()),
	}
	if s.Loop != (Range{}) {
		t.Bars = [2]int{s.Loop.First, s.Loop.Last}
	}
	take, err := expecting(s.written(), t, part.OneKey)
	if err != nil {
		return s, err
	}
	s.Take = take
	return s, nil
}

// expecting is a take of a passage with what is expected of it.
func expecting(p passage.Passage, t grade.Take, oneKey bool) (Take, error) {
	expected, err := grade.Expect(p, t, oneKey)
	if err != nil {
		return Take{}, err
	}
	take := Take{Take: t, Expected: expected}
	starts := p.Starts()
	for _, bar := range expected.Bars {
		take.Starts = append(take.Starts, starts[bar-1].Float())
	}
	last := expected.Bars[len(expected.Bars)-1]
	take.Starts = append(take.Starts, starts[last].Float())
	return take, nil
}

func began(s State, rate int) (State, []Effect) {
	if s.Phase != Starting {
		return s, []Effect{Same{}}
	}
	s.Phase = Hearing
	if s.Aim == ForTake || s.Aim == ForTapping {
		s.Phase = Playing
	}
	if s.Aim.forListening() {
		s = soundBegan(s)
	}
	if rate > 0 && rate != s.Settings.Rate {
		return with(s, func(x *Settings) { x.Rate = rate })
	}
	return s, nil
}

func reached(s State, m Reached) (State, []Effect) {
	if s.Aim == ForTapping && s.Phase == Playing && s.Pass != m.Pass {
		s.Pass = m.Pass
		return s, nil
	}
	if s.Phase != Playing && s.Phase != Hearing || s.Aim == ForDelay || s.Aim.forListening() {
		return s, []Effect{Same{}}
	}
	was, _ := s.window()
	pass, silent := s.Pass, s.silentNow()
	s.Pass, s.Bar = m.Pass, max(m.Bar, 1)
	now, _ := s.window()
	switch {
	case pass != m.Pass:
		return s, append([]Effect{Clear{}}, s.Take.recent(m.Pass+1)...)
	case was != now:
		return s, []Effect{Clear{}}
	case silent != s.silentNow():
		return s, nil
	}
	return s, []Effect{Same{}}
}

func ended(s State, now time.Time) (State, []Effect) {
	if s.Phase == Idle {
		return s, nil
	}
	aim := s.Aim
	if aim.forListening() {
		return soundEnded(s)
	}
	s.Phase, s.Pass = Idle, -1
	if aim != ForTake {
		return s, []Effect{Focus{"go"}}
	}
	return judged(s, now)
}

// halted is the end of what played before its time.
func halted(s State, m Halted) (State, []Effect) {
	if s.Phase == Idle {
		return s, []Effect{Same{}}
	}
	if s.Aim.forListening() {
		return soundHalted(s, m.Why)
	}
	focus := Focus{"go"}
	if s.Setup.Measuring {
		focus = Focus{"measure"}
	}
	ends := soundStopped
	if s.Phase == Playing {
		ends = takeDropped
	}
	s.Notice = halts(m.Why, ends)
	s.Phase, s.Pass, s.Setup.Measuring = Idle, -1, false
	var effects []Effect
	if m.Why == transport.OutputChanged {
		s, effects = stale(s)
	}
	return s, append(effects, Clear{}, focus)
}

// stale marks every measured delay: it belongs to another output.
func stale(s State) (State, []Effect) {
	return with(s, func(x *Settings) {
		for input, d := range x.Delays {
			d.Stale = true
			x.Delays[input] = d
		}
	})
}

// stopped is the player's stop. A take with hits is judged as far as it went.
func stopped(s State, m Acted) (State, []Effect) {
	switch {
	case s.Phase == Idle:
		return s, nil
	case s.Aim.forListening():
		return stopListening(s)
	case s.Phase == Playing && len(s.Take.Taps) > 0 && m.Placed.OK && m.Placed.Seconds > 0:
		s.Take.Stopped = grade.Some(m.Placed.Seconds)
		s.Phase, s.Pass = Idle, -1
		s, effects := judged(s, m.Wall)
		return s, append([]Effect{Halt{}}, effects...)
	}
	effects := []Effect{Halt{}, Clear{}, balance(s)}
	switch {
	case s.Setup.Measuring:
		s.Setup.Refused = fmt.Sprintf("%d of %d taps", len(s.Setup.Offsets), delay.Taps)
		effects = append(effects, Focus{"measure"})
	case s.taking():
		effects = append(effects, Focus{"go"})
	}
	s.Phase, s.Pass, s.Setup.Measuring = Idle, -1, false
	return s, effects
}

// said is something about the sound while it plays.
func said(s State, m Said) (State, []Effect) {
	switch m.What {
	case transport.LeftOut:
		s.Take.LeftOut = m.Late
	case transport.Stuttered:
		s.Take.Unsure = true
	case transport.RoughClock:
		s.Take.Rough = true
	case transport.OutputsListed:
		s.Lesser = say(s.Lesser, Notice{Fact: "A sound device was plugged in or out.", Mend: "If the sound comes from another one now, measure the delay again."})
	}
	if s.Phase == Playing {
		return s, []Effect{Same{}}
	}
	return s, nil
}

// retempo changes the tempo; what is being heard follows at its next pass, what
// is about to be heard begins anew.
func retempo(s State, bpm int) (State, []Effect) {
	s.Tempo, s.Chosen = min(max(bpm, meter.MinBPM), meter.MaxBPM), true
	s.Lesser = slices.DeleteFunc(slices.Clone(s.Lesser), func(n Notice) bool { return n == tempoBounds })
	if s.Phase == Hearing && s.Aim == ForHearing {
		return s, []Effect{Retempo{meter.Int(int64(s.Tempo))}}
	}
	return again(s)
}

// tapTempo reckons the tempo from the last presses: the mean of the gaps, all
// of them under tapGap ms. Our choices.
const (
	tapGap  = 3000.0 // MinBPM is 20 a minute
	tapLast = 6
)

func tapTempo(s State, now float64) (State, []Effect) {
	taps := slices.Clone(s.Presses)
	if n := len(taps); n > 0 && (now-taps[n-1] > tapGap || now <= taps[n-1]) {
		taps = nil
	}
	taps = append(taps, now)
	taps = taps[max(0, len(taps)-tapLast):]
	s.Presses = taps
	if len(taps) < 2 {
		return s, nil
	}
	gap := (taps[len(taps)-1] - taps[0]) / float64(len(taps)-1)
	return retempo(s, bounded(60_000/gap))
}

// gain returns the linear gain of a slider that stands at level, where plain
// is as mixed.
func gain(level, plain int) float32 {
	if level <= 0 {
		return 0
	}
	return float32(math.Pow(10, dbStep*float64(level-plain)/20))
}

// masterGain maps the master slider; the start is as mixed.
func masterGain(level int) float32 { return gain(level, startMaster) }

func number(n float64) string { return fmt.Sprintf("%.0f", n) }
