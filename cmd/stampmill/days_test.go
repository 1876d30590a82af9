package main

import (
	"os"
	"strings"
	"testing"

	"stampmill/app/logbook"
	"stampmill/app/port/memory"
	"stampmill/app/transport/fake"
)

// TestDaysAreABackup: a device that reads the file has every take in its book,
// graded, and a second reading adds none.
func TestDaysAreABackup(t *testing.T) {
	t.Chdir(t.TempDir())
	out, stderr, code := call(t, "", "simulate", "headframe", "cage", "--days", "5", "--until", "2026-03-14", "-o", "backup.json")
	if code != exitDone || !strings.HasSuffix(out, " takes of 2 climbs from 2026-03-10 to 2026-03-14; read the file in Setup\n") {
		t.Fatalf("exit %d, %q, %q", code, out, stderr)
	}
	file, err := os.ReadFile("backup.json")
	if err != nil {
		t.Fatal(err)
	}
	if !logbook.IsBackup(file) {
		t.Error("it is no backup")
	}
	archive, clock := memory.NewArchive(), fake.NewClock()
	var news logbook.News
	book := logbook.New(logbook.Device{Archive: archive, Store: &memory.Store{}, Clock: clock, Busy: func() bool { return false }},
		func(string) (string, bool) { return "", false }, func(n logbook.News) { news = n })
	settle := func() {
		for more := true; more; {
			clock.Run(10_000)
			more = archive.Answer()
		}
	}
	book.Load()
	settle()
	read := func() (got logbook.Report) {
		other := func(string, []byte) (logbook.Outcome, error) { return logbook.Broken, nil }
		book.ReadBackup(file, other, func(float64) {}, func(r logbook.Report, err error) {
			if got = r; err != nil {
				t.Error(err)
			}
		})
		settle()
		return got
	}
	first, second := read(), read()
	if first.Takes < 50 || first.Here != 0 || first.Broken != 0 || second.Takes != 0 || second.Here != first.Takes {
		t.Errorf("first %+v, second %+v", first, second)
	}
	if len(news.Entries) != first.Takes {
		t.Errorf("%d takes in the book, want %d", len(news.Entries), first.Takes)
	}
	for _, e := range news.Entries {
		if e.Unread != "" || !e.Known || e.Expected == 0 {
			t.Fatalf("%s: %+v", e.Name, e)
		}
	}
	again, _, _ := call(t, "", "simulate", "headframe", "cage", "--days", "5", "--until", "2026-03-14", "-o", "-")
	if again != string(file) {
		t.Error("the same days made another file")
	}
}
