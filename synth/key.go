package synth

import (
	"fmt"

	"stampmill/exercises/passage"
)

// A Key names one one-shot of the bank. It is comparable: equal keys sound the
// same for one seed and rate.
type Key struct {
	Voice passage.Voice
	Kind  passage.Kind  // how it is struck; never Flam, Drag or Choke, which are made of other strokes
	Pitch passage.Pitch // strings and sub: sounding pitch of the string or fret; else 0
	Bend  uint8         // semitones up, kind Bend only; else 0
	Take  uint8         // round robin, 0 to Takes-1
	Side  int8          // guitar: -1 the left player, +1 the right one; else 0

	// Millis is how long the sound has to last, in milliseconds, for strokes
	// whose sound depends on their written length: bends, tremolos, scrapes and
	// the sub in steps of MillisStep; ringing strings the next of RingMillis.
	// Else 0.
	Millis int32

	// Room is the side of the room, -1 left or +1 right, whose reflections of the
	// stroke's beginning this is; 0 for the stroke itself.
	Room int8
}

// String returns a readable name such as "guitar open A1 left take 2 500 ms".
func (k Key) String() string {
	s := k.Voice.String() + " " + k.Kind.String()
	if k.Pitch != 0 {
		s += " " + k.Pitch.String()
	}
	if k.Bend != 0 {
		s += fmt.Sprintf(" +%d", k.Bend)
	}
	switch k.Side {
	case -1:
		s += " left"
	case 1:
		s += " right"
	}
	s += fmt.Sprintf(" take %d", k.Take+1)
	if k.Millis != 0 {
		s += fmt.Sprintf(" %d ms", k.Millis)
	}
	switch {
	case k.Room < 0:
		s += " in the room left"
	case k.Room > 0:
		s += " in the room right"
	}
	return s
}

// Rates are the sample rates, in hertz, at which sounds can be made: those of
// ordinary devices.
func Rates() []int { return []int{44100, 48000, 96000} }

func checkRate(rate int) error {
	for _, r := range Rates() {
		if r == rate {
			return nil
		}
	}
	return fmt.Errorf("a sample rate of %d Hz is not supported; use 44100, 48000 or 96000", rate)
}

// within returns the key with what is out of range brought into it.
func (k Key) within() Key {
	k.Pitch = min(max(k.Pitch, 0), highestPitch)
	k.Bend = min(k.Bend, passage.MaxBend)
	k.Millis = min(max(k.Millis, 0), MaxMillis)
	k.Side, k.Room = min(max(k.Side, -1), 1), min(max(k.Room, -1), 1)
	return k
}

// highestPitch is the highest MIDI key, G9: above anything that is played.
const highestPitch passage.Pitch = 127
