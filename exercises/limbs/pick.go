package limbs

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Motion is how a string is set sounding.
type Motion uint8

// The motions of the picking hand. A tremolo begins with a Down or an Up and
// goes on to and fro.
const (
	Down    Motion = iota
	Up             // toward the player's face
	Scraped        // the edge of the pick along the string
	Tapped         // no pick: a finger on the fingerboard
)

// motions is the one table of motions: name for people, letter under a stroke.
var motions = [...]struct{ name, letter string }{
	Down: {"down", "D"}, Up: {"up", "U"}, Scraped: {"scraped", "S"}, Tapped: {"tapped", "T"},
}

// String returns the name for people, such as "down"; "none" if not valid.
func (m Motion) String() string {
	if int(m) >= len(motions) {
		return "none"
	}
	return motions[m].name
}

// Letter returns "D", "U", "S" or "T"; "" if not valid.
func (m Motion) Letter() string {
	if int(m) >= len(motions) {
		return ""
	}
	return motions[m].letter
}

// A Pick says how one stroke of a string voice is picked.
type Pick struct {
	At     meter.Rat // quarter notes
	Motion Motion
	Kind   passage.Kind // of the stroke, so that harmonics and tremolos can be marked
}

// Picks returns how each stroke of a string voice is picked, in order of time;
// chokes are not picked. Where the picking hand is too slow it returns the
// first place where it fails, and the picks before it. Other voices have none.
//
// Picking is alternate, on the written grid (common practice): the first of the
// cells of a group goes down, the next up, and so on; one or two cells to a
// group both go down while that is slow enough. Two of a direction never follow
// each other faster than downstrokes can: then the hand alternates on, off the
// grid, until there is time to return to it.
func Picks(p passage.Passage, v passage.Voice) ([]Pick, *Clash) {
	time, ok := newTimeline(p)
	l, found := p.Line(v)
	if !ok || !found || v.Family() != passage.Strings {
		return nil, nil
	}
	ks := plucks(l, time)
	picks := directions(ks)
	if r, fast := firstRush(ks); fast {
		return picks[:r.last], r.clash(p, v, ks)
	}
	return picks, nil
}
