package memory

import (
	"errors"
	"strings"
)

// Store keeps records in a map. Windows that share the map share the store.
type Store struct {
	Kept map[string]string
	Full string // names that begin so find no room
	// Room is how many bytes names and values may have together; 0 is no limit.
	Room   int
	Denied bool // the browser keeps nothing for this page
	change func(name string)
}

var (
	errNoRoom = errors.New("this device has no room; delete something")
	errDenied = errors.New("the browser keeps nothing for this page; allow it to store data")
)

// Get returns a record.
func (s *Store) Get(name string) (value string, ok bool) {
	if s.Denied {
		return "", false
	}
	value, ok = s.Kept[name]
	return value, ok
}

// Put writes a record, or refuses where it is told to.
func (s *Store) Put(name, value string) error {
	switch {
	case s.Denied:
		return errDenied
	case s.Full != "" && strings.HasPrefix(name, s.Full), s.Room > 0 && s.with(name, value) > s.Room:
		return errNoRoom
	}
	s.Kept[name] = value
	return nil
}

// with is how many bytes there are when a record has a value.
func (s *Store) with(name, value string) int {
	n := len(name) + len(value)
	for k, v := range s.Kept {
		if k != name {
			n += len(k) + len(v)
		}
	}
	return n
}

// Delete removes a record.
func (s *Store) Delete(name string) error {
	if s.Denied {
		return errDenied
	}
	delete(s.Kept, name)
	return nil
}

// Names returns the names that begin with prefix.
func (s *Store) Names(prefix string) []string {
	if s.Denied {
		return nil
	}
	var names []string
	for name := range s.Kept {
		if strings.HasPrefix(name, prefix) {
			names = append(names, name)
		}
	}
	return names
}

// OnChange sets the function that Change tells.
func (s *Store) OnChange(f func(name string)) { s.change = f }

// Change tells that another window wrote a record.
func (s *Store) Change(name string) {
	if s.change != nil {
		s.change(name)
	}
}
