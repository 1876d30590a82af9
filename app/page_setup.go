package app

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/delay"
	"stampmill/exercises/grade"
	"stampmill/synth"
)

// setup is the page of keys, delay, levels, look, data and cautions.
func setup(s State) []app.UI {
	return []app.UI{
		top(s),
		app.Elem("main").Class("set").Body(
			app.Elem("h1").ID("title").TabIndex(-1).Text("Setup"),
			frontNotice(s),
			app.Elem("div").Class("columns").Body(
				app.Elem("div").Class("column").Body(howYouPlay(s), touchBox(s), singleBox(s), pedalBox(s), followBox(s), clickCellsBox(s)),
				app.Elem("div").Class("column").Body(delayBox(s), marksBox(s), levelBox(s)),
				app.Elem("div").Class("column").Body(lookBox(s), dataBox(s), earsBox(), handsBox()),
			),
			app.Elem("p").Class("quiet").Text(lesser(s)),
		),
		announcer(s),
	}
}

func section(id, title string, body ...app.UI) app.UI {
	return app.Elem("section").Class("set-box").Aria("labelledby", id).Body(append([]app.UI{app.Elem("h2").ID(id).Text(title)}, body...)...)
}

func howYouPlay(s State) app.UI {
	rows := []app.UI{app.Elem("p").Class("second").Text("Keys during a take. With one voice to play, every letter key counts.")}
	for _, h := range keyHands() {
		rows = append(rows, keyRow(s, h))
	}
	said := s.Setup.Said
	rows = append(rows,
		app.Elem("p").Class("second", "said").Role("status").Text(said),
		button("keys-as-start", "").Class("plain").Text("Keys as at the start"),
	)
	return section("how", "How you play", rows...)
}

func keyRow(s State, h Hand) app.UI {
	waiting := s.Setup.Assigning && s.Setup.Assign == h
	var caps []app.UI
	for _, k := range s.Settings.Keys[h.String()] {
		caps = append(caps, app.Elem("kbd").Text(k.Label))
	}
	if len(caps) == 0 {
		caps = append(caps, app.Elem("span").Class("second").Text("no key"))
	}
	label := "Assign"
	if waiting {
		label = "Done"
	}
	keys := app.Elem("div").Class("keys").Body(caps...)
	if waiting {
		keys = keys.Class("waiting")
	}
	return app.Elem("div").Class("key-row").Body(
		app.Elem("span").ID("hand-"+h.String()).Text(h.Label()),
		keys,
		button("assign", h.String()).ID("assign-"+h.String()).Aria("pressed", waiting).Aria("label", label+" keys for "+strings.ToLower(h.Label())).Text(label),
	)
}

// keyRange names keys shortly: "A to G" for a row, else each.
func keyRange(keys []Key) string {
	var names []string
	for _, k := range keys {
		names = append(names, k.Label)
	}
	if len(names) > 2 {
		return names[0] + " to " + names[len(names)-1]
	}
	return strings.Join(names, " and ")
}

func touchBox(s State) app.UI {
	var all []app.UI
	for _, n := range []int{1, 2, 4} {
		all = append(all, button("areas", strconv.Itoa(n)).Aria("pressed", s.Settings.Areas == n).Text(numbers[n]))
	}
	return section("touch", "Touch areas",
		app.Elem("div").Class("one-of").Role("group").Aria("labelledby", "touch").Body(all...),
		app.Elem("p").Class("second").Text("At the foot of a touch screen, while a take runs."),
	)
}

func singleBox(s State) app.UI {
	return section("single-keys", "Single keys",
		button("single", "").Class("check").Role("checkbox").Aria("checked", s.Settings.Single).Body(
			app.Elem("span").Class("box").Aria("hidden", "true"),
			app.Elem("span").Text("Single letters act as shortcuts between takes"),
		),
	)
}

func pedalBox(s State) app.UI {
	return section("pedals", "Kick pedals",
		button("pedals", "").Class("check").Role("checkbox").Aria("checked", s.Settings.OnePedal).Body(
			app.Elem("span").Class("box").Aria("hidden", "true"),
			app.Elem("span").Text("One pedal. Otherwise two, or a double pedal"),
		),
	)
}

