package app

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"stampmill/app/listen"
	"stampmill/app/logbook"
	"stampmill/app/transport"
	"stampmill/exercises/ear"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// Messages of a listening session.
type (
	// Posed is a question that was made, or why there is none.
	Posed struct {
		Turn     int
		Question posed
		Why      error // nothing fits: of the source that was tried first
	}
	// Left is the page that went out of sight.
	Left struct{}
)

func (Posed) msg() {}
func (Left) msg()  {}

// Effects of a listening session.
type (
	// Pose makes the next question, in slices, and answers with a [Posed].
	Pose struct {
		Turn   int // of the answer
		Asked  ear.Turn
		Last   ear.Trial // is not made again
		Before int       // questions of this turn that were dropped
	}
	// KeepHeard puts an answer into the book.
	KeepHeard struct{ Heard logbook.Heard }
	// SaveAnswers hands every answer to the player as a table.
	SaveAnswers struct{ Name string }
)

func (Pose) effect()        {}
func (KeepHeard) effect()   {}
func (SaveAnswers) effect() {}

// How much of a question counts for the length of the session, at most: who
// goes away meanwhile is not listening. Our choices.
const (
	mostAnswering = 2 * time.Minute
	mostReading   = time.Minute
)

// startListening begins a session; the argument is the one task it is of.
func startListening(s State, m Acted) (State, []Effect) {
	if s.Listen.Stage != ListenReady && s.Listen.Stage != ListenEnded {
		return s, nil
	}
	s, halt := silenced(s)
	l := &s.Listen
	l.Session = ear.Session{Seed: uint64(s.Now.UnixNano()), Minutes: float64(s.Settings.ListenMinutes), Tasks: s.wantedTasks(), Taps: true, Strip: true}
	if _, ok := ear.Named(m.Arg); ok {
		l.Session.Tasks, l.Session.Minutes = []string{m.Arg}, min(l.Session.Minutes, oneTaskMinutes)
	}
	l.Stage, l.Number, l.Here, l.spent, l.lost, l.next, l.Note = ListenAsking, 0, nil, 0, 0, nil, ""
	l.Summary, l.last = ear.Summary{}, ear.Trial{}
	s.Notice, s.Lesser = Notice{}, nil
	s, effects := posing(blank(s))
	return s, append(append(halt, effects...), Focus{"title"})
}

// oneTaskMinutes is how long a session of one task that went worst lasts at
// most. Our choice: some ten questions, then the tasks are mixed again.
const oneTaskMinutes = 4

// blank takes the question away.
func blank(s State) State {
	l := &s.Listen
	l.Trial, l.trial, l.Result, l.Answer = ear.Trial{}, posed{}, ear.Result{}, ear.Answer{}
	l.Plays, l.Chosen, l.Place, l.Refused = nil, nil, passage.Place{}, ""
	l.Slow, l.begun, l.heard = false, time.Time{}, 0
	return s
}

// askAfter is how many ms a session waits for what was answered before; our
// choice, far longer than it takes to read.
const askAfter = 3000

const askAnyway = "listen"

// posing asks for the next question, or for the summary where the time is up.
func posing(s State) (State, []Effect) {
	l := &s.Listen
	l.Making = true
	if !l.read && s.Booked != BookFailed { // it follows from what was answered before
		return s, []Effect{Later{askAnyway, askAfter}}
	}
	s, effects := ahead(s)
	if len(effects) == 0 {
		return endListening(s)
	}
	return s, effects
}

// ahead lets the next question be made; there is no effect where the session is
// over.
func ahead(s State) (State, []Effect) {
	l := &s.Listen
	turn, over := l.Session.Next(l.All, l.Here, l.spent)
	if over {
		return s, nil
	}
	l.turn++
	return s, []Effect{Pose{l.turn, turn, l.last, l.lost}}
}

// posedNow takes over a question that was made.
func posedNow(s State, m Posed) (State, []Effect) {
	l := &s.Listen
	if m.Turn != l.turn || l.Stage != ListenAsking && l.Stage != ListenAnswered {
		return s, []Effect{Same{}}
	}
	if m.Why != nil {
		return unposed(s, m)
	}
	l.next = &m.Question
	if l.Making && s.Page == listenPath {
		return present(s)
	}
	return s, append([]Effect{Same{}}, prepared(s, m.Question.trial)...)
}

