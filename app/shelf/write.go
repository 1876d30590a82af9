package shelf

import (
	"errors"
	"time"
)

// Kept says where texts are after a write.
type Kept struct {
	ID string // of the text written: another than asked for where what stands there is left alone
	// Other is the id of the copy that now holds what another window had written
	// meanwhile; "" when none had.
	Other string
}

// Words in the titles of copies.
const (
	otherWindow = "other window"
	copied      = "copy"
)

// Add puts a new exercise on the shelf. It refuses an id that is in use.
func (s Shelf) Add(id, text string, now time.Time) error {
	if _, taken := s.records.Get(Prefix + id); taken {
		return ErrTaken
	}
	return s.put(id, text, now)
}

// Write stores the text of an exercise. Base is what this window last read or
// wrote there. Call it at every change, so that nothing is lost when the page is.
//
// Where another window wrote another text meanwhile, both are kept: ours under
// the id, theirs as a copy that says so in its title. Where the record cannot be
// read, it stays and ours gets a new id. An exercise that another window deleted
// is back with our text. New ids come from fresh, which is asked until it gives
// one that is not in use.
//
// With an error everything is stored as before, and the text is only in the
// caller's hands: offer it as a file.
func (s Shelf) Write(id, base, text string, now time.Time, fresh func() string) (Kept, error) {
	if err := check(id, text); err != nil {
		return Kept{}, err
	}
	stored, err := s.get(id)
	switch {
	case errors.Is(err, ErrGone):
	case err != nil:
		return s.aside(text, now, fresh)
	case stored.Text != base && stored.Text != text:
		return s.beside(id, stored, text, now, fresh)
	}
	return Kept{ID: id}, s.put(id, text, now)
}

// aside writes to a new id.
func (s Shelf) aside(text string, now time.Time, fresh func() string) (Kept, error) {
	id, err := s.unused(fresh)
	if err != nil {
		return Kept{}, err
	}
	return Kept{ID: id}, s.put(id, text, now)
}

// beside copies what another window wrote, and only then writes ours. Where
// that fails, theirs needs no copy.
func (s Shelf) beside(id string, theirs record, ours string, now time.Time, fresh func() string) (Kept, error) {
	other, err := s.unused(fresh)
	if err != nil {
		return Kept{}, err
	}
	if err := s.put(other, s.suffixed(theirs.Text, otherWindow), theirs.Changed); err != nil {
		return Kept{}, &NotKept{ours, err}
	}
	if err := s.put(id, ours, now); err != nil {
		_ = s.Forget(other) // one copy too many is the worst of it
		return Kept{}, err
	}
	return Kept{id, other}, nil
}

// attempts bounds how often a new id is asked for; our choice.
const attempts = 100

// unused returns an id that no record has.
func (s Shelf) unused(fresh func() string) (string, error) {
	for range attempts {
		id := fresh()
		if _, taken := s.records.Get(Prefix + id); !taken && check(id, "") == nil {
			return id, nil
		}
	}
	return "", errors.New("no new name was found for the exercise; save it as a file")
}

// Rename gives an exercise another title, in its text. Change that of the
// exercise in hand in the text in hand instead.
func (s Shelf) Rename(id, title string, now time.Time) error {
	r, err := s.get(id)
	if err != nil {
		return err
	}
	text, err := Retitle(r.Text, title)
	if err != nil {
		return err
	}
	return s.put(id, text, now)
}

// Duplicate puts a copy on the shelf, whose title says that it is one.
func (s Shelf) Duplicate(id, copyID string, now time.Time) error {
	r, err := s.get(id)
	if err != nil {
		return err
	}
	return s.Add(copyID, s.suffixed(r.Text, copied), now)
}
