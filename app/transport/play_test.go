package transport_test

import (
	"math/big"
	"testing"

	"stampmill/app/transport"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// What reaches the device is the sequence's own commands, moved by one origin,
// each far enough ahead.
func TestCommandsReachTheDevice(t *testing.T) {
	r := newRig(t)
	plan := synth.Plan{Passage: kicks(t, "4/4", "137", 2), CountIn: 1, Passes: 3, Dry: true}
	r.start(plan)
	r.clock.Run(20_000)

	plan.Rate = 48000
	seq, err := synth.NewSequence(plan)
	if err != nil {
		t.Fatal(err)
	}
	var want []synth.Command
	for _, c := range seq.Next(nil, 1<<40) {
		if !c.Stop {
			want = append(want, c)
		}
	}
	if len(r.audio.Played) != len(want) || len(want) != 4+3*8 {
		t.Fatalf("%d sounds, want %d", len(r.audio.Played), len(want))
	}
	origin := r.audio.Played[0].Frame - want[0].Frame
	for i, p := range r.audio.Played {
		c := want[i]
		if p.Frame != origin+c.Frame || p.Key != c.Key || p.Gain != c.Gain || p.Pan != c.Pan {
			t.Errorf("sound %d: %+v, want %+v from frame %d", i, p, c, origin)
		}
		if ahead := p.Frame - p.Asked; i > 0 && ahead < 48*(transport.LookAhead-40) || ahead < 48*transport.Guard {
			t.Errorf("sound %d was asked for only %d frames ahead", i, ahead)
		}
	}
	if r.Late() != 0 {
		t.Errorf("%d late", r.Late())
	}
}

// A thousand passes of 7/8 at a tempo that divides no rate: every kick stands
// where the exact sum of all passes puts it, rounded once.
func TestThousandSeamlessPasses(t *testing.T) {
	r := newRig(t)
	p := kicks(t, "7/8 (2+2+3)", "313/3", 1)
	r.start(synth.Plan{Passage: p, Click: synth.ClickNone})
	tempo, err := p.TempoMap()
	if err != nil {
		t.Fatal(err)
	}
	length := tempo.Exact(p.Length())
	const passes = 1000
	seconds, _ := length.Float64()
	r.clock.Run(1000 * (seconds*passes + 1))

	played := r.kicksPlayed()
	if len(played) < 4*passes {
		t.Fatalf("%d kicks in %d passes", len(played), passes)
	}
	origin := played[0].Frame
	for i, k := range played[:4*passes] {
		exact := new(big.Rat).Mul(length, big.NewRat(int64(i/4), 1))
		exact.Add(exact, tempo.Exact(meter.Int(int64(i%4))))
		if want := origin + meter.RoundSample(exact, 48000); k.Frame != want {
			t.Fatalf("kick %d of pass %d at frame %d, want %d", i%4, i/4, k.Frame, want)
		}
	}
	if r.Late() != 0 || r.count(transport.Noticed, transport.Stuttered) != 0 {
		t.Errorf("%d late, events %v", r.Late(), r.last())
	}
}

// Measured in a browser: blocks of 120 ms again and again do no harm when
// commands go out 200 ms ahead.
func TestBusyPage(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "400", 1)})
	for range 200 {
		r.clock.Block(120)
		r.clock.Run(30)
	}
	if r.Late() != 0 {
		t.Errorf("%d strokes left out", r.Late())
	}
}

// A page that stands still for longer leaves strokes out, says so once, and
// goes on in time.
func TestStandstill(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "400", 1), Click: synth.ClickNone}) // a kick every 7200 frames
	r.clock.Run(1000)
	r.clock.Block(900)
	r.clock.Run(1000)
	if late := r.Late(); late < 3 || late > 6 {
		t.Errorf("%d strokes left out of a gap of 700 ms, want 3 to 6", late)
	}
	if n := r.count(transport.Noticed, transport.LeftOut); n != 1 {
		t.Errorf("told %d times, want once", n)
	}
	played := r.kicksPlayed()
	for _, k := range played {
		if (k.Frame-played[0].Frame)%7200 != 0 {
			t.Errorf("a kick at frame %d, off its place", k.Frame)
		}
	}
}

// A page that was slow once is given more ahead: the same pause again leaves
// nothing out.
func TestSlowPage(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "400", 1), Click: synth.ClickNone})
	r.clock.Run(1000)
	r.clock.Block(400)
	r.clock.Run(200)
	late := r.Late()
	if late == 0 {
		t.Fatal("a pause of 400 ms left nothing out; the test shows nothing")
	}
	for range 10 {
		r.clock.Block(400)
		r.clock.Run(200)
	}
	if r.Late() != late {
		t.Errorf("%d more left out", r.Late()-late)
	}
}

// Stop: all is silent within 30 ms, by a fade long enough not to click, and
// nothing is played or waited for afterwards.
func TestStop(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "180", 1), CountIn: 1})
	r.clock.Run(2345)
	r.Stop()
	if len(r.audio.Silenced) != 1 {
		t.Fatalf("silenced %d times", len(r.audio.Silenced))
	}
	s := r.audio.Silenced[0]
	if ms := float64(s.Frame+int64(s.Length)-s.Asked) / 48; ms > 30 {
		t.Errorf("silent after %.1f ms, want 30", ms)
	}
	if ms := float64(s.Length) / 48; ms < 5 {
		t.Errorf("a fade of %.1f ms clicks; 5 do not", ms)
	}
	n := len(r.audio.Played)
	r.clock.Run(2000)
	if len(r.audio.Played) != n {
		t.Error("something was played after Stop")
	}
	if e := r.last(); e.Kind != transport.Stopped || e.Notice != transport.ByPlayer || r.Stage() != transport.Idle {
		t.Errorf("last event %v in stage %d", e, r.Stage())
	}
	r.Start()
	r.clock.Run(200)
	if r.Stage() != transport.Playing || r.kicksOrClicksAfter(n) == 0 {
		t.Error("Start after Stop does not play")
	}
}

