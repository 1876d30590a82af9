package transport_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

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

// Playing begins when the sounds of the first pass are there. The other takes
// are made meanwhile; where one is not ready for its turn, another take of the
// same stroke sounds in its place, and nothing is left out.
func TestBeginsWithTheFirstPass(t *testing.T) {
	for _, c := range []struct {
		cost  float64 // ms a sound
		stand bool    // others stand in
	}{{20, false}, {1500, true}} {
		r := newRig(t)
		r.MakeWith(func(k synth.Key, _ int, _ uint64) synth.Generator {
			r.begun[k]++
			return &slow{silence: 48000, r: r, cost: c.cost * 512 / 48000}
		})
		plan := synth.Plan{Passage: kicks(t, "2/4", "240", 1), Passes: 8, Rate: 48000, Dry: true}
		seq, err := synth.NewSequence(plan)
		if err != nil {
			t.Fatal(err)
		}
		first, all := seq.FirstKeys(), seq.Keys()
		if len(first) >= len(all) {
			t.Fatalf("%d sounds to begin with of %d", len(first), len(all))
		}
		r.start(plan)
		if p := r.Making(); p.Made != len(first) || p.Needed != len(first) || len(r.audio.Held) > len(first)+1 {
			t.Errorf("playing with %d sounds made, %+v; want %d", len(r.audio.Held), p, len(first))
		}
		r.clock.Run(12_000)
		stands := 0
		var want []synth.Command
		for _, w := range seq.Next(nil, 1<<40) {
			if !w.Stop {
				want = append(want, w)
			}
		}
		if len(r.audio.Played) != len(want) || r.Late() != 0 {
			t.Fatalf("%d sounds of %d, %d left out", len(r.audio.Played), len(want), r.Late())
		}
		for i, p := range r.audio.Played {
			if p.Key != want[i].Key {
				stands++
			}
			p.Key.Take = want[i].Key.Take
			if p.Key != want[i].Key {
				t.Errorf("%v stands in for %v", p.Key, want[i].Key)
			}
		}
		if (stands > 0) != c.stand {
			t.Errorf("sounds of %g ms: %d others stood in", c.cost, stands)
		}
		for _, k := range all {
			if r.begun[k] != 1 {
				t.Errorf("%v was made %d times", k, r.begun[k])
			}
		}
	}
}

// Another tuning makes anew what is tuned, strings and sub, and nothing else.
func TestTuningMakesStringsOnly(t *testing.T) {
	r := newRig(t)
	var plan synth.Plan
	plan.Passage = kicks(t, "4/4", "120", 1)
	strokes := plan.Passage.Lines[0].Strokes
	plan.Passage.Lines = nil
	for _, v := range passage.Voices() {
		plan.Passage.Lines = append(plan.Passage.Lines, passage.Line{Voice: v, Strokes: strokes})
	}
	made := func(tuning passage.Pitch) map[passage.Family]int {
		clear(r.begun)
		plan.Passage.Tuning = tuning
		r.load(plan)
		r.clock.Run(3000)
		families := map[passage.Family]int{}
		for k, n := range r.begun {
			families[k.Voice.Family()] += n
		}
		return families
	}
	low := made(passage.LowestTuning)
	if len(low) != 5 {
		t.Fatalf("made by family: %v; want all five", low)
	}
	want := map[passage.Family]int{passage.Strings: low[passage.Strings], passage.Lows: low[passage.Lows]}
	if diff := cmp.Diff(want, made(passage.HighestTuning)); diff != "" {
		t.Errorf("in another tuning (-want +got by family):\n%s", diff)
	}
	if again := made(passage.LowestTuning); len(again) > 0 {
		t.Errorf("back in the first one: %v", again)
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
	if n := r.Making().Needed; len(r.audio.Held) > n+1 {
		t.Errorf("with no room to spare %d sounds are held, %d are needed to begin", len(r.audio.Held), n)
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
