package shelf

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/app/port/memory"
)

// day is when the tests begin.
var day = time.Date(2031, 5, 6, 7, 8, 9, 0, time.UTC)

// after is a moment some minutes later.
func after(minutes int) time.Time { return day.Add(time.Duration(minutes) * time.Minute) }

// counter gives the ids n1, n2, ...
func counter() func() string {
	n := 0
	return func() string { n++; return fmt.Sprint("n", n) }
}

func text(title string, body any) string {
	return fmt.Sprintf("title: %s\nabout: %v\n\nstep: The floor\nkick | x x x x |\n", title, body)
}

// newShelf has two exercises.
func newShelf(t *testing.T) (Shelf, *memory.Store) {
	t.Helper()
	store := &memory.Store{Kept: map[string]string{"settings": "{}"}}
	s := New(store)
	must(t, s.Add("a", text("Ore pass", 1), after(0)))
	must(t, s.Add("b", text("Winze", 1), after(1)))
	return s, store
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// titles are those of a list, in its order.
func titles(list []Entry) []string {
	var t []string
	for _, e := range list {
		t = append(t, e.Title)
	}
	return t
}

func wantTitles(t *testing.T, got []Entry, want ...string) {
	t.Helper()
	if diff := cmp.Diff(want, titles(got)); diff != "" {
		t.Errorf("titles (-want +got):\n%s", diff)
	}
}

func TestTheLatestStandsFirst(t *testing.T) {
	s, _ := newShelf(t)
	wantTitles(t, s.List(), "Winze", "Ore pass")
	_, err := s.Write("a", text("Ore pass", 1), text("Ore pass", 2), after(2), counter())
	must(t, err)
	wantTitles(t, s.List(), "Ore pass", "Winze")
	want := Entry{ID: "a", Title: "Ore pass", Steps: 1, Bytes: len(text("Ore pass", 2)), Changed: after(2)}
	if diff := cmp.Diff(want, s.List()[0]); diff != "" {
		t.Errorf("entry (-want +got):\n%s", diff)
	}
}

// Every text comes back byte for byte, also one that is no exercise.
func TestTextsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := New(&memory.Store{Kept: map[string]string{}})
		want := rapid.String().Draw(t, "text")
		if err := s.Add("a", want, day); err != nil {
			t.Fatal(err)
		}
		if got, err := s.Read("a"); err != nil || got != want {
			t.Fatalf("%q, %v; want %q", got, err, want)
		}
	})
}

func TestWhatIsRefused(t *testing.T) {
	s, store := newShelf(t)
	before := maps.Clone(store.Kept)
	errs := map[string]error{
		"an id in use":             s.Add("a", "x", day),
		"an id with a slash":       s.Add("a/b", "x", day),
		"no id":                    s.Add("", "x", day),
		"bytes that are not UTF-8": s.Add("c", "\xff", day),
		"a title of nothing":       s.Rename("a", " ", day),
		"a title of two lines":     s.Rename("a", "One\nTwo", day),
		"a title with a comment":   s.Rename("a", "One #2", day),
		"a title of 121 letters":   s.Rename("a", strings.Repeat("x", 121), day),
		"a copy of nothing":        s.Duplicate("gone", "c", day),
		"a copy over another":      s.Duplicate("a", "b", day),
		"deleting nothing":         s.Delete("gone", day),
		"bringing back nothing":    s.Restore("gone"),
	}
	_, errs["reading nothing"] = s.Read("gone")
	_, errs["no new id"] = s.Write("b", "other", "ours", day, func() string { return "a" })
	for what, err := range errs {
		if err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%s: %v", what, err)
		}
	}
	if diff := cmp.Diff(before, store.Kept); diff != "" {
		t.Errorf("what was refused changed the store (-want +got):\n%s", diff)
	}
}

func TestDeleteAndRestore(t *testing.T) {
	s, store := newShelf(t)
	must(t, s.Delete("a", after(2)))
	wantTitles(t, s.List(), "Winze")
	wantTitles(t, s.Bin(), "Ore pass")
	must(t, s.Restore("a"))
	wantTitles(t, s.List(), "Winze", "Ore pass")
	if e := s.List()[1]; e.Changed != after(0) {
		t.Errorf("changed %v by deleting and bringing back", e.Changed)
	}
	must(t, s.Delete("a", after(3)))
	must(t, s.Delete("b", after(4))) // the next one: a is gone
	wantTitles(t, s.Bin(), "Winze")
	must(t, s.Forget("b"))
	if diff := cmp.Diff(map[string]string{"settings": "{}"}, store.Kept); diff != "" {
		t.Errorf("the store (-want +got):\n%s", diff)
	}
}

