package app

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v10/pkg/app"
)

// front is the first visit: one sentence, the picture of step 1, one button to
// hear it, one to tap along, and the caution for the ears.
func front(s State, pic Picture) []app.UI {
	step := s.Step + 1
	hear, along := button("hear", "").ID("hear").Class("big", "primary"), button("along", "").ID("go").Class("big")
	playing := s.Phase != Idle && s.Aim == ForHearing
	label := fmt.Sprintf("Hear step %d", step)
	if playing {
		label = "Stop"
	}
	return []app.UI{
		top(s),
		app.Elem("main").Class("first").Body(
			app.Elem("h1").ID("title").TabIndex(-1).Text("Lock kick and muted guitar into heavy, broken-up rhythms, one small step at a time, and see to the millisecond where you lean."),
			app.Elem("div").Class("strip").Body(&drawing{SVG: pic.SVG}),
			app.Elem("div").Class("actions").Body(
				keyed(hear, label, "H", s),
				keyed(along, "Tap along", "Space", s),
				app.Elem("p").Class("hint").Text(frontHint(s)),
			),
			making(s),
			frontNotice(s),
			app.Elem("p").Class("caution").Body(
				app.Elem("strong").Text(soundDown),
				app.Text(" Low drums and guitar can harm hearing before they seem loud, above all in headphones. What you play stays on this device."),
			),
			app.Elem("p").Class("quiet").Text(lesser(s)),
		),
		announcer(s),
	}
}

// soundDown stands wherever the first sound may be started.
const soundDown = "Turn your sound down before you press."

func frontHint(s State) string {
	bars := countWord(len(s.written().Bars), "bar")
	return capital(bars) + ", slow. Any letter key or a touch counts as a hit."
}

func frontNotice(s State) app.UI {
	if s.Notice.Fact == "" {
		return app.Text("")
	}
	return notice(s.Notice)
}

// making says how far the sounds are, with a plain bar.
func making(s State) app.UI {
	if s.Phase != Starting || s.Making.Made >= s.Making.Needed {
		return app.Text("")
	}
	return app.Elem("div").Class("making").Body(
		app.Elem("p").Text(makingWords(s)),
		app.Elem("progress").Aria("label", "Making the sounds").Attr("max", float64(s.Making.Needed)).Attr("value", float64(s.Making.Made)),
	)
}

func makingWords(s State) string {
	return fmt.Sprintf("Making the sounds, %d of %d.", s.Making.Made, s.Making.Needed)
}