// unposed takes a task out of the session that no exercise fits.
func unposed(s State, m Posed) (State, []Effect) {
	l := &s.Listen
	task := m.Question.trial.Task
	l.Note = fmt.Sprintf("%s: %s Another question was taken.", task.Title, sentence(m.Why.Error()))
	names := l.Session.Tasks
	if names == nil {
		names = taskNames()
	}
	l.Session.Tasks = slices.DeleteFunc(slices.Clone(names), func(name string) bool { return name == task.Name })
	switch {
	case !l.Making:
		return ahead(s)
	case len(l.Session.Tasks) > 0:
		return posing(s)
	}
	s, effects := endListening(s)
	s.Notice = Notice{Fact: "No exercise fits what is asked.", Mend: sentence(m.Why.Error())}
	return s, effects
}

// present shows the question that was made.
func present(s State) (State, []Effect) {
	s = blank(s)
	l := &s.Listen
	l.trial, l.next = *l.next, nil
	l.Trial, l.last = l.trial.trial, l.trial.trial
	l.Stage, l.Making, l.Sounding = ListenAsking, false, -1
	l.Number++
	l.shown = s.Now
	if l.trial.note != "" {
		l.Note = l.trial.note
	}
	l.Plays = make([]int, len(l.Trial.Sounds))
	for _, ask := range l.Trial.Asks {
		switch ask.Kind {
		case ear.Choose:
			l.Chosen = append(l.Chosen, -1)
		case ear.Strip:
			l.Draft = emptyPaper(ask)
		}
	}
	l.Said = questionWords(l.Trial)
	return s, append(prepared(s, l.Trial), Focus{"title"})
}

// prepared lets the sounds of a question be made before they are played.
func prepared(s State, t ear.Trial) []Effect {
	if len(t.Sounds) == 0 || s.Phase != Idle {
		return nil
	}
	plans, err := s.plansOf(t.Sounds)
	if err != nil {
		return nil // it is said when it is played
	}
	return []Effect{Prepare{plans[0]}}
}

// plansOf are the plans of sounds that are held against each other.
func (s State) plansOf(sounds []ear.Sound) ([]synth.Plan, error) {
	plans, err := listen.Plans(sounds, s.rate())
	for i := range plans {
		plans[i].View = s.Settings.view()
	}
	return plans, err
}

// planOf is the plan of one of the sounds of the question.
func (s State) planOf(i int) (synth.Plan, error) {
	sounds := s.Listen.Trial.Sounds
	if n := len(sounds); i >= n {
		sounds, i = s.Listen.Result.Slow, i-n
	}
	plans, err := s.plansOf(sounds)
	if err != nil {
		return synth.Plan{}, err
	}
	return plans[i], nil
}

// rate is the frames a second that plans are made for until the device says its
// own.
func (s State) rate() int {
	if slices.Contains(synth.Rates(), s.Settings.Rate) {
		return s.Settings.Rate
	}
	return 48000
}

// playSound plays one of the sounds of the question, and stops when it plays
// already.
func playSound(s State, i int) (State, []Effect) {
	l := &s.Listen
	if ask, ok := l.ask(ear.Taps); ok && ask.Under == nil && l.Stage == ListenAsking {
		return startTaps(s) // it is heard and tapped at once
	}
	if l.Slow && i < len(l.Trial.Sounds) {
		i = slowOne(*l, i)
	}
	if s.Phase != Idle && s.Aim == ForListening && l.Sounding == i {
		return stopListening(s)
	}
	sound, ok := l.sounded(i)
	if !ok || s.Phase != Idle && s.Aim == ForTapping {
		return s, nil
	}
	plan, err := s.planOf(i)
	s, effects := sounding(s, sound, plan, err, ForListening)
	if s.Phase != Starting {
		return s, effects
	}
	l = &s.Listen
	l.Sounding = i
	if i < len(l.Trial.Sounds) {
		l.heard = i
	}
	l.Said = playsWords(sound, i >= len(l.Trial.Sounds))
	return s, effects
}

