//go:build !js

package sitetest

import (
	"math"
	"slices"
	"testing"
)

// Chromium rounds the time of an event to 0.1 ms in a page that is not isolated
// from other origins (HTML's clock resolution for such pages); twice that is
// allowed, for the clock's own rounding and the event's, and a hundredth more,
// since both together do come to two tenths exactly.
const eventClock = 0.21 // ms

func TestKeysKeepTheirTimes(t *testing.T) {
	tab := open(t, serve(t, "/").at(""))
	record(tab, "keydown", `e.code`)
	now := tab.clock()
	sent := []key{{"KeyF", now - 400, 30}, {"KeyJ", now - 250.5, 30}, {"KeyF", now - 100.25, 30}, {"Space", now + 75, 30}}
	tab.press(sent...)
	got := recorded(tab)
	for i, k := range sent {
		if i >= len(got) || got[i].What != k.Code || math.Abs(got[i].At-k.At) > eventClock || !got[i].Trusted {
			t.Errorf("key %d: sent %s at %.2f; got %+v", i, k.Code, k.At, got[min(i, len(got)):])
		}
	}
}

func TestFingersKeepTheirTimes(t *testing.T) {
	tab := newTab(t)
	tab.touchScreen()
	tab.goTo(serve(t, "/").at(""))
	record(tab, "pointerdown", `Math.round(e.clientX) + ""`)
	at := tab.clock() - 50
	middle := tab.middle("body")
	tab.touch(at, 40, finger{60, middle.Y}, finger{180, middle.Y})
	got := recorded(tab)
	if len(got) != 2 {
		t.Fatalf("two fingers came as %+v", got)
	}
	var places []string
	for _, e := range got {
		places = append(places, e.What)
		if math.Abs(e.At-at) > eventClock || !e.Trusted {
			t.Errorf("finger: sent at %.2f; got %+v", at, e)
		}
	}
	slices.Sort(places)
	if !slices.Equal(places, []string{"180", "60"}) {
		t.Errorf("fingers at %v, want at 60 and 180", places)
	}
}

type recordedEvent struct {
	What    string  `json:"what"`
	At      float64 `json:"at"`
	Trusted bool    `json:"trusted"`
}

// record keeps the events of a kind that reach the window, with a JavaScript
// expression of each.
func record(p *tab, kind, what string) {
	p.t.Helper()
	eval[bool](p, `(window.recordedEvents = [], addEventListener(`+quote(kind)+`, e => recordedEvents.push({what: `+what+`, at: e.timeStamp, trusted: e.isTrusted}), true), true)`)
}

func recorded(p *tab) []recordedEvent {
	p.t.Helper()
	return eval[[]recordedEvent](p, `window.recordedEvents`)
}
