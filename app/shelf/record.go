package shelf

import (
	"encoding/json"
	"errors"
	"strings"
	"time"
)

// version is the version of the stored records. A new one gets its step in
// readRecord.
const version = 1

// A record is an exercise as it is stored.
type record struct {
	Version int       `json:"v"`
	Text    string    `json:"text"`
	Changed time.Time `json:"changed"`
	Deleted time.Time `json:"deleted,omitzero"` // when it was put into the bin
}

// Errors of a stored exercise, each as "what; what to do".
var (
	ErrBroken = errors.New("this exercise cannot be read; it is left as it is, and can be saved as a file")
	ErrNewer  = errors.New("this exercise was stored by a newer version; load the page again to get that version")
)

func (r record) write() string {
	r.Version = version
	r.Changed, r.Deleted = writable(r.Changed), writable(r.Deleted)
	var out strings.Builder
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	_ = e.Encode(r) // strings and times that can be written: cannot fail
	return strings.TrimSuffix(out.String(), "\n")
}

// writable returns a time as it is stored; none for a year that JSON has no
// form for, which only a broken clock can say.
func writable(t time.Time) time.Time {
	if t = t.UTC(); t.Year() < 1 || t.Year() > 9999 {
		return time.Time{}
	}
	return t
}

// readRecord reads a stored record. Of one that a newer version wrote it reads
// nothing but that.
func readRecord(stored string) (record, error) {
	var r struct {
		record
		Text *string `json:"text"`
	}
	err := json.Unmarshal([]byte(stored), &r)
	switch {
	case err == nil && r.Version == version && r.Text != nil:
		r.record.Text = *r.Text
		return r.record, nil
	case versionOf(stored) > version:
		return record{}, ErrNewer
	}
	return record{}, ErrBroken
}

// versionOf returns the version of a record whatever else is in it; 0 where it
// has none.
func versionOf(stored string) int {
	var r struct {
		Version int `json:"v"`
	}
	if json.Unmarshal([]byte(stored), &r) != nil {
		return 0
	}
	return r.Version
}
