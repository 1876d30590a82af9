package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"os/signal"
	"strings"

	"stampmill/exercises/passage"
	"stampmill/synth"
	"stampmill/synth/loudness"
	"stampmill/synth/wav"
)

// Bounds of what is rendered, our choice: an hour is more than anybody
// practises to, and full scale is louder than music can be.
const (
	maxRenderSeconds = 3600
	maxPasses        = 999
	quietestLUFS     = -60
	loudestLUFS      = -5
)

// renderSeed makes every rendering of a passage the same; our choice.
const renderSeed = 1

var renderCommand = command{
	name: "render", operands: "FILE", least: 1, most: 1,
	does: "make sound of a step, as a WAV file",
	examples: []string{
		"render headframe -o headframe.wav",
		"render --step 6 --passes 4 --tempo 92 headframe -o slow.wav",
		"render --voices kick,guitar --lufs -16 headframe -o pair.wav",
		"render --view drummer --tuning C2 headframe -o stool.wav",
		"render --click offbeats --silent-bars 2+2 --passes 4 headframe -o alone.wav",
	},
	setup: func(flags *flag.FlagSet) action {
		r := rendering{passes: countFlag{1, 1, maxPasses}, rate: countFlag{clockRate, 1, math.MaxInt32}, lufs: numberFlag{least: quietestLUFS, most: loudestLUFS, unset: true}, click: clickFlag{click: synth.ClickNone, text: "none"}}
		r.pick.register(flags)
		flags.StringVar(&r.out, "o", "", "FILE|file to write; has to be given")
		flags.Var(&r.voices, "voices", "VOICES|voices to be heard, joined by commas; all when not given")
		flags.Var(&r.passes, "passes", "N|how often it is played")
		flags.Var(&r.rate, "rate", "HZ|samples a second")
		flags.Var(&r.tuning, "tuning", "NOTE|lowest string of the guitar, E2 down to F1, in place of the written one")
		flags.Var(&r.view, "view", "VIEW|from where the drums are heard: audience or drummer")
		flags.BoolVar(&r.dry, "dry", false, "leave the room out")
		flags.Var(&r.click, "click", "PLACES|where a metronome sounds: beats, offbeats, none, or places such as 'on 2,4' or '3 of 4 on 2'")
		flags.Var(&r.silence, "silent-bars", "H+S|bars heard and bars silent in turn, such as 2+1")
		flags.Var(&r.lufs, "lufs", "LUFS|integrated loudness to reach; as mixed when not given, the whole step at -20")
		return r.run
	},
}

// A rendering is what the flags of render say.
type rendering struct {
	pick   choice
	out    string
	voices voicesFlag
	passes countFlag
	rate   countFlag
	lufs   numberFlag

	click   clickFlag
	silence silenceFlag
	tuning  tuningFlag
	view    viewFlag
	dry     bool
}

func (r *rendering) run(t terminal, operands []string) error {
	if err := outputNamed(r.out, ".wav"); err != nil {
		return err
	}
	ctx, stop := interruptible(t)
	defer stop()
	c, err := r.pick.open(t, operands[0])
	if err != nil {
		return err
	}
	mix, err := heard(c.passage, r.voices.voices)
	if err != nil {
		return err
	}
	if r.click.click == synth.ClickNone && nothingHeard(c.passage, mix) {
		return noStrokes(operands[0], c)
	}
	studio, err := r.studio(c)
	if err != nil {
		return err
	}
	studio.ctx, studio.tell = ctx, progress(t)
	return writeFile(r.out, func(f *os.File) error { return r.write(studio, f, mix) })
}

// write levels the sound where a loudness is asked for, and writes it.
func (r *rendering) write(s *studio, f *os.File, mix synth.Mix) (err error) {
	if r.lufs.given {
		if mix, err = s.level(mix, r.lufs.value); err != nil {
			return err
		}
	}
	return s.record(f, mix)
}

// noStrokes says what to do where there is nothing to be heard.
func noStrokes(file string, c chosen) error {
	return fmt.Errorf("%s: step %d has no strokes to be heard; write some, name other voices, or add --click beats", file, c.number)
}

// nothingHeard reports whether no stroke of a passage is heard in a mix.
func nothingHeard(p passage.Passage, mix synth.Mix) bool {
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if s.Kind != passage.Choke && mix.Level(l.Voice) > 0 {
				return false
			}
		}
	}
	return true
}

// outputNamed checks the name given with -o.
func outputNamed(name, ending string) error {
	switch {
	case name == "":
		return misusef("no file named to write; name one, as in -o name%s", ending)
	case !strings.HasSuffix(strings.ToLower(name), ending):
		return misusef("%q does not end in %s, which is all that is written here; name a %[2]s file", name, ending)
	}
	return nil
}

