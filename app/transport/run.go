package transport

import (
	"stampmill/app/clock"
	"stampmill/exercises/meter"
	"stampmill/synth"
)

// run is what is known of one run from Start to its end.
type run struct {
	seq     *synth.Sequence
	rate    int   // frames a second
	origin  int64 // the device's frame of the sequence's frame 0
	passes  int   // 0 for endless
	passed  int   // how many were told as heard
	cmds    []synth.Command
	late    int // strokes left out
	told    int // of them, how many the listener knows of
	tempo   meter.Rat
	retempo bool // tempo waits for its sounds

	began  float64 // ms on the clock of events
	ticked float64 // ms of the last tick
	pause  float64 // ms: the longest from one tick to the next
	moved  float64 // ms at which the device's frame last changed
	frame  int64   // that frame
	jumps  int     // of the clocks, as far as told
	leapt  float64 // ms at which the last of them was seen; 0 for never
	rough  bool    // the listener knows that the clock is rough
}

// tick is called every tickMillis from Start to the end.
func (t *Transport) tick() {
	switch t.stage {
	case Opening, Making:
		t.await()
	case Playing:
		t.listen()
		if t.watch() {
			t.fill()
			t.follow()
		}
	}
}

// await gives up on a device that does not open.
func (t *Transport) await() {
	t.advance()
	if t.stage != Opening || t.clock.Now() < t.deadline {
		return
	}
	if s := t.audio.State(); s == Waiting || s == Paused {
		t.stop(NeedsPress)
	} else {
		t.stop(NoOutput)
	}
}

// listen takes a pair of the clocks.
func (t *Transport) listen() {
	if device, event, ok := t.audio.OutputPair(); ok {
		t.heard.Add(device, event)
	}
	if device, event, ok := t.audio.RoughPair(); ok {
		t.heard.AddRough(device, event)
	}
}

// watch looks for what makes playing on senseless, or less sure; false when it
// stopped.
func (t *Transport) watch() bool {
	now, r := t.clock.Now(), &t.run
	r.pause, r.ticked = max(r.pause, now-r.ticked-tickMillis), now
	if f := t.audio.Now(); f != r.frame {
		r.frame, r.moved = f, now
	}
	if now-r.moved > stall {
		t.stop(OutputLost)
		t.audio.Close()
		return false
	}
	if n := t.heard.Jumps(); n != r.jumps {
		r.jumps, r.leapt = n, now
		if t.outputs > 0 && now-t.outputs < suspicion {
			t.stop(OutputChanged)
			return false
		}
		t.tell(Event{Kind: Noticed, Notice: Stuttered})
	}
	if _, sure := t.heard.At(now); !r.rough && rough(sure) && now-r.began > settling {
		r.rough = true
		t.tell(Event{Kind: Noticed, Notice: RoughClock})
	}
	return t.stage == Playing
}

// rough reports whether presses cannot be placed well.
func rough(c clock.Certainty) bool { return c.Quality != clock.Exact || c.Error() > roughError }

// fill gives the device everything up to lookAhead from now, and further on a
// page that is slow to tick.
func (t *Transport) fill() {
	r, now := &t.run, t.audio.Now()
	ahead := lookAhead + min(2*int64(r.pause), farAhead)
	r.cmds = r.seq.Next(r.cmds[:0], now+t.frames(ahead)-r.origin)
	earliest := now + t.frames(guard)
	for _, c := range r.cmds {
		t.give(c, r.origin+c.Frame, earliest)
	}
	if r.late > r.told {
		r.told = r.late
		t.tell(Event{Kind: Noticed, Notice: LeftOut})
	}
}

// give hands one command to the device. A stroke that cannot be in time, or has
// no sound and none to stand in for it, is left out and counted; a stop that
// cannot be in time comes as soon as it can.
func (t *Transport) give(c synth.Command, frame, earliest int64) {
	switch {
	case c.Stop:
		t.audio.Fade(max(frame, earliest), c.Voice, c.Fade)
	case frame < earliest:
		t.run.late++
	default:
		if key, ok := t.bank.stand(c.Key); ok {
			t.audio.Play(frame, key, c.Gain, c.Pan)
		} else {
			t.run.late++
		}
	}
}

// follow tells of passes that were heard to their end.
func (t *Transport) follow() {
	r, seq := &t.run, t.run.seq
	heard, ok := t.frameAt(t.clock.Now())
	if !ok {
		return
	}
	for r.passes == 0 || r.passed < r.passes {
		if end, _ := r.seq.PassStart(r.passed + 1); heard < end {
			return
		}
		r.passed++
		t.tell(Event{Kind: Passed, Pass: r.passed - 1})
		if t.stage != Playing || r.seq != seq { // the listener stopped it, or began again
			return
		}
	}
	if end, _ := r.seq.PassStart(r.passes); heard >= end+t.frames(grace) {
		t.enter(Idle)
		t.tell(Event{Kind: Ended})
	}
}
