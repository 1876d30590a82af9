package drill

import (
	"errors"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

var errNotYet = errors.New("not yet; wait")

// Replace returns the text with a step as s wants it: its title (with the
// from of other steps), from, do and says, and the strokes, bars and groups of
// s.Passage; s.Written, s.Tempo and s.Metre follow from these. Voice lines are
// aligned anew as a block where any of them changes; in a made step only voices
// that differ from what its changes make are written. Comments and every other
// line stay.
//
// It refuses what the text has no form for, and a made step whose passage its
// from and do can no longer lead to: clear From and Do to write it out.
func (r Reading) Replace(step int, s passage.Step) ([]byte, error) { return nil, errNotYet }

// Insert returns the text with a new step behind the step with index after, -1
// for before the first. With From or Do it is made (no voice lines are
// written); else the passage is written out.
func (r Reading) Insert(after int, s passage.Step) ([]byte, error) { return nil, errNotYet }

// Remove returns the text without a step and the comments directly above it.
// Steps made from it are written out, so that they stay what they are.
func (r Reading) Remove(step int) ([]byte, error) { return nil, errNotYet }

// Rename returns the text with another title for a step, and for it in the
// from of other steps.
func (r Reading) Rename(step int, title string) ([]byte, error) { return nil, errNotYet }

// Move returns the text with a step moved so that its index is to. Steps stay
// what they are: from is written where it went without saying.
func (r Reading) Move(step, to int) ([]byte, error) { return nil, errNotYet }

// SetHeader returns the text with another value for a key of the header, such
// as title, tempo, metre or tuning; "" leaves out a key that need not be there.
// Steps keep their lines, so what no longer fits a new metre is a problem of
// the next reading.
func (r Reading) SetHeader(key, value string) ([]byte, error) { return nil, errNotYet }

// FreeTitle returns a title that no step has: the given one, or with the next
// free number behind it.
func (r Reading) FreeTitle(title string) string { return title }

// New returns the text of a new exercise of one step of two bars: kick, snare,
// china and guitar with a simple floor.
func New(title string, metre meter.Metre, tempo meter.Tempo) ([]byte, error) { return nil, errNotYet }