func (r *rig) kicksOrClicksAfter(n int) int { return len(r.audio.Played) - n }

// Start while playing begins again, with what was scheduled gone.
func TestStartAgain(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "180", 1), CountIn: 1})
	r.clock.Run(3000)
	r.Start()
	if s := r.audio.Silenced; len(s) != 1 || s[0].Played == len(r.audio.Played) {
		t.Fatalf("silenced %v before %d sounds", s, len(r.audio.Played))
	}
	first := r.audio.Played[r.audio.Silenced[0].Played]
	if first.Key.Voice != passage.Click {
		t.Errorf("begins with %v, want the count-in", first.Key)
	}
}

// After the last pass the transport waits for a late press, then says so.
func TestEnd(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "120", 1), Passes: 2}) // two passes of 2 s
	origin := r.audio.Played[0].Frame
	r.clock.RunUntil(10_000, func() bool { return r.last().Kind == transport.Ended })
	if n := r.count(transport.Passed, 0); n != 2 {
		t.Errorf("%d passes told, want 2", n)
	}
	end := r.audio.EventOf(float64(origin + 4*48000))
	if ms := r.clock.Time() - end; ms < transport.Grace || ms > transport.Grace+50 {
		t.Errorf("ended %.0f ms after the last pass was heard, want %d", ms, transport.Grace)
	}
	if r.Stage() != transport.Idle || len(r.audio.Silenced) != 0 {
		t.Error("what rings after the end was cut")
	}
}

// A new tempo holds from the next pass after its sounds are made.
func TestTempo(t *testing.T) {
	r := newRig(t)
	r.start(synth.Plan{Passage: kicks(t, "4/4", "120", 1), Click: synth.ClickNone})
	r.clock.Run(3000) // in the second pass
	if err := r.SetTempo(meter.Int(240)); err != nil {
		t.Fatal(err)
	}
	r.clock.Run(4000)
	var gaps []int64
	played := r.kicksPlayed()
	for i := 1; i < 12; i++ {
		gaps = append(gaps, played[i].Frame-played[i-1].Frame)
	}
	for i, g := range gaps {
		if want := int64(24000); i < 8 && g != want || i >= 8 && g != want/2 {
			t.Fatalf("gaps %v, want eight of 24000, then 12000", gaps)
		}
	}
	if got := r.PassStart(3) - r.PassStart(2); got != 1 {
		t.Errorf("pass 2 lasts %g s, want 1", got)
	}
	if r.SetTempo(meter.Int(2)) == nil {
		t.Error("2 beats a minute were taken")
	}
	r.Stop()
	r.Start()
	r.clock.Run(1000)
	again := r.kicksPlayed()[len(played):]
	if len(again) < 2 || again[1].Frame-again[0].Frame != 12000 {
		t.Error("the new tempo is forgotten at the next Start")
	}
}

func TestLevels(t *testing.T) {
	r := newRig(t)
	r.Level(passage.Kick, 0.5)
	r.Mute(passage.Guitar, true)
	r.Master(0.25)
	r.audio.Levels, r.audio.Loudness = map[passage.Voice]float32{}, 0 // a device opened later knows nothing
	r.start(synth.Plan{Passage: kicks(t, "4/4", "120", 1)})
	a := r.audio
	if a.Levels[passage.Kick] != 0.5 || a.Levels[passage.Guitar] != 0 || a.Levels[passage.Snare] != 1 || a.Loudness != 0.25 {
		t.Errorf("levels %v, %g at the start", a.Levels, a.Loudness)
	}
	r.Level(passage.Guitar, 2)
	if a.Levels[passage.Guitar] != 0 {
		t.Error("a level unmutes")
	}
	r.Mute(passage.Guitar, false)
	if a.Levels[passage.Guitar] != 2 {
		t.Error("the level set while muted is lost")
	}
}

// The device's own rate counts; where no sound can be made at it, another one
// is asked for.
func TestRates(t *testing.T) {
	for _, c := range []struct{ device, want int }{{48000, 48000}, {44100, 44100}, {96000, 96000}, {22050, 48000}, {192000, 48000}} {
		r := newRig(t)
		r.audio.Device = c.device
		r.start(synth.Plan{Passage: kicks(t, "4/4", "120", 1), Click: synth.ClickNone})
		r.clock.Run(2000)
		played := r.kicksPlayed()
		if r.Rate() != c.want || played[1].Frame-played[0].Frame != int64(c.want/2) {
			t.Errorf("a device at %d: sounds at %d, half a second is %d frames; want %d", c.device, r.Rate(), played[1].Frame-played[0].Frame, c.want)
		}
	}
}

func TestChokeThatComesLate(t *testing.T) {
	r := newRig(t)
	p := kicks(t, "4/4", "240", 1)
	p.Lines = []passage.Line{{Voice: passage.China, Strokes: []passage.Stroke{
		{At: meter.Rat{}, Length: meter.Int(1), Kind: passage.Hit},
		{At: meter.Int(1), Length: meter.Int(1), Kind: passage.Choke},
	}}}
	r.start(synth.Plan{Passage: p, Click: synth.ClickNone})
	r.clock.Run(500)
	r.clock.Block(900)
	r.clock.Run(100)
	if len(r.audio.Faded) == 0 {
		t.Fatal("no choke")
	}
	for _, f := range r.audio.Faded {
		if f.Frame < f.Asked || f.Voice != passage.China {
			t.Errorf("a choke in the past, or of another voice: %+v", f)
		}
	}
}
