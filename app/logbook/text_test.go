package logbook

import (
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// A take is judged on the stored text as it was on the climb, whatever made the
// climb's steps.
func TestTakesAreJudgedAlikeFromTheText(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, c := range exercises.Library() {
		text, err := TextOf(c.Climb)
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		steps, err := Steps(text)
		if err != nil || len(steps) != len(c.Climb.Steps) {
			t.Errorf("%s: %d steps, %v", c.Name, len(steps), err)
			continue
		}
		for i, want := range c.Climb.Steps {
			if !passage.Same(want.Passage, steps[i].Passage) || want.Title != steps[i].Title {
				t.Errorf("%s, %s: other strokes in the text", c.Name, want.Title)
			}
			take := grade.Take{Exercise: c.Name, Step: i + 1, Tempo: 90, Passes: 1, Input: "keyboard"}
			e, err := grade.Expect(want.Passage, take, false)
			if err != nil {
				t.Fatal(err)
			}
			take.Taps = player.Simulate(e, player.Options{SpreadMS: 12, Miss: 0.05, Extra: 0.05}, rng)
			o := grade.Options{NoSearch: true}
			first, err := grade.Grade(want.Passage, take, o)
			if err != nil {
				t.Fatal(err)
			}
			again, err := grade.Grade(steps[i].Passage, take, o)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(first, again, cmp.Comparer(func(a, b meter.Rat) bool { return a == b }), cmpopts.IgnoreUnexported(grade.Verdict{})); diff != "" {
				t.Errorf("%s, %s: (-climb +text):\n%s", c.Name, want.Title, diff)
			}
		}
	}
}
