package logbook

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/port/memory"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// exactly lets cmp compare places.
var exactly = cmp.Comparer(func(a, b meter.Rat) bool { return a == b })

// entries are those of real takes of two steps, a broken one, and an empty one.
func someEntries(t testing.TB) []Entry {
	tight := player.Options{LeanMS: -8, SpreadMS: 7, Miss: 0.1, Extra: 0.1}
	e := entryOf(t, played(t, "headframe", 6, tight, passage.Kick))
	f := entryOf(t, played(t, "headframe", 2, tight, passage.Kick, passage.Snare))
	f.Name, f.At = "take/b", noon.Add(time.Nanosecond)
	f.Misreading, f.Spread = "half-time kick", grade.Optional{}
	return []Entry{e, f, {Name: "take/c", At: noon, Unread: "no step; the take is kept"}, {At: noon}}
}

func TestPackingLosesNothing(t *testing.T) {
	for _, want := range [][]Entry{someEntries(t), {}} {
		packed := Pack(7, want)
		grader, got, err := Unpack(packed)
		if err != nil || grader != 7 {
			t.Fatalf("grader %d, %v", grader, err)
		}
		if diff := cmp.Diff(want, got, exactly); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
}

// One wrong byte anywhere is noticed.
func TestBrokenPacksAreNotRead(t *testing.T) {
	packed := Pack(grade.Grader, someEntries(t))
	for i := range packed {
		wrong := slices.Clone(packed)
		wrong[i]++
		if _, _, err := Unpack(wrong); err == nil {
			t.Errorf("byte %d was another, and it was read", i)
		}
		if _, _, err := Unpack(packed[:i]); err == nil {
			t.Errorf("cut off after %d bytes, it was read", i)
		}
	}
}

// many is a book of a year: n takes of 8 steps, 4 passes of some 20 strokes.
func many(t testing.TB, n int) []Entry {
	var kinds []Entry
	for step := 1; step <= 8; step++ {
		kinds = append(kinds, entryOf(t, played(t, "headframe", step, player.Options{SpreadMS: 9}, passage.Kick, passage.Guitar)))
	}
	book := make([]Entry, n)
	for i := range book {
		book[i] = kinds[i%len(kinds)]
		book[i].At = noon.Add(time.Duration(i) * (365 * 24 * time.Hour / time.Duration(n)))
		book[i].Name = fmt.Sprintf("%s%s-%08x", TakePrefix, Stamp(book[i].At), i)
	}
	return book
}

// BenchmarkUnpack reads 10,000 takes of a year.
func BenchmarkUnpack(b *testing.B) {
	months := map[string][]Entry{}
	places := 0
	for _, e := range many(b, 10_000) {
		months[e.Month()] = append(months[e.Month()], e)
		places += len(e.Places)
	}
	var packed [][]byte
	bytes := 0
	for _, m := range months {
		packed = append(packed, Pack(1, m))
		bytes += len(packed[len(packed)-1])
	}
	b.ReportMetric(float64(bytes)/10_000, "B/take")
	b.ReportMetric(float64(places)/10_000, "places/take")
	for b.Loop() {
		for _, p := range packed {
			if _, _, err := Unpack(p); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkJudge makes the entry of one take, 4 passes of some 16 strokes.
func BenchmarkJudge(b *testing.B) {
	text, _ := library("headframe")
	steps, _ := Steps(text)
	r := played(b, "headframe", 6, player.Options{SpreadMS: 9}, passage.Kick)
	for b.Loop() {
		Judge("take/a", r, steps)
	}
}

// BenchmarkLoad opens a book of 10,000 takes, the device in memory.
func BenchmarkLoad(b *testing.B) {
	archive, store := memory.NewArchive(), &memory.Store{Kept: map[string]string{}}
	months := map[string][]Entry{}
	for _, e := range many(b, 10_000) {
		months[e.Month()] = append(months[e.Month()], e)
		archive.Kept[e.Name] = []byte{}
	}
	for m, entries := range months {
		archive.Kept[m] = Pack(grade.Grader, entries)
	}
	for b.Loop() {
		if d := opened(b, archive, store); d.last.Stage != Ready || len(d.last.Entries) != 10_000 {
			b.Fatalf("stage %d, %d takes", d.last.Stage, len(d.last.Entries))
		}
	}
}
