package drill

import (
	"testing"

	"stampmill/exercises/meter"
)

const headframe = `title: Headframe
by: Stampmill
tempo: 104
metre: 4/4
tuning: A1
about: Kick and guitar as one machine.

step: The floor
says: Guitar and kick strike together; the china counts quarters; snare on three.
china  | x x x x         | x x x x         |
snare  | . . X .         | . . X .         |
kick   | x.x. .x . ..x.  | x.x. .x . ..x.  |
guitar | x.x. .x . ..x.  | x.x. .x . o---  |
`

func TestParseHeadframe(t *testing.T) {
	climb, ps := Parse("headframe.drill", []byte(headframe), nil)
	if err := ps.Err(); err != nil {
		t.Fatal(err)
	}
	guitar := climb.Steps[0].Passage.Lines[3]
	last := guitar.Strokes[len(guitar.Strokes)-1]
	if last.At != meter.Int(7) || last.Length != meter.Int(1) {
		t.Errorf("last stroke at %s for %s, want 7 for 1", last.At, last.Length)
	}
}
