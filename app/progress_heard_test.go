package app

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"stampmill/app/chart"
	"stampmill/exercises/ear"
	"stampmill/exercises/player"
)

// answeredBy is a listener with a threshold who answers n questions of a task.
func answeredBy(t *testing.T, task string, half float64, n int) []ear.Done {
	t.Helper()
	k, ok := ear.Named(task)
	if !ok {
		t.Fatalf("no task %s", task)
	}
	rng := rand.New(rand.NewPCG(7, uint64(n)))
	l := player.Listener{Half: k.Scale.Level(half), Width: 0.2}
	var tried []ear.Tried
	var all []ear.Done
	for i := range n {
		x := ear.Tried{D: k.Scale.Of(k.After(tried).Level), Chance: 0.5, Yes: i%2 == 0}
		x.Right = l.Answers(k.Scale.Level(x.D), x.Chance, rng)
		tried = append(tried, x)
		all = append(all, ear.Done{Task: task, D: x.D, Tried: x, At: noon.Add(time.Duration(i) * time.Minute)})
	}
	return all
}

// The card of a listener who hears 12 ms says so with an interval that holds
// it, shows published values as information, and says what is missing where
// there are too few answers.
func TestListeningOnProgress(t *testing.T) {
	s := practising(1)
	s.Page, s.Booked, s.Now = progressPath, BookReady, noon
	empty := textOf(view(s, draw(s)))
	if !strings.Contains(empty, "No question of the ear has been answered yet.") {
		t.Errorf("without answers: %q", empty)
	}
	s.Listen.All = append(answeredBy(t, "ahead", 12, 120), answeredBy(t, "what", 4, 8)...)
	cards := draw(s).Progress.sight.heard
	if len(cards) != 2 || cards[0].id != "heard-what" || cards[1].id != "heard-ahead" {
		t.Fatalf("the cards are %v", cards)
	}
	c := cards[1].chart.(chart.Hearing)
	if !(c.Low < 12 && 12 < c.High) || len(c.Answers) != 120 || len(c.Published) != 1 || c.Published[0] != 6 { // 6 ms: Friberg & Sundberg 1995
		t.Errorf("threshold %g from %g to %g of %d answers, published %v", c.Threshold, c.Low, c.High, len(c.Answers), c.Published)
	}
	got := textOf(view(s, draw(s)))
	for _, want := range []string{"Twelve more answers and a threshold can be told.", "Friberg &amp; Sundberg 1995", "an order of size, not a mark to reach", "Not answered yet: same or changed"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in %q", want, got)
		}
	}
	saved, _ := after(s, doesTo("chart-csv", "heard-ahead"))
	_, effects := Update(saved, doesTo("chart-csv", "heard-ahead"))
	if f, ok := effects[0].(SaveFile); !ok || strings.Count(string(f.Content), "\n") != 121 {
		t.Errorf("the answers as numbers: %v", effects)
	}
}
