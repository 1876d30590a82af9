package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"sort"
	"strings"

	"stampmill/exercises/passage"
	"stampmill/synth"
)

var playCommand = command{
	name: "play", operands: "FILE", least: 1, most: 1,
	does: "play a step through the sound output; Ctrl-C stops",
	examples: []string{
		"play headframe",
		"play --step 6 --tempo 80 --loop --click beats --count-in 1 headframe",
		"play --voices kick,guitar --passes 4 --tuning C2 headframe",
	},
	setup: func(flags *flag.FlagSet) action {
		p := playing{passes: countFlag{1, 1, maxPasses}, countIn: countFlag{0, 0, synth.MaxCountIn}, rate: countFlag{clockRate, 1, math.MaxInt32}, click: clickFlag{click: synth.ClickNone, text: "none"}}
		p.pick.register(flags)
		flags.Var(&p.voices, "voices", "VOICES|voices to be heard, joined by commas; all when not given")
		flags.Var(&p.passes, "passes", "N|how often it is played")
		flags.BoolVar(&p.loop, "loop", false, "play it again and again, until Ctrl-C")
		flags.Var(&p.countIn, "count-in", "BARS|bars of click before it; needs --click")
		flags.Var(&p.click, "click", "PLACES|where a metronome sounds: beats, offbeats, none, or places such as 'on 2,4' or '3 of 4 on 2'")
		flags.Var(&p.silence, "silent-bars", "H+S|bars heard and bars silent in turn, such as 2+1")
		flags.Var(&p.tuning, "tuning", "NOTE|lowest string of the guitar, E2 down to F1, in place of the written one")
		flags.Var(&p.view, "view", "VIEW|from where the drums are heard: audience or drummer")
		flags.BoolVar(&p.dry, "dry", false, "leave the room out")
		flags.Var(&p.rate, "rate", "HZ|samples a second")
		return p.run
	},
}

// playing is what the flags of play say.
type playing struct {
	pick    choice
	voices  voicesFlag
	passes  countFlag
	loop    bool
	countIn countFlag
	click   clickFlag
	silence silenceFlag
	tuning  tuningFlag
	view    viewFlag
	dry     bool
	rate    countFlag
}

func (p *playing) run(t terminal, operands []string) error {
	ctx, stop := interruptible(t)
	defer stop()
	c, err := p.pick.open(t, operands[0])
	if err != nil {
		return err
	}
	mix, err := heard(c.passage, p.voices.voices)
	if err != nil {
		return err
	}
	if p.click.click == synth.ClickNone && nothingHeard(c.passage, mix) {
		return noStrokes(operands[0], c)
	}
	seq, err := p.sequence(&c)
	if err != nil {
		return err
	}
	out, err := t.speaker(p.rate.value)
	if err != nil {
		return fmt.Errorf("%w; stampmill render makes a file of the step instead", err)
	}
	show := sight(t)
	bank, err := made(ctx, seq, p.rate.value, show)
	if err != nil {
		return err
	}
	r, err := synth.NewRenderer(seq, bank, mix)
	if err != nil {
		return err
	}
	on := performance{ctx: ctx, interrupted: stop, seq: seq, sound: r, rate: p.rate.value, behind: out.Behind(), line: lineOf(c.passage, p.all()), show: show}
	show(c.line() + "; start low and turn up slowly; Ctrl-C stops\n")
	defer show("")
	return out.Play(on.read)
}

// sequence returns what is played, and puts what the flags change into c.
func (p *playing) sequence(c *chosen) (*synth.Sequence, error) {
	if p.countIn.value > 0 && p.click.click == synth.ClickNone {
		return nil, misusef("--count-in %d counts with the click, and there is none; add --click beats", p.countIn.value)
	}
	if p.tuning.pitch != 0 {
		c.passage.Tuning = p.tuning.pitch
	}
	plan := synth.Plan{Passage: c.passage, Rate: p.rate.value, CountIn: p.countIn.value, Passes: p.all(),
		Click: p.click.click, Places: p.click.places, Silence: p.silence.Silence, View: p.view.View, Dry: p.dry, Seed: renderSeed}
	seq, err := synth.NewSequence(plan)
	if err != nil {
		return nil, misuse{err}
	}
	return seq, nil
}

// all returns how many passes there are, 0 for no end.
func (p *playing) all() int {
	if p.loop {
		return 0
	}
	return p.passes.value
}

