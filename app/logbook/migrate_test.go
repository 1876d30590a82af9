package logbook

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"stampmill/app/port"
	"stampmill/app/port/memory"
	"stampmill/app/transport/fake"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// A page may be closed at any call: of those after it none happens, and none is
// answered. The last one happens, but its answer comes no more.
type page struct{ left int }

func (p *page) open() bool {
	p.left--
	return p.left >= 0
}

// answered reports whether the call that just happened is answered.
func (p *page) answered() bool { return p.left > 0 }

type pageStore struct {
	*memory.Store
	*page
}

func (s pageStore) Get(name string) (string, bool) {
	if !s.open() {
		return "", false
	}
	return s.Store.Get(name)
}

func (s pageStore) Delete(name string) error {
	if !s.open() {
		return errors.New("closed")
	}
	return s.Store.Delete(name)
}

func (s pageStore) Names(prefix string) []string {
	if !s.open() {
		return nil
	}
	return s.Store.Names(prefix)
}

type pageArchive struct {
	*memory.Archive
	*page
}

func (a pageArchive) Put(records []port.Record, done func(error)) {
	if a.open() {
		a.Archive.Put(records, func(err error) {
			if a.answered() {
				done(err)
			}
		})
	}
}

func (a pageArchive) Get(names []string, f func([]port.Record, error)) {
	if a.open() && a.answered() {
		a.Archive.Get(names, f)
	}
}

func (a pageArchive) Range(prefix, after string, most int, f func([]port.Record, error)) {
	if a.open() && a.answered() {
		a.Archive.Range(prefix, after, most, f)
	}
}

func (a pageArchive) Names(prefix string, f func([]string, error)) {
	if a.open() && a.answered() {
		a.Archive.Names(prefix, f)
	}
}

func (a pageArchive) Delete(names []string, done func(error)) {
	if a.open() {
		a.Archive.Delete(names, func(err error) {
			if a.answered() {
				done(err)
			}
		})
	}
}

// firstPages is a store as the first pages left it: takes of the first
// version, one broken, one of a newer version, and other records.
func firstPages(t testing.TB, n int) map[string]string {
	kept := map[string]string{
		"settings": `{"v":1}`, "done": `{"v":1,"tempi":{}}`,
		"take/2026-03-01T00-00-00.000Z-adit-1": `{"v":1,"at":"202`,
		"take/2031-01-01T00-00-00.000Z-adit-1": `{"v":77}`,
	}
	for i := range n {
		r := played(t, "headframe", i%8+1, player.Options{SpreadMS: 5}, passage.Kick)
		r.At = noon.Add(time.Duration(i) * time.Hour)
		take, err := r.Take.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		kept[fmt.Sprintf("take/%s-headframe-%d", Stamp(r.At), i%8+1)] = fmt.Sprintf(`{"v":1,"at":%q,"take":%s}`, r.At.Format(time.RFC3339Nano), take)
	}
	return kept
}

// census counts the takes of a device by what was played, and says what else
// there is.
func census(t testing.TB, archive *memory.Archive, store *memory.Store) (takes map[string]int, others []string) {
	t.Helper()
	takes = map[string]int{}
	count := func(name string, value []byte) {
		switch r, err := ReadRecord(value); {
		case strings.HasPrefix(name, TakePrefix) && err == nil:
			take, _ := r.Take.MarshalJSON()
			takes[r.At.String()+string(take)]++
		case !strings.HasPrefix(name, EntriesPrefix):
			others = append(others, name)
		}
	}
	for name, value := range archive.Kept {
		count(name, value)
	}
	for name, value := range store.Kept {
		count(name, []byte(value))
	}
	slices.Sort(others)
	return takes, others
}

