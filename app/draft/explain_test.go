package draft

import (
	"strings"
	"testing"

	"stampmill/exercises/change"
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// More than the catalogue can say in a few changes.
func TestDifferencesAreNamedByPlace(t *testing.T) {
	text := floor + `
step: Sump
china  | x    x  x x    | x  x    x  x  |
snare  | .    .  X .    | .  .    X  .  |
kick   | x.x. .x . ..x. | xx g.g. .d .. |
guitar | h.h. .x . ...p | t. x-x. .x .. |
`
	d := New("adit", text, change.Catalogue()).GoTo(2)
	got := differences(d.Steps()[0].Passage, d.Passage())
	want := []string{"Guitar differs at 1.1.", "Guitar differs from 1.4 to 2.1.", "Kick differs from 2.2 to 2.3."}
	if diff(got, want) != "" {
		t.Error(diff(got, want))
	}
}

func TestExplain(t *testing.T) {
	d := New("adit", floor+"do: drop kick at 1.1\n", change.Catalogue())
	if got := d.Explain(); got != nil {
		t.Errorf("the first step: %q", got)
	}
	d = d.GoTo(1)
	if got := d.Explain(); len(got) != 1 || !strings.Contains(got[0], "ick") {
		t.Errorf("the second step: %q", got)
	}
	if got := d.ExplainSaved(); len(got) != 1 || got[0] != "Nothing sounds different." || d.Changed() {
		t.Errorf("as saved: %q", got)
	}
	e, err := does("drop guitar at 1.1", Draft.ApplyHere)(d)
	if err != nil {
		t.Fatal(err)
	}
	if got := e.ExplainSaved(); len(got) != 1 || !strings.Contains(got[0], "uitar") || !e.Changed() {
		t.Errorf("one change after saving: %q", got)
	}
	if got := e.Saved().ExplainSaved(); got[0] != "Nothing sounds different." || e.Saved().SavedText() != e.Text() {
		t.Errorf("saved again: %q", got)
	}
	if e, err = e.CopyStep("Sump"); err != nil || e.ExplainSaved()[0] != "This step is new since the text was saved." {
		t.Errorf("a new step: %q (%v)", e.ExplainSaved(), err)
	}
}

func TestMeasuresOfTheCurrentStep(t *testing.T) {
	text := strings.Replace(floor, "snare  | .    .  X . ", "snare  | .    .  X xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx ", 1)
	d := New("adit", text, change.Catalogue())
	places, lines := d.Unplayable(limbs.Two)
	if len(places) == 0 || len(places) != len(lines) || lines[0].Line != 8 || places[0].Voice != passage.Snare {
		t.Errorf("thirty-two strokes on one beat of the snare: %v, %v", places, lines)
	}
	if d.Rating(limbs.Two).Playable {
		t.Error("it is rated as playable")
	}
	e := New("adit", floor+"do: drop kick at 1.1\n", change.Catalogue()).GoTo(1)
	if got := e.Rating(limbs.Two); got.New != 1 || !got.Playable {
		t.Errorf("one stroke less than the step before: %+v", got)
	}
	f, err := e.GoTo(0).Put(passage.Kick, meter.Rat{}, false).Type('q')
	if err == nil || f.Rating(limbs.One).PeakRate != e.GoTo(0).Rating(limbs.One).PeakRate {
		t.Error("a refused sign changes the rating")
	}
}