func delayBox(s State) app.UI {
	body := []app.UI{app.Elem("p").Class("second").Text("What is taken off every hit, in ms. Hollow taps are left out.")}
	body = append(body, &drawing{SVG: delayPlot(s)})
	if s.Setup.Measuring {
		body = append(body, measuringWords(s)...)
	} else {
		body = append(body, delayWords(s)...)
	}
	return section("delay", "Delay", append(body, delayActions(s)...)...)
}

func measuringWords(s State) []app.UI {
	pad := app.Elem("div").ID("area-0").Class("area", "pad").DataSet("area", 0).Body(app.Elem("strong").Text("Tap here"), app.Elem("span").Text("or any letter key"))
	words := fmt.Sprintf("Tap with every click: %d of %d.", len(s.Setup.Offsets), delay.Taps)
	if s.Phase == Starting {
		words = "The click comes in a moment."
		if s.Making.Made < s.Making.Needed {
			words = makingWords(s)
		}
	}
	return []app.UI{app.Elem("p").ID("taps").Text(words), pad}
}

// delayWords say what is known of each input.
func delayWords(s State) []app.UI {
	var all []app.UI
	if s.Setup.Refused != "" {
		all = append(all, app.Elem("p").Class("fact").Body(app.Elem("strong").Text(noDelay), app.Text(s.Setup.Refused+".")))
	}
	for _, input := range []string{"keyboard", "touch"} {
		fact, more := delayFact(s, input)
		all = append(all, app.Elem("p").Body(app.Elem("strong").Text(fact), app.Text(more)))
	}
	return all
}

const noDelay = "No delay taken: "

// delayFact is what is known of the delay of an input.
func delayFact(s State, input string) (fact, more string) {
	label, hit := "Keys", "key hit"
	if input == "touch" {
		label, hit = "Touch", "touch"
	}
	d, ok := s.Settings.Delays[input]
	switch {
	case !ok:
		return label + ": not measured.", " How early or late you are is not known there."
	case d.Stale:
		return label + ": measure again.", " The sound output changed since."
	}
	fact, more = number(d.MS)+" ms", " is taken off every "+hit
	if d.N == 0 {
		return fact, more + ", set by hand."
	}
	blind := delay.Result{Spread: d.Spread, N: d.N}.Blind()
	return fact, fmt.Sprintf("%s. Your spread here is ±%s, so a lean under %s ms means nothing.", more, number(d.Spread), number(blind))
}

// measuredWords is what came of a measurement, "" before its end.
func measuredWords(s State) string {
	switch {
	case s.Setup.Refused != "":
		return noDelay + s.Setup.Refused + "."
	case len(s.Setup.Offsets) < delay.Taps:
		return ""
	}
	fact, more := delayFact(s, s.Setup.Input)
	return fact + more
}

func delayActions(s State) []app.UI {
	label := "Measure, 30 seconds"
	if len(s.Settings.Delays) > 0 || s.Setup.Refused != "" {
		label = "Measure again"
	}
	if s.Setup.Measuring {
		label = "Stop measuring"
	}
	row := app.Elem("div").Class("actions").Body(
		button("measure", "").ID("measure").Class("primary").Text(label),
		button("byhand", "").Aria("expanded", s.Setup.ByHand).Text("Set by hand"),
	)
	if !s.Setup.ByHand {
		return []app.UI{row}
	}
	return []app.UI{row, app.Elem("div").Class("by-hand").Body(delayInput(s, "keyboard", "Keys, ms"), delayInput(s, "touch", "Touch, ms"))}
}

func delayInput(s State, input, label string) app.UI {
	id := "delay-" + input
	return app.Elem("div").Class("choice").Body(
		app.Elem("label").Attr("for", id).Text(label),
		app.ElemSelfClosing("input").ID(id).Attr("type", "text").Attr("inputmode", "decimal").Attr("maxlength", "7").Attr("autocomplete", "off").DataSet("act", "delay").DataSet("arg", input).Attr("value", delayField(s, input)),
	)
}