// heard returns the mix in which only the given voices sound, all where none
// are given.
func heard(p passage.Passage, voices []passage.Voice) (synth.Mix, error) {
	mix := synth.AsMixed
	if voices == nil {
		return mix, nil
	}
	mix.Levels = map[passage.Voice]float32{}
	for _, v := range p.Voices() {
		mix.Levels[v] = 0
	}
	for _, v := range voices {
		if _, ok := p.Line(v); !ok {
			return mix, misusef("the step has no %s; it has %s", v, (&voicesFlag{p.Voices()}).String())
		}
		mix.Levels[v] = 1
	}
	return mix, nil
}

// interruptible returns a context that ends when the user interrupts.
func interruptible(t terminal) (context.Context, context.CancelFunc) {
	return signal.NotifyContext(t.ctx, os.Interrupt, terminate)
}

// A studio renders one plan, as often as it takes.
type studio struct {
	ctx     context.Context
	plan    synth.Plan
	bank    *synth.Bank
	seconds float64            // of all passes
	tell    func(done float64) // share of the work, 0 to 1
}

func (r *rendering) studio(c chosen) (*studio, error) {
	tempo, err := c.passage.TempoMap()
	if err != nil {
		return nil, err
	}
	seconds := tempo.Seconds(c.passage.Length()) * float64(r.passes.value)
	if seconds > maxRenderSeconds {
		return nil, misusef("%d passes take %.0f seconds, above an hour; ask for fewer", r.passes.value, seconds)
	}
	bank, err := synth.NewBank(r.rate.value, renderSeed)
	if err != nil {
		return nil, misuse{fmt.Errorf("--rate %d: %w", r.rate.value, err)}
	}
	if r.tuning.pitch != 0 {
		c.passage.Tuning = r.tuning.pitch
	}
	plan := synth.Plan{Passage: c.passage, Rate: r.rate.value, Passes: r.passes.value, Click: r.click.click, Places: r.click.places,
		Silence: r.silence.Silence, View: r.view.View, Dry: r.dry, Seed: renderSeed}
	seq, err := synth.NewSequence(plan)
	if err != nil {
		return nil, misuse{err}
	}
	if plan.Passes == 1 {
		bank.Make(seq.FirstKeys()...)
	} else {
		bank.Make(seq.Keys()...)
	}
	return &studio{plan: plan, bank: bank, seconds: seconds}, nil
}

// sliceFrames is how much is rendered between two looks at the clock and the
// keyboard; our choice.
const sliceFrames = 4096

// play renders the plan slice by slice.
func (s *studio) play(mix synth.Mix, use func(interleaved []float32) error) error {
	seq, err := synth.NewSequence(s.plan)
	if err != nil {
		return err
	}
	r, err := synth.NewRenderer(seq, s.bank, mix)
	if err != nil {
		return err
	}
	buffer := make([]float32, 2*sliceFrames)
	whole := (s.seconds + synth.MaxTail) * float64(s.plan.Rate)
	for at := 0; ; at += sliceFrames {
		if s.ctx.Err() != nil {
			return errors.New("interrupted; nothing was written")
		}
		n := r.Read(buffer)
		if err := use(buffer[:2*n]); err != nil {
			return err
		}
		if n < sliceFrames {
			s.tell(1)
			return nil
		}
		s.tell(math.Min(float64(at)/whole, 0.99))
	}
}

// record writes the plan as a WAV file of 24 bits.
func (s *studio) record(f *os.File, mix synth.Mix) error {
	w, err := wav.NewWriter(f, wav.Format{Rate: s.plan.Rate, Channels: 2, Encoding: wav.PCM24})
	if err != nil {
		return err
	}
	if err := s.play(mix, w.Write); err != nil {
		return err
	}
	return w.Close()
}

// Levelling to a loudness repeats until it is this near, as the limiter takes
// a little away; our choice.
const (
	nearLU   = 0.1
	maxTries = 5
)

// level returns the mix with the master gain at which the plan has the given
// loudness.
func (s *studio) level(mix synth.Mix, want float64) (synth.Mix, error) {
	for range maxTries {
		m := loudness.NewMeter(s.plan.Rate, 2)
		err := s.play(mix, func(samples []float32) error { m.Add(samples); return nil })
		if err != nil {
			return mix, err
		}
		got := m.Integrated()
		if math.IsInf(got, -1) {
			return mix, misusef("there is too little sound to measure its loudness; leave --lufs out")
		}
		if math.Abs(got-want) <= nearLU {
			return mix, nil
		}
		mix.Master *= float32(loudness.Gain(got, want))
	}
	return mix, nil
}

// progress returns what tells a person at a terminal how far the work is.
func progress(t terminal) func(float64) {
	if !isTerminal(t.stderr) {
		return func(float64) {}
	}
	shown := -1
	return func(done float64) {
		percent := int(100 * done)
		if percent == shown {
			return
		}
		shown = percent
		fmt.Fprintf(t.stderr, "\r%3d %%", percent)
		if percent == 100 {
			fmt.Fprint(t.stderr, "\r     \r")
		}
	}
}
