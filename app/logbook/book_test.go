package logbook

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/port"
	"stampmill/app/port/memory"
	"stampmill/app/transport/fake"
	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// A desk is a device in memory with a book on it.
type desk struct {
	*Book
	archive *memory.Archive
	store   *memory.Store
	clock   *fake.Clock
	last    News
	unread  int
}

func newDesk(archive *memory.Archive, store *memory.Store) *desk {
	d := &desk{archive: archive, store: store, clock: fake.NewClock()}
	d.Book = New(Device{archive, store, d.clock, func() bool { return false }}, library, func(n News) {
		d.last = n
		d.unread += n.Unread
	})
	return d
}

// library gives the texts of the library.
func library(exercise string) (string, bool) {
	c, err := exercises.Open(exercise)
	if err != nil {
		return "", false
	}
	text, err := TextOf(c)
	return text, err == nil
}

// opened is a book that is read to the end.
func opened(t testing.TB, archive *memory.Archive, store *memory.Store) *desk {
	t.Helper()
	d := newDesk(archive, store)
	d.Load()
	d.settle()
	return d
}

// settle does everything that is to be done.
func (d *desk) settle() {
	for more := true; more; {
		d.clock.Run(10_000)
		more = d.archive.Answer()
	}
}

func (d *desk) names() []string {
	var names []string
	for _, e := range d.last.Entries {
		names = append(names, e.Name)
	}
	return names
}

// play is a take of step 2 of "headframe", minutes after noon.
func play(t testing.TB, minutes int) Play {
	t.Helper()
	text, _ := library("headframe")
	r := played(t, "headframe", 2, player.Options{SpreadMS: float64(minutes % 10)}, passage.Kick)
	r.At, r.Text = noon.Add(time.Duration(minutes)*time.Minute), Hash(text)
	return playOf(t, r, text)
}

func playOf(t testing.TB, r Record, text string) Play {
	t.Helper()
	written, err := r.Write()
	if err != nil {
		t.Fatal(err)
	}
	steps, err := Steps(text)
	if err != nil {
		t.Fatal(err)
	}
	return Play{Record: written, Text: text, Entry: Judge(NameOf(r.At, written), r, steps)}
}

func keep(t testing.TB, d *desk, plays ...Play) {
	t.Helper()
	for _, p := range plays {
		var got error = errors.New("no answer")
		d.Keep(p, func(err error) { got = err })
		d.settle()
		if got != nil {
			t.Fatal(got)
		}
	}
}

func TestABookIsTheSameAtTheNextVisit(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	d := opened(t, archive, store)
	if d.last.Stage != Ready || len(d.last.Entries) != 0 {
		t.Fatalf("at first %+v", d.last)
	}
	keep(t, d, play(t, 0), play(t, 1), play(t, 60*24*40))
	want := d.last.Entries
	calls := map[string]int{}
	archive.Fault = func(call string) error { calls[call]++; return nil }
	again := opened(t, archive, store)
	if diff := cmp.Diff(want, again.last.Entries, exactly); diff != "" || len(want) != 3 || again.last.Stage != Ready {
		t.Errorf("stage %d (-want +got):\n%s", again.last.Stage, diff)
	}
	if calls["Get"] != 0 {
		t.Errorf("takes were read again: %v", calls)
	}
	texts := slices.DeleteFunc(slices.Collect(maps.Keys(archive.Kept)), func(n string) bool { return !strings.HasPrefix(n, TextPrefix) })
	if len(texts) != 1 {
		t.Errorf("the text of three takes is kept as %q", texts)
	}
}

// What is packed only spares work: without it, broken, or of an older grader,
// it is made anew from the takes, and those stay as they are.
func TestEntriesAreMadeAnew(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	d := opened(t, archive, store)
	for i := range 50 {
		keep(t, d, play(t, i))
	}
	want, month := d.last.Entries, d.last.Entries[0].Month()
	takes := map[string]string{}
	for name, value := range archive.Kept {
		if name != month {
			takes[name] = string(value)
		}
	}
	wrong := slices.Clone(want)
	for i := range wrong {
		wrong[i].Said = "as an older grader said"
	}
	for what, packed := range map[string][]byte{
		"gone": nil, "broken": []byte("x"), "lacking one": Pack(grade.Grader, want[1:]),
		"one too many": Pack(grade.Grader, append(slices.Clone(want), Entry{Name: "take/gone", At: noon})),
		"older":        Pack(grade.Grader-1, wrong),
	} {
		archive.Kept[month] = packed
		again := opened(t, archive, store)
		if diff := cmp.Diff(want, again.last.Entries, exactly); diff != "" {
			t.Errorf("%s: (-want +got):\n%s", what, diff)
		}
		if grader, got, err := Unpack(archive.Kept[month]); err != nil || grader != grade.Grader || len(got) != len(want) {
			t.Errorf("%s: packed again: %d entries by grader %d, %v", what, len(got), grader, err)
		}
		for name, value := range takes {
			if string(archive.Kept[name]) != value {
				t.Errorf("%s: %s was written again", what, name)
			}
		}
	}
}

