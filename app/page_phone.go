package app

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"
)

// phonePractise is the page of takes on a narrow screen: one bar at a time,
// the actions at the foot, and in a take the areas for the thumbs.
func phonePractise(s State, pic Picture) []app.UI {
	if s.taking() {
		return []app.UI{
			app.Elem("header").Class("top").Body(
				app.Elem("div").Class("brand").Body(&drawing{SVG: brand}, app.Elem("span").Class("phone-tempo").Text(strconv.Itoa(s.Tempo))),
				goButton(s),
			),
			app.Elem("main").Class("room").Body(
				stepSquares(s),
				phoneHead(s),
				app.Elem("div").Class("tabs-place").Body(app.Elem("p").Class("place").Text(placeWords(s)), making(s)),
				stripBox(s, pic),
				foot(s),
			),
			announcer(s),
		}
	}
	return []app.UI{
		top(s, tempoBox(s)),
		app.Elem("main").Class("room").Body(
			stepSquares(s),
			phoneHead(s),
			tabs(s, pic),
			stripBox(s, pic),
			phoneWords(s),
			phoneFoot(s),
		),
		announcer(s),
	}
}

func phoneWords(s State) app.UI {
	if s.More {
		return phoneMore(s)
	}
	return words(s)
}

// stepSquares is the climb as a row of squares.
func stepSquares(s State) app.UI {
	var items []app.UI
	owned := s.owned()
	for i, st := range s.entry().Climb.Steps {
		tempo := max(s.Done[stepName(s.entry().Name, st.Title)], owned[st.Title])
		b := button("step", strconv.Itoa(i+1)).Class("step").Attr("disabled", s.taking()).Aria("label", stepLabel(i, s, owned)).Body(app.Elem("span").Class("box").Aria("hidden", "true"))
		if i == s.Step {
			b = b.Aria("current", "step")
		}
		items = append(items, app.Elem("li").Class(stepClass(i, s.Step, tempo, goal(st))).Body(b))
	}
	return app.Elem("ol").Class("squares").Aria("label", "Climb").Body(items...)
}

func phoneHead(s State) app.UI {
	n := fmt.Sprintf("step %d of %d", s.Step+1, len(s.entry().Climb.Steps))
	switch {
	case s.taking():
		n += fmt.Sprintf(", take %d", s.Today+1)
	case s.Verdict != nil:
		n += fmt.Sprintf(", take %d at %d", s.Verdict.Nth, s.Verdict.Tempo)
	default:
		n += ", you play " + s.part().said()
	}
	return app.Elem("div").Class("head").Body(
		app.Elem("h1").ID("title").TabIndex(-1).Text(s.entry().Climb.Title),
		app.Elem("p").Class("meta").Text(n),
	)
}

// phoneFoot is the copper button and two or three beside it.
func phoneFoot(s State) app.UI {
	more := button("more", "").Class("plain").Aria("expanded", s.More).Text("More")
	if s.showsVerdict() {
		all := footActions(s)
		return app.Elem("div").Class("foot", "row").Body(append(all[:min(len(all), 3)], more)...)
	}
	rest := []app.UI{button("hear", "").ID("hear").Aria("pressed", s.Phase != Idle).Text("Hear it")}
	bar := max(s.Bar, 1)
	switch {
	case s.Loop != (Range{}):
		rest = append(rest, button("whole", "").Text("Whole step"))
	default:
		rest = append(rest, button("loop-set", fmt.Sprintf("%d-%d", bar, bar)).Text(fmt.Sprintf("Loop bar %d", bar)))
	}
	return app.Elem("div").Class("foot").Body(
		goButton(s),
		app.Elem("div").Class("row").Body(append(rest, more)...),
	)
}

// phoneMore is every setting that has no room on a phone.
func phoneMore(s State) app.UI {
	var mutes []app.UI
	silent := map[string]bool{}
	for _, v := range s.silent() {
		silent[v.String()] = true
	}
	for _, v := range s.written().Voices() {
		mutes = append(mutes, button("mute", v.String()).Class("either").Aria("pressed", silent[v.String()]).Text("Mute "+strings.ToLower(v.Label())))
	}
	body := []app.UI{
		app.Elem("h2").Text("More"),
		choice("climb", "climb", "Climb", s.entry().Name, climbOptions(s)),
		partBox(s), countInBox(s), clickBox(s), silenceBox(s), passesBox(s), loopBox(s),
		app.Elem("div").Class("row").Body(button("tap", "").Text("Tap tempo"), button("slower", "").Text(fmt.Sprintf("Slower: %d", slower(s.Tempo))), stickingButton(s)),
		app.Elem("div").Class("mutes").Role("group").Aria("label", "Mute").Body(mutes...),
		footSave(s),
		app.Elem("p").Class("quiet").Text(footNote(s)),
	}
	return app.Elem("section").Class("words", "more").Aria("label", "More").Body(body...)
}
