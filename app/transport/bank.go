package transport

import (
	"slices"

	"stampmill/synth"
)

// Bounds of making sounds; our choices.
const (
	// sliceMillis is how long the page is kept from answering, at most and less
	// the last few hundred samples: a picture lasts 16 ms.
	sliceMillis = 10
	// sliceFrames is how many samples are made between two looks at the clock.
	sliceFrames = 512
	// MaxBytes is how much sound the device is asked to keep; five minutes at
	// 48 kHz, every step of several climbs.
	MaxBytes = 60e6
)

// Progress says how far the sounds are made that the loaded plan needs to begin.
type Progress struct {
	Made, Needed int
	Seconds      float64 // of sound made so far for this plan
}

// bank makes sounds in slices and keeps account of those the device holds.
type bank struct {
	audio  Audio
	clock  Clock
	seed   uint64
	rate   int
	limit  int // bytes
	held   map[synth.Key]*holding
	uses   uint64 // rises with each use, to find the least recently used
	bytes  int
	wanted []synth.Key // needed to begin, in order of need; those before done are held
	done   int
	all    []synth.Key // of the same plan, wanted and others
	rest   []synth.Key // those of all that may be missing still
	inUse  []synth.Key // not wanted any more, but still to be played
	later  []synth.Key // of another plan, made when nothing else is missing
	work   synth.Generator
	key    synth.Key // what work makes
	pcm    []float32
	busy   bool   // a slice is on its way
	told   func() // after each wanted sound
	begin  func(synth.Key, int, uint64) synth.Generator
}

type holding struct {
	frames int
	used   uint64
}

func newBank(audio Audio, clock Clock, rate int, seed uint64) *bank {
	return &bank{
		audio: audio, clock: clock, rate: rate, seed: seed, limit: MaxBytes,
		held: map[synth.Key]*holding{}, told: func() {}, begin: synth.Begin,
	}
}

// want makes the sounds of a sequence those needed now: of its first pass to
// begin, the others after them. Those in use stay as well. What is being made
// for nobody any more is given up.
func (b *bank) want(seq *synth.Sequence, inUse []synth.Key) {
	b.wanted, b.all, b.inUse, b.later, b.done = seq.FirstKeys(), seq.Keys(), inUse, nil, 0
	b.rest = b.all
	for _, k := range b.all {
		if h := b.held[k]; h != nil {
			b.uses++
			h.used = b.uses
		}
	}
	b.skip()
	b.run()
}

// wantLater asks for sounds that may be needed soon.
func (b *bank) wantLater(keys []synth.Key) {
	b.later = keys
	b.run()
}

// atRate forgets everything when the sounds held are for another rate.
func (b *bank) atRate(rate int) {
	if rate == b.rate {
		return
	}
	b.rate = rate
	for k := range b.held {
		b.drop(k)
	}
	b.work, b.done, b.rest = nil, 0, b.all
	b.run()
}

func (b *bank) ready() bool { return b.done == len(b.wanted) }

func (b *bank) has(k synth.Key) bool { return b.held[k] != nil }

// stand returns the sound to be heard for k: itself, or while it is not made
// another take of the same stroke.
func (b *bank) stand(k synth.Key) (synth.Key, bool) {
	for n := 0; n < synth.Takes && !b.has(k); n++ {
		k.Take = (k.Take + 1) % synth.Takes
	}
	return k, b.has(k)
}

func (b *bank) progress() Progress {
	p := Progress{Needed: len(b.wanted)}
	for _, k := range b.wanted {
		if h := b.held[k]; h != nil {
			p.Made++
			p.Seconds += float64(h.frames) / float64(b.rate)
		}
	}
	return p
}

// skip moves past the wanted sounds that are there.
func (b *bank) skip() {
	for b.done < len(b.wanted) && b.has(b.wanted[b.done]) {
		b.done++
	}
}

// next returns the sound to make now.
func (b *bank) next() (synth.Key, bool) {
	b.skip()
	if b.done < len(b.wanted) {
		return b.wanted[b.done], true
	}
	for _, queue := range []*[]synth.Key{&b.rest, &b.later} {
		for len(*queue) > 0 {
			if k := (*queue)[0]; !b.has(k) {
				return k, true
			}
			*queue = (*queue)[1:]
		}
	}
	return synth.Key{}, false
}

// run sees to it that a slice is on its way when there is something to make.
func (b *bank) run() {
	if _, some := b.next(); b.busy || !some {
		return
	}
	b.busy = true
	b.clock.Yield(b.slice)
}

// slice makes sound for a short time and lets the page answer.
func (b *bank) slice() {
	b.busy = false
	for begun := b.clock.Now(); b.clock.Now()-begun < sliceMillis; {
		if !b.step() {
			return
		}
	}
	b.run()
}

// step makes a few samples; false when nothing is left to make.
func (b *bank) step() bool {
	key, some := b.next()
	if !some {
		return false
	}
	if b.work == nil || b.key != key {
		b.work, b.key, b.pcm = b.begin(key, b.rate, b.seed), key, b.pcm[:0]
	}
	n := len(b.pcm)
	b.pcm = grow(b.pcm, sliceFrames)
	got := b.work.Read(b.pcm[n:])
	b.pcm = b.pcm[:n+got]
	if got < sliceFrames {
		b.finish()
	}
	return true
}

// grow lengthens s by n.
func grow(s []float32, n int) []float32 {
	if cap(s) < len(s)+n {
		t := make([]float32, len(s), 2*(len(s)+n))
		copy(t, s)
		s = t
	}
	return s[:len(s)+n]
}

func (b *bank) finish() {
	wanted := !b.ready()
	b.audio.Load(b.key, b.rate, b.pcm)
	b.uses++
	b.held[b.key] = &holding{len(b.pcm), b.uses}
	b.bytes += 4 * len(b.pcm)
	b.work = nil
	b.skip()
	b.evict()
	if wanted {
		b.told()
	}
}

// evict drops what was not used for longest until the rest is within the
// limit; what is there of the present plan stays, whatever its size.
func (b *bank) evict() {
	if b.bytes <= b.limit {
		return
	}
	needed := make(map[synth.Key]bool, len(b.all))
	for _, k := range slices.Concat(b.all, b.inUse) {
		needed[k] = true
	}
	for b.bytes > b.limit {
		oldest, found := synth.Key{}, false
		for k, h := range b.held {
			if !needed[k] && k != b.key && (!found || h.used < b.held[oldest].used) {
				oldest, found = k, true
			}
		}
		if !found {
			b.rest, b.later = nil, nil // no room: other takes stand in for the rest
			return
		}
		b.drop(oldest)
	}
}

func (b *bank) drop(k synth.Key) {
	b.bytes -= 4 * b.held[k].frames
	delete(b.held, k)
	b.audio.Drop(k)
}
