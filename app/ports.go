package app

import "stampmill/app/transport"

// The ports of the program. The browser stands behind them in web/browser,
// fakes in tests. Ports translate and decide nothing; what to do is decided in
// this package and below it.
type (
	// Audio is the sound device, see [transport.Audio].
	Audio = transport.Audio
	// Clock is time as the page has it, see [transport.Clock].
	Clock = transport.Clock
)

// Ports is everything that the program needs from the outside.
type Ports struct {
	Audio   Audio
	Clock   Clock
	Inputs  Inputs
	Store   Store
	Files   Files
	Screen  Screen
	Network Network
}

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
	Finger   int     // Touch: which finger
	At       float64 // ms on the clock of events
	Strength float64 // 0..1 where the device has it, else 0
	Down     bool
	Repeat   bool // Keyboard: held down and repeating
	Modified bool // Ctrl, Alt or Meta is held: the browser's own shortcut
	Typing   bool // the press goes into a text field, or works the control that has focus
}

// Inputs are the keys and areas under the player's hands.
type Inputs interface {
	// OnPress sets the one function that is told of each press, at once and in
	// order. It returns true when the press was used, and then the browser does
	// nothing else with it.
	OnPress(func(Press) bool)
}

// Store keeps records on this device by name. A failed Put keeps the old value.
type Store interface {
	Get(name string) (value string, ok bool)
	Put(name, value string) error
	Delete(name string) error
	Names(prefix string) []string
}

// Files hands files to the player.
type Files interface {
	// Save offers content as a download of the given name.
	Save(name, mime string, content []byte)
}

// Screen is what moves outside the tree of elements, and what the look needs
// to know of the window.
type Screen interface {
	// Attr sets an attribute of the element with the given id, at once; text
	// content when name is "". Nothing happens where there is no such element.
	Attr(id, name, value string)
	// Mark appends one of the shapes of the live layer (an SVG use element of
	// symbol) to the element with the given id; Clear empties it.
	Mark(id, symbol string, x, y float64)
	Clear(id string)
	// Focus moves the keyboard to the element with the given id.
	Focus(id string)
	// Theme sets "dark", "light" or "" (as the device) on the root element.
	Theme(name string)
	// Size returns the width and height of the window in CSS pixels; OnSize sets
	// the one function told when it changes.
	Size() (width, height int)
	OnSize(func(width, height int))
	// Calm reports whether the player asked for reduced motion.
	Calm() bool
}

// Network tells whether the page is online, for information only.
type Network interface {
	Online() bool
	OnOnline(func(online bool))
}
