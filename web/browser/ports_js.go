//go:build js && wasm

package browser

import (
	"fmt"
	"syscall/js"

	"stampmill/app"
)

// Ports returns the ports of this page. Call it once: the listeners it sets
// stay for as long as the page does.
func Ports() app.Ports {
	return app.Ports{
		Audio:   newAudio(),
		Clock:   newClock(),
		Inputs:  newInputs(),
		Store:   store{},
		Files:   files{},
		Screen:  newScreen(),
		Network: newNetwork(),
	}
}

// global, document and performance are the objects that are used all the time.
var (
	global      = js.Global()
	document    = global.Get("document")
	performance = global.Get("performance")
)

// try calls f and returns what JavaScript threw in it as an error.
func try(f func()) (err error) {
	defer func() {
		switch thrown := recover().(type) {
		case nil:
		case js.Error:
			err = fmt.Errorf("%s: %s", thrown.Get("name"), thrown.Get("message"))
		case *js.ValueError: // what the browser does not have
			err = thrown
		default:
			panic(thrown)
		}
	}()
	f()
	return nil
}

// on calls f for each event of a name at target, for good.
func on(target js.Value, name string, f func(event js.Value)) {
	target.Call("addEventListener", name, js.FuncOf(func(_ js.Value, args []js.Value) any {
		f(args[0])
		return nil
	}))
}

// onFirst is on for listeners that must come before those of the page, and may
// keep the browser from what it does with the event.
func onFirst(name string, f func(event js.Value)) {
	global.Call("addEventListener", name, js.FuncOf(func(_ js.Value, args []js.Value) any {
		f(args[0])
		return nil
	}), map[string]any{"capture": true, "passive": false})
}
