package port

// Address is the address line of the browser.
type Address interface {
	// Fragment returns what stands after the # of the page's address, as it
	// stands there; "" for nothing.
	Fragment() string
	// OnFragment sets the one function told when the player or a link changed the
	// fragment of the page that is shown. SetFragment is not told.
	OnFragment(func(fragment string))
	// SetFragment changes the fragment, or removes it when it is "", in place of
	// the address that stands there: going back leads past it.
	SetFragment(fragment string)
	// Link returns the whole address, to be sent to somebody, of a page of this
	// host with a fragment. The path begins with "/" and holds the folder of the
	// site.
	Link(path, fragment string) string
}

// Clipboard takes text to be pasted elsewhere.
type Clipboard interface {
	// Copy puts text there and answers by done: false when the browser does not
	// allow it. Call it while handling a press.
	Copy(text string, done func(ok bool))
}
