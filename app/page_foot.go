package app

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"
)

// foot holds the actions; during a take on a touch screen the areas to hit.
func foot(s State) app.UI {
	if s.taking() {
		return app.Elem("div").Class("foot").Body(touchAreas(s))
	}
	return app.Elem("div").Class("foot").Body(
		app.Elem("div").Class("actions").Body(footActions(s)...),
		app.Elem("p").Class("quiet").Text(footNote(s)),
		footSave(s),
	)
}

func footActions(s State) []app.UI {
	if s.Verdict == nil || s.Phase != Idle {
		hear := "Hear it first"
		if s.Phase != Idle {
			hear = "Hear it"
		}
		return []app.UI{
			keyed(button("hear", "").ID("hear").Aria("pressed", s.Phase != Idle), hear, "H", s),
			keyed(button("slower", "").Class("plain"), fmt.Sprintf("Slower: %d", slower(s.Tempo)), "S", s),
			stickingButton(s),
		}
	}
	var all []app.UI
	for i, a := range shown(s.actions()) {
		b := button(a.act, a.arg)
		switch {
		case i == 0:
			b = b.ID("next").Class("primary")
		case a.act == "next":
			b = b.Class("plain")
		}
		all = append(all, keyed(b, a.label, a.key, s))
	}
	return all
}

// stickingButton shows which hand or foot plays each stroke, and how strings
// are picked.
func stickingButton(s State) app.UI {
	return button("sticking", "").Class("plain").Aria("pressed", s.Sticking).Text("Hands and feet")
}

// shown are the actions that have room: with five of them, the one that can
// also be had by the tempo goes.
func shown(all []action) []action {
	if len(all) <= 4 {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), func(a action) bool { return a.key == "S" && a != all[0] })
}

func footSave(s State) app.UI {
	if s.Verdict == nil || s.Phase != Idle || s.unstored() { // which the notice saves
		return app.Text("")
	}
	return button("save", "").Class("small").Text("Save this take")
}

func footNote(s State) string {
	if quiet := lesser(s); quiet != "" {
		return quiet
	}
	switch {
	case s.unstored():
		return "Not kept on this device."
	case s.showsVerdict():
		return fmt.Sprintf("Saved on this device, take %d of today.", s.Verdict.Nth)
	case !s.Settings.Heard:
		return soundDown
	}
	return "While a take runs every letter key is a hit. Esc stops."
}

// touchAreas are what fingers hit: one, two or four, to the edge of the hands.
func touchAreas(s State) app.UI {
	var all []app.UI
	voices := s.part().voices(s.written())
	for i := range s.Settings.Areas {
		name := "any"
		if s.part() != allOnOneKey && len(voices) > 0 {
			name = strings.ToLower(voices[i%len(voices)].Label())
		}
		if s.part().OneKey {
			name = "hit"
		}
		all = append(all, app.Elem("div").ID("area-%d", i).Class("area").DataSet("area", i).Body(
			app.Elem("strong").Text(name),
			app.Elem("span").Text(areaHand(i, s.Settings.Areas)),
		))
	}
	return app.Elem("div").Class("areas", "areas-"+strconv.Itoa(s.Settings.Areas)).Body(all...)
}

func areaHand(i, areas int) string {
	switch {
	case areas == 1:
		return "anywhere"
	case i < areas/2: // columns are filled downwards
		return "left thumb"
	}
	return "right thumb"
}