// slowOne is the slow sound that belongs to one of the trial: where there is
// only one, that.
func slowOne(l Listen, i int) int {
	return len(l.Trial.Sounds) + min(i, max(len(l.Result.Slow)-1, 0))
}

// sounding begins to play a sound of a question by its plan, or says why it has
// none.
func sounding(s State, sound ear.Sound, plan synth.Plan, err error, aim Aim) (State, []Effect) {
	if err != nil {
		s.Notice = Notice{Fact: "This cannot be played.", Mend: sentence(err.Error())}
		return s, nil
	}
	s.Notice, s.Lesser, s.Listen.Refused = Notice{}, nil, ""
	s.Phase, s.Aim, s.Pass = Starting, aim, -1
	s.Listen.Sounding, s.Listen.Taking = -1, aim == ForTapping
	var effects []Effect
	if !s.Settings.Heard {
		s, effects = with(s, func(x *Settings) { x.Heard = true })
	}
	return s, append(effects, balanceOf(s, sound), Play{plan})
}

// leastLevel is the least level of a voice in a question: one that was turned
// off may be what it is about. Our choice, as quiet as it is still heard.
const leastLevel = 35

// balanceOf is how loud the voices of a sound are: as the player set them, but
// heard, so that both sounds of a question are balanced alike.
func balanceOf(s State, sound ear.Sound) Effect {
	b := Balance{Silent: sound.Mute, Levels: map[passage.Voice]float32{}, Master: masterGain(s.Settings.Master)}
	for _, v := range passage.Voices() {
		b.Levels[v] = gain(max(s.Settings.Levels[handOf(v).String()], leastLevel), startLevel)
	}
	return b
}

// silenced ends what sounds; no effect where nothing does.
func silenced(s State) (State, []Effect) {
	s.Listen.Sounding, s.Listen.Taking = -1, false
	if s.Phase == Idle {
		return s, nil
	}
	s.Phase, s.Pass = Idle, -1
	return s, []Effect{Halt{}}
}

// stopListening is the player's stop. Taps so far are for nothing, and not
// marked.
func stopListening(s State) (State, []Effect) {
	taking := s.Listen.Taking
	s, effects := silenced(s)
	if taking {
		s.Listen.Refused = "Stopped before the end, so it is not marked. Tap it again."
		effects = append(effects, Focus{"listen-tap"})
	}
	return s, effects
}

// soundBegan counts what is heard.
func soundBegan(s State) State {
	l := &s.Listen
	if l.begun.IsZero() {
		l.begun = s.Now
	}
	played := l.Sounding
	if ask, ok := l.ask(ear.Taps); ok && ask.Under == nil && l.Taking {
		played = 0
	}
	if played >= 0 && played < len(l.Plays) && l.Stage == ListenAsking {
		l.Plays = slices.Clone(l.Plays)
		l.Plays[played]++
	}
	return s
}

// soundEnded is a sound that was played to its end; with taps, the answer.
func soundEnded(s State) (State, []Effect) {
	taking := s.Listen.Taking
	s.Phase, s.Pass = Idle, -1
	s, _ = silenced(s)
	if !taking {
		return s, nil
	}
	if len(s.Take.Taps) == 0 {
		s.Listen.Refused = "No hit was heard, so it is not marked. Tap with any letter key, or on the areas at the foot."
		return s, []Effect{Focus{"listen-tap"}}
	}
	return answered(s)
}

// tapped records a press as a hit of the answer.
func tapped(s State, m Pressed, voice passage.Voice) (State, []Effect) {
	used := []Effect{Same{}, Used{}}
	if !m.Placed.OK || m.Placed.Seconds < -earliestTap {
		return s, used // the count-in is the player's own
	}
	s.Take = s.Take.with(s, m, voice)
	if m.Area != "" {
		used = append(used, Light{m.Area, true})
	}
	return s, used
}

// endNow ends the session before its time is up; what was answered counts.
func endNow(s State) (State, []Effect) {
	if s.Listen.Stage != ListenAsking && s.Listen.Stage != ListenAnswered {
		return s, nil
	}
	return endListening(s)
}

// choosing takes one of the choices of an ask; asks count from 0.
func (s State) choosing(ask, choice int) State {
	l := &s.Listen
	if l.Stage != ListenAsking || ask < 0 || ask >= len(l.Chosen) || choice < 0 || choice >= len(chooses(l.Trial)[ask].Choices) {
		return s
	}
	l.Chosen = slices.Clone(l.Chosen)
	l.Chosen[ask], l.Refused = choice, ""
	return s
}

