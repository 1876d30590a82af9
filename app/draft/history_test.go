package draft

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// floor is a small exercise; the last step is made from the one before.
const floor = `title: Adit
tempo: 96
metre: 4/4

step: Timber
says: Kick and guitar strike together. # mind the snare
china  | x    x  x x    | x  x    x  x  |
snare  | .    .  X .    | .  .    X  .  |
kick   | x.x. .x . ..x. | xx x.x. .x .. |
guitar | x.x. .x . o--- | xx x-x. .x .. |

step: Lagging
from: Timber
says: The same again.
`

func TestPatchesBetweenAnyTexts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.SampledFrom([]rune("x.-é\n|")), 0, 300, -1)
		a, b := text.Draw(t, "before"), text.Draw(t, "after")
		p := between(a, b)
		if got := p.apply(a); got != b {
			t.Fatalf("the patch makes %q, want %q", got, b)
		}
		if got := p.inverse().apply(b); got != a {
			t.Fatalf("its inverse makes %q, want %q", got, a)
		}
	})
}

func TestAPatchKeepsOnlyWhatDiffers(t *testing.T) {
	for _, c := range []struct {
		name, before, after string
		bytes, hunks        int
	}{
		{"one character", "a\nxx\nb", "a\nxyx\nb", 1, 1},
		{"a column in every line", "ab |\ncd |\nef |\n", "ab  |\ncd  |\nef  |\n", 3, 3},
		{"a new line", "a\nb\n", "a\nnew\nb\n", 4, 1},
		{"a character of two bytes", "é", "è", 4, 1},
		{"broken bytes", "a\xc3b", "a\xc3\xc3b", 1, 1},
		{"nothing", "abc", "abc", 0, 0},
	} {
		p := between(c.before, c.after)
		n := 0
		for _, h := range p {
			n += len(h.removed) + len(h.added)
		}
		if n != c.bytes || len(p) != c.hunks {
			t.Errorf("%s: %d bytes in %d hunks, want %d in %d: %v", c.name, n, len(p), c.bytes, c.hunks, p)
		}
	}
}

// write types a text at the end of a draft, a character each tenth of a
// second, from a time on.
func write(d Draft, text string, at time.Duration) Draft {
	for _, c := range text {
		at += time.Second / 10
		d = d.SetText(d.Text()+string(c), Caret{}, at)
	}
	return d
}

func TestTypingIsUndoneByWords(t *testing.T) {
	d := write(New("adit", "", nil), "says: The kick\nrests", 0)
	var got []string
	for d.UndoName() != "" {
		d = d.Undo()
		got = append(got, d.Text())
	}
	want := []string{"says: The kick\n", "says: The ", "says: ", ""}
	if diff(got, want) != "" {
		t.Error(diff(got, want))
	}
}

func TestWhatEndsARunOfTyping(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(d Draft) Draft
		want string // after typing "ab", c.do, typing "cd" and one Undo
	}{
		{"nothing", func(d Draft) Draft { return d }, ""},
		{"the caret elsewhere", func(d Draft) Draft { return d.SetCaret(Caret{1, 1}) }, "ab"},
		{"an undo", func(d Draft) Draft { return write(d, "e ", pause/2).Undo().Redo() }, "abe "},
		{"a deletion", func(d Draft) Draft { return d.SetText("a", Caret{1, 2}, pause/2) }, "a"},
		{"a paste", func(d Draft) Draft { return d.SetText("ab pasted", Caret{1, 2}, pause/2) }, "ab pasted"},
	} {
		d := New("adit", "", nil)
		d = write(d, "ab", 0)
		d = write(c.do(d), "cd", pause/2)
		if got := d.Undo().Text(); got != c.want {
			t.Errorf("%s: Undo gives %q, want %q", c.name, got, c.want)
		}
	}
	d := write(write(New("adit", "", nil), "ab", 0), "cd", 2*pause)
	if got := d.Undo().Text(); got != "ab" {
		t.Errorf("a pause: Undo gives %q, want %q", got, "ab")
	}
}

func TestTypingAmongEqualSignsIsOneEdit(t *testing.T) {
	d := New("adit", "xx", nil) // the caret before both
	for i, c := range []string{"xxx", "xgxx", "xgxxx", "xgx.xx"} {
		d = d.SetText(c, Caret{1, 2 + i}, 0)
	}
	if d = d.Undo(); d.Text() != "xx" || d.UndoName() != "" {
		t.Errorf("one Undo leaves %q", d.Text())
	}
	if d = d.Redo(); d.Text() != "xgx.xx" {
		t.Errorf("one Redo gives %q", d.Text())
	}
}

func TestDeletingIsOneEditAndComesBack(t *testing.T) {
	d := write(New("adit", "", nil), "abc", 0)
	d = d.SetText("ab", Caret{1, 3}, pause)
	d = d.SetText("a", Caret{1, 2}, pause)
	if got := d.Undo().Text(); got != "abc" {
		t.Errorf("Undo gives %q, want %q", got, "abc")
	}
	if got := d.UndoName(); got != "deleting" {
		t.Errorf("Undo is named %q", got)
	}
}

func TestOldDraftsKeepTheirOwnHistory(t *testing.T) {
	d := write(New("adit", floor, nil), "a", 0)
	e := write(d, "b", 0)
	f := write(d, "c ", 0)
	for _, c := range []struct {
		d    Draft
		want string
	}{{d, "a"}, {e, "ab"}, {f, "ac "}} {
		if c.d.Text() != floor+c.want || c.d.Undo().Text() != floor || c.d.Undo().Redo().Text() != floor+c.want {
			t.Errorf("%q: undone and done again it is %q", c.want, c.d.Undo().Redo().Text())
		}
	}
}

func TestHistoryGrowsByWhatIsTyped(t *testing.T) {
	d := write(New("adit", floor, nil), "# kick and guitar \n# ", 0)
	kept := 0
	for e := d.past; e != nil; e = e.older {
		for _, h := range e.patch {
			kept += len(h.removed) + len(h.added)
		}
	}
	if want := len("# kick and guitar \n# "); kept != want {
		t.Errorf("the history keeps %d bytes of %d typed", kept, want)
	}
}
