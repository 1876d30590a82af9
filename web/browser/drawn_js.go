//go:build js && wasm

package browser

import (
	"fmt"
	"syscall/js"

	"stampmill/app/port"
)

// drawn are the strokes of pointers on elements with data-draw.
//
// While a stroke lasts, its pointer belongs to the root element: the element
// drawn on may be replaced by a new one of the same data-draw meanwhile.
type drawn struct {
	point   func(port.Point) bool
	strokes map[int]string // data-draw of each pointer that draws
	still   js.Func        // keeps a touch from scrolling
}

func newDrawn() *drawn {
	d := &drawn{
		point:   func(port.Point) bool { return false },
		strokes: map[int]string{},
		still: js.FuncOf(func(_ js.Value, args []js.Value) any {
			if args[0].Get("cancelable").Truthy() {
				args[0].Call("preventDefault")
			}
			return nil
		}),
	}
	onFirst("pointerdown", d.begin)
	onFirst("mousedown", func(event js.Value) {
		if len(d.strokes) > 0 { // else it would select text and move the keyboard
			event.Call("preventDefault")
		}
	})
	onFirst("pointermove", func(event js.Value) { d.then(event, port.Moved) })
	onFirst("pointerup", func(event js.Value) { d.then(event, port.Ended) })
	onFirst("pointercancel", func(event js.Value) { d.then(event, port.Broken) })
	return d
}

// OnPoint sets the one function told of each point.
func (d *drawn) OnPoint(f func(port.Point) bool) { d.point = f }

// pointAt reads a pointer event on an element to draw on; false when the
// element is gone.
func pointAt(event js.Value, stage port.Stage, on string) (port.Point, bool) {
	element := document.Call("querySelector", fmt.Sprintf("[data-draw=%q]", on))
	if element.IsNull() {
		return port.Point{}, false
	}
	box := element.Call("getBoundingClientRect")
	width, height := box.Get("width").Float(), box.Get("height").Float()
	if width == 0 || height == 0 {
		return port.Point{}, false
	}
	p := pointerOf(event, "")
	return port.Point{
		Stage: stage, Source: p.Source, On: on, Finger: p.Finger,
		X:     (event.Get("clientX").Float() - box.Get("left").Float()) / width,
		Y:     (event.Get("clientY").Float() - box.Get("top").Float()) / height,
		At:    p.At,
		Shift: event.Get("shiftKey").Truthy(),
		Ctrl:  event.Get("ctrlKey").Truthy() || event.Get("metaKey").Truthy(),
	}, true
}

// begin begins a stroke when the program takes it.
func (d *drawn) begin(event js.Value) {
	on, ok := nearest(event, "data-draw")
	if !ok || event.Get("button").Int() != 0 {
		return
	}
	p, ok := pointAt(event, port.Began, on)
	if !ok || !d.point(p) {
		return
	}
	d.strokes[p.Finger] = on
	_ = try(func() { document.Get("documentElement").Call("setPointerCapture", p.Finger) }) // already lifted
	if p.Source == port.Touch {
		// Told at the element itself, which may have been replaced by now.
		event.Get("target").Call("addEventListener", "touchstart", d.still, map[string]any{"passive": false, "once": true})
	}
}

// then goes on with a stroke, or ends it.
func (d *drawn) then(event js.Value, stage port.Stage) {
	finger := event.Get("pointerId").Int()
	on, drawing := d.strokes[finger]
	if !drawing {
		return
	}
	p, there := pointAt(event, stage, on)
	if !there {
		from := pointerOf(event, "")
		p = port.Point{Stage: port.Broken, Source: from.Source, On: on, Finger: finger, At: from.At}
	}
	if p.Stage != port.Moved {
		delete(d.strokes, finger)
	}
	d.point(p)
}
