package shelf

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises"
)

// The summary of a good exercise is what reading it whole gives.
func TestSummaryAgreesWithReading(t *testing.T) {
	for _, e := range exercises.Library() {
		title, steps := Summary(string(exercises.Source(e.Name)))
		if title != e.Climb.Title || steps != len(e.Climb.Steps) {
			t.Errorf("%s: %q with %d steps, want %q with %d", e.Name, title, steps, e.Climb.Title, len(e.Climb.Steps))
		}
	}
}

func TestSummaryOfAnyText(t *testing.T) {
	for text, want := range map[string]struct {
		title string
		steps int
	}{
		"":                                   {"", 0},
		"title: Winze":                       {"Winze", 0},
		"TITLE :  Winze # mine\r\nstep: A\r": {"Winze", 1},
		"\ufefftitle: Winze\nstep:\nSTEP: B": {"Winze", 2},
		"title: F#1\n":                       {"F#1", 0},
		"# title: A\ntitle: B\ntitle: C":     {"B", 0},
		"step: A\ntitle: too late":           {"", 1},
		"kick | 2:xxx |\nstep | x":           {"", 0},
		"title:":                             {"", 0},
	} {
		if title, steps := Summary(text); title != want.title || steps != want.steps {
			t.Errorf("%q: %q with %d steps, want %q with %d", text, title, steps, want.title, want.steps)
		}
	}
}

func TestRetitle(t *testing.T) {
	for text, want := range map[string]string{
		"":                                  "title: New\n",
		"step: A\n":                         "title: New\nstep: A\n",
		"\ufeffstep: A\n":                   "\ufefftitle: New\nstep: A\n",
		"tempo: 90\nTitle:  Old  # x\r\nby": "tempo: 90\nTitle:  New  # x\r\nby",
		"title:Old\n":                       "title: New\n",
		"title:\n":                          "title: New\n",
		"title:   # none yet":               "title: New   # none yet",
		"step: A\ntitle: x\n":               "title: New\nstep: A\ntitle: x\n",
	} {
		if got, err := Retitle(text, " New "); got != want || err != nil {
			t.Errorf("%q: %q, %v; want %q", text, got, err, want)
		}
	}
}

// Whatever the text, it then has the title, as many steps and all its lines.
func TestRetitleChangesTheTitleAlone(t *testing.T) {
	lines := []string{"title: Old", "title:", "Title: x # y", "step: A", "kick | x |", "", "# note", "tempo: 90", ":", "\ufeff"}
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOf(rapid.SampledFrom(lines)).Draw(t, "lines"), rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "ends"))
		title := rapid.StringMatching(`[A-Za-zÄé(#]{1,10}( [A-Za-z0-9]{1,5}){0,2}`).Draw(t, "title")
		got, err := Retitle(text, title)
		if err != nil {
			if !strings.HasPrefix(title, "#") {
				t.Fatal(err)
			}
			return
		}
		oldTitle, steps := Summary(text)
		newTitle, after := Summary(got)
		if newTitle != title || after != steps {
			t.Fatalf("%q became %q: title %q, %d steps", text, got, newTitle, after)
		}
		if back, err := Retitle(got, oldTitle); err == nil && oldTitle != "" && back != text {
			t.Fatalf("%q, then %q, then %q", text, got, back)
		}
	})
}
