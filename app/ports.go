package app

import (
	"stampmill/app/port"
	"stampmill/app/transport"
)

// The ports of the program are those of package port, by the names that this
// package uses. The browser stands behind them in web/browser, package
// port/memory in tests. Ports translate and decide nothing; what to do is
// decided in this package and below it.
type (
	Ports = port.Ports

	Audio     = transport.Audio
	Clock     = transport.Clock
	Inputs    = port.Inputs
	Store     = port.Store
	Files     = port.Files
	Screen    = port.Screen
	Address   = port.Address
	Clipboard = port.Clipboard
	Network   = port.Network

	Press  = port.Press
	Source = port.Source
	Point  = port.Point
	Text   = port.Text
)

// The sources of presses.
const (
	Keyboard = port.Keyboard
	Touch    = port.Touch
	Pointer  = port.Pointer
)
