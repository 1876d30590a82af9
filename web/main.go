//go:build js && wasm

// Command web is the program a browser runs: Stampmill compiled to WebAssembly.
// It joins the pages of package app with what the browser offers and holds no
// logic of its own; package site compiles it and puts the files round it.
package main

import (
	"stampmill/app"
	"stampmill/web/browser"

	goapp "github.com/maxence-charriere/go-app/v10/pkg/app"
)

func main() {
	app.Routes(app.New(browser.Ports()))
	goapp.RunWhenOnBrowser()
}
