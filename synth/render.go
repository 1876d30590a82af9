package synth

import (
	"fmt"

	"stampmill/exercises/passage"
)

// MaxTail is how long the sound may ring after the last pass, in seconds; our
// choice, the longest cymbals are gone by then.
const MaxTail = 6

// block is how many frames the renderer mixes at a time; our choice.
const block = 1024

// A Renderer carries out a sequence with a bank, offline, in constant memory.
type Renderer struct {
	seq      *Sequence
	bank     *Bank
	mix      Mix
	limiter  *limiter
	skip     int   // frames of the limiter's delay not yet thrown away
	now      int64 // next frame to mix
	flush    int   // frames still in the limiter after everything has faded
	ringing  []playing
	commands []Command
	buffer   [2 * block]float32
	ready    []float32 // part of buffer not yet given
}

// playing is one sound that is heard.
type playing struct {
	voice       passage.Voice
	start       int64
	pcm         []float32
	left, right float32
	stop        int64 // frame at which it begins to fade; -1 for none
	fade        int64 // frames
}

// NewRenderer returns a renderer that starts at the sequence's frame 0. Sounds
// that are missing in the bank are made when they are needed. It returns an
// error when the bank and the sequence do not have one rate, and when a gain of
// the mix is out of range.
func NewRenderer(seq *Sequence, bank *Bank, mix Mix) (*Renderer, error) {
	if seq.plan.Rate != bank.rate {
		return nil, fmt.Errorf("the sequence has %d frames a second, the bank %d; make both with one rate", seq.plan.Rate, bank.rate)
	}
	if err := mix.check(); err != nil {
		return nil, err
	}
	l := newLimiter(bank.rate)
	return &Renderer{seq: seq, bank: bank, mix: mix, limiter: l, skip: l.latency(), flush: l.latency()}, nil
}

// Read fills dst with interleaved left and right samples and returns how many
// frames it made: fewer than len(dst)/2 when the sequence is over and
// everything has faded, at most MaxTail after the last pass.
func (r *Renderer) Read(dst []float32) (frames int) {
	dst = dst[:len(dst)&^1]
	n := 0
	for n < len(dst) {
		if len(r.ready) == 0 && !r.fill() {
			break
		}
		c := copy(dst[n:], r.ready)
		r.ready = r.ready[c:]
		n += c
	}
	return n / 2
}

// fill makes the next block; false when there is none.
func (r *Renderer) fill() bool {
	if !r.mixed() {
		return false
	}
	r.limiter.process(r.ready)
	skip := min(r.skip, len(r.ready)/2)
	r.skip -= skip
	r.ready = r.ready[2*skip:]
	return true
}

// mixed mixes the next block, up to the limiter; false when there is none.
func (r *Renderer) mixed() bool {
	n := block
	if r.over() {
		if n = min(n, r.flush); n == 0 {
			return false
		}
		r.flush -= n
	}
	pcm := r.buffer[:2*n]
	clear(pcm)
	r.take(r.now + int64(n))
	for i := range r.ringing {
		r.ringing[i].mix(pcm, r.now)
	}
	r.now += int64(n)
	r.drop()
	glue(pcm, r.mix.Master)
	r.ready = pcm
	return true
}

// over reports whether nothing is left to be heard.
func (r *Renderer) over() bool {
	if !r.seq.Done() {
		return false
	}
	end, _ := r.seq.PassStart(r.seq.plan.Passes)
	return r.now >= end && len(r.ringing) == 0 || r.now >= end+MaxTail*int64(r.bank.rate)
}

// take carries out the commands before frame until.
func (r *Renderer) take(until int64) {
	r.commands = r.seq.Next(r.commands[:0], until)
	for _, c := range r.commands {
		if c.Stop {
			r.stop(c)
		} else {
			r.start(c)
		}
	}
}

func (r *Renderer) stop(c Command) {
	for i := range r.ringing {
		p := &r.ringing[i]
		if p.voice == c.Voice && p.start < c.Frame && p.stop < 0 {
			p.stop, p.fade = c.Frame, int64(max(c.Fade, 1))
		}
	}
}

func (r *Renderer) start(c Command) {
	gain := c.Gain * r.mix.Level(c.Voice)
	if gain == 0 {
		return
	}
	r.bank.Make(c.Key)
	left, right := PanGains(c.Pan)
	r.ringing = append(r.ringing, playing{
		voice: c.Voice, start: c.Frame, pcm: r.bank.Sound(c.Key).PCM,
		left: left * gain, right: right * gain, stop: -1,
	})
}

// drop forgets sounds that are over, keeping the order of the others.
func (r *Renderer) drop() {
	kept := r.ringing[:0]
	for _, p := range r.ringing {
		if r.now < p.end() {
			kept = append(kept, p)
		}
	}
	clear(r.ringing[len(kept):])
	r.ringing = kept
}

func (p *playing) end() int64 {
	end := p.start + int64(len(p.pcm))
	if p.stop >= 0 {
		end = min(end, p.stop+p.fade)
	}
	return end
}

// mix adds the sound to interleaved frames that begin at frame now.
func (p *playing) mix(pcm []float32, now int64) {
	until := now + int64(len(pcm)/2)
	full := min(until, p.end())
	if p.stop >= 0 {
		full = min(full, p.stop)
	}
	from := max(now, p.start)
	if from < full {
		add(pcm[2*(from-now):2*(full-now)], p.pcm[from-p.start:full-p.start], p.left, p.right)
	}
	for t := max(from, full); p.stop >= 0 && t < min(until, p.end()); t++ {
		g := 1 - float32(t-p.stop)/float32(p.fade)
		x := p.pcm[t-p.start] * g
		pcm[2*(t-now)] += x * p.left
		pcm[2*(t-now)+1] += x * p.right
	}
}

func add(pcm, mono []float32, left, right float32) {
	pcm = pcm[:2*len(mono)]
	for i := 1; i < len(pcm); i += 2 {
		x := mono[i/2]
		pcm[i-1] += x * left
		pcm[i] += x * right
	}
}

// Render returns the whole of a finite plan as interleaved left and right
// samples.
func Render(plan Plan, bank *Bank, mix Mix) ([]float32, error) {
	if plan.Passes == 0 {
		return nil, fmt.Errorf("an endless plan cannot be rendered whole; set a number of passes")
	}
	seq, err := NewSequence(plan)
	if err != nil {
		return nil, err
	}
	r, err := NewRenderer(seq, bank, mix)
	if err != nil {
		return nil, err
	}
	var out []float32
	part := make([]float32, 1<<16)
	for {
		n := r.Read(part)
		out = append(out, part[:2*n]...)
		if 2*n < len(part) {
			return out, nil
		}
	}
}
