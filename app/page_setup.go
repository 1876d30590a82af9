package app

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/delay"
)

// setup is the page of keys, delay, levels, look, data and cautions.
func setup(s State) []app.UI {
	return []app.UI{
		top(s),
		app.Main().Class("set").Body(
			app.H1().ID("title").TabIndex(-1).Text("Setup"),
			frontNotice(s),
			app.Div().Class("columns").Body(
				app.Div().Class("column").Body(howYouPlay(s), touchBox(s), singleBox(s)),
				app.Div().Class("column").Body(delayBox(s), levelBox(s)),
				app.Div().Class("column").Body(lookBox(s), dataBox(s), earsBox(), handsBox()),
			),
			app.P().Class("quiet").Text(lesser(s)),
		),
		announcer(s),
	}
}

func section(id, title string, body ...app.UI) app.UI {
	return app.Section().Class("set-box").Aria("labelledby", id).Body(append([]app.UI{app.H2().ID(id).Text(title)}, body...)...)
}

func howYouPlay(s State) app.UI {
	rows := []app.UI{app.P().Class("second").Text("Keys during a take. With one voice to play, every letter key counts.")}
	for _, h := range keyHands() {
		rows = append(rows, keyRow(s, h))
	}
	said := s.Setup.Said
	rows = append(rows,
		app.P().Class("second", "said").Role("status").Text(said),
		button("keys-as-start", "").Class("plain").Text("Keys as at the start"),
	)
	return section("how", "How you play", rows...)
}

func keyRow(s State, h Hand) app.UI {
	waiting := s.Setup.Assigning && s.Setup.Assign == h
	var caps []app.UI
	for _, k := range s.Settings.Keys[h.String()] {
		caps = append(caps, app.Kbd().Text(k.Label))
	}
	if len(caps) == 0 {
		caps = append(caps, app.Span().Class("second").Text("no key"))
	}
	label := "Assign"
	if waiting {
		label = "Done"
	}
	keys := app.Div().Class("keys").Body(caps...)
	if waiting {
		keys = keys.Class("waiting")
	}
	return app.Div().Class("key-row").Body(
		app.Span().ID("hand-"+h.String()).Text(h.Label()),
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
		app.Div().Class("one-of").Role("group").Aria("labelledby", "touch").Body(all...),
		app.P().Class("second").Text("At the foot of a touch screen, while a take runs."),
	)
}

func singleBox(s State) app.UI {
	return section("single-keys", "Single keys",
		button("single", "").Class("check").Role("checkbox").Aria("checked", s.Settings.Single).Body(
			app.Span().Class("box").Aria("hidden", "true"),
			app.Span().Text("Single letters act as shortcuts between takes"),
		),
	)
}

func delayBox(s State) app.UI {
	body := []app.UI{app.P().Class("second").Text("What is taken off every hit, in ms. Hollow taps are left out.")}
	body = append(body, &drawing{SVG: delayPlot(s)})
	if s.Setup.Measuring {
		body = append(body, measuringWords(s)...)
	} else {
		body = append(body, delayWords(s)...)
	}
	return section("delay", "Delay", append(body, delayActions(s)...)...)
}

func measuringWords(s State) []app.UI {
	pad := app.Div().ID("area-0").Class("area", "pad").DataSet("area", 0).Body(app.Strong().Text("Tap here"), app.Span().Text("or any letter key"))
	words := fmt.Sprintf("Tap with every click: %d of %d.", len(s.Setup.Offsets), delay.Taps)
	if s.Phase == Starting {
		words = "The click comes in a moment."
		if s.Making.Made < s.Making.Needed {
			words = makingWords(s)
		}
	}
	return []app.UI{app.P().ID("taps").Text(words), pad}
}

// delayWords say what is known of each input.
func delayWords(s State) []app.UI {
	var all []app.UI
	if s.Setup.Refused != "" {
		all = append(all, app.P().Class("fact").Body(app.Strong().Text("No delay taken: "), app.Text(s.Setup.Refused+".")))
	}
	for _, input := range []struct{ name, label, hit string }{{"keyboard", "Keys", "key hit"}, {"touch", "Touch", "touch"}} {
		d, ok := s.Settings.Delays[input.name]
		switch {
		case !ok:
			all = append(all, app.P().Text(input.label+": not measured. How early or late you are is not known there."))
		case d.Stale:
			all = append(all, app.P().Body(app.Strong().Text(input.label+": measure again."), app.Text(" The sound output changed since.")))
		case d.N == 0:
			all = append(all, app.P().Body(app.Strong().Text(number(d.MS)+" ms"), app.Text(" is taken off every "+input.hit+", set by hand.")))
		default:
			blind := delay.Result{Spread: d.Spread, N: d.N}.Blind()
			all = append(all, app.P().Body(app.Strong().Text(number(d.MS)+" ms"), app.Text(" is taken off every "+input.hit+". Your spread here is "),
				app.Strong().Text("±"+number(d.Spread)), app.Text(fmt.Sprintf(", so a lean under %s ms means nothing.", number(blind)))))
		}
	}
	return all
}

