package synth

// A Renderer carries out a sequence with a bank, offline, in constant memory.
type Renderer struct{}

// NewRenderer returns a renderer that starts at the sequence's frame 0. Sounds
// that are missing in the bank are made when they are needed.
func NewRenderer(seq *Sequence, bank *Bank, mix Mix) *Renderer { return nil }

// Read fills dst with interleaved left and right samples and returns how many
// frames it made: fewer than len(dst)/2 when the sequence is over and
// everything has faded, at most MaxTail after the last pass.
func (r *Renderer) Read(dst []float32) (frames int) { return 0 }

// MaxTail is how long the sound may ring after the last pass, in seconds; our
// choice, the longest cymbals are gone by then.
const MaxTail = 6

// Render returns the whole of a finite plan as interleaved left and right
// samples, with every sound of the bank made first.
func Render(plan Plan, bank *Bank, mix Mix) ([]float32, error) { return nil, nil }
