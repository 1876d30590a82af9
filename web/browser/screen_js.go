//go:build js && wasm

package browser

import "syscall/js"

const svgNamespace = "http://www.w3.org/2000/svg"

// screen is what moves outside the tree of elements.
type screen struct {
	size    func(width, height int)
	leave   func()
	calm    js.Value
	written *written
	ask     js.Func // keeps the page until the player has answered
}

func newScreen(w *written) *screen {
	s := &screen{
		size:    func(int, int) {},
		leave:   func() {},
		calm:    global.Call("matchMedia", "(prefers-reduced-motion: reduce)"),
		written: w,
		ask: js.FuncOf(func(_ js.Value, args []js.Value) any {
			args[0].Call("preventDefault")
			return nil
		}),
	}
	on(global, "pagehide", func(js.Value) { s.leave() })
	on(document, "visibilitychange", func(js.Value) {
		if document.Get("visibilityState").String() == "hidden" {
			s.leave()
		}
	})
	on(global, "resize", func(js.Value) { s.size(s.Size()) })
	return s
}

func byID(id string) (js.Value, bool) {
	e := document.Call("getElementById", id)
	return e, !e.IsNull()
}

// Attr sets an attribute, or the text content when name is "".
func (*screen) Attr(id, name, value string) {
	e, ok := byID(id)
	switch {
	case !ok:
	case name == "":
		e.Set("textContent", value)
	default:
		e.Call("setAttribute", name, value)
	}
}

// Mark appends a use of a symbol.
func (*screen) Mark(id, symbol string, x, y float64) {
	e, ok := byID(id)
	if !ok {
		return
	}
	use := document.Call("createElementNS", svgNamespace, "use")
	use.Call("setAttribute", "href", "#"+symbol)
	use.Call("setAttribute", "x", x)
	use.Call("setAttribute", "y", y)
	e.Call("appendChild", use)
}

// Clear empties an element.
func (*screen) Clear(id string) {
	if e, ok := byID(id); ok {
		e.Call("replaceChildren")
	}
}

// Focus moves the keyboard to an element.
func (*screen) Focus(id string) {
	if e, ok := byID(id); ok {
		e.Call("focus")
	}
}

// Scroll scrolls the content of an element.
func (*screen) Scroll(id string, x, y float64) {
	if e, ok := byID(id); ok {
		e.Set("scrollLeft", x)
		e.Set("scrollTop", y)
	}
}

// Reveal scrolls what is round an element until it is in sight.
func (*screen) Reveal(id string) {
	if e, ok := byID(id); ok {
		e.Call("scrollIntoView", map[string]any{"block": "nearest", "inline": "nearest"})
	}
}

// Print opens the browser's way to print.
func (*screen) Print() { js.Global().Call("print") }

// Theme sets the theme on the root element; "" leaves it to the device.
func (*screen) Theme(name string) {
	root := document.Get("documentElement")
	if name == "" {
		root.Call("removeAttribute", "data-theme")
		return
	}
	root.Call("setAttribute", "data-theme", name)
}

// Size returns the width and height of the window in CSS pixels.
func (*screen) Size() (width, height int) {
	return global.Get("innerWidth").Int(), global.Get("innerHeight").Int()
}

// OnSize sets the one function told when the size changes.
func (s *screen) OnSize(f func(width, height int)) { s.size = f }

// Calm reports whether the player asked for reduced motion.
func (s *screen) Calm() bool { return s.calm.Get("matches").Bool() }

// OnLeave sets the one function told when the page goes out of sight.
func (s *screen) OnLeave(f func()) { s.leave = f }

// Hold lets the browser ask before the page is left.
func (s *screen) Hold(on bool) {
	if on {
		global.Call("addEventListener", "beforeunload", s.ask) // a second time is as good as once
	} else {
		global.Call("removeEventListener", "beforeunload", s.ask)
	}
}
