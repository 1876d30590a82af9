package logbook

import (
	"encoding/csv"
	"fmt"
	"maps"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/port"
	"stampmill/app/port/memory"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// A sheet is a file in memory.
type sheet struct{ strings.Builder }

func (s *sheet) Write(part []byte) { s.Builder.Write(part) }

// device is one with takes of these minutes and a store of these records.
func device(t testing.TB, kept map[string]string, minutes ...int) *desk {
	t.Helper()
	d := opened(t, memory.NewArchive(), &memory.Store{Kept: kept})
	for _, m := range minutes {
		keep(t, d, play(t, m))
	}
	return d
}

func saved(t testing.TB, d *desk) string {
	t.Helper()
	var out sheet
	ended := false
	d.Backup(&out, noon, func(float64) {}, func(err error) {
		if ended = true; err != nil {
			t.Error(err)
		}
	})
	d.settle()
	if !ended {
		t.Fatal("the backup never ended")
	}
	return out.String()
}

// others takes in what is none of the book's: by name, what is there stays.
func (d *desk) other(name string, value []byte) (Outcome, error) {
	if _, ok := d.store.Get(name); ok {
		return Present, nil
	}
	return Added, d.store.Put(name, string(value))
}

func restore(t testing.TB, d *desk, file string) (Report, error) {
	t.Helper()
	var got Report
	var failed error
	ended := 0
	d.ReadBackup([]byte(file), d.other, func(float64) {}, func(r Report, err error) { got, failed, ended = r, err, ended+1 })
	d.settle()
	if ended != 1 {
		t.Fatalf("told %d times", ended)
	}
	return got, failed
}

// everything is all records of a device but the packed ones.
func everything(d *desk) map[string]string {
	all := map[string]string{}
	for name, value := range d.archive.Kept {
		if !strings.HasPrefix(name, EntriesPrefix) {
			all[name] = string(value)
		}
	}
	for name, value := range d.store.Kept {
		all[name] = value
	}
	return all
}

func TestABackupMakesTheDeviceAgain(t *testing.T) {
	d := device(t, map[string]string{"settings": `{"v":1,"climb":"<&>"}`, "own/a": `{"v":1,"text":"title: Ä\n"}`, "odd": "no JSON \x01"}, 0, 1, 2)
	d.archive.Kept["unread/take/x"] = []byte(`{"v":1,"at`)
	file := saved(t, d)
	if !IsBackup([]byte(file)) || strings.Contains(file, EntriesPrefix) {
		t.Errorf("no backup, or with what is packed:\n%.300s", file)
	}
	fresh := device(t, map[string]string{})
	r, err := restore(t, fresh, file)
	if err != nil || r.Takes != 3 || r.Here != 0 || r.Others != 3 || r.Broken+r.Newer != 0 {
		t.Errorf("report %+v, %v", r, err)
	}
	if diff := cmp.Diff(everything(d), everything(fresh)); diff != "" {
		t.Errorf("(-saved +read):\n%s", diff)
	}
	if diff := cmp.Diff(d.last.Entries, fresh.last.Entries, exactly); diff != "" {
		t.Errorf("the book (-saved +read):\n%s", diff)
	}
	before := everything(fresh)
	r, err = restore(t, fresh, file)
	if err != nil || r.Takes != 0 || r.Here != 3 || r.Others != 0 || r.Present != 3 {
		t.Errorf("once more: %+v, %v", r, err)
	}
	if diff := cmp.Diff(before, everything(fresh)); diff != "" {
		t.Errorf("once more (-before +after):\n%s", diff)
	}
}

func TestBackupsAreMerged(t *testing.T) {
	a, b := device(t, map[string]string{}, 0, 1, 2), device(t, map[string]string{}, 2, 3)
	fileA, fileB := saved(t, a), saved(t, b)
	if r, err := restore(t, a, fileB); err != nil || r.Takes != 1 || r.Here != 1 {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err := restore(t, b, fileA); err != nil || r.Takes != 2 || r.Here != 1 {
		t.Errorf("%+v, %v", r, err)
	}
	if diff := cmp.Diff(everything(a), everything(b)); diff != "" || len(a.last.Entries) != 4 {
		t.Errorf("(-a +b):\n%s", diff)
	}
}

// A name that holds another take keeps it; what comes in gets a name of its
// own, the same each time.
func TestOneNameTwoTakes(t *testing.T) {
	a, b := device(t, map[string]string{}, 0), device(t, map[string]string{}, 1)
	name := a.last.Entries[0].Name
	b.archive.Kept[name] = slices.Clone(b.archive.Kept[b.last.Entries[0].Name])
	delete(b.archive.Kept, b.last.Entries[0].Name)
	b = opened(t, b.archive, b.store)
	file := saved(t, a)
	for range 2 {
		if _, err := restore(t, b, file); err != nil || len(b.last.Entries) != 2 {
			t.Fatalf("%d takes, %v", len(b.last.Entries), err)
		}
	}
	if string(b.archive.Kept[name]) == string(a.archive.Kept[name]) {
		t.Error("what was there was written over")
	}
}

// A file put together by hand may hold a take twice: it comes in once.
func TestATakeTwiceInOneBackup(t *testing.T) {
	take := play(t, 0).Records()[0]
	file := appendBackup(appendBackup(backupHead(noon), true, take.Name, take.Value), false, take.Name, take.Value)
	d := device(t, map[string]string{})
	if r, err := restore(t, d, string(file)+backupEnd); err != nil || r.Takes != 1 || r.Here != 1 || len(d.last.Entries) != 1 {
		t.Errorf("%d takes in the book, %+v, %v", len(d.last.Entries), r, err)
	}
}

// However often a file begins its records anew, reading it takes no more room.
func TestRecordsBegunOftenInABackup(t *testing.T) {
	const n = 200_000
	defer debug.SetMaxStack(debug.SetMaxStack(1 << 20)) // bytes
	d := device(t, map[string]string{})
	if r, err := restore(t, d, `{"stampmill_backup":2`+strings.Repeat(`,"records":{}`, n)+"}"); err != nil || r.Takes+r.Others+r.Broken > 0 {
		t.Errorf("%+v, %v", r, err)
	}
}

// backups of the first version hold strings, the first takes, and the version
// at their end.
func TestTheFirstBackupsAreRead(t *testing.T) {
	var records []string
	kept := firstPages(t, 10)
	for _, name := range slices.Sorted(maps.Keys(kept)) {
		records = append(records, fmt.Sprintf("%q: %s", name, quoted(kept[name])))
	}
	file := "{\n\t\"records\": {\n\t\t" + strings.Join(records, ",\n\t\t") + "\n\t},\n\t\"stampmill_backup\": 1\n}"
	d := device(t, map[string]string{})
	r, err := restore(t, d, file)
	if err != nil || r.Takes != 10 || r.Broken != 1 || r.Newer != 1 || r.Others != 2 || !slices.Equal(r.Names, []string{"take/2026-03-01T00-00-00.000Z-adit-1"}) {
		t.Errorf("%+v, %v", r, err)
	}
	for _, e := range d.last.Entries {
		if e.Unread != "" || e.Title == "" {
			t.Errorf("%+v", e)
		}
	}
	if !IsBackup([]byte(file)) {
		t.Error("it is not known as a backup when it is dropped")
	}
	moved := device(t, maps.Clone(kept)) // the same takes, moved by themselves
	if r, err := restore(t, moved, file); err != nil || r.Takes != 0 || r.Here != 10 {
		t.Errorf("onto the device it came from: %+v, %v", r, err)
	}
}

// A file that is not good to its end changes nothing.
func TestBadBackupsChangeNothing(t *testing.T) {
	file := saved(t, device(t, map[string]string{"done": "{}"}, 0, 1))
	d := device(t, map[string]string{"settings": "{}"}, 5)
	before := everything(d)
	bad := map[string]string{
		"nothing": "", "another file": `{"title":"x"}`, "a take": takeText, "an exercise": "title: x\n", "a list": `[]`,
		"newer":         strings.Replace(file, `"stampmill_backup":2`, `"stampmill_backup":3`, 1),
		"no version":    strings.Replace(file, `"stampmill_backup":2,`, ``, 1),
		"another one":   file + file,
		"a wrong quote": strings.Replace(file, `"taps"`, `"taps`, 1),
		"records":       `{"stampmill_backup":2,"records":[]}`,
	}
	for n := 1; n < len(file)-1; n += 97 {
		bad[fmt.Sprintf("%d of %d bytes", n, len(file))] = file[:n]
	}
	for what, f := range bad {
		r, err := restore(t, d, f)
		if err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%s: %+v, error %v", what, r, err)
		}
		if diff := cmp.Diff(before, everything(d)); diff != "" {
			t.Fatalf("%s: %s", what, diff)
		}
	}
	if _, err := restore(t, d, strings.Replace(file, `"taps"`, `"taps`, 1)); err.Error() != "line 4 of the file is damaged; use another backup" {
		t.Errorf("said %q", err)
	}
}

// Stopped or broken off, what came in is whole, and the rest comes with the
// next reading.
func TestReadingABackupIsInterrupted(t *testing.T) {
	minutes := make([]int, 50)
	for i := range minutes {
		minutes[i] = i
	}
	full := device(t, map[string]string{}, minutes...)
	file := saved(t, full)
	for _, c := range []struct {
		what string
		puts int // that succeed before
		stop bool
	}{{"no room", 0, false}, {"no room for the rest", 1, false}, {"stopped", 1, true}} {
		d := device(t, map[string]string{})
		puts := 0
		var stop func()
		d.archive.Fault = func(call string) error {
			if call != "Put" {
				return nil
			}
			if puts++; puts <= c.puts {
				return nil
			}
			if c.stop {
				stop()
				return nil
			}
			return port.ErrNoRoom
		}
		var r Report
		var failed error
		stop = d.ReadBackup([]byte(file), d.other, func(float64) {}, func(got Report, err error) { r, failed = got, err })
		d.settle()
		if r.Stopped != c.stop || (failed == nil) != c.stop || r.Takes == 50 {
			t.Errorf("%s: %+v, %v", c.what, r, failed)
		}
		if takes, others := census(t, d.archive, d.store); len(takes) != r.Takes || r.Takes > 0 && len(others) != 1 {
			t.Errorf("%s: %d takes, report %+v, %q", c.what, len(takes), r, others)
		}
		d.archive.Fault = nil
		if r, err := restore(t, d, file); err != nil || r.Takes+r.Here != 50 || len(d.last.Entries) != 50 {
			t.Errorf("%s, and again: %+v, %v, %d in the book", c.what, r, err, len(d.last.Entries))
		}
		if diff := cmp.Diff(everything(full), everything(d)); diff != "" {
			t.Errorf("%s, and again: %s", c.what, diff)
		}
	}
}

func TestABackupThatCannotBeMade(t *testing.T) {
	d := device(t, map[string]string{}, 0)
	d.archive.Fault = func(string) error { return port.ErrClosed }
	var got error
	d.Backup(&sheet{}, noon, func(float64) {}, func(err error) { got = err })
	d.settle()
	if got != port.ErrClosed {
		t.Errorf("told %v", got)
	}
}

// Everything deleted while a backup is read stays deleted.
func TestDeletingWhileABackupIsRead(t *testing.T) {
	file := saved(t, device(t, map[string]string{}, 0, 1, 2))
	for answers := range 4 {
		d := device(t, map[string]string{})
		d.archive.Slow = true
		var failed error
		d.ReadBackup([]byte(file), d.other, func(float64) {}, func(_ Report, err error) { failed = err })
		d.clock.Run(100)
		for range answers {
			d.archive.Answer()
			d.clock.Run(100)
		}
		d.Clear(func(error) {})
		d.settle()
		if len(d.archive.Kept) != 0 || answers < 2 && failed != errDeleted {
			t.Errorf("after %d answers: %d records, %v", answers, len(d.archive.Kept), failed)
		}
	}
}

// Takes that found no room are in a backup of themselves and in that of the
// device.
func TestUnkeptTakesAreInBackups(t *testing.T) {
	d := device(t, map[string]string{}, 0)
	d.archive.Fault = func(call string) error {
		if call == "Put" {
			return port.ErrNoRoom
		}
		return nil
	}
	d.Keep(play(t, 1), func(error) {})
	d.settle()
	for what, c := range map[string]struct {
		file string
		want int
	}{"the device": {saved(t, d), 2}, "alone": {string(BackupOf(noon, d.Unkept())), 1}} {
		fresh := device(t, map[string]string{})
		if r, err := restore(t, fresh, c.file); err != nil || r.Takes != c.want || fresh.last.Entries[c.want-1].Unread != "" {
			t.Errorf("%s: %+v, %v", what, r, err)
		}
	}
}

// TestHits reads the table of a take again: 2 passes of a step, one stroke
// missed, one tap too many.
func TestHits(t *testing.T) {
	d := device(t, map[string]string{})
	text, _ := library("headframe")
	r := played(t, "headframe", 1, player.Options{LeanMS: -8}, passage.Kick)
	r.Text, r.Title = Hash(text), "=Stamp" // as a formula begins
	r.Take.Taps = slices.Delete(r.Take.Taps, 3, 4)
	r.Take.Taps[0].Strength = grade.Some(0.75)
	r.Take.Taps = append(r.Take.Taps, grade.Tap{Voice: passage.Kick, Seconds: 9.3})
	keep(t, d, playOf(t, r, text))
	var out sheet
	d.Hits(&out, func(float64) {}, func(err error) {
		if err != nil {
			t.Error(err)
		}
	})
	d.settle()
	rows, err := csv.NewReader(strings.NewReader(out.String())).ReadAll()
	if err != nil || len(rows) != 1+16+1 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	tail := func(row []string) string { return strings.Join(row[9:], " ") }
	for n, want := range map[int]string{
		0: "pass voice place quarters result error_ms strength",
		1: "1 kick 1.1 0 hit -8 0.75",
		4: "1 kick 1.4 3 missed  ",
		9: "2 kick 1.1 0 hit -8 ",
	} {
		if got := tail(rows[n]); got != want {
			t.Errorf("row %d: %q, want %q", n, got, want)
		}
	}
	if got := strings.Join(rows[1][1:9], " "); got != "2026-03-02T12:00:00Z headframe 1 '=Stamp 100 keyboard 0 true" {
		t.Errorf("row 1 begins %q", got)
	}
	extra := slices.ContainsFunc(rows, func(row []string) bool { return row[13] == "extra" && row[9] == "2" })
	if !extra {
		t.Error("the tap too many is not there")
	}
}
