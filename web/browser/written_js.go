//go:build js && wasm

package browser

import (
	"syscall/js"

	"stampmill/app/port"
)

// written are the text fields with data-text.
type written struct {
	text  func(port.Text)
	caret func(field string, from, to int)
	last  map[string]selection // as the program knows it
}

// A selection is a stretch of the value of a field, and the length of that
// value.
type selection struct{ from, to, length int }

func newWritten() *written {
	w := &written{
		text:  func(port.Text) {},
		caret: func(string, int, int) {},
		last:  map[string]selection{},
	}
	on(document, "input", func(event js.Value) { w.changed(event.Get("target")) })
	on(document, "selectionchange", func(js.Value) { w.moved(document.Get("activeElement")) })
	return w
}

// OnText sets the one function told of what the player writes.
func (w *written) OnText(f func(port.Text)) { w.text = f }

// OnCaret sets the one function told when the caret moves.
func (w *written) OnCaret(f func(field string, from, to int)) { w.caret = f }

// isWritten reports whether an element is a field with data-text.
func isWritten(e js.Value) bool {
	return e.Truthy() && e.Get("selectionStart").Type() == js.TypeNumber && e.Call("hasAttribute", "data-text").Bool()
}

func (w *written) changed(e js.Value) {
	if !isWritten(e) {
		return
	}
	id, value, s := words(e.Get("id")), words(e.Get("value")), selectionOf(e)
	w.last[id] = s
	w.text(port.Text{Field: id, Value: value, From: s.from, To: s.to})
}

// moved tells of a selection that is new. Browsers also tell of one after a
// change of the text, sometimes before they tell of the change.
func (w *written) moved(e js.Value) {
	if !isWritten(e) {
		return
	}
	id, s := words(e.Get("id")), selectionOf(e)
	last, known := w.last[id]
	if s == last || known && s.length != last.length {
		return
	}
	w.last[id] = s
	w.caret(id, s.from, s.to)
}

func selectionOf(e js.Value) selection {
	return selection{e.Get("selectionStart").Int(), e.Get("selectionEnd").Int(), valueOf(e).Length()}
}

// valueOf returns what stands in a field as a String object: Go cannot ask a
// plain string for its length.
func valueOf(e js.Value) js.Value { return global.Call("Object", e.Get("value")) }

// field returns an input or textarea that holds text.
func field(id string) (js.Value, bool) {
	e, ok := byID(id)
	return e, ok && e.Get("selectionStart").Type() == js.TypeNumber
}

// SetText sets the value of a field and selects a part of it.
func (s *screen) SetText(id, value string, from, to int) {
	e, ok := field(id)
	if !ok {
		return
	}
	top, left := e.Get("scrollTop"), e.Get("scrollLeft")
	e.Set("value", value)
	s.Select(id, from, to)
	e.Set("scrollTop", top)
	e.Set("scrollLeft", left)
}

// Select selects a part of a field.
func (s *screen) Select(id string, from, to int) {
	e, ok := field(id)
	if !ok {
		return
	}
	e.Call("setSelectionRange", max(from, 0), max(to, 0))
	s.written.last[id] = selectionOf(e)
}

// Text returns the value of a field.
func (*screen) Text(id string) (value string, ok bool) {
	e, ok := field(id)
	if !ok {
		return "", false
	}
	return words(e.Get("value")), true
}

// Caret returns the selection of a field.
func (*screen) Caret(id string) (from, to int, ok bool) {
	e, ok := field(id)
	if !ok {
		return 0, 0, false
	}
	s := selectionOf(e)
	return s.from, s.to, true
}

// RevealLine scrolls a textarea so that a line is in sight.
func (*screen) RevealLine(id string, line int) {
	e, ok := field(id)
	if !ok {
		return
	}
	lines := valueOf(e).Call("split", "\n").Length()
	height := e.Get("scrollHeight").Float() / float64(lines)
	above := float64(line-1) * height
	top, seen := e.Get("scrollTop").Float(), e.Get("clientHeight").Float()
	switch {
	case above < top:
		e.Set("scrollTop", above)
	case above+height > top+seen:
		e.Set("scrollTop", above+height-seen)
	}
}
