package port

// A Source is what kind of thing was pressed.
type Source uint8

// The sources of presses.
const (
	Keyboard Source = iota
	Touch           // one finger of several
	Pointer         // mouse or pen
)

// A Press is one key, finger or button going down or up, with the event's own
// time.
type Press struct {
	Source   Source
	Code     string  // Keyboard: the key's place as KeyboardEvent.code names it ("KeyA", "Space"); else ""
	Label    string  // Keyboard: what stands on the key here, as KeyboardEvent.key
	Area     string  // Touch, Pointer: the data-area of the element hit, or ""
	On       string  // Keyboard: data-keys of the element with focus, or of the nearest round it; or ""
	Finger   int     // Touch: which finger
	At       float64 // ms on the clock of events
	Strength float64 // 0..1 where the device has it, else 0
	Down     bool
	Repeat   bool // Keyboard: held down and repeating
	Modified bool // Ctrl, Alt or Meta is held: the browser's own shortcut
	Typing   bool // the press goes into a text field, or works the control that has focus
	Shift    bool // these four: the key of that name is held
	Ctrl     bool
	Alt      bool
	Meta     bool
}

// A Stage is where a stroke of a pointer is.
type Stage uint8

// The stages of a stroke: it begins, moves any number of times, and ends, or is
// broken off by the system, as when a second finger zooms.
const (
	Began Stage = iota
	Moved
	Ended
	Broken
)

// A Point is a mouse, pen or finger on an element to draw on: one with the
// attribute data-draw. From Began to Ended all points of a stroke belong to the
// element where it began, also outside of it.
type Point struct {
	Stage  Stage
	Source Source // Touch or Pointer
	On     string // data-draw of the element
	Finger int    // which finger or pointer
	// X and Y are shares of the width and height of the element's box, from its
	// upper left: 0 to 1 inside, less or more outside.
	X, Y  float64
	At    float64 // ms on the clock of events
	Shift bool    // Shift is held
	Ctrl  bool    // Ctrl or Meta is held
}

// A Text is a text field after the player changed what stands in it: typed,
// pasted, dropped, dictated, or undone by the browser.
type Text struct {
	Field    string // id of the input or textarea, which has the attribute data-text
	Value    string
	From, To int // the selection in UTF-16 code units; equal for a caret
}

// Inputs are the keys, pointers and fields under the player's hands.
type Inputs interface {
	// OnPress sets the one function that is told of each press, at once and in
	// order. It returns true when the press was used, and then the browser does
	// nothing else with it.
	OnPress(func(Press) bool)
	// OnPoint sets the one function told of each point on an element to draw on.
	// What it returns for Began decides: false leaves the whole stroke to the
	// browser, which may scroll; true takes it, and then the page does not scroll
	// under it, nothing is selected, and the keyboard stays where it was: move it
	// with [Screen.Focus].
	OnPoint(func(Point) bool)
	// OnText sets the one function told of each change that the player makes in a
	// field with data-text. The program's own [Screen.SetText] is not told.
	OnText(func(Text))
	// OnCaret sets the one function told when the selection moved in such a field
	// and its text did not change.
	OnCaret(func(field string, from, to int))
}
