//go:build js && wasm

package browser

import (
	"strings"
	"syscall/js"
)

// address is the address line.
type address struct{ arrived func(fragment string) }

func newAddress() *address {
	a := &address{func(string) {}}
	on(global, "hashchange", func(js.Value) { a.arrived(a.Fragment()) })
	return a
}

// Fragment returns what stands after the #.
func (*address) Fragment() string {
	return strings.TrimPrefix(global.Get("location").Get("hash").String(), "#")
}

// OnFragment sets the one function told when the fragment was changed.
func (a *address) OnFragment(f func(fragment string)) { a.arrived = f }

// SetFragment changes the fragment in place; the browser tells nobody of that.
func (*address) SetFragment(fragment string) {
	url := global.Get("URL").New(global.Get("location").Get("href"))
	url.Set("hash", fragment)
	history := global.Get("history")
	history.Call("replaceState", history.Get("state"), "", url.Get("href"))
}

// Link returns the whole address of a page with a fragment.
func (*address) Link(path, fragment string) string {
	url := global.Get("URL").New(path, global.Get("location").Get("origin"))
	url.Set("hash", fragment)
	return url.Get("href").String()
}

// clipboard is the system's, as far as the browser allows.
type clipboard struct{}

// Copy puts text on the clipboard.
func (clipboard) Copy(text string, done func(ok bool)) {
	board := global.Get("navigator").Get("clipboard")
	if !board.Truthy() { // not over an open connection
		done(false)
		return
	}
	settle(board.Call("writeText", text), func(js.Value) { done(true) }, func() { done(false) })
}