// chooses are the asks that offer choices.
func chooses(t ear.Trial) []ear.Ask {
	return slices.DeleteFunc(slices.Clone(t.Asks), func(a ear.Ask) bool { return a.Kind != ear.Choose })
}

// placed takes a place among those that may be named.
func (s State) placed(p passage.Place) State {
	ask, ok := s.Listen.ask(ear.Place)
	if ok && s.Listen.Stage == ListenAsking && slices.Contains(ask.Places, p) {
		s.Listen.Place, s.Listen.Refused = p, ""
	}
	return s
}

// walked goes to another place: so many beats on, or as many bars.
func (s State) walked(beats, bars int) State {
	ask, ok := s.Listen.ask(ear.Place)
	if !ok || len(ask.Places) == 0 {
		return s
	}
	i := slices.Index(ask.Places, s.Listen.Place)
	switch {
	case i < 0:
		return s.placed(ask.Places[0])
	case bars == 0:
		return s.placed(ask.Places[min(max(i+beats, 0), len(ask.Places)-1)])
	}
	for j := i; j >= 0 && j < len(ask.Places); j += bars { // to the same beat, or the last of a shorter bar
		if p := ask.Places[j]; p.Bar != s.Listen.Place.Bar && p.Beat <= s.Listen.Place.Beat {
			if bars > 0 { // go on within the bar
				for j+1 < len(ask.Places) && ask.Places[j+1].Bar == p.Bar && ask.Places[j+1].Beat <= s.Listen.Place.Beat {
					j++
				}
			}
			return s.placed(ask.Places[j])
		}
	}
	return s
}

// answered marks what the player answered, keeps it, and lets the next question
// be made while it is read.
func answered(s State) (State, []Effect) {
	l := &s.Listen
	if l.Stage != ListenAsking || len(l.Trial.Asks) == 0 {
		return s, nil
	}
	if why := unready(s); why != "" {
		l.Refused = why
		return s, nil
	}
	a := answerOf(s)
	r, err := l.Trial.Mark(a)
	if err != nil {
		l.Refused = sentence(err.Error())
		return s, nil
	}
	s, effects := silenced(s)
	l = &s.Listen
	d := l.Trial.Done(a, r)
	d.At, d.Took, d.Heard = s.Now, max(s.Now.Sub(l.begun), 0), slices.Clone(l.Plays)
	if l.trial.text != "" {
		d.Text = logbook.Hash(l.trial.text)
	}
	l.Stage, l.Answer, l.Result, l.Refused, l.Note, l.known = ListenAnswered, a, r, "", "", s.Take.Known
	l.Here, l.All = append(slices.Clip(l.Here), d), append(slices.Clip(l.All), d)
	l.spent += min(s.Now.Sub(l.shown), mostAnswering)
	l.shown = s.Now
	l.Said = resultWords(l.Trial, r)
	effects = append(effects, KeepHeard{logbook.Heard{Done: d, Text: l.trial.text}}, Focus{"listen-next"})
	l.Making, l.next = false, nil
	s, more := ahead(s)
	return s, append(effects, more...)
}

// unready says what is to be done before an answer; "" for nothing.
func unready(s State) string {
	l := s.Listen
	if _, taps := l.ask(ear.Taps); taps {
		if len(s.Take.Taps) == 0 {
			return "Nothing was tapped yet."
		}
		return ""
	}
	for i, n := range l.Plays {
		if n == 0 {
			if label := l.Trial.Sounds[i].Label; label != "" {
				return label + " was not heard yet. Play it first."
			}
			return "Nothing was heard yet. Play it first."
		}
	}
	return ""
}

// answerOf is what the player answered so far.
func answerOf(s State) ear.Answer {
	l := s.Listen
	a := ear.Answer{Choice: slices.Clone(l.Chosen), Place: l.Place}
	if ask, ok := l.ask(ear.Strip); ok {
		for _, line := range l.Draft.Passage().Lines {
			if slices.Contains(ask.Voices, line.Voice) {
				a.Line = line
			}
		}
	}
	if _, ok := l.ask(ear.Taps); ok {
		a.Taps, a.LatencyMS = s.Take.Taps, s.Take.LatencyMS
	}
	return a
}

