// Package port says what the program needs from the outside, one interface for
// each kind of thing: sound and time, keys and pointers, records, files, the
// screen, the address line, the clipboard, the network.
//
// The one idea: a port translates and decides nothing. The browser stands
// behind these in web/browser, and package memory in tests; package porttest
// says in one place what each port promises, and both are held to it.
//
// Units, everywhere: ms on the clock of events; CSS pixels of the window;
// UTF-16 code units from the start of a text field, as browsers count them, and
// "\n" at the end of its lines; bytes of a file. Nothing here waits: what takes time answers through
// the function it was given. Start from [Ports].
package port

import "stampmill/app/transport"

// Ports is everything that the program needs from the outside.
type Ports struct {
	Audio     transport.Audio
	Clock     transport.Clock
	Inputs    Inputs
	Store     Store
	Archive   Archive
	Files     Files
	Screen    Screen
	Address   Address
	Clipboard Clipboard
	Network   Network
}

// Network tells whether the page is online, for information only.
type Network interface {
	Online() bool
	OnOnline(func(online bool))
}
