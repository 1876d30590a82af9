package passage

import (
	"fmt"
	"math"
	"strings"
)

// A Pitch is a key number of equal temperament: 69 is A4 at 440 Hz (ISO 16,
// 1975), 33 is A1 at 55 Hz.
type Pitch int

// The lowest string may be tuned from LowestTuning to HighestTuning; common
// practice of low tunings up to the standard guitar.
const (
	LowestTuning  Pitch = 29 // F1
	HighestTuning Pitch = 40 // E2
	DefaultTuning Pitch = 33 // A1
)

// Hertz returns the frequency of the pitch, 440 Hz * 2^((p-69)/12).
func (p Pitch) Hertz() float64 { return 440 * math.Exp2(float64(p-69)/12) }

var pitchNames = [12]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}

// String returns the name, such as "A1" or "F#1".
func (p Pitch) String() string {
	return fmt.Sprintf("%s%d", pitchNames[((p%12)+12)%12], int(p)/12-1)
}

// ParsePitch reads "A1", "F#1" or "Bb1" within the range of tunings, and the
// names of tunings after their lowest string, "drop D" or "E standard".
func ParsePitch(s string) (Pitch, error) {
	if note, ok := namedTuning(s); ok {
		for _, octave := range []string{"1", "2"} {
			if p, err := parseNote(note + octave); err == nil {
				return p, nil
			}
		}
	}
	return parseNote(s)
}

// namedTuning returns the note of "drop D" and "E standard": guitarists call a
// drop and a standard tuning by the lowest string (common practice), and the
// range holds every note once.
func namedTuning(s string) (note string, ok bool) {
	if note, ok = strings.CutPrefix(s, "drop "); ok {
		return note, true
	}
	return strings.CutSuffix(s, " standard")
}

func parseNote(s string) (Pitch, error) {
	bad := fmt.Errorf("%.20q is not a tuning; write the lowest string as a note from %s to %s, such as A1 or F#1", s, LowestTuning, HighestTuning)
	if len(s) < 2 || len(s) > 3 {
		return 0, bad
	}
	step := strings.IndexByte("C D EF G A B", s[0])
	octave := int(s[len(s)-1] - '0')
	if step < 0 || s[0] == ' ' || octave < 0 || octave > 9 {
		return 0, bad
	}
	if len(s) == 3 {
		alter, ok := map[byte]int{'#': 1, 'b': -1}[s[1]]
		if !ok {
			return 0, bad
		}
		step += alter
	}
	p := Pitch(12*(octave+1) + step)
	if p < LowestTuning || p > HighestTuning {
		return 0, bad
	}
	return p, nil
}