func TestDuplicatesCount(t *testing.T) {
	s, _ := newShelf(t)
	must(t, s.Duplicate("a", "c", after(2)))
	must(t, s.Duplicate("c", "d", after(3)))
	must(t, s.Duplicate("a", "e", after(4)))
	must(t, s.Add("f", text(strings.Repeat("n", 118)+" y", 1), after(5)))
	must(t, s.Duplicate("f", "g", after(6)))
	must(t, s.Add("h", "no exercise", after(7)))
	must(t, s.Duplicate("h", "i", after(8)))
	wantTitles(t, s.List(), "Without a title (copy)", "", strings.Repeat("n", 113)+" (copy)", strings.Repeat("n", 118)+" y",
		"Ore pass (copy 3)", "Ore pass (copy 2)", "Ore pass (copy)", "Winze", "Ore pass")
}

// Two windows write the same exercise: both texts are kept, and who wrote last
// has the place.
func TestTwoWindows(t *testing.T) {
	s, _ := newShelf(t)
	base, ids := text("Ore pass", 1), counter()
	one, err := s.Write("a", base, text("Ore pass", "ours"), after(2), ids)
	must(t, err)
	if one != (Kept{ID: "a"}) || !s.Stale("a", base) || s.Stale("a", text("Ore pass", "ours")) {
		t.Errorf("%+v", one)
	}
	two, err := s.Write("a", base, text("Ore pass", "theirs"), after(3), ids)
	must(t, err)
	if two != (Kept{"a", "n1"}) {
		t.Errorf("%+v", two)
	}
	wantTitles(t, s.List(), "Ore pass", "Ore pass (other window)", "Winze")
	if got, _ := s.Read("n1"); got != text("Ore pass (other window)", "ours") {
		t.Errorf("the copy is %q", got)
	}
	same, err := s.Write("a", base, text("Ore pass", "theirs"), after(4), ids) // both made the same change
	must(t, err)
	if same != (Kept{ID: "a"}) {
		t.Errorf("%+v", same)
	}
}

// What another window deleted, and what it forgot, is back when this one goes
// on writing it.
func TestWritingBringsBack(t *testing.T) {
	s, _ := newShelf(t)
	must(t, s.Delete("a", after(2)))
	if !s.Stale("a", text("Ore pass", 1)) {
		t.Error("deleted elsewhere, and not stale")
	}
	_, err := s.Write("a", text("Ore pass", 1), text("Ore pass", 2), after(3), counter())
	must(t, err)
	must(t, s.Forget("b"))
	_, err = s.Write("b", text("Winze", 1), text("Winze", 2), after(4), counter())
	must(t, err)
	wantTitles(t, s.List(), "Winze", "Ore pass")
	wantTitles(t, s.Bin())
}

// Records that are not ours to change stay to the byte, are listed with the
// reason, and our text goes elsewhere.
func TestStrangeRecordsAreLeftAlone(t *testing.T) {
	for stored, want := range map[string]error{
		"":                     ErrBroken,
		"?":                    ErrBroken,
		`[1]`:                  ErrBroken,
		`{"v":0,"text":"x"}`:   ErrBroken,
		`{"v":"1","text":"x"}`: ErrBroken,
		`{"v":1}`:              ErrBroken,
		`{"v":1,"text":7}`:     ErrBroken,
		`{"v":1,"text":"x","changed":"yesterday"}`:  ErrBroken,
		`{"v":2,"text":["x"],"changed":"whenever"}`: ErrNewer,
	} {
		s, store := newShelf(t)
		store.Kept["own/a"] = stored
		list := s.List()
		if e := list[len(list)-1]; e.ID != "a" || !errors.Is(e.Problem, want) {
			t.Errorf("%s: listed as %+v", stored, list)
		}
		for _, err := range []error{s.Rename("a", "New", day), s.Delete("a", day), s.Restore("a"), s.Duplicate("a", "c", day), s.Add("a", "x", day)} {
			if err == nil {
				t.Errorf("%s: something was done to it", stored)
			}
		}
		kept, err := s.Write("a", "base", text("Ours", 1), after(2), counter())
		if err != nil || kept != (Kept{ID: "n1"}) {
			t.Errorf("%s: %+v, %v", stored, kept, err)
		}
		if raw, ok := s.Raw("a"); !ok || raw != stored {
			t.Errorf("%s became %q", stored, raw)
		}
	}
}

// A store that fails at the nth change from now.
type failing struct {
	*memory.Store
	in int // 0: never again
}

func (f *failing) fails() bool {
	f.in--
	return f.in == 0
}

var errFull = errors.New("full")