// While entries of an older grader are made anew, they are there as they were.
func TestOldEntriesAreShownMeanwhile(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	d := opened(t, archive, store)
	for i := range 30 {
		keep(t, d, play(t, i))
	}
	archive.Kept[d.last.Entries[0].Month()] = Pack(grade.Grader-1, d.last.Entries)
	again := newDesk(archive, store)
	var told []string
	again.tell = func(n News) { told = append(told, fmt.Sprint(len(n.Entries), " there, ", n.Left, " to make")) }
	again.Load()
	again.settle()
	if want := []string{"30 there, 30 to make", "30 there, 0 to make"}; !slices.Equal(told, want) {
		t.Errorf("told %q, want %q", told, want)
	}
}

// A take that needs a long search is in the book before that is done, so that a
// large backup can be looked at soon.
func TestLongSearchesComeLater(t *testing.T) {
	text, _ := library("headframe")
	r := misread(t)
	r.At, r.Text = noon, Hash(text)
	p := playOf(t, r, text)
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	keep(t, opened(t, archive, store), p, play(t, 1), play(t, 2), play(t, 3), play(t, 4))
	delete(archive.Kept, p.Entry.Month())
	again := newDesk(archive, store)
	var told []string
	again.tell = func(n News) {
		if len(n.Entries) > 0 {
			told = append(told, fmt.Sprintf("%d there, %d to make, ready %t: %q", len(n.Entries), n.Left, n.Stage == Ready, n.Entries[0].Misreading))
		}
	}
	again.Load()
	again.settle()
	want := []string{`5 there, 1 to make, ready true: ""`, `5 there, 0 to make, ready true: "step 5"`}
	if !slices.Equal(told, want) {
		t.Errorf("told %q, want %q", told, want)
	}
	if grader, got, err := Unpack(archive.Kept[p.Entry.Month()]); err != nil || grader != grade.Grader || got[0].Misreading != "step 5" {
		t.Errorf("packed by grader %d: %+v, %v", grader, got, err)
	}
}

func TestBrokenAndNewerTakes(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	good := play(t, 0)
	keep(t, opened(t, archive, store), good)
	newer := `{"v":99,"at":"2031-01-01T00:00:00Z","form":"other"}`
	archive.Kept["take/newer"] = []byte(newer)
	archive.Kept["take/broken"] = []byte(`{"v":2,"at":`)
	noText := played(t, "headframe", 2, player.Options{}, passage.Kick)
	noText.Take.Exercise, noText.Text = "own-1", ""
	written, _ := noText.Write()
	archive.Kept["take/orphan"] = written
	d := opened(t, archive, store)
	if got := d.names(); !slices.Equal(got, []string{good.Entry.Name, "take/orphan"}) {
		t.Errorf("the book has %q", got)
	}
	if e := d.last.Entries[1]; e.Unread != errNoStep.Error() || e.Tempo != 100 {
		t.Errorf("a take without its step: %+v", e)
	}
	if d.last.Newer != 1 || d.unread != 1 {
		t.Errorf("%d newer, %d unread", d.last.Newer, d.unread)
	}
	if string(archive.Kept["take/newer"]) != newer || string(archive.Kept["unread/take/broken"]) != `{"v":2,"at":` || archive.Kept["take/broken"] != nil {
		t.Errorf("kept %q", slices.Sorted(maps.Keys(archive.Kept)))
	}
	if again := opened(t, archive, store); again.unread != 0 || again.last.Newer != 1 {
		t.Errorf("at the next visit: %d unread, %d newer", again.unread, again.last.Newer)
	}
}

