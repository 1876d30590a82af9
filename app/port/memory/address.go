package memory

import "slices"

// Address is an address line with its history.
type Address struct {
	Host    string   // scheme and host, without a slash at the end
	Been    []string // fragments that going back leads to, the oldest first
	now     string
	arrived func(fragment string)
}

// Fragment returns the present fragment.
func (a *Address) Fragment() string { return a.now }

// OnFragment sets the function that Visit tells.
func (a *Address) OnFragment(f func(fragment string)) { a.arrived = f }

// SetFragment changes the fragment in place.
func (a *Address) SetFragment(fragment string) { a.now = fragment }

// Link returns a whole address.
func (a *Address) Link(path, fragment string) string {
	if fragment != "" {
		fragment = "#" + fragment
	}
	return a.Host + path + fragment
}

// Visit is the player following a link to another fragment of the page.
func (a *Address) Visit(fragment string) {
	if fragment == a.now {
		return
	}
	a.Been = append(slices.Clip(a.Been), a.now)
	a.now = fragment
	if a.arrived != nil {
		a.arrived(fragment)
	}
}

// Clipboard is what can be pasted elsewhere.
type Clipboard struct {
	Allowed bool
	Copied  string
}

// Copy keeps text where it is allowed.
func (c *Clipboard) Copy(text string, done func(ok bool)) {
	if c.Allowed {
		c.Copied = text
	}
	done(c.Allowed)
}

// Network is online unless a test says otherwise.
type Network struct {
	Off    bool
	online func(bool)
}

// Online reports whether the page is online.
func (n *Network) Online() bool { return !n.Off }

// OnOnline sets the function that Wire tells.
func (n *Network) OnOnline(f func(online bool)) { n.online = f }

// Wire takes the page on or off line.
func (n *Network) Wire(online bool) {
	n.Off = !online
	if n.online != nil {
		n.online(online)
	}
}
