package synth

// A Generator makes one one-shot, mono, a slice at a time. Read fills dst and
// returns how many samples it made; fewer than len(dst) means that the sound
// is over. The samples do not depend on the sizes of the slices.
type Generator interface {
	Read(dst []float32) (n int)
}

// Begin returns a generator of the sound of key at rate samples a second, one
// of Rates. The sound starts at sample 0, stays within -1 to 1 and ends in
// silence. A key that names no sound makes one that is over at once.
func Begin(key Key, rate int, seed uint64) Generator { return nil }

// A Sound is a finished one-shot.
type Sound struct {
	Key Key
	PCM []float32 // mono, at the rate of the bank
}

// A Bank holds the one-shots of one rate and seed.
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

// Rate returns the rate of the sounds in samples a second.
func (b *Bank) Rate() int { return b.rate }

// Sound returns the sound of key, or nil when it is not made yet.
func (b *Bank) Sound(key Key) *Sound { return b.sounds[key] }

// Near returns the sound of key or, where it is not made yet, the most like it
// of the same voice and kind (another take, side, length or pitch), or nil:
// for playing on while the bank is still being made.
func (b *Bank) Near(key Key) *Sound { return b.sounds[key] }

// Missing returns those of keys that are not made yet, in their order.
func (b *Bank) Missing(keys []Key) []Key { return nil }

// Make makes the sounds of keys, as far as they are missing, in one go.
func (b *Bank) Make(keys ...Key) {}

// A Making is one sound on its way into the bank.
type Making struct{}

// Begin starts to make the sound of key in slices.
func (b *Bank) Begin(key Key) *Making { return nil }

// Step makes up to n more samples and reports whether the sound is finished
// and in the bank.
func (m *Making) Step(n int) bool { return true }

// Put sets the sound of its key, made elsewhere.
func (b *Bank) Put(s *Sound) { b.sounds[s.Key] = s }

// Bytes returns how much memory the samples take.
func (b *Bank) Bytes() int { return 0 }
