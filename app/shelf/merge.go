package shelf

import (
	"crypto/sha256"
	"encoding/hex"
)

// Merge takes in an exercise as another device stored it, and reports whether
// it came in: not where its text is on the shelf already, or it was deleted
// there. Where the id holds another text, that keeps it, and what comes in gets
// an id made from its text, so that it comes in once. One that lies in the bin
// here is restored. The error is [ErrBroken], [ErrNewer], or that of the device.
func (s Shelf) Merge(id, stored string) (came bool, err error) {
	r, err := readRecord(stored)
	switch {
	case err != nil:
		return false, err
	case check(id, r.Text) != nil:
		return false, ErrBroken
	case !r.Deleted.IsZero():
		return false, nil
	}
	if here, ok := s.holding(r.Text); ok {
		if here.Deleted.IsZero() {
			return false, nil
		}
		return true, s.Restore(here.ID)
	}
	if _, taken := s.records.Get(Prefix + id); taken {
		sum := sha256.Sum256([]byte(r.Text))
		id = hex.EncodeToString(sum[:8])
		if _, taken := s.records.Get(Prefix + id); taken {
			return false, nil // it came in before, and was changed since
		}
	}
	return true, s.put(id, r.Text, r.Changed)
}

// holding returns the exercise with a text, one on the shelf before one in the
// bin.
func (s Shelf) holding(text string) (Entry, bool) {
	for _, list := range [][]Entry{s.List(), s.Bin()} {
		for _, e := range list {
			if there, err := s.Read(e.ID); err == nil && there == text {
				return e, true
			}
		}
	}
	return Entry{}, false
}