func delayActions(s State) []app.UI {
	label := "Measure, 30 seconds"
	if len(s.Settings.Delays) > 0 || s.Setup.Refused != "" {
		label = "Measure again"
	}
	if s.Setup.Measuring {
		label = "Stop measuring"
	}
	row := app.Div().Class("actions").Body(
		button("measure", "").ID("measure").Class("primary").Text(label),
		button("byhand", "").Aria("expanded", s.Setup.ByHand).Text("Set by hand"),
	)
	if !s.Setup.ByHand {
		return []app.UI{row}
	}
	return []app.UI{row, app.Div().Class("by-hand").Body(delayInput(s, "keyboard", "Keys, ms"), delayInput(s, "touch", "Touch, ms"))}
}

func delayInput(s State, input, label string) app.UI {
	id := "delay-" + input
	return app.Div().Class("choice").Body(
		app.Label().For(id).Text(label),
		app.Input().ID(id).Type("text").Attr("inputmode", "decimal").Attr("maxlength", "7").AutoComplete(false).DataSet("act", "delay").DataSet("arg", input).Value(delayField(s, input)),
	)
}

func delayField(s State, input string) string {
	d, ok := s.Settings.Delays[input]
	if !ok {
		return ""
	}
	return strconv.FormatFloat(d.MS, 'f', -1, 64)
}

func levelBox(s State) app.UI {
	body := []app.UI{slider("master", "", "All", s.Settings.Master)}
	for _, h := range levelHands() {
		body = append(body, slider("level", h.String(), h.Label(), s.Settings.Levels[h.String()]))
	}
	return section("levels", "Levels", body...)
}

func slider(act, arg, label string, value int) app.UI {
	id := "level-" + strings.ToLower(label)
	in := app.Input().ID(id).Type("range").Min(0).Max(100).Step(1).DataSet("act", act).Attr("value", strconv.Itoa(value))
	if arg != "" {
		in = in.DataSet("arg", arg)
	}
	return app.Div().Class("slider").Body(app.Label().For(id).Text(label), in, app.Output().For(id).Text(value))
}

func lookBox(s State) app.UI {
	var all []app.UI
	for _, t := range []option{{"dark", "dark"}, {"light", "light"}, {"", "as the device"}} {
		all = append(all, button("theme", t.value).Aria("pressed", s.Settings.Theme == t.value).Text(t.label))
	}
	return section("look", "Look", app.Div().Class("one-of").Role("group").Aria("labelledby", "look").Body(all...))
}

func dataBox(s State) app.UI {
	body := []app.UI{
		app.P().Class("second").Text(capital(countWord(s.Takes, "take")) + ", only in this browser. If you clear it, they are gone."),
		button("backup", "").Class("wide").Text("Save a backup"),
	}
	if !s.Setup.Deleting {
		body = append(body,
			button("delete", "").ID("delete").Class("wide", "danger").Text("Delete everything…"),
			app.P().Class("second").Text("Deleting asks once more and names what goes."))
		return section("data", "Your data", body...)
	}
	body = append(body,
		app.P().Class("fact").ID("delete-what").Body(app.Strong().Text("This deletes "+countWord(s.Takes, "take")+", the passed steps, the keys, the delay and every setting"), app.Text(" from this device. It cannot be undone.")),
		button("delete-no", "").ID("delete-no").Class("wide").Text("Keep everything"),
		button("delete-yes", "").Class("wide", "danger").Aria("describedby", "delete-what").Text("Delete everything now"))
	return section("data", "Your data", body...)
}

func earsBox() app.UI {
	return section("ears", "Your ears",
		app.P().Text("Stampmill can set its own level but cannot know how loud it is where you are. Start low and turn up slowly. If you must raise your voice over it, it is too loud. Rest your ears between takes. Ringing or dull hearing afterwards: it was too loud, or too long; if it lasts, see a professional."))
}

func handsBox() app.UI {
	return section("hands", "Your hands and feet",
		app.P().Text("Warm up, and take a break before you tire. Raise tempo and minutes little by little. Stop at pain, numbness or tingling; if it lasts, see a professional. After 20 minutes of takes the page suggests a pause, once, between takes. It never stops one."))
}
