package passage

import (
	"fmt"

	"stampmill/exercises/meter"
)

// A Kind is how a stroke is played.
type Kind uint8

// The kinds of stroke. NoKind is the zero value and never valid in a passage.
const (
	NoKind     Kind = iota
	Hit             // x: plain; guitar: tight muted
	Accent          // X: louder and brighter
	Ghost           // g: barely touched
	Flam            // f: one grace note before
	Drag            // d: two grace notes before
	Open            // o: hat open, strings ring
	Choke           // !: stops what rings; makes no onset of its own
	Harmonic        // h: natural harmonic
	Scrape          // s: pick scrape up the string, towards the bridge
	Bend            // b: bent up
	Tremolo         // t: picked as fast as can be
	Tapped          // p: tapped on the fingerboard
	Rim             // r: snare's cross-stick, the stick's butt on the rim
	Chord           // c: power chord of root, fifth and octave, rings
	ScrapeDown      // S: pick scrape down the string, towards the head
	numKinds
)

// kinds is the one table of strokes: letter in text, name for people.
var kinds = [numKinds]struct {
	letter rune
	name   string
}{
	NoKind: {'.', "rest"}, Hit: {'x', "hit"}, Accent: {'X', "accent"}, Ghost: {'g', "ghost"},
	Flam: {'f', "flam"}, Drag: {'d', "drag"}, Open: {'o', "open"}, Choke: {'!', "choke"},
	Harmonic: {'h', "harmonic"}, Scrape: {'s', "scrape"}, Bend: {'b', "bend"},
	Tremolo: {'t', "tremolo"}, Tapped: {'p', "tapped"}, Rim: {'r', "rim"},
	Chord: {'c', "chord"}, ScrapeDown: {'S', "scrape down"},
}

// Kinds returns every kind of stroke.
func Kinds() []Kind {
	all := make([]Kind, 0, numKinds-1)
	for k := Hit; k < numKinds; k++ {
		all = append(all, k)
	}
	return all
}

// KindOf returns the kind written with the given letter.
func KindOf(letter rune) (Kind, bool) {
	for k := Hit; k < numKinds; k++ {
		if kinds[k].letter == letter {
			return k, true
		}
	}
	return NoKind, false
}

// Valid reports whether k is one of the kinds of stroke.
func (k Kind) Valid() bool { return k > NoKind && k < numKinds }

// Letter returns the letter in text; '.' if not valid.
func (k Kind) Letter() rune {
	if !k.Valid() {
		return '.'
	}
	return kinds[k].letter
}

// String returns the name for people, such as "ghost"; "rest" if not valid.
func (k Kind) String() string {
	if !k.Valid() {
		return kinds[NoKind].name
	}
	return kinds[k].name
}

// MarshalText writes the name, so that a kind is a plain word in JSON.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// Limits of a stroke's details.
const (
	MaxFret     = 24 // common practice: the longest necks have 24 frets
	MaxBend     = 4  // semitones; common practice bends at most two tones
	DefaultBend = 2  // semitones of a bend written without details
)

// A Stroke is one event of a voice. Strokes are comparable with ==.
type Stroke struct {
	At     meter.Rat // quarter notes from the first downbeat
	Length meter.Rat // quarter notes, above 0; how long it is written to sound
	Kind   Kind
	Fret   uint8 // strings only: 0 to MaxFret on the lowest string
	Bend   uint8 // Kind Bend only: semitones up, 1 to MaxBend; else 0
}

// End returns the place at which the stroke is written to stop.
func (s Stroke) End() meter.Rat { return s.At.Add(s.Length) }

// Text returns the letter of the stroke with the details that do not go
// without saying, as it stands in a text: "x", "x(3)", "b(8+1)".
func (s Stroke) Text() string {
	letter := string(s.Kind.Letter())
	bent := s.Kind == Bend && s.Bend != DefaultBend
	switch {
	case s.Fret > 0 && bent:
		return fmt.Sprintf("%s(%d+%d)", letter, s.Fret, s.Bend)
	case s.Fret > 0:
		return fmt.Sprintf("%s(%d)", letter, s.Fret)
	case bent:
		return fmt.Sprintf("%s(+%d)", letter, s.Bend)
	}
	return letter
}

// Sounds reports whether the stroke makes an onset that can be heard and
// played; a choke only ends what rings.
func (s Stroke) Sounds() bool { return s.Kind.Valid() && s.Kind != Choke }

// A Group is a span of time that is written as a number of equal cells: a
// beat, several beats taken together, or one cell of another group cut again.
// It says how strokes are written and counted, not when they sound.
type Group struct {
	At     meter.Rat // quarter notes from the first downbeat
	Length meter.Rat // quarter notes
	Cells  int       // 1 to MaxCells a beat
}

// End returns the place at which the group ends.
func (g Group) End() meter.Rat { return g.At.Add(g.Length) }

// Cell returns the length of one cell.
func (g Group) Cell() meter.Rat { return g.Length.Div(meter.Int(int64(g.Cells))) }

// A Line is one voice's strokes in order of time.
//
// Groups tell how the line is written. Top-level groups are in order of time,
// lie within one bar and do not overlap; a group that cuts a cell of another
// comes after it and before any later group. A line may lack groups for some
// beats (after a change, say): its strokes then are written in the fewest
// cells that hold them.
type Line struct {
	Voice   Voice
	Strokes []Stroke
	Groups  []Group
}
