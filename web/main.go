//go:build js && wasm

// Command web is the program a browser runs: Stampmill compiled to WebAssembly.
// It joins the pages of package app with what the browser offers and holds no
// logic of its own; package site compiles it and puts the files round it.
package main

import (
	"runtime/debug"

	"stampmill/app"
	"stampmill/web/browser"

	goapp "github.com/maxence-charriere/go-app/v10/pkg/app"
)

// moreHeap lets the heap grow to five times what is in use before it is
// collected, which a browser does on the thread that answers keys: our choice,
// some megabytes for a fifth of the time of a key press in a large exercise.
const moreHeap = 400 // per cent

func main() {
	debug.SetGCPercent(moreHeap)
	app.Routes(app.New(browser.Ports()))
	goapp.RunWhenOnBrowser()
}
