package transport

import (
	"stampmill/exercises/meter"
	"stampmill/synth"
)

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
	t.bank.want(seq, inUse)
	t.retempo()
	return nil
}

// retempo hands a new tempo to the sequence once its sounds are there.
func (t *Transport) retempo() {
	if t.run.retempo && t.bank.ready() {
		t.run.retempo = t.run.seq.SetTempo(t.run.tempo) != nil
	}
}
