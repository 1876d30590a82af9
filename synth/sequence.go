package synth

import (
	"math/big"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Click says when the metronome sounds. A passage's own click line is
// played as written, whatever the mode.
type Click uint8

// The modes of the metronome.
const (
	ClickCountIn Click = iota // in the count-in only
	ClickBeats                // in the count-in and on every beat
	ClickNone                 // never; a count-in is silence
)

// A Plan says what is played, and how.
type Plan struct {
	Passage passage.Passage // within its limits, see passage.Check
	Rate    int             // frames a second, one of Rates
	CountIn int             // bars before the first pass, 0 to MaxCountIn, in the metre and tempo of bar 1
	Passes  int             // how often the passage is played; 0 means until stopped
	Click   Click
	Seed    uint64 // order of the round robin
}

// MaxCountIn is the longest count-in, in bars; our choice.
const MaxCountIn = 8

// A Sequence turns a plan into commands, pass by pass. It is not safe for use
// from several goroutines.
type Sequence struct {
	plan Plan
}

// NewSequence checks the plan and stands at frame 0, the start of the
// count-in. It returns an error when the passage is outside its limits, the
// rate is unknown, or the counts of the plan are out of range.
func NewSequence(plan Plan) (*Sequence, error) { return &Sequence{plan: plan}, nil }

// Next appends to dst all commands with Frame < until that were not given
// before, in order, and returns dst.
func (s *Sequence) Next(dst []Command, until int64) []Command { return dst }

// SetTempo sets the tempo of the passage's first bar, in its own note value;
// later bars keep their ratio to it. It holds from the next pass that no
// command was given of; before the first call of Next, from the count-in on.
// The keys may change: ask Keys again.
func (s *Sequence) SetTempo(bpm meter.Rat) error { return nil }

// FirstDownbeat returns the frame at which the first pass starts: the end of
// the count-in.
func (s *Sequence) FirstDownbeat() int64 { return 0 }

// PassStart returns when pass k (from 0) starts: its frame and its exact
// seconds from frame 0. Passes not yet given are reckoned with the tempo set
// now. The end of a finite sequence is PassStart(Passes).
func (s *Sequence) PassStart(k int) (frame int64, seconds *big.Rat) { return 0, new(big.Rat) }

// Where returns where a frame falls, for drawing: the pass from 0 and the
// place in it in quarter notes. In the count-in the pass is -1 and the place
// is negative; after the end the pass is Passes.
func (s *Sequence) Where(frame int64) (pass int, quarters float64) { return 0, 0 }

// Done reports whether every command was given; never for endless plans.
func (s *Sequence) Done() bool { return false }

// Keys returns every one-shot that the sequence may need at the tempo set
// now, each once, in order of first use: when the first n are made, playing
// can begin up to the first use of the next.
func (s *Sequence) Keys() []Key { return nil }
