package draft

import (
	"strings"
	"testing"

	"stampmill/exercises/change"
)

func TestWhatFollowsIsReadWhenTypingPauses(t *testing.T) {
	text := floor + "do: drop kick at 1.1\n\nstep: Sump\nquarry: no key\n"
	d := New("adit", text, change.Catalogue())
	d.reader.most = 0
	problems := len(d.Problems())
	typed := strings.Replace(text, "kick   | x.x.", "# no stroke to drop\nkick   | ..x.", 1)
	d = d.SetText(typed, Caret{10, 12}, 0)
	if !d.Current().Good || d.Step() != 0 || d.Passage().Lines[2].Strokes[0].At.Sign() == 0 {
		t.Error("the current step is not read at once")
	}
	if got := d.Problems(); len(got) != problems || got[0].Line != 18 {
		t.Errorf("a problem of what follows does not stay, a line further down: %v", got)
	}
	if steps := d.Steps(); len(steps) != 3 || steps[1].Line != 13 || !steps[1].Good {
		t.Errorf("the steps that follow do not stay: %v", steps)
	}
	d = d.Settled()
	if got := d.Problems(); len(got) != problems+1 || got[0].Line != 16 {
		t.Errorf("after the pause the step that can no longer be made is no problem: %v", got)
	}
	if d.Steps()[1].Good {
		t.Error("after the pause that step is still good")
	}
}

func TestEditsOfStepsReadTheWholeText(t *testing.T) {
	d := New("adit", floor, change.Catalogue())
	d.reader.most = 0
	d = d.SetText(strings.Replace(floor, "x.x.", "xxx.", 1), Caret{9, 10}, 0)
	if d.covered == len(d.text) {
		t.Fatal("the whole text is read")
	}
	d, err := d.NewStep("Lagging")
	if err != nil || !strings.Contains(d.Text(), "step: Lagging 2\n") {
		t.Errorf("a title of a later step is given again (%v):\n%s", err, d.Text())
	}
	d = d.SetText(d.Text()+"\n", Caret{9, 10}, 0).GoTo(2)
	if d.Step() != 2 || d.Current().Title != "Lagging" || !d.Current().Good {
		t.Errorf("the current step is %+v", d.Current())
	}
}
