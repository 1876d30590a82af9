package transport

import (
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// fallbackRate is asked for where the device's own rate is none of
// [synth.Rates]; the browser then converts.
const fallbackRate = 48000

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
