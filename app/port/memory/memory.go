// Package memory stands in for the browser in tests: every port but sound and
// time, which are in transport/fake, kept in plain fields.
//
// The one idea: a [Window] is what a player has before them. Its methods that
// no port has are what the player or the system does (Press, Type, Drop,
// Visit, Leave); its fields are what came of it (Kept, Saved, Drawn, Copied).
// Units are those of package port. Call [New], then [Window.Ports].
package memory

import (
	"stampmill/app/port"
	"stampmill/app/transport"
)

// A Window is one window of a browser.
type Window struct {
	Inputs
	Store
	Files
	Screen
	Address
	Clipboard
	Network
	Archive *Archive
}

// New returns a window of 1280 by 800 on a page without a fragment, whose store
// is the map, which other windows may share.
func New(kept map[string]string) *Window {
	return &Window{
		Store:     Store{Kept: kept},
		Files:     Files{Saved: map[string]string{}},
		Screen:    Screen{Width: 1280, Height: 800, Fields: map[string]Field{}},
		Address:   Address{Host: "https://stampmill.example"},
		Clipboard: Clipboard{Allowed: true},
		Archive:   NewArchive(),
	}
}

// Ports returns the ports of the window, with those of sound and time.
func (w *Window) Ports(a transport.Audio, c transport.Clock) port.Ports {
	return port.Ports{
		Audio: a, Clock: c, Inputs: &w.Inputs, Store: &w.Store, Archive: w.Archive, Files: &w.Files, Screen: &w.Screen,
		Address: &w.Address, Clipboard: &w.Clipboard, Network: &w.Network,
	}
}

// Type is what the player does to a field: it then holds value, with a
// selection.
func (w *Window) Type(field, value string, from, to int) {
	w.Fields[field] = Field{value, from, to}
	if w.text != nil {
		w.text(port.Text{Field: field, Value: value, From: from, To: to})
	}
}

// Move is the player moving the caret of a field.
func (w *Window) Move(field string, from, to int) {
	w.Screen.Select(field, from, to)
	if w.caret != nil {
		w.caret(field, from, to)
	}
}
