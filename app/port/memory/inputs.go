package memory

import "stampmill/app/port"

// Inputs are hands that press what a test says.
type Inputs struct {
	press func(port.Press) bool
	point func(port.Point) bool
	text  func(port.Text)
	caret func(field string, from, to int)
	taken map[int]bool // strokes under way that were used
}

// OnPress sets the function that Press tells.
func (in *Inputs) OnPress(f func(port.Press) bool) { in.press = f }

// OnPoint sets the function that Point tells.
func (in *Inputs) OnPoint(f func(port.Point) bool) { in.point = f }

// OnText sets the function that Window.Type tells.
func (in *Inputs) OnText(f func(port.Text)) { in.text = f }

// OnCaret sets the function that Window.Move tells.
func (in *Inputs) OnCaret(f func(field string, from, to int)) { in.caret = f }

// Press presses a key, finger or button, and reports whether it was used.
func (in *Inputs) Press(p port.Press) bool { return in.press != nil && in.press(p) }

// Point puts a pointer on an element to draw on, moves it or lifts it, and
// reports whether the stroke is the program's. A stroke that was not used where
// it began is told no further.
func (in *Inputs) Point(p port.Point) bool {
	if in.point == nil || p.Stage != port.Began && !in.taken[p.Finger] {
		return false
	}
	used := in.point(p)
	switch p.Stage {
	case port.Began:
		if in.taken == nil {
			in.taken = map[int]bool{}
		}
		in.taken[p.Finger] = used
	case port.Ended, port.Broken:
		delete(in.taken, p.Finger)
	}
	return used || p.Stage != port.Began
}
