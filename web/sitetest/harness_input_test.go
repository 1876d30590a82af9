//go:build !js

package sitetest

import (
	"strings"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// A key is one press of a key on the keyboard.
type key struct {
	Code string  // the place on the keyboard, as KeyboardEvent.code: "KeyF", "Space", "Escape"
	At   float64 // ms of the page's performance clock; 0 means now
	Held float64 // ms until it is let go
}

// A finger is one touch of the screen.
type finger struct {
	X, Y float64 // CSS pixels from the window's upper left corner
}

// clock reads the page's performance clock, in ms.
func (p *tab) clock() float64 {
	p.t.Helper()
	return eval[float64](p, `performance.now()`)
}

// press sends key presses whose events carry the given times, however long the
// sending takes: times may lie in the past or the future, and a whole take can be
// sent at once. TestKeysKeepTheirTimes states how exactly.
func (p *tab) press(keys ...key) {
	p.t.Helper()
	origin := eval[float64](p, `performance.timeOrigin`)
	for _, k := range keys {
		down := keyEvent(k.Code)
		up := keyEvent(k.Code)
		down.Type = input.DispatchKeyEventTypeKeyDown
		if down.Text == "" {
			down.Type = input.DispatchKeyEventTypeRawKeyDown
		}
		up.Type, up.Text, up.UnmodifiedText = input.DispatchKeyEventTypeKeyUp, "", ""
		if k.At != 0 {
			down.Timestamp = input.TimeSinceEpoch((origin + k.At) / 1000)
			up.Timestamp = input.TimeSinceEpoch((origin + k.At + k.Held) / 1000)
		}
		for _, event := range []input.DispatchKeyEventParams{down, up} {
			if _, err := chromedp.Call(p.ctx, input.DispatchKeyEvent, event); err != nil {
				p.t.Fatalf("key %s: %v", k.Code, err)
			}
		}
	}
}

// named keys as KeyboardEvent has them: key, text it types, and key code.
var namedKeys = map[string]struct {
	key, text string
	code      int64
}{
	"Space": {" ", " ", 32}, "Enter": {"Enter", "\r", 13}, "Escape": {"Escape", "", 27}, "Tab": {"Tab", "", 9},
	"Backspace": {"Backspace", "", 8}, "Delete": {"Delete", "", 46}, "Period": {".", ".", 190}, "Minus": {"-", "-", 189},
	"ArrowLeft": {"ArrowLeft", "", 37}, "ArrowUp": {"ArrowUp", "", 38}, "ArrowRight": {"ArrowRight", "", 39}, "ArrowDown": {"ArrowDown", "", 40},
}

// keyEvent describes a key by its place: letters, digits and the named keys.
func keyEvent(code string) input.DispatchKeyEventParams {
	if named, ok := namedKeys[code]; ok {
		return input.DispatchKeyEventParams{Code: code, Key: named.key, Text: named.text, UnmodifiedText: named.text, WindowsVirtualKeyCode: named.code}
	}
	sign := strings.TrimPrefix(strings.TrimPrefix(code, "Key"), "Digit")
	text := strings.ToLower(sign)
	return input.DispatchKeyEventParams{Code: code, Key: text, Text: text, UnmodifiedText: text, WindowsVirtualKeyCode: int64(sign[0])}
}

// touchScreen makes the tab's device one with a touch screen.
func (p *tab) touchScreen() {
	p.t.Helper()
	_, err := chromedp.Call(p.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 5})
	if err != nil {
		p.t.Fatal(err)
	}
}

// touch puts all fingers down together at a time of the page's clock (0: now)
// and lifts them held ms later.
func (p *tab) touch(at, held float64, fingers ...finger) {
	p.t.Helper()
	down := input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchStart}
	for i, f := range fingers {
		id := float64(i)
		down.TouchPoints = append(down.TouchPoints, &input.TouchPoint{X: f.X, Y: f.Y, ID: &id})
	}
	up := input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}}
	if at != 0 {
		origin := eval[float64](p, `performance.timeOrigin`)
		down.Timestamp = input.TimeSinceEpoch((origin + at) / 1000)
		up.Timestamp = input.TimeSinceEpoch((origin + at + held) / 1000)
	}
	for _, event := range []input.DispatchTouchEventParams{down, up} {
		if _, err := chromedp.Call(p.ctx, input.DispatchTouchEvent, event); err != nil {
			p.t.Fatalf("touch: %v", err)
		}
	}
}

// middle gives the middle of the element that a CSS selector finds.
func (p *tab) middle(selector string) finger {
	p.t.Helper()
	box := eval[[]float64](p, `(() => { const b = document.querySelector(`+quote(selector)+`).getBoundingClientRect(); return [b.x + b.width/2, b.y + b.height/2]; })()`)
	return finger{box[0], box[1]}
}