// nextQuestion goes on after an answer was read.
func nextQuestion(s State) (State, []Effect) {
	l := &s.Listen
	if l.Stage != ListenAnswered || l.Making {
		return s, nil
	}
	s, effects := silenced(s)
	l = &s.Listen
	l.spent += min(s.Now.Sub(l.shown), mostReading)
	l.shown = s.Now
	var more []Effect
	switch _, over := l.Session.Next(l.All, l.Here, l.spent); {
	case over:
		s, more = endListening(s)
	case l.next != nil:
		s, more = present(s)
	default:
		l.Making = true
	}
	return s, append(effects, more...)
}

// endListening sums the session up.
func endListening(s State) (State, []Effect) {
	s, effects := silenced(s)
	l := &s.Listen
	l.Making, l.next = false, nil
	l.turn++
	if len(l.Here) == 0 {
		l.Stage = ListenReady
		return blank(s), append(effects, Focus{"listen-start"})
	}
	l.Stage = ListenEnded
	l.Summary = l.Session.End(l.All, l.Here)
	if len(l.Session.Tasks) == 1 && len(s.wantedTasks()) > 1 {
		l.Summary.Task, l.Summary.Next = "", "All that is asked, mixed again."
	}
	s = blank(s)
	s.Listen.Said = strings.Join(append(slices.Clone(l.Summary.Lines), l.Summary.Next), " ")
	return s, append(effects, Focus{"listen-start"})
}

// backToReady shows again what is asked and for how long.
func backToReady(s State) (State, []Effect) {
	if s.Listen.Stage != ListenEnded {
		return s, nil
	}
	s.Listen.Stage, s.Listen.Summary, s.Listen.Said = ListenReady, ear.Summary{}, ""
	return s, []Effect{Focus{"listen-start"}}
}

// dropped is a question that the player could not finish: it is not marked, and
// another one takes its place.
func dropped(s State, why Notice) (State, []Effect) {
	s, effects := silenced(s)
	s.Listen.lost++
	s.Listen.Number-- // the next one has its number
	s, more := posing(blank(s))
	s.Notice = why
	return s, append(append(effects, more...), Focus{"title"})
}

// doesNotCount ends what is said of a dropped question.
const doesNotCount = "It does not count. Another one is here."

// soundHalted is the end of a sound before its time.
func soundHalted(s State, why transport.Notice) (State, []Effect) {
	open, starting := s.Listen.open(), s.Phase == Starting
	n := halts(why, soundStopped)
	if open && !starting { // what never began is begun by the next press
		n = halts(why, "so this question was dropped.")
		n.Mend = strings.TrimSpace(n.Mend + " " + doesNotCount)
	}
	again := s.Listen.Sounding
	s, _ = silenced(s)
	s.Phase, s.Pass = Idle, -1
	var effects []Effect
	if why == transport.OutputChanged {
		s, effects = stale(s)
	}
	n.Act, n.Label, n.Arg = "", "", ""
	if open && !starting {
		s, more := dropped(s, n)
		return s, append(effects, more...)
	}
	if starting {
		s.Listen.Said = "" // it does not play after all
	}
	if starting && again >= 0 {
		n.Act, n.Label, n.Arg = "listen-play", "Play again", fmt.Sprint(min(again, max(len(s.Listen.Trial.Sounds)-1, 0)))
	}
	s.Notice = n
	return s, effects
}

// leftSight is the page that went out of sight in the middle of a question.
func leftSight(s State) (State, []Effect) {
	if s.Page != listenPath || !s.Listen.open() {
		return s, []Effect{Same{}}
	}
	return dropped(s, Notice{Fact: "The page went out of sight, so this question was dropped.", Mend: doesNotCount})
}

// leftListen is another page opened in the middle of a session, which waits.
func leftListen(s State) State {
	l := &s.Listen
	if l.open() {
		l.lost++
		l.Number--
		l.away = Notice{Fact: "The question you left was dropped.", Mend: doesNotCount}
		s = blank(s)
	}
	s.Listen.Sounding, s.Listen.Taking, s.Listen.Said = -1, false, ""
	return s
}

