package app

import "github.com/maxence-charriere/go-app/v10/pkg/app"

// listenPage is the page on which the ear is trained.
func listenPage(s State, pic Picture) []app.UI {
	return []app.UI{
		top(s),
		app.Elem("main").Class("listen-room").Body(
			app.Elem("h1").ID("title").TabIndex(-1).Text("Listen"),
			frontNotice(s),
			keyed(button("listen-start", "").ID("listen-start").Class("big", "primary"), "Start listening", "Space", s),
			app.Elem("p").Class("quiet").Text(lesser(s)),
		),
		announcer(s),
	}
}

// listenHead is where the playhead of a sound stands: the element to move and
// its transform; "" for none. Quarters count from the first bar of the sound.
func listenHead(s State, pic Picture, quarters float64) (id, transform string) { return "", "" }
