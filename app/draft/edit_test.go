package draft

import (
	"strings"
	"testing"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// The one table of edits on the strip: what becomes of the exercise floor.
var edits = []struct {
	name string
	do   func(d Draft) (Draft, error)
	from string // of floor
	to   string
	undo string // name of the entry
}{
	{"a stroke", func(d Draft) (Draft, error) { return d.Put(passage.Kick, meter.R(1, 4), false).Type('g') },
		"kick   | x.x.", "kick   | xgx.", "g on kick at 1.1+1/16"},
	{"silence", func(d Draft) (Draft, error) { return d.Put(passage.Kick, meter.R(1, 2), false).Type('.') },
		"kick   | x.x.", "kick   | x...", "silence on kick at 1.1+1/8"},
	{"a hold", func(d Draft) (Draft, error) { return d.Put(passage.Guitar, meter.R(1, 4), false).Type('-') },
		"guitar | x.x.", "guitar | x-x.", "hold on guitar at 1.1+1/16"},
	{"silence in two voices", func(d Draft) (Draft, error) {
		return d.Put(passage.Kick, meter.Rat{}, false).Put(passage.Guitar, meter.R(3, 4), true).Clear()
	}, "kick   | x.x. .x . ..x. | xx x.x. .x .. |\nguitar | x.x.", "kick   | .... .x . ..x. | xx x.x. .x .. |\nguitar | ....", "silence on kick and guitar at 1.1"},
	{"another kind for what is selected", func(d Draft) (Draft, error) {
		return d.Put(passage.Kick, meter.Rat{}, false).Put(passage.Kick, meter.R(3, 4), true).Type('X')
	}, "kick   | x.x.", "kick   | X.X.", "accent on kick at 1.1"},
}

func TestEdits(t *testing.T) {
	for _, c := range edits {
		d := New("adit", floor, change.Catalogue())
		next, err := c.do(d)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		want := strings.Replace(floor, c.from, c.to, 1)
		if want == floor {
			t.Fatalf("%s: %q is not in the exercise", c.name, c.from)
		}
		if next.Text() != want {
			t.Errorf("%s: %s", c.name, diff(next.Text(), want))
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
