package logbook

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"stampmill/exercises/grade"
	"stampmill/exercises/limbs"
	"stampmill/exercises/passage"
)

// recordVersion is the version of a stored take. A new one gets its case in
// [ReadRecord].
//
//	1  {"v":1,"at":RFC 3339,"take":{...}}, in the store of the first pages
//	2  also title, text, known, marks and pedals: see [Record]
const recordVersion = 2

// TakePrefix begins the names of the records of takes, which sort by time.
const TakePrefix = "take/"

// A Record is a take as it is stored: what happened, when, and nothing derived.
type Record struct {
	At    time.Time // when it ended
	Title string    // of the step
	Text  string    // [Hash] of the text that was played; "" where it is not known
	Known bool      // the delay of the input was measured
	// Marks are what it took to pass when the take was played; nil for
	// [grade.DefaultPassing].
	Marks  *grade.Passing
	Pedals limbs.Pedals // of the player's kick
	Take   grade.Take
}

// Errors of records, each as "what; what to do".
var (
	ErrBroken = errors.New("this take cannot be read; it is kept as it is, and goes into a backup")
	ErrNewer  = errors.New("this take was stored by a newer version; load the page again to get that version")
)

// A stored record. Pointers are fields that may be absent.
type stored struct {
	Version int             `json:"v"`
	At      time.Time       `json:"at"`
	Title   string          `json:"title,omitempty"`
	Text    string          `json:"text,omitempty"`
	Known   bool            `json:"known,omitempty"`
	Marks   *marks          `json:"marks,omitempty"`
	Pedals  int             `json:"pedals,omitempty"` // 1 or 2; absent is 2
	Take    json.RawMessage `json:"take"`
}

type marks struct {
	Hits   float64 `json:"hits"`
	Extra  float64 `json:"extra"`
	Spread float64 `json:"spread_ms"`
}

// Write returns the record as it is stored. It is an error only where the take
// is none that [grade.ReadTake] reads, or the time has no form.
func (r Record) Write() ([]byte, error) {
	take, err := grade.WriteTake(r.Take)
	if err != nil {
		return nil, err
	}
	s := stored{Version: recordVersion, At: r.At.UTC(), Title: r.Title, Text: r.Text, Known: r.Known, Take: take}
	if r.Marks != nil {
		s.Marks = &marks{r.Marks.Hits, r.Marks.Extra, r.Marks.SpreadMS}
	}
	if r.Pedals == limbs.One {
		s.Pedals = 1
	}
	return json.Marshal(s)
}

// ReadRecord reads a stored take of any version. The error is ErrNewer or
// wraps ErrBroken.
func ReadRecord(data []byte) (Record, error) {
	var s stored
	if err := json.Unmarshal(data, &s); err != nil {
		if versionOf(data) > recordVersion {
			return Record{}, ErrNewer
		}
		return Record{}, broken(err)
	}
	switch {
	case s.Version > recordVersion:
		return Record{}, ErrNewer
	case s.Version < 1 || s.At.IsZero() || len(s.Take) == 0:
		return Record{}, broken(errors.New("no version, time or take"))
	case s.Text != "" && !isHash(s.Text):
		return Record{}, broken(fmt.Errorf("%.40q is no name of a text", s.Text))
	}
	take, err := grade.ReadTake(s.Take)
	if err != nil {
		return Record{}, broken(err)
	}
	r := Record{At: s.At.UTC(), Take: take}
	if s.Version == 1 {
		r.Known = take.LatencyMS != 0 // all that the first version tells of it
		return r, nil
	}
	r.Title, r.Text, r.Known = s.Title, s.Text, s.Known
	if s.Marks != nil {
		r.Marks = &grade.Passing{Hits: s.Marks.Hits, Extra: s.Marks.Extra, SpreadMS: s.Marks.Spread}
	}
	if s.Pedals == 1 {
		r.Pedals = limbs.One
	}
	return r, nil
}

func broken(why error) error { return fmt.Errorf("%w (%v)", ErrBroken, why) }

// versionOf returns the version of a record whatever else is in it; 0 where it
// has none.
func versionOf(data []byte) int {
	var r struct {
		Version int `json:"v"`
	}
	if json.Unmarshal(data, &r) != nil {
		return 0
	}
	return r.Version
}

// Options are those of [grade.Grade] under which the take is judged, with the
// steps of the climb as it was played.
func (r Record) Options(steps []passage.Step) grade.Options {
	return grade.Options{Passing: r.Marks, Pedals: r.Pedals, Steps: steps, Step: r.Take.Step}
}

// same reports whether two records are of the same take, whatever is known
// beside it: a take of the first version got its text later.
func (r Record) same(other Record) bool {
	a, err := grade.WriteTake(r.Take)
	b, other2 := grade.WriteTake(other.Take)
	return err == nil && other2 == nil && r.At.Equal(other.At) && string(a) == string(b)
}

// NameOf names the record of a take, so that names sort by time and two takes
// never share one: by the moment at which it ended and by what it holds.
func NameOf(at time.Time, record []byte) string {
	return TakePrefix + Stamp(at) + "-" + Hash(string(record))[:8]
}

// Stamp writes a moment, to the millisecond, so that names sort by it.
func Stamp(at time.Time) string { return at.UTC().Format("2006-01-02T15-04-05.000Z") }
