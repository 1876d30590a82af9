package transport_test

import (
	"testing"

	"stampmill/app/transport"
	"stampmill/synth"
)

// Whatever ends playing is told with its reason, and Start recovers from it.
func TestWhatEndsPlaying(t *testing.T) {
	for _, c := range []struct {
		name   string
		want   transport.Notice
		happen func(*rig)
		mend   func(*rig)
	}{
		{"hidden", transport.WentHidden, func(r *rig) { r.clock.Hide(true) }, func(r *rig) { r.clock.Hide(false) }},
		{"suspended", transport.WasSuspended, func(r *rig) { r.audio.Become(transport.Paused) }, nil},
		{"lost", transport.OutputLost, func(r *rig) { r.audio.Become(transport.Lost) }, nil},
		{"closed", transport.OutputLost, func(r *rig) { r.audio.Become(transport.Closed) }, nil},
		{"refused", transport.NoOutput, func(r *rig) { r.audio.Become(transport.Refused) }, nil},
		{"stands still", transport.OutputLost, func(r *rig) { r.audio.Freeze(); r.clock.Run(transport.Stall + 100) }, nil},
		{"moved to another output", transport.OutputChanged, func(r *rig) { r.audio.Plug(); r.audio.Jump(40); r.clock.Run(500) }, nil},
		{"moved, and then told", transport.OutputChanged, func(r *rig) { r.audio.Jump(40); r.clock.Run(500); r.audio.Plug() }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t)
			r.start(synth.Plan{Passage: kicks(t, "4/4", "180", 1), CountIn: 1})
			r.clock.Run(1500)
			c.happen(r)
			if e := r.last(); e.Kind != transport.Stopped || e.Notice != c.want || r.Stage() != transport.Idle {
				t.Fatalf("%+v in stage %d, want Stopped with notice %d", e, r.Stage(), c.want)
			}
			n := len(r.audio.Played)
			r.clock.Run(1000)
			if len(r.audio.Played) != n {
				t.Error("goes on playing")
			}
			if c.mend != nil {
				c.mend(r)
			}
			r.Start()
			r.clock.Run(2000)
			if r.Stage() != transport.Playing || len(r.audio.Played) < n+4 {
				t.Errorf("Start does not recover: stage %d, %+v", r.Stage(), r.last())
			}
		})
	}
}

// What the player should know, while playing goes on.
func TestWhatIsNoticed(t *testing.T) {
	for _, c := range []struct {
		name   string
		want   transport.Notice
		happen func(*rig)
	}{
		{"a stutter", transport.Stuttered, func(r *rig) { r.audio.Jump(15) }},
		{"a device plugged in", transport.OutputsListed, func(r *rig) { r.audio.Plug() }},
		{"no measured pairs", transport.RoughClock, func(r *rig) { r.audio.NoPairs = true }},
		{"pairs of zeros", transport.RoughClock, func(r *rig) { r.audio.ZeroPairs = true }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t)
			r.start(synth.Plan{Passage: kicks(t, "4/4", "180", 1)})
			r.clock.Run(1000)
			c.happen(r)
			r.clock.Run(10_000)
			if n := r.count(transport.Noticed, c.want); n != 1 {
				t.Errorf("told %d times, want once; last %+v", n, r.last())
			}
			if r.Stage() != transport.Playing {
				t.Errorf("stopped: %+v", r.last())
			}
		})
	}
}

// A browser that gives no sound says so in the end, and not before its time.
func TestDoesNotStart(t *testing.T) {
	for _, c := range []struct {
		name string
		want transport.Notice
		make func(*rig)
		mend func(*rig)
	}{
		{"no output", transport.NoOutput, func(r *rig) { r.audio.Refuses = true }, func(r *rig) { r.audio.Refuses = false }},
		{"waits for a press", transport.NeedsPress, func(r *rig) { r.audio.Holds = true }, func(r *rig) { r.audio.Holds = false }},
		{"out of sight", transport.WentHidden, func(r *rig) { r.clock.Hide(true) }, func(r *rig) { r.clock.Hide(false) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t)
			c.make(r)
			r.load(synth.Plan{Passage: kicks(t, "4/4", "180", 1)})
			r.Start()
			r.clock.Run(transport.Patience + 50)
			if e := r.last(); e.Kind != transport.Stopped || e.Notice != c.want || r.Stage() != transport.Idle {
				t.Fatalf("%+v in stage %d, want Stopped with notice %d", e, r.Stage(), c.want)
			}
			c.mend(r)
			r.Start()
			r.clock.Run(500)
			if r.Stage() != transport.Playing {
				t.Errorf("does not start afterwards: %+v", r.last())
			}
		})
	}
}

// An idle device is let sleep, and Start wakes it.
func TestRest(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "180", 1), Passes: 1})
	r.clock.RunUntil(10_000, func() bool { return r.Stage() == transport.Idle })
	r.clock.Run(transport.Rest - 100)
	if r.audio.State() != transport.Running {
		t.Fatal("rests too early")
	}
	r.clock.Run(200)
	if r.audio.State() != transport.Paused || r.last().Kind != transport.Ended {
		t.Fatalf("does not rest: state %d, %+v", r.audio.State(), r.last())
	}
	r.Start()
	r.clock.Run(200)
	if r.Stage() != transport.Playing {
		t.Errorf("does not wake: %+v", r.last())
	}
}

func TestNothingLoaded(t *testing.T) {
	r := newRig(t)
	r.Start()
	r.Stop()
	if p := r.Where(); p.OK || r.Place(1000).OK || r.Stage() != transport.Idle || r.PassStart(1) != 0 {
		t.Error("something plays without a plan")
	}
	if r.Load(synth.Plan{}) == nil {
		t.Error("an empty passage was taken")
	}
}

// The listener may stop or start in the middle of an event.
func TestListenerActs(t *testing.T) {
	r := newRig(t)
	starts, began, lasted := 0, 0.0, 0.0
	r.OnEvent(func(e transport.Event) {
		switch {
		case e.Kind == transport.Passed && starts == 0:
			starts, began = 1, r.clock.Time()
			r.Start()
		case e.Kind == transport.Passed:
			lasted = r.clock.Time() - began
			r.Stop()
		}
	})
	r.load(synth.Plan{Passage: kicks(t, "4/4", "240", 1)})
	r.Start()
	r.clock.Run(5000)
	if starts != 1 || r.Stage() != transport.Idle || lasted < 1000 {
		t.Errorf("%d starts, stage %d, a pass of a second told after %.0f ms", starts, r.Stage(), lasted)
	}
}
