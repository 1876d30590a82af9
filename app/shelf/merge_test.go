package shelf

import (
	"errors"
	"strings"
	"testing"
)

// What another device stored comes in once, whatever is here under its id.
func TestMerge(t *testing.T) {
	stored := record{Text: text("Cage", 1), Changed: after(9)}.write()
	for _, c := range []struct {
		what, id, stored string
		came             bool
		err              error
		want             []string // titles afterwards, the latest first
	}{
		{"a new exercise", "c", stored, true, nil, []string{"Cage", "Winze", "Ore pass"}},
		{"a text that is here", "c", record{Text: text("Winze", 1), Changed: after(9)}.write(), false, nil, []string{"Winze", "Ore pass"}},
		{"an id that is in use", "a", stored, true, nil, []string{"Cage", "Winze", "Ore pass"}},
		{"one deleted there", "c", record{Text: text("Cage", 1), Deleted: after(9)}.write(), false, nil, []string{"Winze", "Ore pass"}},
		{"a broken one", "c", "{", false, ErrBroken, []string{"Winze", "Ore pass"}},
		{"a newer one", "c", `{"v":9}`, false, ErrNewer, []string{"Winze", "Ore pass"}},
		{"an id that is none", "C D", stored, false, ErrBroken, []string{"Winze", "Ore pass"}},
	} {
		s, _ := newShelf(t)
		came, err := s.Merge(c.id, c.stored)
		if came != c.came || !errors.Is(err, c.err) {
			t.Errorf("%s: came %v, %v", c.what, came, err)
		}
		wantTitles(t, s.List(), c.want...)
		if came, _ := s.Merge(c.id, c.stored); came {
			t.Errorf("%s: it came in twice", c.what)
		}
		wantTitles(t, s.List(), c.want...)
	}
}

// One that lies in the bin here is brought back; one that was changed here since
// it came in stays as it is.
func TestMergingOntoOnesOwn(t *testing.T) {
	s, _ := newShelf(t)
	must(t, s.Delete("a", after(5)))
	if came, err := s.Merge("a", record{Text: text("Ore pass", 1), Changed: after(0)}.write()); !came || err != nil {
		t.Errorf("came %v, %v", came, err)
	}
	wantTitles(t, s.List(), "Winze", "Ore pass")
	theirs := record{Text: text("Cage", 1), Changed: after(6)}.write()
	if _, err := s.Merge("b", theirs); err != nil {
		t.Fatal(err)
	}
	id := s.List()[0].ID
	_, err := s.Write(id, text("Cage", 1), text("Cage", 2), after(7), counter())
	must(t, err)
	if came, err := s.Merge("b", theirs); came || err != nil {
		t.Errorf("after it was changed here it came again: %v, %v", came, err)
	}
	got, err := s.Read(id)
	if err != nil || !strings.Contains(got, "about: 2") {
		t.Errorf("%q, %v", got, err)
	}
}