// line names what is played.
func (c chosen) line() string {
	return fmt.Sprintf("%s, step %d: %s, %s BPM", c.climb.Title, c.number, c.step.Title, c.bpm())
}

// batch is how many sounds are made between two looks at the keyboard, on all
// processors at once; our choice.
const batch = 16

// made returns a bank with every sound of the sequence: while it plays there is
// no time to make one.
func made(ctx context.Context, seq *synth.Sequence, rate int, show func(string)) (*synth.Bank, error) {
	bank, err := synth.NewBank(rate, renderSeed)
	if err != nil {
		return nil, misuse{fmt.Errorf("--rate %d: %w", rate, err)}
	}
	keys := seq.Keys()
	for n := 0; n < len(keys); n += batch {
		if ctx.Err() != nil {
			return nil, errors.New("interrupted while the sounds were made")
		}
		show(fmt.Sprintf("making sounds: %d of %d", n, len(keys)))
		bank.Make(keys[n:min(n+batch, len(keys))]...)
	}
	return bank, nil
}

// fadeSeconds is how long the sound takes to end after Ctrl-C: well over the 5
// ms from which on a fade does not click, and over at once; our choice.
const fadeSeconds = .05

// A performance is a step on its way to the output.
type performance struct {
	ctx         context.Context
	interrupted func() // called at once when ctx has ended, so that a second Ctrl-C ends the program
	seq         *synth.Sequence
	sound       interface{ Read([]float32) int }
	rate        int
	behind      int // frames asked for before they are heard
	line        func(pass int, quarters float64) string
	show        func(string)

	asked  int // frames
	fading int // frames of the fade made; 0: it has not begun
	shown  string
}

// read is the performance as a source: the sound, and where the context has
// ended its fade, while the place that is heard is shown.
func (p *performance) read(dst []float32) int {
	n := p.sound.Read(dst)
	p.asked += n
	p.tell()
	if p.ctx.Err() == nil && p.fading == 0 {
		return n
	}
	p.interrupted()
	return p.fade(dst[:2*n])
}

// fade lets interleaved samples end, from where the fade stands, and returns
// how many frames are left of them.
func (p *performance) fade(pcm []float32) int {
	whole := int(fadeSeconds * float64(p.rate))
	for i := range len(pcm) / 2 {
		if p.fading == whole {
			return i
		}
		p.fading++
		g := 1 - float32(p.fading)/float32(whole)
		pcm[2*i] *= g
		pcm[2*i+1] *= g
	}
	return len(pcm) / 2
}

// tell shows what is heard now, when it is another beat than before.
func (p *performance) tell() {
	at := max(0, p.asked-p.behind)
	if line := p.line(p.seq.Where(int64(at))); line != p.shown {
		p.shown = line
		p.show(line)
	}
}

// lineOf returns what says where in the passage the sound is: "pass 1, bar 2 of
// 4, beat 3". After passes of them it rings out.
func lineOf(p passage.Passage, passes int) func(pass int, quarters float64) string {
	beats, bars := p.Beats(), len(p.Bars)
	return func(pass int, quarters float64) string {
		switch {
		case pass < 0:
			return "count-in"
		case passes > 0 && pass >= passes:
			return "ringing out"
		}
		n := sort.Search(len(beats), func(i int) bool { return beats[i].At.Float() > quarters })
		at := beats[max(0, n-1)]
		return fmt.Sprintf("pass %d%s, bar %d of %d, beat %d", pass+1, ofPasses(passes), at.Bar, bars, at.Number)
	}
}

func ofPasses(passes int) string {
	if passes == 0 {
		return ""
	}
	return fmt.Sprintf(" of %d", passes)
}

// sight returns what shows one changing line to a person at a terminal; text
// that ends in a line break stays.
func sight(t terminal) func(string) {
	if !isTerminal(t.stderr) {
		return func(string) {}
	}
	return oneLine(t.stderr)
}

// oneLine returns what writes each text over the one before.
func oneLine(w io.Writer) func(string) {
	width := 0
	return func(text string) {
		fmt.Fprintf(w, "\r%s%s", text, strings.Repeat(" ", max(0, width-len(text))))
		if width = len(text); strings.HasSuffix(text, "\n") {
			width = 0
		}
		if text == "" {
			fmt.Fprint(w, "\r")
		}
	}
}
