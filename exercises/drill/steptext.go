package drill

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A StepText tells where a step stands in the text. Lines count from 1,
// columns are characters from 1, as in a [Problem].
type StepText struct {
	Title  string
	First  int       // the line with the title
	Last   int       // the last line that is a key or voice line
	Keys   []KeyText // step and the others, in the order of the text
	Voices []VoiceText
}

// A KeyText is a key of the header or of a step, with its value.
type KeyText struct {
	Key, Value          string
	Line, Column, Width int // of the value
}

// A VoiceText is a voice line of a step.
type VoiceText struct {
	Voice        passage.Voice
	Line, Column int // of its name
}

// Cells returns the cells of the line from left to right, as far as they can
// be read. They are read when asked for.
func (v VoiceText) Cells() []Cell { return nil }

// A Cell is one cell of a voice line. A bar % is one cell.
type Cell struct {
	Line, Column, Width int
	At, Length          meter.Rat // quarter notes
	Mark                Mark
	Stroke              passage.Stroke // where Mark is Struck; as long as the cell
}

// A Mark is what a cell holds.
type Mark uint8

// The marks.
const (
	Rest     Mark = iota // .
	Held                 // -
	Struck               // a stroke
	Repeated             // %: a bar that repeats the one before
)

// StepAt returns the step, from 0, that a line belongs to, -1 for the header.
// Comments directly above a step belong to it.
func (r Reading) StepAt(line int) int { return -1 }

// Locate returns where a place of a voice stands in the text: its cell, where
// the step does not write the voice out the change or step it comes from, and
// else the title of the step. Without a voice it is the first voice line's.
func (r Reading) Locate(step int, v passage.Voice, at meter.Rat) (line, column int) { return 1, 1 }

// At returns what stands at a line and column: the step, or -1 in the header,
// and where it is a voice line the voice and the place of the cell there or
// next to the left; false where it is none.
func (r Reading) At(line, column int) (step int, v passage.Voice, at meter.Rat, ok bool) {
	return -1, passage.NoVoice, meter.Rat{}, false
}

// Place gives problems of a step's passage their places in the text.
func (r Reading) Place(step int, ps passage.Problems) Problems { return nil }

// Unplayable judges every step whose passage is whole, and returns what the
// judge found at its places in the text.
func (r Reading) Unplayable(judge func(passage.Passage) passage.Problems) Problems { return nil }
