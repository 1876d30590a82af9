package app

import "github.com/maxence-charriere/go-app/v10/pkg/app"

// A part is a piece of a page that stays as it is while its key does. The same
// part is handed to go-app then, which leaves it alone.
type part struct {
	key  any // comparable; first, so that two parts are told apart by it at once
	draw func() app.UI
}

// kept returns the old part where its key is the same, else a new one.
func kept(old *part, key any, draw func() app.UI) *part {
	if old != nil && old.key == key {
		return old
	}
	return &part{key, draw}
}

// steady puts a part on the page as a component of its own.
type steady struct {
	app.Compo
	Part *part
}

// Render draws the part.
func (s *steady) Render() app.UI { return s.Part.draw() }
