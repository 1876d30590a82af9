// Package limbs says whether people can play a passage: it gives the strokes of
// the drums to two hands and two feet, the strokes of a string voice to the
// picking hand, and where that cannot be done it says where, why, and what to
// do.
//
// The one idea: a limb plays one stroke at a time and needs a least time from
// each stroke to the next, longer the farther apart the two drums stand. Which
// limb plays what is found exactly, by dynamic programming over the strokes
// with each limb's last stroke as the state; among all that can be played it
// takes what costs least, so that the sticking reads as a drummer would play:
// the leading hand on the cymbals, fast runs hand to hand, arms uncrossed.
//
// Call [Problems] to judge a whole passage, [Play] for who plays what, [Picks]
// for down and up strokes, [Rows] for the letters to write under the voices.
// Places are exact quarter notes; times come from the passage's own tempo map,
// so a passage at another tempo ([passage.Passage.AtTempo]) may be judged
// otherwise. All values stand in one table, in values.go. The work is linear
// in the strokes, and no passage, however wrong, causes a panic: a stroke
// without a place or a passage without times is left to [passage.Check].
package limbs

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Limb strikes drums and cymbals, one stroke at a time.
type Limb uint8

// The limbs of a right-handed drummer.
const (
	RightHand Limb = iota
	LeftHand
	RightFoot
	LeftFoot
)

// limbs is the one table of limbs: name for people, letter under a stroke.
var limbs = [...]struct{ name, letter string }{
	RightHand: {"right hand", "R"}, LeftHand: {"left hand", "L"},
	RightFoot: {"right foot", "R"}, LeftFoot: {"left foot", "L"},
}

// String returns the name for people, such as "right hand"; "none" if not
// valid.
func (l Limb) String() string {
	if int(l) >= len(limbs) {
		return "none"
	}
	return limbs[l].name
}

// Letter returns "R" or "L", as sticking is written; "" if not valid.
func (l Limb) Letter() string {
	if int(l) >= len(limbs) {
		return ""
	}
	return limbs[l].letter
}

// Pedals is how many pedals strike the kick: the player's setting.
type Pedals uint8

// Two pedals, or a double pedal, are common practice in the style and the zero
// value. With One, only the right foot kicks.
const (
	Two Pedals = iota
	One
)

// A Stick says which limb plays a stroke. Of a flam or drag it is the limb of
// the main stroke; the other hand (or foot) plays the grace notes. A choke is
// played by the limb that stops the cymbal.
type Stick struct {
	Voice passage.Voice
	At    meter.Rat // quarter notes
	Limb  Limb
}

// A Clash is a place where limbs or picking hand are not enough: the end of
// the shortest beginning of the passage that cannot be played.
type Clash struct {
	Voices []passage.Voice // those that clash, in the order of voices
	At     meter.Rat       // quarter notes
	Place  passage.Place
	What   string
	Do     string
	voice  passage.Voice // one that strikes there
}

// Error returns "2.3: three hands: china, crash-left, snare; what to do".
func (c *Clash) Error() string { return c.Place.String() + ": " + c.What + "; " + c.Do }

// Play gives every stroke of drums and cymbals to a limb, in order of time and
// then of voices. Where the limbs are not enough it returns the first place
// where they fail, and the sticks of the strokes before it.
//
// It does not ask whether the drums are programmed: see [Problems].
func Play(p passage.Passage, pedals Pedals) ([]Stick, *Clash) {
	time, ok := newTimeline(p)
	if !ok {
		return nil, nil
	}
	hand, foot := solvers(p, time, pedals)
	h, f := hand.solve(), foot.solve()
	sticks := merge(hand.sticks(h), foot.sticks(f))
	c := earlier(hand.next(p, h), foot.next(p, f))
	if c != nil {
		sticks = before(sticks, c.At)
	}
	return sticks, c
}

// solvers returns the tasks of the hands and of the feet.
func solvers(p passage.Passage, time timeline, pedals Pedals) (hand, foot *solver) {
	hand = &solver{crew: hands(), tasks: tasks(p, time, onHand)}
	foot = &solver{crew: feet(pedals), tasks: tasks(p, time, onFoot)}
	beats := p.Beats()
	markRuns(hand.tasks, easyDrum, beats)
	markRuns(foot.tasks, easyKick, beats)
	return hand, foot
}

// sticks returns the sticks of the solved tasks.
func (s *solver) sticks(solved int) []Stick {
	out := make([]Stick, solved)
	for i, limb := range s.best(solved) {
		out[i] = Stick{s.tasks[i].voice, s.tasks[i].at, limb}
	}
	return out
}

// next returns the clash after the solved tasks; nil where none are left.
func (s *solver) next(p passage.Passage, solved int) *Clash {
	if solved == len(s.tasks) {
		return nil
	}
	return s.clash(p, solved)
}

// earlier returns the earlier of two clashes, the first where both are at once.
func earlier(a, b *Clash) *Clash {
	if a == nil || b != nil && b.At.Less(a.At) {
		return b
	}
	return a
}

// merge merges sticks in order of time, then of voices.
func merge(a, b []Stick) []Stick {
	out := make([]Stick, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if c := a[0].At.Cmp(b[0].At); c < 0 || c == 0 && a[0].Voice < b[0].Voice {
			out, a = append(out, a[0]), a[1:]
		} else {
			out, b = append(out, b[0]), b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// before returns the sticks before a place.
func before(sticks []Stick, at meter.Rat) []Stick {
	n := len(sticks)
	for n > 0 && !sticks[n-1].At.Less(at) {
		n--
	}
	return sticks[:n]
}
