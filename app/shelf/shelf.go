// Package shelf keeps the player's own exercises on this device.
//
// The one idea: nothing is lost. Every exercise is one record, written whole; a
// write that fails leaves the old one; a record that another window changed is
// kept beside ours; one that cannot be read, or that a newer version wrote, is
// left alone and listed with what is wrong; what is deleted can be brought back
// until the next thing is deleted.
//
// The text is the record: title and number of steps are read from it, whatever
// else is wrong with it. Times and new ids are arguments. Texts are in UTF-8,
// of any size that the device takes. Call [New], then [Shelf.List], [Shelf.Read]
// and, at every change of the text, [Shelf.Write].
package shelf

import (
	"errors"
	"fmt"
	"sort"
	"strings"
	"time"
	"unicode/utf8"
)

// Records is where the shelf stands: the part of the program's store that it
// needs. A Put that fails leaves the old value.
type Records interface {
	Get(name string) (value string, ok bool)
	Put(name, value string) error
	Delete(name string) error
	Names(prefix string) []string
}

// Prefix begins the names of the shelf's records.
const Prefix = "own/"

// maxID is the most bytes of an id; our choice.
const maxID = 64

// A Shelf is the player's exercises in a store that other windows may use too.
// It remembers nothing itself.
type Shelf struct{ records Records }

// New returns the shelf in a store.
func New(records Records) Shelf { return Shelf{records} }

// An Entry is one exercise in the list.
type Entry struct {
	ID      string
	Title   string // as its text says; "" when it has none
	Steps   int    // lines that begin a step
	Bytes   int    // of its text
	Changed time.Time
	Deleted time.Time // zero on the shelf
	Problem error     // why it is left alone, as "what; what to do"; then the rest is not known
}

// Errors of a shelf, each as "what; what to do".
var (
	ErrGone  = errors.New("this exercise is not on this device any more; open another one")
	ErrTaken = errors.New("there is an exercise of this name already; choose another name") // an id, so never seen where ids are random
)

// List returns the exercises on the shelf, the one changed last first, those
// that are left alone at the end.
func (s Shelf) List() []Entry {
	return s.entries(func(e Entry) bool { return e.Deleted.IsZero() })
}

// Bin returns what can be brought back, the one deleted last first: one
// exercise, or several where several windows deleted.
func (s Shelf) Bin() []Entry {
	return s.entries(func(e Entry) bool { return !e.Deleted.IsZero() })
}

func (s Shelf) entries(wanted func(Entry) bool) []Entry {
	var list []Entry
	for _, name := range s.records.Names(Prefix) {
		id := name[len(Prefix):]
		stored, ok := s.records.Get(name)
		if !ok {
			continue // deleted by another window just now
		}
		if e := entryOf(id, stored); wanted(e) {
			list = append(list, e)
		}
	}
	sort.Slice(list, func(i, j int) bool { return byTime(list[i], list[j]) < 0 })
	return list
}

// byTime orders the latest first; records without a time have the zero time.
func byTime(a, b Entry) int {
	if c := b.Deleted.Compare(a.Deleted); c != 0 {
		return c
	}
	if c := b.Changed.Compare(a.Changed); c != 0 {
		return c
	}
	return strings.Compare(a.ID, b.ID)
}

func entryOf(id, stored string) Entry {
	r, err := readRecord(stored)
	if err != nil {
		return Entry{ID: id, Bytes: len(stored), Problem: err}
	}
	title, steps := Summary(r.Text)
	return Entry{ID: id, Title: title, Steps: steps, Bytes: len(r.Text), Changed: r.Changed, Deleted: r.Deleted}
}

// Read returns the text of an exercise, also of a deleted one.
func (s Shelf) Read(id string) (string, error) {
	r, err := s.get(id)
	return r.Text, err
}

// Raw returns a record as it is stored, so that one that cannot be read can be
// handed to the player.
func (s Shelf) Raw(id string) (stored string, ok bool) { return s.records.Get(Prefix + id) }

// Stale reports whether another window has changed an exercise, or deleted it,
// since this one read or wrote the text base.
func (s Shelf) Stale(id, base string) bool {
	r, err := s.get(id)
	return err != nil || !r.Deleted.IsZero() || r.Text != base
}

// get returns a record that can be read.
func (s Shelf) get(id string) (record, error) {
	stored, ok := s.records.Get(Prefix + id)
	if !ok {
		return record{}, ErrGone
	}
	return readRecord(stored)
}

// put writes a text over what is there.
func (s Shelf) put(id, text string, now time.Time) error {
	if err := check(id, text); err != nil {
		return err
	}
	if err := s.records.Put(Prefix+id, record{Text: text, Changed: now}.write()); err != nil {
		return &NotKept{text, err}
	}
	return nil
}

// check refuses what could not be read again.
func check(id, text string) error {
	if id == "" || len(id) > maxID || strings.Trim(id, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
		return fmt.Errorf("%q is no id of an exercise; use small letters, digits and hyphens, at most %d", id, maxID)
	}
	if !utf8.ValidString(text) {
		return errors.New("the text holds bytes that are not UTF-8; save it as UTF-8 text first")
	}
	return nil
}

// NotKept is the error for a text that found no room or no store. What was
// stored before still is.
type NotKept struct {
	Text  string // to be offered as a file
	cause error
}

// Error names the exercise and what to do.
func (e *NotKept) Error() string {
	title, _ := Summary(e.Text)
	if title == "" {
		title = "the exercise"
	}
	return fmt.Sprintf("%s is not stored, because this device has no room for it; save it as a file, or delete something", title)
}

// Unwrap returns what the store said.
func (e *NotKept) Unwrap() error { return e.cause }
