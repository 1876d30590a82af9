package memory

import (
	"slices"
	"strings"
	"unicode/utf16"
)

// Screen writes down what is drawn.
type Screen struct {
	Width, Height int
	Reduced       bool             // the player asked for reduced motion
	Drawn         []string         // what moved, as words: "id name value"
	Fields        map[string]Field // inputs and textareas by id
	Focused       string           // id of the element with the keyboard
	Holding       bool             // the browser would ask before leaving
	size          func(width, height int)
	leave         func()
}

// A Field is an input or textarea.
type Field struct {
	Value    string
	From, To int // selection, in UTF-16 code units
}

func (d *Screen) draw(words ...string) { d.Drawn = append(d.Drawn, strings.Join(words, " ")) }

// Has reports whether something was drawn.
func (d *Screen) Has(words string) bool { return slices.Contains(d.Drawn, words) }

// Attr, Mark, Clear and Theme write down what they are given.
func (d *Screen) Attr(id, name, value string) { d.draw(id, name, value) }

// Mark writes down the symbol.
func (d *Screen) Mark(id, symbol string, _, _ float64) { d.draw(id, symbol) }

// Clear writes down that an element was emptied.
func (d *Screen) Clear(id string) { d.draw(id, "cleared") }

// Focus keeps which element has the keyboard.
func (d *Screen) Focus(id string) { d.Focused = id }

// SetText sets a field.
func (d *Screen) SetText(id, value string, from, to int) {
	if _, ok := d.Fields[id]; ok {
		d.Fields[id] = Field{Value: strings.ReplaceAll(value, "\r\n", "\n")}
		d.Select(id, from, to)
	}
}

// Select sets the selection of a field.
func (d *Screen) Select(id string, from, to int) {
	f, ok := d.Fields[id]
	if !ok {
		return
	}
	n := len(utf16.Encode([]rune(f.Value)))
	f.To = min(max(to, 0), n)
	f.From = min(max(from, 0), f.To)
	d.Fields[id] = f
}

// Text returns the value of a field.
func (d *Screen) Text(id string) (value string, ok bool) {
	f, ok := d.Fields[id]
	return f.Value, ok
}

// Caret returns the selection of a field.
func (d *Screen) Caret(id string) (from, to int, ok bool) {
	f, ok := d.Fields[id]
	return f.From, f.To, ok
}

// Scroll, Reveal and RevealLine scroll nothing here.
func (d *Screen) Scroll(string, float64, float64) {}

// Reveal writes down what was to be in sight.
func (d *Screen) Reveal(id string) { d.draw(id, "revealed") }

// RevealLine scrolls nothing here.
func (d *Screen) RevealLine(string, int) {}

// Print writes down that the page was to be printed.
func (d *Screen) Print() { d.draw("page", "printed") }

// Theme writes down the look.
func (d *Screen) Theme(name string) { d.draw("theme", name) }

// Size returns the size of the window.
func (d *Screen) Size() (width, height int) { return d.Width, d.Height }

// OnSize sets the function that Resize tells.
func (d *Screen) OnSize(f func(width, height int)) { d.size = f }

// Resize changes the size of the window.
func (d *Screen) Resize(width, height int) {
	d.Width, d.Height = width, height
	if d.size != nil {
		d.size(width, height)
	}
}

// Calm reports Reduced.
func (d *Screen) Calm() bool { return d.Reduced }

// OnLeave sets the function that Leave tells.
func (d *Screen) OnLeave(f func()) { d.leave = f }

// Leave is the player leaving the page.
func (d *Screen) Leave() {
	if d.leave != nil {
		d.leave()
	}
}

// Hold keeps whether the browser asks before leaving.
func (d *Screen) Hold(on bool) { d.Holding = on }