// wentToListen goes on with the session that waits.
func wentToListen(s State) (State, []Effect) {
	l := &s.Listen
	s.Notice, l.away = l.away, Notice{}
	l.shown = s.Now
	switch {
	case l.Stage != ListenAsking || len(l.Trial.Asks) > 0:
	case l.next != nil:
		return present(s)
	case !l.Making:
		return posing(s)
	}
	return s, nil
}

// askedAnyway begins a session whose earlier answers were not read in time.
func askedAnyway(s State) (State, []Effect) {
	l := &s.Listen
	if !l.Making || l.read || l.Stage != ListenAsking {
		return s, []Effect{Same{}}
	}
	l.read = true
	return posing(s)
}

// earsRead takes over the answers that the book has read.
func earsRead(s State, n logbook.News) (State, []Effect) {
	l := &s.Listen
	waited := l.Making && !l.read && l.Stage == ListenAsking
	l.All, l.read = n.Heard.All, l.read || n.Heard.Read || n.Heard.Failed != nil || n.Stage == logbook.Failed
	if waited && l.read && s.Page == listenPath {
		return posing(s)
	}
	return s, nil
}

// playItYourself opens the step of the question on the page of takes.
func playItYourself(s State) (State, []Effect) {
	l := s.Listen
	if l.Stage != ListenAnswered {
		return s, nil
	}
	climb := l.Trial.Source.Climb
	s, halt := silenced(s)
	for i, e := range s.Library {
		if e.Name == climb {
			s, effects := toStep(s, i, l.trial.step)
			s.Target = "go"
			return s, append(append(halt, effects...), Go{"/practise/"})
		}
	}
	if id, ok := own(climb); ok {
		halt = append(halt, Fetch{ID: id, Practise: true, Step: l.trial.step})
	}
	return s, halt
}

// startTaps begins the count-in and the recording of taps, or stops it.
func startTaps(s State) (State, []Effect) {
	ask, ok := s.Listen.ask(ear.Taps)
	if !ok || s.Listen.Stage != ListenAsking {
		return s, nil
	}
	if s.Phase != Idle && s.Aim == ForTapping {
		return stopListening(s)
	}
	if why := unheardFirst(s); why != "" {
		s.Listen.Refused = why
		return s, nil
	}
	under, ok := s.Listen.under()
	if !ok {
		return s, nil
	}
	plans, err := s.plansOf([]ear.Sound{under})
	var plan synth.Plan
	if err == nil {
		plan = plans[0]
	}
	s, effects := sounding(s, under, plan, err, ForTapping)
	if s.Phase == Starting {
		s.Take = Take{Take: grade.Take{Part: ask.Voices}}
		s.Listen.Said = "Tap along after the count-in. Escape stops."
	}
	return s, append(effects, Focus{"listen-tap"})
}

// unheardFirst says that what is tapped back is to be heard first; what sounds
// while it is tapped need not be.
func unheardFirst(s State) string {
	ask, _ := s.Listen.ask(ear.Taps)
	if ask.Under == nil || len(s.Listen.Plays) == 0 || s.Listen.Plays[0] > 0 {
		return ""
	}
	return "Hear it first."
}

// taskNames are the names of all tasks.
func taskNames() []string {
	var names []string
	for _, t := range ear.Tasks() {
		names = append(names, t.Name)
	}
	return names
}

// wantedTasks are the tasks of a session.
func (s State) wantedTasks() []string {
	var names []string
	for _, name := range taskNames() {
		if s.Settings.asks(name) {
			names = append(names, name)
		}
	}
	return names
}

// wantsDelay reports whether a measured delay makes the mark of the question
// surer: where taps are held against the written places, and not, as in the
// silence, against the player's own.
func (l Listen) wantsDelay() bool {
	_, taps := l.ask(ear.Taps)
	return taps && l.Trial.Task.Name != silenceTask
}

// silenceTask is the task in which the player is held against where they were
// while the music sounded.
const silenceTask = "silence"

// delayKnown reports whether the delay of some input was measured.
func (s State) delayKnown() bool {
	for _, d := range s.Settings.Delays {
		if !d.Stale {
			return true
		}
	}
	return false
}
