//go:build js && wasm

package browser

import (
	"syscall/js"

	"stampmill/app"
)

// inputs are keys, fingers, mouse and pen.
//
// Fingers and mouse are read as pointer events, each finger one of its own.
// Touch events are listened to only to keep the browser from scrolling,
// zooming, or making mouse events and clicks of fingers on an area.
type inputs struct {
	press func(app.Press) bool
	keys  map[string]bool // keys that are down and were used
	areas map[int]string  // area of each pointer that is down on one
	used  bool            // the last finger on an area was used
}

func newInputs() *inputs {
	in := &inputs{
		press: func(app.Press) bool { return false },
		keys:  map[string]bool{},
		areas: map[int]string{},
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
func (in *inputs) OnPress(f func(app.Press) bool) { in.press = f }

// keyOf reads a key event; false for those that name no key, such as the ones
// of automatic form filling.
func keyOf(event js.Value) (app.Press, bool) {
	code, label := event.Get("code"), event.Get("key")
	if code.Type() != js.TypeString || label.Type() != js.TypeString {
		return app.Press{}, false
	}
	return app.Press{
		Source:   app.Keyboard,
		Code:     code.String(),
		Label:    label.String(),
		At:       event.Get("timeStamp").Float(),
		Repeat:   event.Get("repeat").Truthy(),
		Modified: event.Get("ctrlKey").Truthy() || event.Get("altKey").Truthy() || event.Get("metaKey").Truthy(),
		Typing:   focused(event).takes(code.String()),
	}, true
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
	target := event.Get("target")
	if target.IsNull() || target.Get("closest").Type() != js.TypeFunction {
		return "", false
	}
	nearest := target.Call("closest", "[data-area],[data-act],a,button,input,select,textarea,summary")
	if nearest.IsNull() {
		return "", false
	}
	area := nearest.Call("getAttribute", "data-area")
	return words(area), !area.IsNull()
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

func pointerOf(event js.Value, area string) app.Press {
	p := app.Press{
		Source: app.Pointer,
		Area:   area,
		Finger: event.Get("pointerId").Int(),
		At:     event.Get("timeStamp").Float(),
	}
	switch words(event.Get("pointerType")) {
	case "touch":
		p.Source = app.Touch
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
