package player_test

import (
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/player"
)

// fortnight returns two weeks of the first climbs of the library.
func fortnight(t *testing.T, seed uint64) (player.Course, []player.Practised) {
	t.Helper()
	c := player.Course{Days: 14, Until: time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC), Seed: seed}
	for _, e := range exercises.Library()[:3] {
		c.Pieces = append(c.Pieces, player.Piece{Name: e.Name, Climb: e.Climb})
	}
	takes, err := player.Practise(c)
	if err != nil {
		t.Fatal(err)
	}
	return c, takes
}

// TestFortnight: two weeks look like those of a person: sessions within an hour
// on some of the days, one take after the other, several climbs and steps, and
// every take is one that can be stored.
func TestFortnight(t *testing.T) {
	c, takes := fortnight(t, 1)
	days, steps := map[int]time.Duration{}, map[string]map[int]bool{}
	for i, p := range takes {
		if i > 0 {
			gap := p.At.Sub(takes[i-1].At)
			if gap <= 0 {
				t.Fatalf("take %d at %v is not after the one before", i, p.At)
			}
			if gap < time.Hour {
				days[p.At.Day()] += gap
			}
		}
		if steps[p.Take.Exercise] == nil {
			steps[p.Take.Exercise] = map[int]bool{}
		}
		steps[p.Take.Exercise][p.Take.Step] = true
		if _, err := grade.WriteTake(p.Take); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(days); n < 7 || n > 13 {
		t.Errorf("practised on %d of 14 days, want some days off", n)
	}
	for day, long := range days {
		if long < 5*time.Minute || long > 45*time.Minute {
			t.Errorf("on day %d practised for %v", day, long)
		}
	}
	if len(steps) != len(c.Pieces) {
		t.Errorf("practised %d climbs of %d", len(steps), len(c.Pieces))
	}
	for name, seen := range steps {
		if len(seen) < 3 {
			t.Errorf("%s: only %d steps in two weeks", name, len(seen))
		}
	}
	_, again := fortnight(t, 1)
	if diff := cmp.Diff(takes, again); diff != "" {
		t.Error("one seed, two fortnights")
	}
}

// TestLearns: over two weeks the leaning shrinks, triplets come from 3:3:2
// toward even, and faster tempi are passed.
func TestLearns(t *testing.T) {
	c, takes := fortnight(t, 2)
	lean := map[bool][]float64{} // by whether in the last quarter
	var uneven []float64         // how far the second stroke of a triplet is from 1/3
	passed := map[string]map[int]bool{}
	for i, p := range takes {
		v, err := grade.Grade(c.Pieces[p.Piece].Climb.Steps[p.Take.Step-1].Passage, p.Take, grade.Options{NoSearch: true})
		if err != nil {
			t.Fatal(err)
		}
		if len(v.Tuplets) == 0 {
			if i < len(takes)/8 || i > 7*len(takes)/8 {
				last := i > len(takes)/2
				lean[last] = append(lean[last], v.Leaning.Value)
			}
		} else if f := v.Tuplets[0]; len(f.Split) == 3 && f.N > 0 {
			uneven = append(uneven, math.Abs(f.Played[2]-1./3))
		}
		if v.Passed && p.Take.Tempo >= c.Pieces[p.Piece].Climb.Tempo[0].BPM.Float() {
			if passed[p.Take.Exercise] == nil {
				passed[p.Take.Exercise] = map[int]bool{}
			}
			passed[p.Take.Exercise][p.Take.Step] = true
		}
	}
	before, _, _ := moments(lean[false])
	after, _, _ := moments(lean[true])
	if before > -9 || math.Abs(after) > math.Abs(before)/2 {
		t.Errorf("leaning went from %.1f to %.1f ms", before, after)
	}
	n := len(uneven)
	if n < 20 {
		t.Fatalf("only %d takes with triplets", n)
	}
	early, _, _ := moments(uneven[:5])
	late, _, _ := moments(uneven[3*n/4:])
	if early < .025 || late > .75*early {
		t.Errorf("triplets went from %.3f to %.3f away from even", early, late)
	}
	for name, steps := range passed {
		if len(steps) < 2 {
			t.Errorf("%s: passed only %d steps at their tempo", name, len(steps))
		}
	}
}

func TestPractiseRefuses(t *testing.T) {
	for _, days := range []int{0, -1, player.MaxDays + 1} {
		if _, err := player.Practise(player.Course{Days: days}); err == nil {
			t.Errorf("%d days are accepted", days)
		}
	}
	if takes, err := player.Practise(player.Course{Days: 3}); err != nil || takes != nil {
		t.Errorf("nothing to practise: %d takes, %v", len(takes), err)
	}
}
