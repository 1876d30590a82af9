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

// told returns the answer of an explanation, found in small slices.
func told(x *Explanation) []string {
	for !x.Next(10) {
	}
	return x.Sentences()
}

func TestExplain(t *testing.T) {
	d := New("adit", floor+"do: drop kick at 1.1\n", change.Catalogue())
	e, err := does("drop guitar at 1.1", Draft.ApplyHere)(d.GoTo(1))
	if err != nil {
		t.Fatal(err)
	}
	f, err := e.CopyStep("Sump")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		x    *Explanation
		want []string
	}{
		{"a first step", d.Explain(), nil},
		{"one change", d.GoTo(1).Explain(), []string{dropped + "."}},
		{"since it was saved: none", d.GoTo(1).ExplainSaved(), []string{"Nothing sounds different."}},
		{"since it was saved: one", e.ExplainSaved(), []string{strings.Replace(dropped, "kick", "guitar", 1) + "."}},
		{"since it was saved again", e.Saved().ExplainSaved(), []string{"Nothing sounds different."}},
		{"a new step", f.ExplainSaved(), []string{"This step is new since the text was saved."}},
	} {
		if got := told(c.x); diff(got, c.want) != "" {
			t.Errorf("%s: %s", c.name, diff(got, c.want))
		}
	}
	if d.Changed() || !e.Changed() || e.Saved().Changed() || e.Saved().SavedText() != e.Text() {
		t.Error("what is saved and what is changed do not agree")
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
