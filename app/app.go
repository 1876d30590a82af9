// Package app is what the player sees and does: its pages are functions of one
// state, and everything they need from the browser comes through interfaces.
// Call Routes first; Pages lists what Routes serves.
package app

import (
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"
)

// A Page is one address of the site with the words a browser shows for it.
type Page struct {
	Path        string // from the site's root, starts and ends in "/"
	Title       string // the browser's tab and history
	Description string // one sentence for search results and link previews
}

// Pages lists every page of the site, the front page first.
func Pages() []Page {
	return []Page{
		{"/", "Stampmill", "A practice room for heavy, syncopated music: hear a passage, tap it, and read to the millisecond what happened."},
		{"/practise/", "Practise · Stampmill", "Play a climb step by step and see where each hit fell."},
		{"/setup/", "Setup · Stampmill", "Keys, delay and level."},
	}
}

// Routes registers the component of every page with go-app.
func Routes() {
	for _, p := range Pages() {
		app.Route(p.Path, func() app.Composer { return &page{path: p.Path} })
	}
}

// href gives a page's address under the folder the site is served from, which
// go-app does not add by itself in the browser.
func href(path string) string {
	return strings.TrimSuffix(app.Getenv("GOAPP_ROOT_PREFIX"), "/") + path
}

type page struct {
	app.Compo
	path string
}

func (p *page) Render() app.UI {
	return app.Main().ID("page").Body(
		app.H1().Text("Stampmill"),
		app.Nav().Aria("label", "Pages").Body(
			app.Range(Pages()).Slice(func(i int) app.UI {
				q := Pages()[i]
				return app.P().Body(app.A().Href(href(q.Path)).Text(q.Title))
			}),
		),
	)
}