func delayField(s State, input string) string {
	d, ok := s.Settings.Delays[input]
	if !ok {
		return ""
	}
	return strconv.FormatFloat(d.MS, 'f', -1, 64)
}

// marksBox is what it takes to move on.
func marksBox(s State) app.UI {
	body := []app.UI{app.Elem("p").Class("second").Text("A take of a whole step that keeps all three, and is not played as something else, passes it.")}
	for _, p := range passMarks {
		id := "mark-" + p.name
		body = append(body, app.Elem("div").Class("pass-row").Body(
			app.Elem("label").Attr("for", id).Text(p.label),
			app.ElemSelfClosing("input").ID(id).Attr("type", "text").Attr("inputmode", "numeric").Attr("maxlength", "3").Attr("autocomplete", "off").Aria("describedby", id+"-unit").DataSet("act", "marks").DataSet("arg", p.name).Attr("value", strconv.Itoa(*p.of(&s.Settings))),
			app.Elem("span").Class("second").ID(id+"-unit").Text(p.unit),
		))
	}
	body = append(body, app.Elem("p").Class("second", "said").Role("status").Text(s.Setup.Marked))
	if s.Settings.passing() != grade.DefaultPassing {
		body = append(body, button("marks-usual", "").Class("plain").Text("The usual values"))
	}
	return section("marks", "What it takes to move on", body...)
}

func levelBox(s State) app.UI {
	body := []app.UI{slider("master", "", "All", s.Settings.Master)}
	for _, h := range levelHands() {
		body = append(body, slider("level", h.String(), h.Label(), s.Settings.Levels[h.String()]))
	}
	return section("levels", "Levels", append(body, viewBox(s))...)
}

// viewBox sets from where the drums are heard.
func viewBox(s State) app.UI {
	var all []app.UI
	for _, v := range []option{{synth.Audience.String(), "the audience"}, {synth.Drummer.String(), "the drummer"}} {
		all = append(all, button("view", v.value).Aria("pressed", s.Settings.View == v.value).Text(v.label))
	}
	return app.Elem("div").Body(
		app.Elem("p").ID("view").Text("Drums as heard by"),
		app.Elem("div").Class("one-of").Role("group").Aria("labelledby", "view").Body(all...),
		app.Elem("p").Class("second").Text("For the drummer the hat and the left crash are on the left. It holds from the next start."),
	)
}

func slider(act, arg, label string, value int) app.UI {
	id := "level-" + strings.ToLower(label)
	in := app.ElemSelfClosing("input").ID(id).Attr("type", "range").Attr("min", 0).Attr("max", 100).Attr("step", 1).DataSet("act", act).Attr("value", strconv.Itoa(value))
	if arg != "" {
		in = in.DataSet("arg", arg)
	}
	return app.Elem("div").Class("slider").Body(app.Elem("label").Attr("for", id).Text(label), in, app.Elem("output").Attr("for", id).Aria("live", "off").Text(value))
}

func lookBox(s State) app.UI {
	var all []app.UI
	for _, t := range []option{{"dark", "dark"}, {"light", "light"}, {"", "as the device"}} {
		all = append(all, button("theme", t.value).Aria("pressed", s.Settings.Theme == t.value).Text(t.label))
	}
	return section("look", "Look", app.Elem("div").Class("one-of").Role("group").Aria("labelledby", "look").Body(all...))
}

func earsBox() app.UI {
	return section("ears", "Your ears",
		app.Elem("p").Text("Stampmill can set its own level but cannot know how loud it is where you are. Start low and turn up slowly. If you must raise your voice over it, it is too loud. Rest your ears between takes. Ringing or dull hearing afterwards: it was too loud, or too long; if it lasts, see a professional."))
}

func handsBox() app.UI {
	return section("hands", "Your hands and feet",
		app.Elem("p").Text("Warm up, and take a break before you tire. Raise tempo and minutes little by little. Stop at pain, numbness or tingling; if it lasts, see a professional. After 20 minutes of takes the page suggests a pause, once, between takes. It never stops one."))
}
