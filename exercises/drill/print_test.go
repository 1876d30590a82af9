package drill

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

func TestPrintedClimbsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		roundTrip(t, passagetest.Climbs().Draw(t, "climb"))
	})
}

// strokesOf returns the strokes of a passage, with the length of chokes, which
// counts for nothing, left out.
func strokesOf(p passage.Passage) map[passage.Voice][]passage.Stroke {
	all := map[passage.Voice][]passage.Stroke{}
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if s.Kind == passage.Choke {
				s.Length = meter.Rat{}
			}
			all[l.Voice] = append(all[l.Voice], s)
		}
	}
	return all
}

// Passages as changes leave them, with groups missing or out of date, print
// and come back with the same strokes.
func TestPrintedPassagesKeepTheirStrokes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Loose().Draw(t, "passage")
		climb := passage.Climb{Title: "Loose", Tempo: []meter.Tempo{p.Bars[0].Tempo}, Metre: []meter.Metre{p.Bars[0].Metre}, Steps: []passage.Step{Written("One", "", p)}}
		text, err := Print(climb)
		if err != nil {
			t.Skip(err) // not every mixture of divisions can be written
		}
		again, ps := Parse("again.drill", text, nil)
		if len(ps) > 0 {
			t.Fatalf("%v\n%s", ps, text)
		}
		if diff := cmp.Diff(strokesOf(p), strokesOf(again.Steps[0].Passage), equal); diff != "" {
			t.Fatalf("(-want +got):\n%s\n%s", diff, text)
		}
		roundTrip(t, again)
	})
}
