//go:build js && wasm

package browser

import (
	"fmt"
	"strings"
	"syscall/js"

	"stampmill/app/port"
)

// The database of the archive: one object store of byte arrays under their
// names. A higher version needs a step in upgrade.
const (
	databaseName    = "stampmill"
	databaseVersion = 1
	storeName       = "records"
)

// archive keeps records in IndexedDB. What a transaction did is told only when
// it is complete, and results are read only then, so no request has a function
// of its own.
type archive struct {
	db      js.Value // open, or undefined
	waiting []func(db js.Value, err error)
	change  func(names []string)
	channel js.Value // to the other windows, or undefined

	under map[int]func() // transactions under way, by their turn: what to do when they are lost
	turn  int
}

// Archive returns the records as one window sees them; [Ports] holds one
// already.
func Archive() port.Archive {
	a := &archive{change: func([]string) {}}
	_ = try(func() { a.channel = global.Get("BroadcastChannel").New(databaseName) })
	if a.channel.Truthy() {
		on(a.channel, "message", func(event js.Value) { a.change(listed(event.Get("data"))) })
	}
	return a
}

// OnChange sets the one function told of what other windows do.
func (a *archive) OnChange(f func(names []string)) { a.change = f }

// tell tells the other windows; nil is all.
func (a *archive) tell(names []string) {
	if !a.channel.Truthy() || names != nil && len(names) == 0 {
		return
	}
	var message any
	if names != nil {
		message = strings.Join(names, "\n")
	}
	a.channel.Call("postMessage", message)
}

// listed reads names from one string, which crosses the border faster than
// many; nil for no string.
func listed(joined js.Value) []string {
	if joined.Type() != js.TypeString {
		return nil
	}
	if s := joined.String(); s != "" {
		return strings.Split(s, "\n")
	}
	return []string{}
}

// open gives the database, opening it where it is not.
func (a *archive) open(f func(db js.Value, err error)) {
	if a.db.Truthy() {
		f(a.db, nil)
		return
	}
	if a.waiting = append(a.waiting, f); len(a.waiting) == 1 {
		a.ask(true)
	}
}

// ask opens the database; where the browser is just clearing it away, once
// more after a moment.
func (a *archive) ask(again bool) {
	var request js.Value
	if err := try(func() {
		factory := global.Get("Reflect").Call("get", global, "indexedDB") // may throw, as localStorage does
		request = factory.Call("open", databaseName, databaseVersion)
	}); err != nil {
		a.opened(js.Undefined(), port.ErrDenied)
		return
	}
	var deaf func()
	deaf = hear(request, map[string]func(){
		"upgradeneeded": func() { request.Get("result").Call("createObjectStore", storeName) },
		"blocked":       func() { a.opened(js.Undefined(), port.ErrBlocked) }, // success may still come
		"success":       func() { deaf(); a.opened(request.Get("result"), nil) },
		"error": func() {
			deaf()
			err := reason(request, port.ErrClosed)
			if again && err != port.ErrNewer && err != port.ErrDenied {
				later(clearingMS, func() { a.ask(false) })
				return
			}
			a.opened(js.Undefined(), err)
		},
	})
}

// clearingMS is how long a browser may need to clear a database away; our
// choice.
const clearingMS = 300

// later calls f in ms milliseconds.
func later(ms int, f func()) {
	var call js.Func
	call = js.FuncOf(func(js.Value, []js.Value) any {
		call.Release()
		f()
		return nil
	})
	global.Call("setTimeout", call, ms)
}

// opened answers all who wait for the database.
func (a *archive) opened(db js.Value, err error) {
	if a.db = db; db.Truthy() {
		on(db, "versionchange", func(js.Value) { db.Call("close"); a.closed(db) }) // else a newer version would wait for us
		on(db, "close", func(js.Value) { a.closed(db); a.lost() })
	}
	waiting := a.waiting
	a.waiting = nil
	for _, f := range waiting {
		f(db, err)
	}
}

// closed forgets a database, so that the next call opens it anew.
func (a *archive) closed(db js.Value) {
	if a.db.Equal(db) {
		a.db = js.Undefined()
	}
}

// lost tells the transactions that were under way when the browser closed the
// database by itself: some never hear more of it.
func (a *archive) lost() {
	under := a.under
	a.under = nil
	for _, lose := range under {
		lose()
	}
}

// in runs a transaction: ask makes its requests, done is told when it is
// complete or undone.
func (a *archive) in(mode string, ask func(store js.Value), done func(error)) {
	a.try(mode, ask, done, func(error) { a.try(mode, ask, done, done) })
}

// try is in; unopened is told where there is a database that takes no
// transaction, or ends none, because it was closed behind us.
func (a *archive) try(mode string, ask func(store js.Value), done, unopened func(error)) {
	a.open(func(db js.Value, err error) {
		if err != nil {
			done(err)
			return
		}
		var tx js.Value
		strict := map[string]any{"durability": "strict"} // complete means on the disk
		if try(func() { tx = db.Call("transaction", storeName, mode, strict) }) != nil {
			a.closed(db)
			unopened(port.ErrClosed)
			return
		}
		fault := port.ErrClosed
		var deaf func()
		key := a.turn
		a.turn++
		end := func() { delete(a.under, key); deaf() }
		deaf = hear(tx, map[string]func(){
			"complete": func() { end(); done(nil) },
			"abort":    func() { end(); done(reason(tx, fault)) },
		})
		if a.under == nil {
			a.under = map[int]func(){}
		}
		a.under[key] = func() { deaf(); unopened(port.ErrClosed) }
		if err := try(func() { ask(tx.Call("objectStore", storeName)) }); err != nil {
			fault = err
			_ = try(func() { tx.Call("abort") })
		}
	})
}

