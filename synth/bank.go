package synth

import (
	"runtime"
	"sync"
	"sync/atomic"

	"stampmill/exercises/passage"
)

// A Generator makes one one-shot, mono, a slice at a time. Read fills dst and
// returns how many samples it made; fewer than len(dst) means that the sound
// is over. The samples do not depend on the sizes of the slices.
type Generator interface {
	Read(dst []float32) (n int)
}

// Begin returns a generator of the sound of key at rate samples a second, one
// of Rates. The sound starts at sample 0, stays within -1 to 1 and ends in
// silence. A key that names no sound makes one that is over at once.
func Begin(key Key, rate int, seed uint64) Generator { return begin(key, rate, seed) }

func begin(key Key, rate int, seed uint64) *shot {
	if key.Room != 0 {
		dry := key
		dry.Room = 0
		return newShot(newRoom(key, rate, begin(dry, rate, seed)), roomSeconds, rate)
	}
	seed = keySeed(key, seed)
	key = key.within()
	switch key.Voice.Family() {
	case passage.Cymbals, passage.Drums:
		return strike(key, rate, seed)
	case passage.Strings:
		return pluckString(key, rate, seed)
	case passage.Lows:
		return subDrop(key, rate)
	}
	return clickTone(key, rate)
}

// strike returns the generator of a stroke on a drum or a cymbal.
func strike(key Key, rate int, seed uint64) *shot {
	force, ok := forces[key.Kind]
	t, known := thing(key.Voice, key.Kind)
	if !ok || !known {
		return &shot{}
	}
	return newShot(t.Strike(force, rate, seed), t.Seconds, rate)
}

// A Sound is a finished one-shot.
type Sound struct {
	Key Key
	PCM []float32 // mono, at the rate of the bank
}

// A Bank holds the one-shots of one rate and seed. It is not safe for use from
// several goroutines.
type Bank struct {
	rate   int
	seed   uint64
	sounds map[Key]*Sound
}

// NewBank returns an empty bank; an error when the rate is not one of Rates.
func NewBank(rate int, seed uint64) (*Bank, error) {
	if err := checkRate(rate); err != nil {
		return nil, err
	}
	return &Bank{rate: rate, seed: seed, sounds: map[Key]*Sound{}}, nil
}

// Sound returns the sound of key, or nil when it is not made yet.
func (b *Bank) Sound(key Key) *Sound { return b.sounds[key] }

// Near returns the sound of key or, where it is not made yet, the most like it
// of the same voice and kind (another take, length, pitch or side, in this
// order), or nil: for playing on while the bank is still being made.
func (b *Bank) Near(key Key) *Sound {
	if s := b.sounds[key]; s != nil {
		return s
	}
	var best *Sound
	bestFar := farther
	for k, s := range b.sounds {
		if far := distance(k, key); far < bestFar || far == bestFar && far < farther && before(k, best.Key) {
			best, bestFar = s, far
		}
	}
	return best
}

// farther is more than any distance of two keys of one voice and kind.
const farther = 1 << 20

// distance says how unlike the sounds of two keys are; farther where one
// cannot stand in for the other.
func distance(a, b Key) int {
	if a.Voice != b.Voice || a.Kind != b.Kind || a.Room != b.Room {
		return farther
	}
	d := 0
	if a.Take != b.Take {
		d++
	}
	if a.Millis != b.Millis {
		d += 2
	}
	if a.Side != b.Side {
		d += 1 << 10
	}
	d += 8 * min(24, abs(int(a.Pitch)-int(b.Pitch))+abs(int(a.Bend)-int(b.Bend)))
	return d
}

// before orders keys that are equally near, so that the choice is repeatable.
func before(a, b Key) bool {
	if a.Pitch != b.Pitch {
		return a.Pitch < b.Pitch
	}
	if a.Millis != b.Millis {
		return a.Millis > b.Millis
	}
	return a.Take < b.Take || a.Take == b.Take && (a.Side < b.Side || a.Side == b.Side && a.Bend < b.Bend)
}

func abs(n int) int { return max(n, -n) }

// Missing returns those of keys that are not made yet, in their order.
func (b *Bank) Missing(keys []Key) []Key {
	var out []Key
	for _, k := range keys {
		if b.sounds[k] == nil {
			out = append(out, k)
		}
	}
	return out
}

// Make makes the sounds of keys, as far as they are missing, in one go, on as
// many processors as there are.
func (b *Bank) Make(keys ...Key) {
	missing := b.Missing(keys)
	sounds := make([]*Sound, len(missing))
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(missing)) {
		all.Go(func() {
			for i := next.Add(1) - 1; int(i) < len(missing); i = next.Add(1) - 1 {
				sounds[i] = whole(missing[i], b.rate, b.seed)
			}
		})
	}
	all.Wait()
	for _, s := range sounds {
		b.Put(s)
	}
}

// whole makes one sound in one go.
func whole(key Key, rate int, seed uint64) *Sound {
	s := begin(key, rate, seed)
	pcm := make([]float32, s.length)
	s.Read(pcm)
	return &Sound{Key: key, PCM: pcm}
}

// A Making is one sound on its way into the bank.
type Making struct {
	bank  *Bank
	sound *Sound // as long as it will be
	shot  *shot
	done  bool
}

// Begin starts to make the sound of key in slices.
func (b *Bank) Begin(key Key) *Making {
	s := begin(key, b.rate, b.seed)
	return &Making{bank: b, sound: &Sound{Key: key, PCM: make([]float32, s.length)}, shot: s}
}

// Step makes up to n more samples and reports whether the sound is finished
// and in the bank.
func (m *Making) Step(n int) bool {
	if m.done {
		return true
	}
	left := m.sound.PCM[m.shot.at:]
	m.shot.Read(left[:min(n, len(left))])
	if m.done = n >= len(left); m.done {
		m.bank.Put(m.sound)
	}
	return m.done
}

// Put sets the sound of its key, made elsewhere.
func (b *Bank) Put(s *Sound) { b.sounds[s.Key] = s }

// Bytes returns how much memory the samples take.
func (b *Bank) Bytes() int {
	n := 0
	for _, s := range b.sounds {
		n += 4 * cap(s.PCM)
	}
	return n
}
