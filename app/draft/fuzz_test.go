package draft

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"stampmill/exercises/change"
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// An act is one edit that a writer may do, with a byte to choose how.
type act func(d Draft, arg byte) (Draft, error)

// acts are all edits, for random sequences of them.
var acts = []act{
	func(d Draft, arg byte) (Draft, error) { return d.Move(Direction(arg%8), arg >= 128), nil },
	func(d Draft, arg byte) (Draft, error) {
		return d.Put(passage.Voice(arg%18), meter.R(int64(arg), 3), arg >= 128), nil
	},
	func(d Draft, arg byte) (Draft, error) {
		return d.Select(passage.Span{From: meter.Int(int64(arg % 4)), To: meter.Int(int64(arg % 16)), Voices: []passage.Voice{passage.Voice(arg % 18), passage.Kick}}), nil
	},
	func(d Draft, arg byte) (Draft, error) { return d.Type(rune("xXgfdoc!hsSbtpr.-?"[arg%18])) },
	func(d Draft, arg byte) (Draft, error) { return d.Clear() },
	func(d Draft, arg byte) (Draft, error) {
		return d.Put(passage.Guitar, meter.Int(int64(arg/50)), false).SetDetails(int(arg%30), int(arg/100))
	},
	func(d Draft, arg byte) (Draft, error) { return d.Divide(int(arg % 40)) },
	func(d Draft, arg byte) (Draft, error) { return d.DivideOver(int(arg%32), int(arg/64)) },
	func(d Draft, arg byte) (Draft, error) { return d.AddVoice(passage.Voice(arg % 18)) },
	func(d Draft, arg byte) (Draft, error) { return d.RemoveVoice(passage.Voice(arg % 18)) },
	func(d Draft, arg byte) (Draft, error) { return d.AddBars(int(arg%20), arg >= 128) },
	func(d Draft, arg byte) (Draft, error) { return d.RemoveBars(int(arg%8), int(arg/32)) },
	func(d Draft, arg byte) (Draft, error) { return d.WriteOut() },
	func(d Draft, arg byte) (Draft, error) { return d.NewStep("Sump") },
	func(d Draft, arg byte) (Draft, error) { return d.CopyStep("Sump\n") },
	func(d Draft, arg byte) (Draft, error) { return d.Duplicate() },
	func(d Draft, arg byte) (Draft, error) { return d.Delete() },
	func(d Draft, arg byte) (Draft, error) { return d.Rename([]string{"Sump", "", "# x", "Timber"}[arg%4]) },
	func(d Draft, arg byte) (Draft, error) { return d.SetSays([]string{"It drips.", "", "a # b"}[arg%3]) },
	func(d Draft, arg byte) (Draft, error) { return d.MoveStep(int(arg%5) - 2) },
	func(d Draft, arg byte) (Draft, error) { return d.GoTo(int(arg%6) - 1), nil },
	func(d Draft, arg byte) (Draft, error) {
		return d.SetHeader([]string{"title", "tempo", "metre", "nothing"}[arg%4], []string{"Adit", "120", "7/8 (2+2+3)", "", "x"}[arg/4%5])
	},
	func(d Draft, arg byte) (Draft, error) { return d.change(arg, Draft.ApplyHere) },
	func(d Draft, arg byte) (Draft, error) { return d.change(arg, Draft.SaveAsStep) },
	func(d Draft, arg byte) (Draft, error) { return d.Undo(), nil },
	func(d Draft, arg byte) (Draft, error) { return d.Redo(), nil },
	func(d Draft, arg byte) (Draft, error) {
		at := int(arg) * len(d.Text()) / 256
		return d.SetText(d.Text()[:at]+string("x.| \n-:"[arg%7])+d.Text()[at:], CaretAt(d.Text(), at), time.Duration(arg)*pause/100), nil
	},
	func(d Draft, arg byte) (Draft, error) {
		at := int(arg) * len(d.Text()) / 256
		return d.SetText(d.Text()[:at]+d.Text()[min(at+int(arg%9), len(d.Text())):], Caret{int(arg), 3}, 0), nil
	},
	func(d Draft, arg byte) (Draft, error) { return d.SetCaret(Caret{int(arg % 32), int(arg / 8)}), nil },
}

