package draft

import (
	"strings"
	"testing"

	"stampmill/exercises/passage"
)

func TestTheLastGoodPassageStays(t *testing.T) {
	d := New("adit", floor, nil)
	good := d.Passage()
	for _, c := range []struct{ name, from, to string }{
		{"a letter no voice plays", "kick   | x.x.", "kick   | xqx."},
		{"a beat too many", "snare  | .    .  X .    |", "snare  | .    .  X . .    |"},
		{"a title half typed", "step: Timber", "step: Timb"},
		{"the step has a voice too few bars", "china  | x    x  x x    | x  x    x  x  |", "china  | x    x  x x    |"},
		{"no header any more", "tempo: 96\n", ""},
		{"no text any more", floor, ""},
		{"bytes that are no text", floor, "\xff\x00"},
	} {
		broken := d.SetText(strings.Replace(floor, c.from, c.to, 1), Caret{8, 1}, 0)
		if !passage.Same(broken.Passage(), good) {
			t.Errorf("%s: the passage of the step is gone", c.name)
		}
		if back := broken.Undo(); back.Text() != floor || !back.Current().Good {
			t.Errorf("%s: Undo does not bring the text back", c.name)
		}
	}
}

func TestABrokenStepIsNotWrittenOn(t *testing.T) {
	d := New("adit", strings.Replace(floor, "kick   | x.x.", "kick   | xqx.", 1), nil)
	for name, edit := range map[string]func() (Draft, error){
		"Type":    func() (Draft, error) { return d.Type('x') },
		"Clear":   d.Clear,
		"Divide":  func() (Draft, error) { return d.Divide(3) },
		"AddBars": func() (Draft, error) { return d.AddBars(1, true) },
	} {
		got, err := edit()
		if err == nil || !strings.Contains(err.Error(), "mend line 9 first") {
			t.Errorf("%s: %v, want mend line 9 first", name, err)
		}
		if got.Text() != d.Text() {
			t.Errorf("%s changes the text", name)
		}
	}
}
