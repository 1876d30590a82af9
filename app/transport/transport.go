package transport

import (
	"fmt"

	"stampmill/app/clock"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// Times of playing, in ms; our choices where no measurement is named.
const (
	// tickMillis is how often commands are handed to the device, and lookAhead
	// how far ahead. Measured: with the page blocked for 120 ms again and again,
	// 100 ms ahead is late one time in ten, 200 ms never.
	tickMillis = 25
	lookAhead  = 200
	// farAhead is how much further ahead commands are handed on a page that was
	// slow to tick: twice its longest pause, up to this. Stop and Level reach what
	// was handed ahead, so it costs nothing but the promptness of a new tempo.
	farAhead = 800
	// lead is from Start to the first frame of the sequence.
	lead = 80
	// guard is how far ahead a sound must be to be sure of its place: the device
	// takes frames in blocks, of 10 ms as a rule.
	guard = 10
	// fadeMillis is how long the sound takes to end: 5 ms and more do not click.
	// With guard before it, Stop is silent after 22 ms.
	fadeMillis = 12
	// grace is how long after the last pass was heard a late press still belongs
	// to it: a wireless output of 250 ms, a player of 100 ms, and some.
	grace = 500
	// patience is how long the browser may take to open the device.
	patience = 1500
	// stall is how long the device may stand still before it counts as lost.
	stall = 1000
	// suspicion is how long after a change of the sound devices a jump of the
	// clocks is put down to it.
	suspicion = 3000
	// rest is how long after the last sound the device is left running: as long as
	// the longest cymbal and a change of mind take.
	rest = 30_000
	// settling is how long after the start exact pairs may be waited for.
	settling = 2000
	// roughError is the standard error of the clocks above which presses are not
	// placed well: a tenth of the tightest band that is drawn, ±10 ms.
	roughError = 1
)

// fallbackRate is asked for where the device's own rate is none of
// [synth.Rates]; the browser then converts.
const fallbackRate = 48000

// A Stage is what a [Transport] is doing.
type Stage uint8

// The stages.
const (
	Idle    Stage = iota
	Opening       // Start was called; the device is being opened
	Making        // Start was called; sounds are missing
	Playing
)

// Settings of a [Transport].
type Settings struct {
	Rate int    // frames a second expected of the device before it is open, so that sounds can be made early
	Seed uint64 // of the sounds
}

// A Transport plays one plan at a time. Use it from one goroutine, the one on
// which its ports call back.
type Transport struct {
	audio Audio
	clock Clock
	bank  *bank
	tell  func(Event)

	plan   synth.Plan
	loaded bool
	muted  map[passage.Voice]bool
	levels map[passage.Voice]float32
	master float32

	stage    Stage
	deadline float64 // Opening: ms at which patience ends
	untimer  func()
	run      run
	heard    clock.Estimator
	outputs  float64 // ms at which the sound devices last changed; 0 for never
}

// New returns a transport at rest. A rate in settings that is none of
// [synth.Rates] is replaced by 48000.
func New(audio Audio, c Clock, settings Settings) *Transport {
	if !known(settings.Rate) {
		settings.Rate = fallbackRate
	}
	t := &Transport{
		audio: audio, clock: c, tell: func(Event) {}, untimer: func() {}, master: 1,
		muted: map[passage.Voice]bool{}, levels: map[passage.Voice]float32{},
	}
	t.bank = newBank(audio, c, settings.Rate, settings.Seed)
	t.bank.told = t.made
	audio.OnState(t.deviceState)
	audio.OnOutputs(t.outputsListed)
	c.OnHidden(t.hidden)
	return t
}

func known(rate int) bool {
	for _, r := range synth.Rates() {
		if r == rate {
			return true
		}
	}
	return false
}

// OnEvent sets the one function that is told of each event.
func (t *Transport) OnEvent(f func(Event)) { t.tell = f }

// Load sets what is played from the next Start on, stops what plays, and
// begins to make the sounds. Plan.Rate is ignored: the device has its own. On
// an error, which says what is outside the limits, the plan before stays.
func (t *Transport) Load(plan synth.Plan) error {
	plan.Rate = t.bank.rate
	seq, err := synth.NewSequence(plan)
	if err != nil {
		return fmt.Errorf("the passage cannot be played: %w", err)
	}
	t.stop(ByPlayer)
	t.plan, t.loaded = plan, true
	t.bank.want(seq.Keys(), nil)
	if t.bank.ready() {
		t.tell(Event{Kind: Ready})
	}
	return nil
}

// Prefetch makes the sounds of a plan that may be loaded next, when nothing
// else is to be made. A plan outside the limits is ignored.
func (t *Transport) Prefetch(plan synth.Plan) {
	plan.Rate = t.bank.rate
	if seq, err := synth.NewSequence(plan); err == nil {
		t.bank.wantLater(seq.Keys())
	}
}

// Start plays the loaded plan from its count-in. Call it while handling a
// press. It opens the device and waits for the sounds where needed; what plays
// begins again. The answer comes as events: Started, or Stopped with a reason.
func (t *Transport) Start() {
	if !t.loaded {
		return
	}
	if t.stage == Playing {
		t.silence()
	}
	t.enter(Opening)
	if t.clock.Hidden() {
		t.stop(WentHidden)
		return
	}
	t.deadline = t.clock.Now() + patience
	t.open()
	t.advance()
}

// open asks for the device at its own rate, or at one that sounds can be made
// at, and makes them at it.
func (t *Transport) open() {
	t.audio.Open(0)
	if rate := t.audio.Rate(); rate != 0 && !known(rate) {
		t.audio.Open(fallbackRate)
	}
	if rate := t.audio.Rate(); known(rate) {
		t.bank.atRate(rate)
	}
}

// Stop ends playing, or the attempt to start, within 30 ms and without a click.
func (t *Transport) Stop() { t.stop(ByPlayer) }

// SetTempo sets the tempo of the passage's first bar in its own note value;
// later bars keep their ratio. At rest it holds from the next Start, while
// playing from the next pass after its sounds are made.
func (t *Transport) SetTempo(bpm meter.Rat) error {
	if !t.loaded {
		return nil
	}
	p, err := t.plan.Passage.AtTempo(bpm)
	if err != nil {
		return err
	}
	plan := t.plan
	plan.Passage = p
	seq, err := synth.NewSequence(plan)
	if err != nil {
		return err
	}
	t.plan = plan
	t.run.tempo, t.run.retempo = bpm, t.stage == Playing
	var inUse []synth.Key
	if t.stage == Playing {
		inUse = t.run.seq.Keys()
	}
	t.bank.want(seq.Keys(), inUse)
	t.retempo()
	return nil
}

// retempo hands a new tempo to the sequence once its sounds are there.
func (t *Transport) retempo() {
	if t.run.retempo && t.bank.ready() {
		t.run.retempo = t.run.seq.SetTempo(t.run.tempo) != nil
	}
}

// Mute silences a voice, or lets it sound again, at once; it holds for every
// plan to come.
func (t *Transport) Mute(v passage.Voice, muted bool) {
	t.muted[v] = muted
	t.audio.Level(v, t.level(v))
}

// Level sets how loud a voice is, linear, 1 as mixed; it holds for every plan
// to come. A muted voice stays silent.
func (t *Transport) Level(v passage.Voice, gain float32) {
	t.levels[v] = max(gain, 0)
	t.audio.Level(v, t.level(v))
}

func (t *Transport) level(v passage.Voice) float32 {
	gain, set := t.levels[v]
	switch {
	case t.muted[v]:
		return 0
	case set:
		return gain
	}
	return 1
}

// Master sets how loud all is, linear, 1 as mixed.
func (t *Transport) Master(gain float32) {
	t.master = max(gain, 0)
	t.audio.Master(t.master)
}

// Stage returns what the transport is doing.
func (t *Transport) Stage() Stage { return t.stage }

// Making returns how far the sounds of the loaded plan are made.
func (t *Transport) Making() Progress { return t.bank.progress() }

// Rate returns the frames a second that sounds are made at: the device's, once
// it was open.
func (t *Transport) Rate() int { return t.bank.rate }

// Late returns how many strokes of this run, or of the last one, could not be
// placed in time. They were left out: nothing sounds at a wrong time.
func (t *Transport) Late() int { return t.run.late }

// enter changes the stage. A timer runs: the tick in all stages but Idle, in
// Idle the one that lets the device rest.
func (t *Transport) enter(s Stage) {
	was := t.stage
	t.stage = s
	switch {
	case was == Idle && s != Idle:
		t.untimer()
		t.untimer = t.clock.Every(tickMillis, t.tick)
	case was != Idle && s == Idle:
		t.untimer()
		t.untimer = t.clock.Every(rest, t.rest)
	}
}

// rest lets the device sleep, once; the next Start wakes it.
func (t *Transport) rest() {
	t.untimer()
	t.untimer = func() {}
	t.audio.Rest()
}

// advance takes Start as far as it goes now: the device open, the sounds made,
// the first commands given.
func (t *Transport) advance() {
	if t.stage == Opening && t.audio.State() == Running {
		t.opened()
	}
	if t.stage == Making && t.bank.ready() {
		t.begin()
	}
}

// opened takes over the rate and the levels of a running device.
func (t *Transport) opened() {
	rate := t.audio.Rate()
	if !known(rate) {
		t.stop(NoSounds)
		return
	}
	t.plan.Rate = rate
	t.bank.atRate(rate)
	t.audio.Master(t.master)
	for _, v := range passage.Voices() {
		t.audio.Level(v, t.level(v))
	}
	t.enter(Making)
}

func (t *Transport) begin() {
	seq, err := synth.NewSequence(t.plan)
	if err != nil {
		t.stop(NoSounds)
		return
	}
	now := t.clock.Now()
	t.run = run{
		seq: seq, rate: t.plan.Rate, origin: t.audio.Now() + t.frames(lead), passes: t.plan.Passes,
		began: now, ticked: now, moved: now, pause: t.run.pause, jumps: t.heard.Jumps(),
	}
	t.enter(Playing)
	t.listen()
	t.fill()
	t.tell(Event{Kind: Started})
}

// stop ends whatever Start began.
func (t *Transport) stop(why Notice) {
	switch t.stage {
	case Idle:
		return
	case Playing:
		t.silence()
	}
	t.enter(Idle)
	t.tell(Event{Kind: Stopped, Notice: why})
}

func (t *Transport) silence() {
	t.audio.Silence(t.audio.Now()+t.frames(guard), int32(t.frames(fadeMillis)))
}

func (t *Transport) frames(ms int64) int64 { return ms * int64(t.bank.rate) / 1000 }

// made is called after each sound.
func (t *Transport) made() {
	t.tell(Event{Kind: Progressed})
	if !t.bank.ready() {
		return
	}
	t.tell(Event{Kind: Ready})
	t.retempo()
	t.advance()
}
