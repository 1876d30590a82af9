//go:build js && wasm

package browser

import (
	"strings"
	"syscall/js"

	"stampmill/app/port"
)

// files are downloads, chosen files and dropped files.
type files struct {
	drop port.Arrival
	most int
}

// revokeMillis is how long a download's address stays valid: until every
// browser has begun to read it. Our choice.
const revokeMillis = 60_000

func newFiles() *files {
	f := &files{drop: func(string, []byte, error) {}}
	for _, name := range []string{"dragenter", "dragover"} {
		onFirst(name, func(event js.Value) {
			if holdsFiles(event) {
				keep(event) // else the browser would leave the page for the file
				event.Get("dataTransfer").Set("dropEffect", "copy")
				document.Get("documentElement").Call("setAttribute", "data-dropping", "")
			}
		})
	}
	onFirst("dragleave", func(event js.Value) {
		if event.Get("relatedTarget").IsNull() { // out of the window
			undropping()
		}
	})
	onFirst("drop", func(event js.Value) {
		undropping()
		if holdsFiles(event) {
			keep(event)
			f.dropped(event.Get("dataTransfer"))
		}
	})
	return f
}

func undropping() { document.Get("documentElement").Call("removeAttribute", "data-dropping") }

// holdsFiles reports whether what is dragged are files, and not text.
func holdsFiles(event js.Value) bool {
	transfer := event.Get("dataTransfer")
	return transfer.Truthy() && transfer.Get("types").Call("includes", "Files").Bool()
}

// Save offers content as a download.
func (f *files) Save(name, mime string, content []byte) {
	out := f.Begin(name, mime)
	out.Write(content)
	out.Close()
}

// outgoing is a download that is being made: its pieces are blobs, which the
// browser need not keep in memory.
type outgoing struct {
	name, mime string
	pieces     []any
}

// Begin begins a download.
func (*files) Begin(name, mime string) port.Outgoing { return &outgoing{name: name, mime: mime} }

// Write adds a piece.
func (o *outgoing) Write(part []byte) {
	bytes := global.Get("Uint8Array").New(len(part))
	js.CopyBytesToJS(bytes, part)
	o.pieces = append(o.pieces, global.Get("Blob").New([]any{bytes}))
}

// Close offers the pieces as one file.
func (o *outgoing) Close() {
	blob := global.Get("Blob").New(o.pieces, map[string]any{"type": o.mime})
	address := global.Get("URL").Call("createObjectURL", blob)
	link := document.Call("createElement", "a")
	link.Set("href", address)
	link.Set("download", o.name)
	link.Call("click")
	later(revokeMillis, func() { global.Get("URL").Call("revokeObjectURL", address) })
}

// Open lets the player choose a file, through an input that is on no page.
func (*files) Open(accept []string, most int, f port.Arrival) {
	input := document.Call("createElement", "input")
	input.Set("type", "file")
	input.Set("accept", strings.Join(accept, ","))
	once(input, func(js.Value) {
		if chosen := input.Get("files"); chosen.Length() > 0 {
			read([]arrived{{file: chosen.Index(0)}}, most, f, func() {})
		}
	}, "change", "cancel")
	input.Call("click")
}

// OnDrop sets the one function told of dropped files.
func (f *files) OnDrop(most int, tell port.Arrival) { f.most, f.drop = most, tell }

// An arrived file is not read yet.
type arrived struct {
	file   js.Value
	folder bool
}

// dropped takes the files of a drop. What is a folder can be asked only now.
func (f *files) dropped(transfer js.Value) {
	var list []arrived
	items := transfer.Get("items")
	n := 0
	for i := range items.Length() {
		item := items.Index(i)
		if item.Get("kind").String() != "file" {
			continue
		}
		if n++; n <= port.MaxDropped {
			list = append(list, arrived{item.Call("getAsFile"), isFolder(item)})
		}
	}
	tell := f.drop
	read(list, f.most, tell, func() {
		if n > port.MaxDropped {
			tell("", nil, port.ErrMany(n))
		}
	})
}

func isFolder(item js.Value) bool {
	if item.Get("webkitGetAsEntry").Type() != js.TypeFunction {
		return false
	}
	entry := item.Call("webkitGetAsEntry")
	return entry.Truthy() && entry.Get("isDirectory").Bool()
}

// read reads files one after the other, each only when it is not too large, and
// then calls done.
func read(list []arrived, most int, tell port.Arrival, done func()) {
	if len(list) == 0 {
		done()
		return
	}
	file, rest := list[0].file, list[1:]
	name := words(file.Get("name"))
	refuse := func(err error) {
		tell(name, nil, err)
		read(rest, most, tell, done)
	}
	switch {
	case list[0].folder:
		refuse(port.ErrFolder(name))
		return
	case file.Get("size").Float() > float64(most):
		refuse(port.ErrTooLarge(name, most))
		return
	}
	settle(file.Call("arrayBuffer"), func(buffer js.Value) {
		bytes := global.Get("Uint8Array").New(buffer)
		content := make([]byte, bytes.Length())
		js.CopyBytesToGo(content, bytes)
		tell(name, content, nil)
		read(rest, most, tell, done)
	}, func() { refuse(port.ErrUnread(name)) })
}
