package transport

import (
	"fmt"

	"stampmill/app/clock"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

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
	t.bank.want(seq, nil)
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

// Stage returns what the transport is doing.
func (t *Transport) Stage() Stage { return t.stage }

// Making returns how far the sounds are made that the loaded plan needs to
// begin; others of its takes are made while it plays.
func (t *Transport) Making() Progress { return t.bank.progress() }

// Rate returns the frames a second that sounds are made at: the device's, once
// it was open.
func (t *Transport) Rate() int { return t.bank.rate }

// Late returns how many strokes of this run, or of the last one, could not be
// placed in time. They were left out: nothing sounds at a wrong time.
func (t *Transport) Late() int { return t.run.late }