func TestMovingTheTakesOfTheFirstPages(t *testing.T) {
	kept := firstPages(t, 45)
	archive, store := memory.NewArchive(), &memory.Store{Kept: maps.Clone(kept)}
	d := opened(t, archive, store)
	if len(d.last.Entries) != 45 || d.unread != 1 || d.last.Newer != 1 || d.last.Unmoved != nil {
		t.Errorf("%d takes, %d unread, %d newer, %v", len(d.last.Entries), d.unread, d.last.Newer, d.last.Unmoved)
	}
	if got, want := slices.Sorted(maps.Keys(store.Kept)), []string{"done", "settings", "take/2031-01-01T00-00-00.000Z-adit-1"}; !slices.Equal(got, want) {
		t.Errorf("the store still has %q", got)
	}
	if string(archive.Kept["unread/take/2026-03-01T00-00-00.000Z-adit-1"]) != `{"v":1,"at":"202` {
		t.Error("the broken take was not kept")
	}
	if e := d.last.Entries[5]; e.Title != "Three over two" || e.Unread != "" || e.Expected == 0 || !e.At.Equal(noon.Add(5*time.Hour)) {
		t.Errorf("the sixth take: %+v", e)
	}
	before := maps.Clone(archive.Kept)
	maps.Copy(store.Kept, kept) // as after reading a copy of the browser's folder
	if again := opened(t, archive, store); len(again.last.Entries) != 45 || len(archive.Kept) != len(before) {
		t.Errorf("moved once more: %d takes, %d records instead of %d", len(again.last.Entries), len(archive.Kept), len(before))
	}
}

// The page is closed after every single call in turn; at the next visit every
// take is there, once.
func TestMovingIsInterrupted(t *testing.T) {
	kept := firstPages(t, 25) // more than one batch
	want, _ := census(t, memory.NewArchive(), &memory.Store{Kept: kept})
	for calls := 0; ; calls++ {
		archive, store := memory.NewArchive(), &memory.Store{Kept: maps.Clone(kept)}
		cut := &page{left: calls}
		clock := fake.NewClock()
		b := New(Device{pageArchive{archive, cut}, pageStore{store, cut}, clock, func() bool { return false }}, library, func(News) {})
		b.Load()
		clock.Run(60_000)
		between, _ := census(t, archive, store)
		for take := range want {
			if between[take] == 0 {
				t.Fatalf("closed after %d calls, a take is nowhere", calls)
			}
		}
		ended := cut.left > 0
		d := opened(t, archive, store)
		got, others := census(t, archive, store)
		if !maps.Equal(got, want) || len(d.last.Entries) != 25 {
			t.Fatalf("closed after %d calls: %d takes of %d, %d in the book", calls, len(got), len(want), len(d.last.Entries))
		}
		wantOthers := []string{"done", "settings", "take/2031-01-01T00-00-00.000Z-adit-1", "text/", "unread/take/2026-03-01T00-00-00.000Z-adit-1"}
		if !slices.EqualFunc(others, wantOthers, strings.HasPrefix) {
			t.Fatalf("closed after %d calls: also %q", calls, others)
		}
		if ended {
			t.Logf("%d calls", calls)
			return
		}
	}
}

// Faults that the page survives: what was not moved stays, is said, and is
// moved at the next visit.
func TestMovingFails(t *testing.T) {
	kept := firstPages(t, 25)
	want, _ := census(t, memory.NewArchive(), &memory.Store{Kept: kept})
	for fault, calls := range map[string]int{"Put": 2, "Get": 4} { // of two batches
		for n := range calls {
			archive, store := memory.NewArchive(), &memory.Store{Kept: maps.Clone(kept)}
			archive.Fault = func(call string) error {
				if call != fault {
					return nil
				}
				if n--; n < 0 {
					return port.ErrNoRoom
				}
				return nil
			}
			d := opened(t, archive, store)
			if got, _ := census(t, archive, store); len(got) != len(want) || d.last.Unmoved == nil {
				t.Errorf("%s fails: %d takes of %d, said %v", fault, len(got), len(want), d.last.Unmoved)
			}
			archive.Fault = nil
			opened(t, archive, store)
			if got, _ := census(t, archive, store); !maps.Equal(got, want) {
				t.Errorf("%s failed: at the next visit %d takes of %d", fault, len(got), len(want))
			}
		}
	}
}

// A name in the archive that holds another take is left alone, and ours gets
// another one.
func TestMovingOntoATakenName(t *testing.T) {
	kept := firstPages(t, 2)
	name := fmt.Sprintf("take/%s-headframe-1", Stamp(noon))
	other := play(t, 3)
	archive, store := memory.NewArchive(), &memory.Store{Kept: kept}
	archive.Kept[name] = other.Record
	archive.Kept[TextPrefix+Hash(other.Text)] = []byte(other.Text)
	d := opened(t, archive, store)
	if got, _ := census(t, archive, store); len(got) != 3 || string(archive.Kept[name]) != string(other.Record) || len(d.last.Entries) != 3 {
		t.Errorf("%d takes, the book has %q", len(got), d.names())
	}
}
