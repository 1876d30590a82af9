package porttest

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/port"
	"stampmill/app/port/memory"
)

func TestMemoryArchive(t *testing.T) {
	for _, slow := range []bool{false, true} {
		a := memory.NewArchive()
		b := a.Window()
		a.Slow, b.Slow = slow, slow
		var lines []string
		ended := false
		Try(a, b, func(line string) { lines = append(lines, line) }, func() { ended = true })
		for a.Answer() || b.Answer() {
		}
		if diff := cmp.Diff(Wanted(), lines); diff != "" || !ended {
			t.Errorf("slow %v, ended %v (-want +got):\n%s", slow, ended, diff)
		}
	}
}

// After an error nothing has changed, and the next call works.
func TestMemoryArchiveFaults(t *testing.T) {
	a := memory.NewArchive()
	a.Kept["take/1"] = []byte("1")
	calls := map[string]func(f func(error)){
		"Put":    func(f func(error)) { a.Put([]port.Record{{Name: "take/2"}}, f) },
		"Get":    func(f func(error)) { a.Get([]string{"take/1"}, func(_ []port.Record, err error) { f(err) }) },
		"Range":  func(f func(error)) { a.Range("", "", 1, func(_ []port.Record, err error) { f(err) }) },
		"Names":  func(f func(error)) { a.Names("", func(_ []string, err error) { f(err) }) },
		"Delete": func(f func(error)) { a.Delete([]string{"take/1"}, f) },
		"Clear":  func(f func(error)) { a.Clear(f) },
	}
	for name, call := range calls {
		var got error
		a.Fault = func(c string) error {
			if c != name {
				t.Errorf("%s is called %s", name, c)
			}
			return port.ErrClosed
		}
		call(func(err error) { got = err })
		if got != port.ErrClosed || len(a.Kept) != 1 {
			t.Errorf("%s: error %v, kept %q", name, got, a.Kept)
		}
	}
	a.Fault, a.Room = nil, len("take/1=")
	var got error
	a.Put([]port.Record{{Name: "take/1", Value: []byte("11")}, {Name: "take/0"}}, func(err error) { got = err })
	if got != port.ErrNoRoom || string(a.Kept["take/1"]) != "1" || len(a.Kept) != 1 {
		t.Errorf("no room: error %v, kept %q", got, a.Kept)
	}
	a.Put([]port.Record{{Name: "take/1", Value: []byte("2")}}, func(err error) { got = err })
	if got != nil || string(a.Kept["take/1"]) != "2" {
		t.Errorf("room for as much: error %v, kept %q", got, a.Kept)
	}
}
