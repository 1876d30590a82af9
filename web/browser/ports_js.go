//go:build js && wasm

package browser

import (
	"fmt"
	"syscall/js"

	"stampmill/app/port"
)

// Ports returns the ports of this page. Call it once: the listeners it sets
// stay for as long as the page does.
func Ports() port.Ports {
	w := newWritten()
	return port.Ports{
		Audio:     newAudio(),
		Clock:     newClock(),
		Inputs:    newInputs(w),
		Store:     newStore(),
		Archive:   Archive(),
		Files:     newFiles(),
		Screen:    newScreen(w),
		Address:   newAddress(),
		Clipboard: clipboard{},
		Network:   newNetwork(),
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

// once calls f for the next event of any of the names at target.
func once(target js.Value, f func(event js.Value), names ...string) {
	var call js.Func
	call = js.FuncOf(func(_ js.Value, args []js.Value) any {
		for _, name := range names {
			target.Call("removeEventListener", name, call)
		}
		call.Release()
		f(args[0])
		return nil
	})
	for _, name := range names {
		target.Call("addEventListener", name, call)
	}
}

// settle calls one of two functions when a promise has come to its end.
func settle(promise js.Value, good func(js.Value), bad func()) {
	var yes, no js.Func
	end := func() { yes.Release(); no.Release() }
	yes = js.FuncOf(func(_ js.Value, args []js.Value) any {
		end()
		good(args[0])
		return nil
	})
	no = js.FuncOf(func(js.Value, []js.Value) any {
		end()
		bad()
		return nil
	})
	promise.Call("then", yes, no)
}

// onFirst is on for listeners that must come before those of the page, and may
// keep the browser from what it does with the event.
func onFirst(name string, f func(event js.Value)) {
	global.Call("addEventListener", name, js.FuncOf(func(_ js.Value, args []js.Value) any {
		f(args[0])
		return nil
	}), map[string]any{"capture": true, "passive": false})
}
