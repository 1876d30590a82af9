package transport_test

import (
	"testing"

	"pgregory.net/rapid"

	"stampmill/app/transport"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// Whatever happens in whatever order: the device is never asked for what it
// cannot do, nothing is played at rest, and in the end Start plays.
func TestAnythingMayHappen(t *testing.T) {
	var plans []synth.Plan
	for _, v := range []passage.Voice{passage.Kick, passage.Snare} {
		p := kicks(t, "5/4", "211", 1)
		p.Lines[0].Voice = v
		plans = append(plans, synth.Plan{Passage: p, CountIn: 1}, synth.Plan{Passage: p, Passes: 1, Click: synth.ClickBeats})
	}
	rapid.Check(t, func(rt *rapid.T) {
		r := newRig(t)
		r.audio.Problems = nil
		acts := []struct {
			name string
			do   func()
		}{
			{"load", func() { r.load(rapid.SampledFrom(plans).Draw(rt, "plan")) }},
			{"prefetch", func() { r.Prefetch(rapid.SampledFrom(plans).Draw(rt, "plan")) }},
			{"start", r.Start},
			{"start", r.Start},
			{"stop", r.Stop},
			{"tempo", func() { _ = r.SetTempo(meter.Int(rapid.Int64Range(20, 400).Draw(rt, "bpm"))) }},
			{"run", func() { r.clock.Run(rapid.Float64Range(0, 3000).Draw(rt, "ms")) }},
			{"run", func() { r.clock.Run(rapid.Float64Range(0, 100).Draw(rt, "ms")) }},
			{"block", func() { r.clock.Block(rapid.Float64Range(0, 2000).Draw(rt, "ms")) }},
			{"hide", func() { r.clock.Hide(rapid.Bool().Draw(rt, "hidden")) }},
			{"plug", r.audio.Plug},
			{"jump", func() { r.audio.Jump(rapid.Float64Range(-300, 300).Draw(rt, "ms")) }},
			{"state", func() {
				r.audio.Become(rapid.SampledFrom([]transport.DeviceState{
					transport.Closed, transport.Paused, transport.Lost, transport.Refused}).Draw(rt, "state"))
			}},
			{"hold", func() { r.audio.Holds = rapid.Bool().Draw(rt, "holds") }},
			{"pairs", func() { r.audio.ZeroPairs = rapid.Bool().Draw(rt, "zero") }},
			{"rate", func() { r.audio.Device = rapid.SampledFrom([]int{22050, 44100, 48000}).Draw(rt, "rate") }},
			{"memory", func() { r.SetLimit(rapid.IntRange(0, 1<<20).Draw(rt, "bytes")) }},
			{"press", func() { r.Place(rapid.Float64Range(-1e9, 1e9).Draw(rt, "at")); r.Where() }},
		}
		for range rapid.IntRange(1, 40).Draw(rt, "acts") {
			act := rapid.SampledFrom(acts).Draw(rt, "act")
			rest, played := r.Stage() == transport.Idle, len(r.audio.Played)
			act.do()
			if act.name != "start" && rest && len(r.audio.Played) != played {
				rt.Fatalf("%s at rest plays", act.name)
			}
		}
		r.audio.Holds = false
		r.clock.Hide(false)
		r.Stop()
		r.clock.Run(10_000) // what happened just now may rightly stop the next start; what is long past may not
		r.load(plans[0])
		r.Start()
		if !r.clock.RunUntil(3000, func() bool { return r.Stage() == transport.Playing }) {
			rt.Fatalf("does not start in the end: stage %d, %+v", r.Stage(), r.last())
		}
		n := len(r.audio.Played)
		r.clock.Run(2000)
		if len(r.audio.Played) == n {
			rt.Fatal("plays nothing in the end")
		}
		if len(r.audio.Problems) > 0 {
			rt.Fatalf("the device was asked for %q", r.audio.Problems)
		}
	})
}