func TestAnotherWindow(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	here, there := opened(t, archive, store), opened(t, archive.Window(), store)
	first, second := play(t, 0), play(t, 1)
	keep(t, here, first)
	there.settle()
	keep(t, there, second)
	here.settle()
	if want := []string{first.Entry.Name, second.Entry.Name}; !slices.Equal(here.names(), want) || !slices.Equal(there.names(), want) {
		t.Errorf("here %q, there %q", here.names(), there.names())
	}
	there.Clear(func(err error) {
		if err != nil {
			t.Error(err)
		}
	})
	if len(here.last.Entries) != 0 || len(there.last.Entries) != 0 {
		t.Errorf("after deleting everything: here %q, there %q", here.names(), there.names())
	}
	keep(t, here, play(t, 3))
	if len(archive.Kept) != 3 { // the take, its text, its month
		t.Errorf("kept %q", slices.Sorted(maps.Keys(archive.Kept)))
	}
}

// A take that cannot be stored is in the book, is said to be nowhere else, and
// is stored with the next one.
func TestTakesThatAreNotKept(t *testing.T) {
	for _, c := range []struct {
		what  string
		fault func(call string, n int) error // n: of its kind, from 1
		tries int
	}{
		{"no room", func(call string, n int) error { return port.ErrNoRoom }, 1},
		{"denied", func(call string, n int) error { return port.ErrDenied }, 1},
		{"closed, and again", func(call string, n int) error { return port.ErrClosed }, 2},
	} {
		archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
		d := opened(t, archive, store)
		n := 0
		archive.Fault = func(call string) error { n++; return c.fault(call, n) }
		var got []error
		first := play(t, 0)
		d.Keep(first, func(err error) { got = append(got, err) })
		d.settle()
		if len(got) != 1 || got[0] == nil || n != c.tries || len(archive.Kept) != 0 {
			t.Errorf("%s: told %v after %d tries, kept %d", c.what, got, n, len(archive.Kept))
		}
		if !slices.Equal(d.names(), []string{first.Entry.Name}) || len(d.Unkept()) != 1 {
			t.Errorf("%s: the book has %q, %d not kept", c.what, d.names(), len(d.Unkept()))
		}
		archive.Fault = nil
		second := play(t, 1)
		keep(t, d, second)
		if len(got) != 2 || got[1] != nil || len(d.Unkept()) != 0 {
			t.Errorf("%s: with the next take told %v, %d not kept", c.what, got, len(d.Unkept()))
		}
		if again := opened(t, archive, store); !slices.Equal(again.names(), []string{first.Entry.Name, second.Entry.Name}) {
			t.Errorf("%s: at the next visit %q", c.what, again.names())
		}
	}
}

// Closed once under a take, the archive is tried once more, and nothing is said.
func TestATakeIsTriedOnceMore(t *testing.T) {
	archive := memory.NewArchive()
	d := opened(t, archive, &memory.Store{Kept: map[string]string{}})
	n := 0
	archive.Fault = func(string) error {
		if n++; n == 1 {
			return port.ErrClosed
		}
		return nil
	}
	keep(t, d, play(t, 0))
}

func TestDeletingFails(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{"settings": "{}"}}
	d := opened(t, archive, store)
	keep(t, d, play(t, 0))
	archive.Fault = func(call string) error {
		if call == "Clear" {
			return port.ErrClosed
		}
		return nil
	}
	var got error
	d.Clear(func(err error) { got = err })
	d.settle()
	if got != port.ErrClosed || len(store.Kept) != 1 || len(d.last.Entries) != 1 {
		t.Errorf("told %v, %d settings, %d takes", got, len(store.Kept), len(d.last.Entries))
	}
}

// Nothing is written to a device whose records cannot be read.
func TestABookThatCannotBeRead(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	keep(t, opened(t, archive, store), play(t, 0))
	before := len(archive.Kept)
	archive.Fault = func(string) error { return port.ErrNewer }
	d := opened(t, archive, store)
	if d.last.Stage != Failed || d.last.Failed != port.ErrNewer || len(archive.Kept) != before {
		t.Errorf("%+v", d.last)
	}
}

// What could not be read at the start is read when the device takes records
// again.
func TestABookIsReadLater(t *testing.T) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	keep(t, opened(t, archive, store), play(t, 0))
	archive.Fault = func(string) error { return port.ErrClosed }
	d := opened(t, archive, store)
	if d.last.Stage != Failed {
		t.Fatalf("stage %d", d.last.Stage)
	}
	archive.Fault = nil
	keep(t, d, play(t, 1))
	if d.last.Stage != Ready || len(d.last.Entries) != 2 {
		t.Errorf("stage %d, %d takes", d.last.Stage, len(d.last.Entries))
	}
}
