package draft

import (
	"strings"
	"testing"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// inMade returns a draft with its cursor in a voice of the step made from the
// first.
func inMade(d Draft, v passage.Voice) Draft { return d.GoTo(1).Put(v, meter.Rat{}, false) }

// does makes a change of the catalogue.
func does(text string, how func(Draft, change.Change) (Draft, error)) func(Draft) (Draft, error) {
	return func(d Draft) (Draft, error) {
		c, err := change.Parse(text)
		if err != nil {
			return d, err
		}
		return how(d, c)
	}
}

// dropped says what the change of the table below does, as the catalogue does.
var dropped = func() string {
	c, _ := change.Parse("drop kick at 1.1")
	return strings.TrimSuffix(c.Sentence(New("adit", floor, nil).Passage()), ".")
}()

// edits is the one table of edits: what becomes of the exercise floor, as
// places in its text, and what Undo calls it.
var edits = []struct {
	name     string
	do       func(d Draft) (Draft, error)
	from, to []string
	undo     string
}{
	{"a stroke", func(d Draft) (Draft, error) { return d.Put(passage.Kick, meter.R(1, 4), false).Type('g') },
		[]string{"kick   | x.x."}, []string{"kick   | xgx."}, "ghost on kick at 1.1+1/16"},
	{"silence", func(d Draft) (Draft, error) { return d.Put(passage.Kick, meter.R(1, 2), false).Type('.') },
		[]string{"kick   | x.x."}, []string{"kick   | x..."}, "silence on kick at 1.1+1/8"},
	{"a hold", func(d Draft) (Draft, error) { return d.Put(passage.Guitar, meter.R(1, 4), false).Type('-') },
		[]string{"guitar | x.x."}, []string{"guitar | x-x."}, "hold on guitar at 1.1+1/16"},
	{"silence in two voices", func(d Draft) (Draft, error) {
		return d.Put(passage.Kick, meter.Rat{}, false).Put(passage.Guitar, meter.R(3, 4), true).Clear()
	}, []string{"kick   | x.x.", "guitar | x.x."}, []string{"kick   | ....", "guitar | ...."}, "silence on kick and guitar at 1.1"},
	{"another kind for what is selected", func(d Draft) (Draft, error) {
		return d.Put(passage.Kick, meter.Rat{}, false).Put(passage.Kick, meter.R(3, 4), true).Type('X')
	}, []string{"kick   | x.x."}, []string{"kick   | X.X."}, "accent on kick at 1.1"},
	{"a fret", func(d Draft) (Draft, error) { return d.Put(passage.Guitar, meter.Int(3), false).SetDetails(3, 0) },
		[]string{"o---", "X .    |", "x x    |", "..x. |"}, []string{"o(3)---", "X .       |", "x x       |", "..x.    |"}, "fret 3 on guitar at 1.4"},
	{"a triplet", func(d Draft) (Draft, error) { return d.Put(passage.Kick, meter.Int(3), false).Divide(3) },
		[]string{"kick   | x.x. .x . ..x. |"}, []string{"kick   | x.x. .x . .x.  |"}, "3 cells in kick at 1.4"},
	{"three over two", func(d Draft) (Draft, error) { return d.Put(passage.Snare, meter.Int(4), false).DivideOver(3, 2) },
		[]string{"| .  .    X  .  |", "| x  x    x  x  |", "| xx x.x. .x .. |", "| xx x-x. .x .. |"},
		[]string{"| 2:...   X  .  |", "| x  x    x  x  |", "| xx x.x. .x .. |", "| xx x-x. .x .. |"}, "3 cells in snare at 2.1"},
	{"a voice", func(d Draft) (Draft, error) { return d.AddVoice(passage.Ride) },
		[]string{"\nsnare "}, []string{"\nride   | .    .  . .    | .  .    .  .  |\nsnare "}, "a line for ride"},
	{"a voice less", func(d Draft) (Draft, error) { return d.RemoveVoice(passage.Snare) },
		[]string{"snare  | .    .  X .    | .  .    X  .  |\n"}, []string{""}, "no line for snare"},
	{"a bar at the end", func(d Draft) (Draft, error) { return d.AddBars(1, false) },
		[]string{"x  x  |\n", "X  .  |\n", ".x .. |\nguitar", "x-x. .x .. |\n"},
		[]string{"x  x  | . . . . |\n", "X  .  | . . . . |\n", ".x .. | . . . . |\nguitar", "x-x. .x .. | . . . . |\n"}, "1 bar after bar 2"},
	{"a bar behind the cursor", func(d Draft) (Draft, error) { return d.AddBars(1, true) },
		[]string{"x x    |", "X .    |", "..x. |", "o--- |"},
		[]string{"x x    | . . . . |", "X .    | . . . . |", "..x. | . . . . |", "o--- | . . . . |"}, "1 bar after bar 1"},
	{"a bar less", func(d Draft) (Draft, error) { return d.RemoveBars(1, 1) },
		[]string{" x    x  x x    |", " .    .  X .    |", " x.x. .x . ..x. |", " x.x. .x . o--- |"}, []string{"", "", "", ""}, "no bar 1"},
	{"a line of its own in a made step", func(d Draft) (Draft, error) { return inMade(d, passage.Snare).Type('X') },
		[]string{"The same again.\n"}, []string{"The same again.\nsnare | X . X . | . . X . |\n"}, "accent on snare at 1.1"},
	{"a made step written out", func(d Draft) (Draft, error) { return inMade(d, passage.Snare).WriteOut() },
		[]string{"from: Timber\nsays: The same again.\n"},
		[]string{"says: The same again.\nchina  | x    x  x x    | x  x    x  x  |\nsnare  | .    .  X .    | .  .    X  .  |\nkick   | x.x. .x . ..x. | xx x.x. .x .. |\nguitar | x.x. .x . o--- | xx x-x. .x .. |\n"}, "the step written out"},
	{"a silent step", func(d Draft) (Draft, error) { return d.NewStep("Timber") },
		[]string{"\nstep: Lagging"},
		[]string{"\nstep: Timber 2\nchina  | . . . . | . . . . |\nsnare  | . . . . | . . . . |\nkick   | . . . . | . . . . |\nguitar | . . . . | . . . . |\n\nstep: Lagging"}, "new step"},
	{"a step made from this one", func(d Draft) (Draft, error) { return d.CopyStep("Sump") },
		[]string{"\nstep: Lagging"}, []string{"\nstep: Sump\nfrom: Timber\n\nstep: Lagging"}, "new step from “Timber”"},
	{"another title", func(d Draft) (Draft, error) { return d.Rename("Props") },
		[]string{"step: Timber", "from: Timber"}, []string{"step: Props", "from: Props"}, "title “Props”"},
	{"another sentence, and the comment stays", func(d Draft) (Draft, error) { return d.SetSays("Kick and guitar\nagree.") },
		[]string{"Kick and guitar strike together."}, []string{"Kick and guitar agree."}, "what “Timber” says"},
	{"no second step", func(d Draft) (Draft, error) { return d.GoTo(1).Delete() },
		[]string{"\nstep: Lagging\nfrom: Timber\nsays: The same again.\n"}, []string{""}, "no step “Lagging”"},
	{"another tempo", func(d Draft) (Draft, error) { return d.SetHeader("tempo", "104.5") },
		[]string{"tempo: 96"}, []string{"tempo: 104.5"}, "tempo “104.5”"},
	{"a change in the lines", does("drop kick at 1.1", Draft.ApplyHere),
		[]string{"kick   | x.x."}, []string{"kick   | ..x."}, dropped},
	{"a change in a made step", func(d Draft) (Draft, error) { return does("drop kick at 1.1", Draft.ApplyHere)(d.GoTo(1)) },
		[]string{"from: Timber\n"}, []string{"from: Timber\ndo: drop kick at 1.1\n"}, dropped},
	{"a change as a step", does("drop kick at 1.1", Draft.SaveAsStep),
		[]string{"\nstep: Lagging"}, []string{"\nstep: Drop kick at 1.1\nfrom: Timber\ndo: drop kick at 1.1\nsays: " + dropped + ".\n\nstep: Lagging"}, dropped + ", as a step"},
}

func TestEdits(t *testing.T) {
	for _, c := range edits {
		next, err := c.do(New("adit", floor, change.Catalogue()))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		want := floor
		for i, from := range c.from {
			if !strings.Contains(want, from) {
				t.Fatalf("%s: %q is not in the exercise", c.name, from)
			}
			want = strings.Replace(want, from, c.to[i], 1)
		}
		if next.Text() != want {
			t.Errorf("%s: %s", c.name, diff(next.Text(), want))
		}
		if len(next.Problems()) > 0 {
			t.Errorf("%s: %v", c.name, next.Problems())
		}
		if got := next.UndoName(); got != c.undo {
			t.Errorf("%s: Undo is named %q, want %q", c.name, got, c.undo)
		}
		if got := next.Undo().Text(); got != floor {
			t.Errorf("%s: undone it is %s", c.name, diff(got, floor))
		}
		if got := next.Undo().Redo().Text(); got != want {
			t.Errorf("%s: done again it is %s", c.name, diff(got, want))
		}
	}
}

// refusals is the one table of what an edit is refused for.
var refusals = []struct {
	name string
	do   func(d Draft) (Draft, error)
	want string
}{
	{"a stroke the voice does not play", func(d Draft) (Draft, error) { return d.Put(passage.Kick, meter.Rat{}, false).Type('o') },
		"kick cannot play 'o' (open); it plays x hit, X accent, g ghost, f flam, d drag"},
	{"one of several voices that do not play it", func(d Draft) (Draft, error) {
		return d.Put(passage.Kick, meter.Rat{}, false).Put(passage.Guitar, meter.Int(1), true).Type('o')
	}, "kick cannot play"},
	{"no sign", func(d Draft) (Draft, error) { return d.Type('q') }, "'q' is not a sign; the signs are"},
	{"nothing to turn", func(d Draft) (Draft, error) {
		return d.Put(passage.Snare, meter.Rat{}, false).Put(passage.Snare, meter.Int(1), true).Type('X')
	}, "no stroke is selected"},
	{"a fret where nothing is", func(d Draft) (Draft, error) { return d.Put(passage.Guitar, meter.Int(2), false).SetDetails(3, 0) }, "no stroke at the cursor"},
	{"a fret on a drum", func(d Draft) (Draft, error) { return d.Put(passage.Kick, meter.Rat{}, false).SetDetails(3, 0) }, "has no fret"},
	{"a fret too high", func(d Draft) (Draft, error) { return d.Put(passage.Guitar, meter.Rat{}, false).SetDetails(25, 0) }, "use 0 to 24"},
	{"a bend of what is none", func(d Draft) (Draft, error) { return d.Put(passage.Guitar, meter.Rat{}, false).SetDetails(3, 1) }, "type b first"},
	{"strokes that would meet", func(d Draft) (Draft, error) { return d.Put(passage.Guitar, meter.Rat{}, false).Divide(1) },
		"in 1 cell two strokes of guitar would meet at 1.1"},
	{"too many cells", func(d Draft) (Draft, error) { return d.Divide(33) }, "choose 1 to 32"},
	{"beats of two bars", func(d Draft) (Draft, error) { return d.Put(passage.Kick, meter.Int(3), false).DivideOver(3, 2) },
		"bar 1 has not 2 beats from beat 4 on; begin at an earlier beat"},
	{"a voice that is there", func(d Draft) (Draft, error) { return d.AddVoice(passage.Kick) }, "has a line for kick"},
	{"a voice that is not", func(d Draft) (Draft, error) { return d.RemoveVoice(passage.Lead) }, "no line for lead"},
	{"a voice that a made step gets from the other", func(d Draft) (Draft, error) { return inMade(d, passage.Kick).RemoveVoice(passage.Kick) }, "; "},
	{"too many bars", func(d Draft) (Draft, error) { return d.AddBars(63, false) }, "at most 64"},
	{"all bars", func(d Draft) (Draft, error) { return d.RemoveBars(1, 2) }, "keep one"},
	{"bars of a made step", func(d Draft) (Draft, error) { return d.GoTo(1).AddBars(1, false) }, "write the step out first"},
	{"a title another step has", func(d Draft) (Draft, error) { return d.Rename("lagging") }, "choose another title"},
	{"a step before the one it is made from", func(d Draft) (Draft, error) { return d.GoTo(1).MoveStep(-1) }, "must stay behind it"},
	{"a step beyond the end", func(d Draft) (Draft, error) { return d.MoveStep(2) }, "cannot move further"},
	{"no metre", func(d Draft) (Draft, error) { return d.SetHeader("metre", "four") }, "is not a metre"},
	{"a change that does not fit", does("drop kick at 1.3", Draft.ApplyHere), "; "},
}

func TestRefusals(t *testing.T) {
	for _, c := range refusals {
		d := New("adit", floor, change.Catalogue())
		next, err := c.do(d)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
		if next.Text() != floor || next.UndoName() != "" {
			t.Errorf("%s: something changed: %s", c.name, diff(next.Text(), floor))
		}
	}
}

func TestTheCursorGoesOnAfterASign(t *testing.T) {
	d := New("adit", floor, nil).Put(passage.Kick, meter.Int(2), false)
	for _, c := range "X-." {
		next, err := d.Type(c)
		if err != nil {
			t.Fatal(err)
		}
		d = next
	}
	if got := where(d); got != "kick 1.4+1/8" {
		t.Errorf("after three signs from 1.3 on the cursor is at %s", got)
	}
	if want := "kick   | x.x. .x X -.x. |"; !strings.Contains(d.Text(), want) {
		t.Errorf("%s\nwant %s", d.Text(), want)
	}
}

func TestSaid(t *testing.T) {
	d, err := inMade(New("adit", floor, nil), passage.Snare).Type('X')
	if err != nil {
		t.Fatal(err)
	}
	if want := "This step is made from an earlier one; its own snare line now stands in place of what comes from there. Accent on snare at 1.1."; d.Said() != want {
		t.Errorf("said %q, want %q", d.Said(), want)
	}
	if d, err = d.Type('X'); err != nil || d.Said() != "Accent on snare at 1.2." {
		t.Errorf("the second time it said %q (%v)", d.Said(), err)
	}
	text := floor + "do: drop kick at 1.1\n"
	d, err = New("adit", text, change.Catalogue()).Put(passage.Kick, meter.Rat{}, false).Clear()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(d.Said(), "Line 15 now has a problem: ") {
		t.Errorf("a step that can no longer be made is not said: %q", d.Said())
	}
}

// A voice whose line is written out behind the changes of a step, and that a
// change empties, leaves with it.
func TestWrittenLineOfAVoiceThatLeft(t *testing.T) {
	text := "title: T\ntempo: 100\nmetre: 4/4\n\nstep: One\nchina | x . x . |\nkick | x x x x |\n\nstep: Two\ndo: drop kick at 1.4\nchina | x . x . |\n"
	d, err := does("move china to ride", Draft.ApplyHere)(New("t", text, change.Catalogue()).GoTo(1))
	if err != nil {
		t.Fatal(err)
	}
	if got := d.Text(); !strings.HasSuffix(got, "do: drop kick at 1.4\ndo: move china to ride\n") {
		t.Errorf("the text is %s", got)
	}
}
