//go:build js && wasm

package browser

import (
	"errors"
	"fmt"
	"strings"
	"syscall/js"
)

// prefix keeps the program's records apart from those of other pages of the
// same host.
const prefix = "stampmill."

var errNoStore = errors.New("the browser keeps nothing for this page; allow it to store data, or use another window")

// store keeps records in localStorage.
type store struct{ change func(name string) }

func newStore() *store {
	s := &store{func(string) {}}
	on(global, "storage", func(event js.Value) { // only for what other windows do
		switch key := event.Get("key"); {
		case key.IsNull():
			s.change("")
		case strings.HasPrefix(key.String(), prefix):
			s.change(key.String()[len(prefix):])
		}
	})
	return s
}

// OnChange sets the one function told when another window changed a record.
func (s *store) OnChange(f func(name string)) { s.change = f }

// storage returns localStorage; false where the browser denies it, which it
// does by throwing: what a property throws can only be caught through Reflect.
func storage() (s js.Value, ok bool) {
	err := try(func() { s = global.Get("Reflect").Call("get", global, "localStorage") })
	return s, err == nil && s.Truthy()
}

// Get returns a record.
func (*store) Get(name string) (value string, ok bool) {
	s, ok := storage()
	if !ok {
		return "", false
	}
	v := s.Call("getItem", prefix+name)
	return words(v), !v.IsNull()
}

// Put writes a record; the old one stays when there is no room.
func (*store) Put(name, value string) error {
	s, ok := storage()
	if !ok {
		return errNoStore
	}
	if err := try(func() { s.Call("setItem", prefix+name, value) }); err != nil {
		return fmt.Errorf("this device has no room for %s: %w", name, err)
	}
	return nil
}

// Delete removes a record.
func (*store) Delete(name string) error {
	s, ok := storage()
	if !ok {
		return errNoStore
	}
	return try(func() { s.Call("removeItem", prefix+name) })
}

// Names returns the names of the records that begin with start.
func (*store) Names(start string) []string {
	s, ok := storage()
	if !ok {
		return nil
	}
	var names []string
	for i := range s.Get("length").Int() {
		if name, ours := strings.CutPrefix(words(s.Call("key", i)), prefix); ours && strings.HasPrefix(name, start) {
			names = append(names, name)
		}
	}
	return names
}
