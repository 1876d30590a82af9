package port

// Screen is what moves outside the tree of elements, and what the look needs
// to know of the window. Where it names an element by its id and there is none,
// nothing happens.
type Screen interface {
	// Attr sets an attribute of the element with the given id, at once; text
	// content when name is "".
	Attr(id, name, value string)
	// Mark appends one of the shapes of the live layer (an SVG use element of
	// symbol) to the element with the given id; Clear empties it.
	Mark(id, symbol string, x, y float64)
	Clear(id string)
	// Focus moves the keyboard to the element with the given id.
	Focus(id string)
	// SetText sets the value of an input or textarea and selects the units from up
	// to to, without moving the keyboard there. Places beyond the end mean the end;
	// a line end of "\r\n" becomes "\n". The scrolled place stays.
	SetText(id, value string, from, to int)
	// Select selects the units from up to to and leaves the value.
	Select(id string, from, to int)
	// Text returns the value of an input or textarea; Caret the selected
	// units, equal for a caret. ok is false where there is no such field.
	Text(id string) (value string, ok bool)
	Caret(id string) (from, to int, ok bool)
	// Scroll scrolls the content of the element to x, y, in CSS pixels from its
	// upper left.
	Scroll(id string, x, y float64)
	// Reveal scrolls what is round an element just so far that the element is in
	// sight. RevealLine does so inside a textarea, for a line of its value from 1.
	Reveal(id string)
	RevealLine(id string, line int)
	// Print opens the browser's way to print the page.
	Print()
	// Theme sets "dark", "light" or "" (as the device) on the root element.
	Theme(name string)
	// Size returns the width and height of the window in CSS pixels; OnSize sets
	// the one function told when it changes.
	Size() (width, height int)
	OnSize(func(width, height int))
	// Calm reports whether the player asked for reduced motion.
	Calm() bool
	// OnLeave sets the one function told when the page goes out of sight or is
	// left, perhaps for good: the last moment to store what is in hand. It may be
	// told more than once.
	OnLeave(func())
	// Hold lets the browser ask before the page is left, until Hold(false).
	Hold(on bool)
}
