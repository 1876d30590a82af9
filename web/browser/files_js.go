//go:build js && wasm

package browser

import "syscall/js"

// files hands files to the player as downloads.
type files struct{}

// revokeMillis is how long a download's address stays valid: until every
// browser has begun to read it. Our choice.
const revokeMillis = 60_000

// Save offers content as a download.
func (files) Save(name, mime string, content []byte) {
	bytes := global.Get("Uint8Array").New(len(content))
	js.CopyBytesToJS(bytes, content)
	blob := global.Get("Blob").New([]any{bytes}, map[string]any{"type": mime})
	address := global.Get("URL").Call("createObjectURL", blob)
	link := document.Call("createElement", "a")
	link.Set("href", address)
	link.Set("download", name)
	link.Call("click")
	var revoke js.Func
	revoke = js.FuncOf(func(js.Value, []js.Value) any {
		global.Get("URL").Call("revokeObjectURL", address)
		revoke.Release()
		return nil
	})
	global.Call("setTimeout", revoke, revokeMillis)
}
