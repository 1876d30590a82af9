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

// delayPlot draws every tap of the measurement, left-out ones hollow, with the
// mean and the spread.
func delayPlot(s State) string {
	const width, height, left, right, upper, lower = 392.0, 214.0, 38.0, 76.0, 16.0, 32.0
	input := s.Setup.Input
	if input == "" {
		input = "keyboard"
	}
	d, known := s.Settings.delay(input)
	low, high := delayScale(s.Setup.Offsets, d, known)
	y := func(ms float64) float64 { return upper + (ms-low)/(high-low)*(height-upper-lower) }
	x := func(i int) float64 { return left + 8 + float64(i)*(width-left-right-16)/float64(delay.Taps-1) }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="plot" viewBox="0 0 %g %g" width="100%%" role="img" aria-label="%s">`, width, height, delayDescription(s, d, known))
	for i, ms := range []float64{low, (low + high) / 2, high} {
		if i != 1 || low == 0 {
			fmt.Fprintf(&b, `<text class="plot-number" x="%g" y="%.1f" text-anchor="end">%.0f</text>`, left-6, y(ms)+4, ms)
		}
	}
	fmt.Fprintf(&b, `<path class="plot-line" d="M%g %.1fH%g"/><text class="plot-word" x="%g" y="%.1f">the click</text>`, left, y(0), width-right, width-right+6, y(0)+4)
	fmt.Fprintf(&b, `<path class="plot-line" d="M%g %.1fH%g"/>`, left, y(high), width-right)
	fmt.Fprintf(&b, `<text class="plot-word" x="%g" y="%g">tap 1</text><text class="plot-word" x="%g" y="%g" text-anchor="end">tap %d</text>`, left, height-10, width-right, height-10, delay.Taps)
	if known && !s.Setup.Measuring {
		fmt.Fprintf(&b, `<rect class="plot-band" x="%g" y="%.1f" width="%g" height="%.1f"/>`, left, y(d.MS-d.Spread), width-left-right, max(y(d.MS+d.Spread)-y(d.MS-d.Spread), 1))
		fmt.Fprintf(&b, `<path class="plot-mean" d="M%g %.1fH%g"/>`, left, y(d.MS), width-right)
		fmt.Fprintf(&b, `<text class="plot-result" x="%g" y="%.1f">%s</text>`, width-right+6, y(d.MS)+4, delayResult(d))
	}
	used := usedTaps(s.Setup.Offsets)
	for i, ms := range s.Setup.Offsets {
		class := "plot-tap"
		if !used[i] {
			class = "plot-left-out"
		}
		fmt.Fprintf(&b, `<circle class="%s" cx="%.1f" cy="%.1f" r="3.6"/>`, class, x(i), y(min(max(ms, low), high)))
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// usedTaps are the taps that count so far.
func usedTaps(offsets []float64) []bool {
	r, _ := delay.Measure(offsets)
	return r.Used
}

func delayResult(d Delay) string {
	if d.N == 0 {
		return number(d.MS)
	}
	return number(d.MS) + " ±" + number(d.Spread)
}

func delayDescription(s State, d Delay, known bool) string {
	if !known {
		return fmt.Sprintf("%d taps, no delay known", len(s.Setup.Offsets))
	}
	return fmt.Sprintf("%d taps, delay %s ms", len(s.Setup.Offsets), delayResult(d))
}

// delayScale returns the range of the plot: from 0, or below where taps came
// before the click, to a round number over the taps.
func delayScale(offsets []float64, d Delay, known bool) (low, high float64) {
	low, high = 0, 80
	for _, ms := range offsets {
		for ms > high && high < 400 {
			high += 40
		}
		for ms < low && low > -200 {
			low -= 40
		}
	}
	if known {
		for d.MS+d.Spread > high {
			high += 40
		}
		for d.MS-d.Spread < low {
			low -= 40
		}
	}
	return low, high
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