// change makes one of some changes.
func (d Draft) change(arg byte, make func(Draft, change.Change) (Draft, error)) (Draft, error) {
	c, err := change.Parse([]string{"half-time china", "retime kick guitar at 1.1 as 3", "double-time china", "displace china by 1/16"}[arg%4])
	if err != nil {
		return d, err
	}
	return make(d, c)
}

// FuzzEdits makes any edits, two bytes each, of any text: nothing panics, what
// is refused changes nothing, cursor and passage stay sound, and undoing
// everything gives the first text back, doing it again the last.
func FuzzEdits(f *testing.F) {
	f.Add(floor, []byte{0, 1, 3, 0, 6, 3, 22, 0, 23, 1, 3, 12})
	f.Add(floor, []byte{20, 2, 3, 1, 12, 0, 10, 3, 11, 33, 18, 0, 16, 0, 24, 0})
	f.Add("", []byte{26, 0, 26, 9, 13, 0})
	f.Add("title: Adit\ntempo: 60\nmetre: 6/8\nstep: \xff\nkick | %", []byte{3, 3, 27, 200})
	f.Fuzz(func(t *testing.T, text string, script []byte) { edited(t, text, script) })
}

// TestEditsOfASoundExercise does the same with an exercise that can be read,
// where most edits are made.
func TestEditsOfASoundExercise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		edited(t, floor, rapid.SliceOfN(rapid.Byte(), 24, 60).Draw(t, "script"))
	})
}

// edited makes a script of edits of a text.
func edited(t rapid.TB, text string, script []byte) {
	d := New("adit", text, change.Catalogue())
	d.reader.most = len(script) % 2 * maxAtOnce // 0: what follows is always left for later
	for i := 0; i+1 < min(len(script), 80); i += 2 {
		next, err := acts[int(script[i])%len(acts)](d, script[i+1])
		if err != nil && next.Text() != d.Text() {
			t.Fatalf("edit %d was refused (%v) and changed the text", script[i], err)
		}
		d = next
		sound(t, d)
	}
	fresh(t, d)
	for d.RedoName() != "" {
		d = d.Redo()
	}
	last, n := d.Text(), 0
	for ; d.UndoName() != ""; n++ {
		d = d.Undo()
	}
	if d.Text() != text {
		t.Fatalf("undone it is %q, want %q", d.Text(), text)
	}
	for range n {
		d = d.Redo()
	}
	if d.Text() != last {
		t.Fatalf("done again it is %q, want %q", d.Text(), last)
	}
}

// sound checks that a draft hangs together.
func sound(t rapid.TB, d Draft) {
	t.Helper()
	p := d.Passage()
	if len(p.Bars) > 0 {
		if ps := passage.Check(p); len(ps) > 0 {
			t.Fatal(ps)
		}
	}
	if s := d.Selection(); len(s.Voices) > 0 && !within(p, s) {
		t.Fatalf("the selection %v leaves the passage", s)
	}
	d.Scope()
	d.Details()
	d.Rating(limbs.One)
	d.Unplayable(limbs.Two)
	Agree(p, passage.Kick, passage.Guitar)
}

// fresh checks that what a draft remembers changes nothing: read anew, its text
// has the same steps and problems.
func fresh(t rapid.TB, d Draft) {
	t.Helper()
	got, want := d.Settled(), New("adit", d.Text(), change.Catalogue())
	if diff(got.Problems(), want.Problems()) != "" {
		t.Fatalf("read anew it has other problems: %s", diff(got.Problems(), want.Problems()))
	}
	for i, s := range want.Steps() {
		if now := got.Steps()[i]; s.Good != now.Good || s.Good && diff(now, s) != "" {
			t.Fatalf("read anew step %d is another: %s", i+1, diff(now, s))
		}
	}
}
