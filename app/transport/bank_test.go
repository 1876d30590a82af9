package transport_test

import (
	"testing"

	"stampmill/app/transport"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// slow is a sound whose samples take time to make.
type slow struct {
	silence
	r    *rig
	cost float64 // ms a slice of 512
}

func (s *slow) Read(dst []float32) int {
	s.r.clock.Block(s.cost * float64(len(dst)) / 512)
	return s.silence.Read(dst)
}

// The page answers at least every slice, and progress is told.
func TestSlices(t *testing.T) {
	r := newRig(t)
	r.MakeWith(func(k synth.Key, _ int, _ uint64) synth.Generator {
		return &slow{silence: 48000, r: r, cost: 3}
	})
	plan := synth.Plan{Passage: kicks(t, "4/4", "120", 1), CountIn: 1}
	longest, answered, last := 0.0, 0, r.clock.Time()
	defer r.clock.Every(1, func() {
		longest = max(longest, r.clock.Time()-last)
		last = r.clock.Time()
		answered++
	})()
	r.load(plan)
	needed := r.Making().Needed
	if needed < 2 || r.Making().Made != 0 {
		t.Fatalf("%+v at first", r.Making())
	}
	r.Start()
	r.clock.RunUntil(10_000, func() bool { return r.Stage() == transport.Playing })
	if p := r.Making(); p.Made != needed || p.Seconds != float64(needed) {
		t.Errorf("%+v, want all %d of a second each", p, needed)
	}
	if n := r.count(transport.Progressed, 0); n != needed {
		t.Errorf("progress told %d times for %d sounds", n, needed)
	}
	if longest > 16 || answered < 10 {
		t.Errorf("the page did not answer for %.1f ms (it answered %d times)", longest, answered)
	}
	if r.Stage() != transport.Playing || r.count(transport.Ready, 0) != 1 {
		t.Errorf("stage %d, ready told %d times", r.Stage(), r.count(transport.Ready, 0))
	}
}

// Another step gives up what is half made; what was made is not made again.
func TestAnotherStep(t *testing.T) {
	r := newRig(t)
	one := synth.Plan{Passage: kicks(t, "4/4", "120", 1), CountIn: 1}
	other := one
	other.Passage.Lines = []passage.Line{{Voice: passage.Snare, Strokes: one.Passage.Lines[0].Strokes}}
	r.load(one)
	r.clock.RunUntil(1000, func() bool { return r.Making().Made == 1 })
	r.load(other)
	r.clock.Run(1000)
	if p := r.Making(); p.Made != p.Needed {
		t.Fatalf("%+v", p)
	}
	for k := range r.begun {
		if k.Voice == passage.Kick && r.audio.Held[k] == 0 && r.begun[k] > 1 {
			t.Errorf("%v was gone on with", k)
		}
	}
	r.load(one)
	r.clock.Run(1000)
	r.load(other)
	r.clock.Run(1000)
	made := 0
	for _, n := range r.begun {
		made += n
	}
	if want := len(r.audio.Held); made > want+1 { // one was given up half made
		t.Errorf("%d sounds begun for %d held", made, want)
	}
}

// Memory is bounded: what was not used for longest goes first, what is needed
// now never.
func TestEviction(t *testing.T) {
	r := newRig(t)
	var plans []synth.Plan
	for _, v := range []passage.Voice{passage.Kick, passage.Snare, passage.TomHigh} {
		p := kicks(t, "4/4", "120", 1)
		p.Lines[0].Voice = v
		plans = append(plans, synth.Plan{Passage: p, Click: synth.ClickNone})
	}
	r.load(plans[0])
	r.clock.Run(500)
	each := r.Making().Needed
	r.SetLimit(2 * each * 4 * 4000)
	for _, i := range []int{1, 0, 2} { // the kick was used after the snare
		r.load(plans[i])
		r.clock.Run(500)
	}
	for k := range r.audio.Held {
		if k.Voice == passage.Snare {
			t.Errorf("%v is still held", k)
		}
	}
	if len(r.audio.Held) != 2*each {
		t.Errorf("%d sounds held, want %d", len(r.audio.Held), 2*each)
	}
	r.SetLimit(1)
	r.start(plans[1])
	r.clock.Run(1000)
	if r.Late() != 0 || len(r.kicksPlayed()) != 0 || len(r.audio.Played) == 0 {
		t.Errorf("with no room to spare: %d left out of %d", r.Late(), len(r.audio.Played))
	}
}

// The next step's sounds are made when nothing else is to do.
func TestPrefetch(t *testing.T) {
	r := newRig(t)
	one := synth.Plan{Passage: kicks(t, "4/4", "120", 1)}
	next := one
	next.Passage.Lines = []passage.Line{{Voice: passage.Snare, Strokes: one.Passage.Lines[0].Strokes}}
	r.load(one)
	r.Prefetch(next)
	r.clock.Run(1000)
	if n := r.count(transport.Ready, 0); n != 1 {
		t.Errorf("ready told %d times", n)
	}
	r.load(next)
	if p := r.Making(); p.Made != p.Needed {
		t.Errorf("%+v right after Load", p)
	}
}
