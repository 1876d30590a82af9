//go:build js && wasm

package browser

import "syscall/js"

// network tells whether the page is online, as far as the browser knows.
type network struct{ online func(bool) }

func newNetwork() *network {
	n := &network{func(bool) {}}
	on(global, "online", func(js.Value) { n.online(true) })
	on(global, "offline", func(js.Value) { n.online(false) })
	return n
}

// Online reports whether the browser believes to be online.
func (*network) Online() bool { return global.Get("navigator").Get("onLine").Truthy() }

// OnOnline sets the one function told when that changes.
func (n *network) OnOnline(f func(online bool)) { n.online = f }
