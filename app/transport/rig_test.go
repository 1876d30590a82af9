package transport_test

import (
	"testing"

	"stampmill/app/transport"
	"stampmill/app/transport/fake"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// A rig is a transport with everything round it simulated.
type rig struct {
	*transport.Transport
	t      *testing.T
	clock  *fake.Clock
	audio  *fake.Audio
	events []transport.Event
	begun  map[synth.Key]int // how often each sound was made
}

func newRig(t *testing.T) *rig {
	t.Helper()
	r := &rig{t: t, clock: fake.NewClock(), begun: map[synth.Key]int{}}
	r.audio = fake.NewAudio(r.clock)
	r.Transport = transport.New(r.audio, r.clock, transport.Settings{Rate: 48000, Seed: 1})
	r.OnEvent(func(e transport.Event) { r.events = append(r.events, e) })
	r.MakeWith(func(k synth.Key, _ int, _ uint64) synth.Generator {
		r.begun[k]++
		left := silence(4000)
		return &left
	})
	t.Cleanup(func() {
		for _, p := range r.audio.Problems {
			t.Error("the device was asked for: ", p)
		}
	})
	return r
}

// silence is a sound of so many samples.
type silence int

func (s *silence) Read(dst []float32) int {
	n := min(len(dst), int(*s))
	*s -= silence(n)
	return n
}

// kicks returns bars of a metre at a tempo with a kick on every quarter note.
func kicks(t *testing.T, metre, tempo string, bars int) passage.Passage {
	t.Helper()
	m, err := meter.ParseMetre(metre)
	if err != nil {
		t.Fatal(err)
	}
	bpm, err := meter.ParseTempo(tempo)
	if err != nil {
		t.Fatal(err)
	}
	var p passage.Passage
	for range bars {
		p.Bars = append(p.Bars, passage.Bar{Metre: m, Tempo: bpm})
	}
	line := passage.Line{Voice: passage.Kick}
	for at := (meter.Rat{}); at.Less(p.Length()); at = at.Add(meter.Int(1)) {
		length := meter.Int(1)
		if rest := p.Length().Sub(at); rest.Less(length) {
			length = rest
		}
		line.Strokes = append(line.Strokes, passage.Stroke{At: at, Length: length, Kind: passage.Hit})
	}
	p.Lines = []passage.Line{line}
	return p
}

// load loads a plan, without the room so that a stroke is one sound, and fails
// the test when it is refused.
func (r *rig) load(plan synth.Plan) {
	r.t.Helper()
	plan.Dry = true
	if err := r.Load(plan); err != nil {
		r.t.Fatal(err)
	}
}

// start loads and starts a plan, and lets time pass until it plays.
func (r *rig) start(plan synth.Plan) {
	r.t.Helper()
	r.load(plan)
	r.Start()
	if !r.clock.RunUntil(5000, func() bool { return r.Stage() == transport.Playing }) {
		r.t.Fatalf("not playing; events %v", r.events)
	}
}

// last returns the last event that is not about making sounds.
func (r *rig) last() transport.Event {
	for i := len(r.events) - 1; i >= 0; i-- {
		if k := r.events[i].Kind; k != transport.Progressed && k != transport.Ready {
			return r.events[i]
		}
	}
	return transport.Event{}
}

func (r *rig) count(kind transport.Kind, notice transport.Notice) int {
	n := 0
	for _, e := range r.events {
		if e.Kind == kind && e.Notice == notice {
			n++
		}
	}
	return n
}

// kicksPlayed returns the starts of kicks, in the order they were asked for.
func (r *rig) kicksPlayed() []fake.Play {
	var out []fake.Play
	for _, p := range r.audio.Played {
		if p.Key.Voice == passage.Kick {
			out = append(out, p)
		}
	}
	return out
}
