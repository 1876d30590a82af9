//go:build js && wasm

// Command empty is the smallest program of its kind, one line of text, as the
// measure for the size of Stampmill's.
package main

import "github.com/maxence-charriere/go-app/v10/pkg/app"

type page struct{ app.Compo }

func (p *page) Render() app.UI { return app.P().Text("Empty.") }

func main() {
	app.Route("/", func() app.Composer { return &page{} })
	app.RunWhenOnBrowser()
}
