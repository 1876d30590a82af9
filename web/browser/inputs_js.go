//go:build js && wasm

package browser

import (
	"syscall/js"

	"stampmill/app/port"
)

// inputs are keys, fingers, mouse and pen.
//
// Fingers and mouse are read as pointer events, each finger one of its own.
// Touch events are listened to only to keep the browser from scrolling,
// zooming, or making mouse events and clicks of fingers on an area.
type inputs struct {
	press func(port.Press) bool
	keys  map[string]bool // keys that are down and were used
	areas map[int]string  // area of each pointer that is down on one
	used  bool            // the last finger on an area was used
	*drawn
	*written
}

func newInputs(w *written) *inputs {
	in := &inputs{
		press:   func(port.Press) bool { return false },
		keys:    map[string]bool{},
		areas:   map[int]string{},
		drawn:   newDrawn(),
		written: w,
	}
	onFirst("keydown", in.keyDown)
	onFirst("keyup", in.keyUp)
	onFirst("pointerdown", in.pointerDown)
	onFirst("pointerup", in.pointerUp)
	onFirst("pointercancel", in.pointerUp)
	onFirst("touchstart", in.touchStart)
	onFirst("contextmenu", in.contextMenu)
	return in
}

// OnPress sets the one function that is told of each press.
func (in *inputs) OnPress(f func(port.Press) bool) { in.press = f }

// keyOf reads a key event; false for those that name no key, such as the ones
// of automatic form filling.
func keyOf(event js.Value) (port.Press, bool) {
	code, label := event.Get("code"), event.Get("key")
	if code.Type() != js.TypeString || label.Type() != js.TypeString {
		return port.Press{}, false
	}
	p := port.Press{
		Source: port.Keyboard,
		Code:   code.String(),
		Label:  label.String(),
		On:     keysOf(event),
		At:     event.Get("timeStamp").Float(),
		Repeat: event.Get("repeat").Truthy(),
		Typing: focused(event).takes(code.String()),
		Shift:  event.Get("shiftKey").Truthy(),
		Ctrl:   event.Get("ctrlKey").Truthy(),
		Alt:    event.Get("altKey").Truthy(),
		Meta:   event.Get("metaKey").Truthy(),
	}
	p.Modified = p.Ctrl || p.Alt || p.Meta
	return p, true
}

// keysOf returns the data-keys round the element that a key event goes to.
func keysOf(event js.Value) string {
	nearest := closest(event, "[data-keys]")
	if nearest.IsNull() {
		return ""
	}
	return words(nearest.Call("getAttribute", "data-keys"))
}

// closest returns the nearest element round the target of an event that a
// selector finds, or null.
func closest(event js.Value, selector string) js.Value {
	target := event.Get("target")
	if target.IsNull() || target.Get("closest").Type() != js.TypeFunction { // the document itself
		return js.Null()
	}
	return target.Call("closest", selector)
}

// focused reads the control that a key event goes to.
func focused(event js.Value) control {
	path := event.Call("composedPath")
	if path.Length() == 0 {
		return control{}
	}
	e := path.Index(0)
	if e.Get("getAttribute").Type() != js.TypeFunction { // the document itself
		return control{}
	}
	return control{
		tag:      words(e.Get("localName")),
		kind:     words(e.Get("type")),
		role:     words(e.Call("getAttribute", "role")),
		editable: e.Get("isContentEditable").Truthy(),
		link:     !e.Call("getAttribute", "href").IsNull(),
	}
}

// words returns a JavaScript string, and "" for what is none.
func words(v js.Value) string {
	if v.Type() != js.TypeString {
		return ""
	}
	return v.String()
}

func (in *inputs) keyDown(event js.Value) {
	p, ok := keyOf(event)
	if !ok {
		return
	}
	p.Down = true
	if in.press(p) {
		in.keys[p.Code] = true
		keep(event)
	} else if in.keys[p.Code] && p.Repeat {
		keep(event)
	}
}

func (in *inputs) keyUp(event js.Value) {
	p, ok := keyOf(event)
	if !ok {
		return
	}
	if in.press(p) || in.keys[p.Code] { // a button acts when Space is let go
		keep(event)
	}
	delete(in.keys, p.Code)
}

// keep keeps an event from the browser and from the rest of the page.
func keep(event js.Value) {
	event.Call("preventDefault")
	event.Call("stopPropagation")
}

// areaOf returns the data-area under a pointer; false where there is none, or
// where a control lies nearer.
func areaOf(event js.Value) (string, bool) {
	return nearest(event, "data-area")
}

// nearest returns an attribute of the nearest element under a pointer that
// takes it; false where that element has no such attribute.
func nearest(event js.Value, attribute string) (string, bool) {
	element := closest(event, "[data-area],[data-draw],[data-act],a,button,input,select,textarea,summary")
	if element.IsNull() {
		return "", false
	}
	value := element.Call("getAttribute", attribute)
	return words(value), !value.IsNull()
}

func (in *inputs) pointerDown(event js.Value) {
	area, ok := areaOf(event)
	if !ok || event.Get("button").Int() != 0 {
		return
	}
	p := pointerOf(event, area)
	p.Down = true
	in.used = in.press(p)
	if in.used {
		in.areas[p.Finger] = area
		event.Call("preventDefault")
	}
}

func (in *inputs) pointerUp(event js.Value) {
	id := event.Get("pointerId").Int()
	area, down := in.areas[id]
	if !down {
		return
	}
	delete(in.areas, id)
	in.press(pointerOf(event, area))
}

func pointerOf(event js.Value, area string) port.Press {
	p := port.Press{
		Source: port.Pointer,
		Area:   area,
		Finger: event.Get("pointerId").Int(),
		At:     event.Get("timeStamp").Float(),
	}
	switch words(event.Get("pointerType")) {
	case "touch":
		p.Source = port.Touch
	case "pen": // mice and most screens report no pressure of their own
		p.Strength = event.Get("pressure").Float()
	}
	return p
}

// touchStart follows the pointerdown of the same finger.
func (in *inputs) touchStart(event js.Value) {
	if _, ok := areaOf(event); ok && in.used && event.Get("cancelable").Truthy() {
		event.Call("preventDefault")
	}
}

// contextMenu keeps the menu of a long press away from areas in use.
func (in *inputs) contextMenu(event js.Value) {
	if _, ok := areaOf(event); ok && len(in.areas) > 0 {
		event.Call("preventDefault")
	}
}