func (f *failing) Put(name, value string) error {
	if f.fails() {
		return errFull
	}
	return f.Store.Put(name, value)
}

func (f *failing) Delete(name string) error {
	if f.fails() {
		return errFull
	}
	return f.Store.Delete(name)
}

var body = regexp.MustCompile(`about: (\d+)`)

// bodies are the texts in a store, by what makes each the only one of its kind.
func bodies(kept map[string]string) []string {
	var b []string
	for _, stored := range kept {
		if found := body.FindStringSubmatch(stored); found != nil {
			b = append(b, found[1])
		}
	}
	slices.Sort(b)
	return b
}

// Whatever two windows do, in whatever order, and wherever the store fails: what
// failed changed nothing, and what was done lost nothing but the text that its
// window replaced knowingly, or that was deleted before.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		store := &failing{Store: &memory.Store{Kept: map[string]string{}}}
		s, ids := New(store), counter()
		hands := [2]map[string]string{{}, {}} // what each window last read or wrote
		n := 0
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			before := maps.Clone(store.Kept)
			store.in = rapid.IntRange(0, 4).Draw(t, "fails in")
			hand := hands[rapid.IntRange(0, 1).Draw(t, "window")]
			id := rapid.SampledFrom([]string{"a", "b"}).Draw(t, "id")
			n++
			now, ours := after(n), text("Ore pass", n)
			lost := "" // what may go
			var err error
			switch rapid.SampledFrom([]string{"add", "read", "write", "write", "write", "delete", "restore", "rename", "copy"}).Draw(t, "act") {
			case "add":
				if err = s.Add(id, ours, now); err == nil {
					hand[id] = ours
				}
			case "read":
				if got, err := s.Read(id); err == nil {
					hand[id] = got
				}
			case "write":
				old, _ := s.get(id)
				if old.Text == hand[id] {
					lost = old.Text
				}
				var kept Kept
				if kept, err = s.Write(id, hand[id], ours, now, ids); err == nil {
					hand[id] = ours
					if r, _ := s.get(kept.ID); r.Text != ours {
						t.Fatalf("stored %q", r.Text)
					}
				}
			case "delete":
				for _, e := range s.Bin() {
					if e.ID != id {
						r, _ := s.get(e.ID)
						lost += r.Text
					}
				}
				err = s.Delete(id, now)
			case "restore":
				err = s.Restore(id)
			case "rename":
				err = s.Rename(id, fmt.Sprint("Name ", n), now)
			case "copy":
				err = s.Duplicate(id, ids(), now)
			}
			if err != nil {
				for name, stored := range before {
					if store.Kept[name] != stored {
						t.Fatalf("%v, and %s went from %q to %q", err, name, stored, store.Kept[name])
					}
				}
				continue
			}
			left := bodies(store.Kept)
			for _, b := range bodies(before) {
				if !slices.Contains(left, b) && !strings.Contains(lost, "about: "+b+"\n") {
					t.Fatalf("text %s is lost: before %v, now %v", b, before, store.Kept)
				}
			}
		}
	})
}

// On a full device the old value stays, the error names the exercise and holds
// the text, and making room mends it.
func TestAFullDevice(t *testing.T) {
	s, store := newShelf(t)
	old := store.Kept["own/a"]
	store.Full = Prefix
	large := text("Ore pass", strings.Repeat("x", 1000))
	_, err := s.Write("a", text("Ore pass", 1), large, after(2), counter())
	var full *NotKept
	if !errors.As(err, &full) || full.Text != large || !strings.HasPrefix(err.Error(), "Ore pass is not stored") || store.Kept["own/a"] != old {
		t.Errorf("%v", err)
	}
	if err := s.Delete("b", after(3)); !errors.As(err, &full) {
		t.Errorf("deleting with no room for undoing it: %v", err)
	}
	must(t, s.Forget("b"))
	store.Full = ""
	_, err = s.Write("a", text("Ore pass", 1), large, after(4), counter())
	must(t, err)
}

// A browser that keeps nothing: every write says so, nothing else happens.
func TestADeviceThatKeepsNothing(t *testing.T) {
	s := New(&memory.Store{Denied: true})
	if _, err := s.Write("a", "", text("Ore pass", 1), day, counter()); err == nil || len(s.List()) > 0 || len(s.Bin()) > 0 {
		t.Errorf("%v", err)
	}
}

func BenchmarkWrite(b *testing.B) {
	s := New(&memory.Store{Kept: map[string]string{}})
	base := strings.Repeat("kick | x.x. .x . ..x. |\n", 10_000) // about the largest file
	if err := s.Add("a", base, day); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := s.Write("a", base, base, day, counter()); err != nil {
			b.Fatal(err)
		}
	}
}