// reason is the error of a request or transaction, in our words where the
// program tells them apart.
func reason(of js.Value, without error) error {
	e := of.Get("error")
	if !e.Truthy() {
		return without
	}
	switch name := words(e.Get("name")); name {
	case "QuotaExceededError":
		return port.ErrNoRoom
	case "VersionError":
		return port.ErrNewer
	case "SecurityError":
		return port.ErrDenied
	case "AbortError", "InvalidStateError":
		return without
	default:
		return fmt.Errorf("the browser could not use its records (%s: %s); try again", name, words(e.Get("message")))
	}
}

// hear calls functions for the events of an object until deaf is called.
func hear(target js.Value, events map[string]func()) (deaf func()) {
	var all []js.Func
	for name, f := range events {
		call := js.FuncOf(func(js.Value, []js.Value) any { f(); return nil })
		all = append(all, call)
		target.Set("on"+name, call)
	}
	return func() {
		for name := range events {
			target.Set("on"+name, js.Null())
		}
		for _, f := range all {
			f.Release()
		}
	}
}

// Put writes records.
func (a *archive) Put(records []port.Record, done func(error)) {
	names := make([]string, len(records))
	values := make([]any, len(records))
	for i, r := range records { // the caller may change them before the database is open
		bytes := global.Get("Uint8Array").New(len(r.Value))
		js.CopyBytesToJS(bytes, r.Value)
		names[i], values[i] = r.Name, bytes
	}
	a.in("readwrite", func(store js.Value) {
		for i, name := range names {
			store.Call("put", values[i], name)
		}
	}, func(err error) {
		if err == nil {
			a.tell(names)
		}
		done(err)
	})
}

// Get gives records.
func (a *archive) Get(names []string, f func([]port.Record, error)) {
	names = append([]string{}, names...)
	var asked []js.Value
	a.in("readonly", func(store js.Value) {
		asked = asked[:0]
		for _, name := range names {
			asked = append(asked, store.Call("get", name))
		}
	}, func(err error) {
		var records []port.Record
		for i := 0; err == nil && i < len(asked); i++ {
			if value := asked[i].Get("result"); value.Truthy() {
				records = append(records, port.Record{Name: names[i], Value: bytesIn(value)})
			}
		}
		f(records, err)
	})
}

// Range gives records in order of names.
func (a *archive) Range(prefix, after string, most int, f func([]port.Record, error)) {
	var keys, values js.Value
	a.in("readonly", func(store js.Value) {
		span := spanOf(prefix, after)
		keys = store.Call("getAllKeys", span, most)
		values = store.Call("getAll", span, most)
	}, func(err error) {
		if err != nil {
			f(nil, err)
			return
		}
		names, found := listed(joined(keys)), values.Get("result")
		records := make([]port.Record, len(names))
		for i, name := range names {
			records[i] = port.Record{Name: name, Value: bytesIn(found.Index(i))}
		}
		f(records, nil)
	})
}

// Names gives names in order.
func (a *archive) Names(prefix string, f func([]string, error)) {
	var keys js.Value
	a.in("readonly", func(store js.Value) { keys = store.Call("getAllKeys", spanOf(prefix, "")) }, func(err error) {
		if err != nil {
			f(nil, err)
			return
		}
		f(listed(joined(keys)), nil)
	})
}

// joined are the names of a result in one string.
func joined(keys js.Value) js.Value { return keys.Get("result").Call("join", "\n") }

// spanOf is the span of names with a prefix after a name. Names are ASCII, so
// U+FFFF comes after them all.
func spanOf(prefix, after string) js.Value {
	low, open := prefix, false
	if after >= prefix {
		low, open = after, after != ""
	}
	if high := prefix + "\uffff"; low < high {
		return global.Get("IDBKeyRange").Call("bound", low, high, open, false)
	}
	return global.Get("IDBKeyRange").Call("only", "") // nothing: every name has letters
}

func bytesIn(array js.Value) []byte {
	b := make([]byte, array.Get("length").Int())
	js.CopyBytesToGo(b, array)
	return b
}

// Delete removes records.
func (a *archive) Delete(names []string, done func(error)) {
	names = append([]string{}, names...)
	a.in("readwrite", func(store js.Value) {
		for _, name := range names {
			store.Call("delete", name)
		}
	}, func(err error) {
		if err == nil {
			a.tell(names)
		}
		done(err)
	})
}

// Clear removes every record.
func (a *archive) Clear(done func(error)) {
	a.in("readwrite", func(store js.Value) { store.Call("clear") }, func(err error) {
		if err == nil {
			a.tell(nil)
		}
		done(err)
	})
}

// Persist asks the browser to keep the records for good.
func (a *archive) Persist(f func(granted bool)) {
	var promise js.Value
	if err := try(func() { promise = global.Get("navigator").Get("storage").Call("persist") }); err != nil {
		f(false)
		return
	}
	settle(promise, func(granted js.Value) { f(granted.Truthy()) }, func() { f(false) })
}
