package app

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/draft"
	"stampmill/app/strip"
	"stampmill/exercises/passage"
)

// write is the page on which exercises are written: the strip above, the text
// below it, the changes beside.
func write(s State, pic Picture) []app.UI {
	switch {
	case s.Write.ID == "":
		return []app.UI{top(s), writeEmpty(s), announcer(s)}
	case s.phone():
		return phoneWrite(s, pic)
	}
	return []app.UI{
		&steady{Part: pic.Parts.top},
		app.Elem("main").Class("bench").Body(
			&steady{Part: pic.Parts.head},
			writeMenu(s),
			writeNotice(s),
			&steady{Part: pic.Parts.steps},
			&steady{Part: pic.Parts.tabs},
			writeStrip(s, pic),
			writeRefused(s),
			writePair(s, pic),
			&steady{Part: pic.Parts.signs},
			writeText(s, pic),
			&steady{Part: pic.Parts.problems},
			&steady{Part: pic.Parts.measures},
			&steady{Part: pic.Parts.foot},
		),
		&steady{Part: pic.Parts.changes},
		&steady{Part: pic.Parts.said},
	}
}

// benchParts are the pieces of the Write page that most key presses leave as
// they are.
type benchParts struct {
	top, head, steps, tabs, signs, changes, problems, measures, foot, said *part
}

// partsOf makes those parts anew that changed. A key holds all that its part
// shows.
func partsOf(old benchParts, s State, pic Picture) benchParts {
	if !s.writing() {
		return benchParts{}
	}
	d, w := s.Write.Draft, s.Write
	type has [10]any
	idle, phone, undo, redo := s.Phase == Idle, s.phone(), d.UndoName(), d.RedoName()
	titles := strconv.Itoa(d.Step())
	for _, st := range d.Steps() {
		titles += "\n" + stepWords(st)
	}
	problems := ""
	for _, p := range listedProblems(s) {
		problems += fmt.Sprint(p.Line, ":", p.Column, p.What, p.Do, "\n")
	}
	var bars *string
	if len(pic.Tabs) > 0 {
		bars = &pic.Tabs[0]
	}
	first, last := s.window()
	fret, bend, fretted := d.Details()
	notice, quiet, made := s.Notice.words(), lesser(s), outcome(s)
	return benchParts{
		top:      kept(old.top, has{phone, undo, idle, w.Trying}, func() app.UI { return writeTop(s) }),
		head:     kept(old.head, has{phone, writtenTitle(s), writeMeta(s), idle, w.Trying, w.Menu, s.Settings.Single}, func() app.UI { return writeHead(s) }),
		steps:    kept(old.steps, titles, func() app.UI { return writeSteps(s) }),
		tabs:     kept(old.tabs, has{phone, bars, first, last}, func() app.UI { return writeTabs(s, pic) }),
		signs:    kept(old.signs, has{phone, d.Cursor().Voice, d.Cursor().Of, fret, bend, fretted}, func() app.UI { return writeSigns(s) }),
		changes:  kept(old.changes, s.changesKey(), func() app.UI { return writeChanges(s, pic) }),
		problems: kept(old.problems, problems, func() app.UI { return writeProblems(s) }),
		measures: kept(old.measures, has{w.Rated, w.DidOf, w.Measured, len(w.Clashes), s.Sticking}, func() app.UI { return writeMeasures(s) }),
		foot:     kept(old.foot, has{phone, undo, redo, footWords(s), d.Cursor().Voice}, func() app.UI { return writeFoot(s) }),
		said:     kept(old.said, has{notice, quiet, made}, func() app.UI { return announcer(s) }),
	}
}

// writeTop is the head of the page; on a phone with what the picture of the
// strip has no room for.
func writeTop(s State) app.UI {
	if !s.phone() {
		return top(s)
	}
	hear := "Hear"
	if s.Phase != Idle {
		hear = "Stop"
	}
	return top(s,
		undoButton("write-undo", "Undo", s.Write.Draft.UndoName()),
		button("write-hear", "").ID("go").Aria("pressed", s.Phase != Idle && s.Write.Trying == "").Text(hear),
	)
}

// writeEmpty is the page before there is an exercise.
func writeEmpty(s State) app.UI {
	return app.Elem("main").Class("bench", "empty").Body(
		app.Elem("h1").ID("title").TabIndex(-1).Text("Write"),
		writeNotice(s),
		app.Elem("div").Class("empty-box").Body(
			app.Elem("p").Body(app.Elem("strong").Text("No exercise of yours is here yet."), app.Text(" A new one begins with two bars that sound; a copy of a climb shows how others are made. Text and strip show the same, and each can be edited.")),
			app.Elem("div").Class("actions").Body(
				button("write-new", "").ID("go").Class("primary", "big").Text("New exercise"),
				button("write-file", "").Class("big").Text("Open a file"),
			),
			libraryBox(s),
			app.Elem("p").Class("second").Text("A file can be dropped on the page, too. What you write stays on this device."),
		),
	)
}

// libraryBox begins with a copy of a climb of the library.
func libraryBox(s State) app.UI {
	options := []option{{"", "choose"}}
	for _, e := range s.builtIn() {
		options = append(options, option{e.Name, e.Climb.Title})
	}
	return choice("write-copy", "write-copy", "Copy a climb", "", options)
}

func hearButton(s State, label string) app.UI {
	key := "Space"
	if s.Phase != Idle {
		label, key = "Stop", "Esc"
	}
	return keyed(button("write-hear", "").ID("go").Aria("pressed", s.Phase != Idle && s.Write.Trying == ""), label, key, s)
}

func menuButton(s State) app.UI {
	return button("write-menu", "").ID("write-menu-button").Aria("expanded", s.Write.Menu).Aria("controls", "write-menu").Text("Exercise and steps")
}

func writeHead(s State) app.UI {
	if s.phone() {
		return app.Elem("div").Class("head").Body(
			app.Elem("h1").ID("title").TabIndex(-1).Text(writtenTitle(s)),
			app.Elem("p").Class("meta").Text(writeMeta(s)),
		)
	}
	return app.Elem("div").Class("head").Body(
		app.Elem("h1").ID("title").TabIndex(-1).Text(writtenTitle(s)),
		app.Elem("p").Class("meta").Text(writeMeta(s)),
		app.Elem("div").Class("head-settings").Body(hearButton(s, "Hear from here"), menuButton(s)),
	)
}

func writtenTitle(s State) string {
	return cmp.Or(titleOf(s.Write.Draft.Text()), "Without a title")
}

func writeMeta(s State) string {
	p := s.Write.Draft.Passage()
	switch {
	case len(p.Bars) == 0:
		return "your exercise"
	case s.phone():
		return fmt.Sprintf("bar %d of %d, at %s", s.Bar, len(p.Bars), p.Bars[0].Tempo)
	}
	return fmt.Sprintf("your exercise · %s · %s", s.metreWords(), p.Bars[0].Tempo)
}

// writeMenu is what can be done with the exercise and its steps.
func writeMenu(s State) app.UI {
	if !s.Write.Menu {
		return app.Elem("div").ID("write-menu").Attr("hidden", true)
	}
	d := s.Write.Draft
	var shelf []option
	for _, item := range s.readable() {
		shelf = append(shelf, option{item.ID, cmp.Or(item.Title, "Without a title")})
	}
	row := func(label string, body ...app.UI) app.UI {
		return app.Elem("div").Class("menu-row").Role("group").Aria("label", label).Body(body...)
	}
	return app.Elem("section").ID("write-menu").Class("bench-menu").Aria("label", "Exercise and steps").Body(
		row("Exercise",
			choice("write-open", "write-open", "Your exercises", s.Write.ID, shelf),
			button("write-new", "").Text("New"),
			button("write-double", "").Text("Duplicate"),
			libraryBox(s),
			button("write-delete", "").Class("danger").Text("Delete"),
		),
		row("File and link",
			button("write-file", "").Text("Open a file"),
			button("write-save", "").Text("Save as a file"),
			button("write-link", "").Text("Copy a link"),
			writeLink(s),
		),
		row("Head",
			textInput("write-title", "write-header", "title", "Title", d.Header("title")),
			textInput("write-tempo", "write-header", "tempo", "Tempo", d.Header("tempo")),
			textInput("write-metre", "write-header", "metre", "Metre", d.Header("metre")),
			textInput("write-tuning", "write-header", "tuning", "Lowest string", d.Header("tuning")),
		),
		row("Step",
			textInput("write-step-name", "write-step-name", "", "Step", d.Current().Title),
			textInput("write-step-says", "write-step-says", "", "Says", d.Current().Says),
			button("write-step-new", "").Text("New step"),
			button("write-step-copy", "").Text("Step from this one"),
			button("write-step-up", "").Text("Sooner"),
			button("write-step-down", "").Text("Later"),
			button("write-out", "").Text("Write out"),
			button("write-step-del", "").Class("danger").Text("Delete step"),
		),
		row("Voices and bars",
			choice("write-voice", "write-voice", "Add a voice", "", missingVoices(d.Passage())),
			button("write-unvoice", "").Text("Remove "+strings.ToLower(d.Cursor().Voice.Label())),
			button("write-bar", "").Text("Add a bar"),
			button("write-unbar", "").Text("Remove "+selectedBars(d).String()),
		),
	)
}

func selectedBars(d draft.Draft) Range {
	first, last := d.Passage().BarsOf(d.Selection())
	return Range{first, last}
}

// textInput is a text field that does an act when it was changed.
func textInput(id, act, arg, label, value string) app.UI {
	return app.Elem("div").Class("choice").Body(
		app.Elem("label").Attr("for", id).Text(label),
		app.ElemSelfClosing("input").ID(id).Attr("type", "text").Attr("autocomplete", "off").Attr("spellcheck", "false").
			DataSet("act", act).DataSet("arg", arg).Attr("value", value),
	)
}

// writeField is what a field of the Write page shows after it was changed: the
// value that holds. Lists to choose from begin anew.
func writeField(s State, act, arg string) (string, bool) {
	d := s.Write.Draft
	switch act {
	case "write-copy", "write-voice", "write-over":
		return "", true
	case "write-open":
		return s.Write.ID, s.Write.ID != ""
	}
	if s.Write.ID == "" {
		return "", false
	}
	fret, bend, _ := d.Details()
	switch act {
	case "write-header":
		return d.Header(arg), true
	case "write-step-name":
		return d.Current().Title, true
	case "write-step-says":
		return d.Current().Says, true
	case "write-divide":
		return strconv.Itoa(max(d.Cursor().Of, 1)), true
	case "write-fret":
		return strconv.Itoa(fret), true
	case "write-bend":
		return strconv.Itoa(bend), true
	}
	return "", false
}

// missingVoices are the voices that a passage has no line for.
func missingVoices(p passage.Passage) []option {
	options := []option{{"", "choose"}}
	for _, v := range passage.Voices() {
		if _, ok := p.Line(v); !ok {
			options = append(options, option{v.String(), v.Label()})
		}
	}
	return options
}

// writeLink is the link of the exercise where the clipboard is not allowed.
func writeLink(s State) app.UI {
	if s.Write.Link == "" {
		return app.Text("")
	}
	return app.Elem("div").Class("choice", "link-box").Body(
		app.Elem("label").Attr("for", "write-link").Text("The browser does not allow copying here. The link:"),
		app.ElemSelfClosing("input").ID("write-link").Attr("type", "text").Attr("readonly", true).DataSet("act", "write-linked").Attr("value", s.Write.Link),
	)
}

func writeNotice(s State) app.UI {
	n := s.Notice
	if n.Fact == "" {
		return app.Text("")
	}
	if n.Act == "" {
		n.Act, n.Label = "write-close", "Close"
	}
	return notice(n)
}

func stepWords(st draft.Step) string {
	if !st.Good {
		return st.Title + ", to be mended"
	}
	return st.Title
}

// writeSteps are the steps of the exercise; the one of the caret is current.
func writeSteps(s State) app.UI {
	var items []app.UI
	for i, st := range s.Write.Draft.Steps() {
		b := button("write-step", strconv.Itoa(i+1)).Class("bench-step").Text(fmt.Sprintf("%d %s", i+1, stepWords(st)))
		if i == s.Write.Draft.Step() {
			b = b.ID("write-step-now").Aria("current", "step")
		}
		items = append(items, app.Elem("li").Body(b))
	}
	return app.Elem("ol").Class("bench-steps").Aria("label", "Steps").Body(items...)
}

// writeTabs is the overview of the bars where not all are in the strip.
func writeTabs(s State, pic Picture) app.UI {
	if len(pic.Tabs) <= s.perWindow() {
		return app.Elem("div").Attr("hidden", true)
	}
	first, last := s.window()
	var all []app.UI
	for bar := range pic.Tabs {
		n := bar + 1
		b := button("write-select", strconv.Itoa(n)).Class("tab").Aria("pressed", n >= first && n <= last)
		if n >= first && n <= last {
			b = b.Class("in")
		}
		all = append(all, b.Body(app.Elem("span").Class("tab-name").Text(fmt.Sprintf("bar %d", n)), &drawing{SVG: pic.Tabs[bar]}))
	}
	return app.Elem("div").Class("tabs").Role("group").Aria("label", "Bars: press to select one").Body(all...)
}

// writeStrip is the strip as something to edit. It takes the keyboard as one
// thing; what its cursor is on is said in the line after it.
func writeStrip(s State, pic Picture) app.UI {
	keys := "Arrows move, with Shift they select. A letter strikes, 1 to 9 cut the beat, Delete clears, Enter makes the chosen change."
	box := []app.UI{
		app.Elem("div").ID("write-strip").Class("edit-strip").TabIndex(0).Role("application").
			Aria("roledescription", "strip").Aria("label", "Strip").Aria("describedby", "write-keys").
			DataSet("keys", "strip").DataSet("draw", "strip").Body(&drawing{SVG: pic.SVG}),
		app.Elem("p").ID("write-cell").Class("second", "cell-line").Role("status").Text(cellWords(s)),
		app.Elem("p").ID("write-keys").Class("second", "keys-line").Text(keys),
	}
	return app.Elem("div").Class("strip").Body(box...)
}

// cellWords is what the last edit did, the cell under the cursor, and what is
// selected.
func cellWords(s State) string {
	d := s.Write.Draft
	c := d.Cursor()
	if !c.Voice.Valid() {
		return strings.TrimSpace(s.Write.Said + " No voice is written in this step yet.")
	}
	words := strip.Speak(d.Passage(), c) + "."
	if d.Selected() {
		words += " Selected: " + strings.ToLower(scopeWords(s)) + "."
	}
	return strings.TrimSpace(s.Write.Said + " " + words)
}

func voiceWords(voices []passage.Voice) string {
	var names []string
	for _, v := range voices {
		names = append(names, v.String())
	}
	return joinWords(names)
}

// writeRefused says why the last edit was not made.
func writeRefused(s State) app.UI {
	return app.Elem("p").Class("refused").Role("status").Text(s.Write.Refused)
}

// signButtons are the strokes that the voice of the cursor plays, as buttons for
// fingers and as a legend for keys.
func signButtons(s State) app.UI {
	c := s.Write.Draft.Cursor()
	var signs []app.UI
	add := func(letter, name string) {
		signs = append(signs, button("write-sign", letter).Class("sign").Title(name).Body(
			app.Elem("b").Text(letter), app.Text(" "), app.Elem("span").Text(name)))
	}
	for _, k := range c.Voice.Kinds() {
		add(string(k.Letter()), k.String())
	}
	add("-", "hold")
	add(".", "rest")
	return app.Elem("div").Class("signs").Role("group").Aria("label", "Strokes").Body(signs...)
}

// writeSigns are the signs and the division of the beat; on a phone the signs
// are at the foot.
func writeSigns(s State) app.UI {
	d := s.Write.Draft
	c := d.Cursor()
	var body []app.UI
	if !s.phone() {
		body = append(body, signButtons(s))
	}
	body = append(body, choice("write-divide", "write-divide", "Beat in", strconv.Itoa(max(c.Of, 1)), cellsOptions(c.Of)))
	body = append(body, choice("write-over", "write-over", "Over two beats", "", []option{{"", "choose"}, {"3:2", "3 cells"}, {"5:2", "5 cells"}, {"6:2", "6 cells"}, {"7:2", "7 cells"}, {"9:2", "9 cells"}}))
	if fret, bend, ok := d.Details(); ok {
		body = append(body, textInput("write-fret", "write-fret", "", "Fret", strconv.Itoa(fret)))
		if bend > 0 {
			body = append(body, textInput("write-bend", "write-bend", "", "Bend, semitones", strconv.Itoa(bend)))
		}
	}
	return app.Elem("div").Class("sign-row").Body(body...)
}

func cellsOptions(now int) []option {
	var options []option
	for n := 1; n <= passage.MaxCells; n++ {
		if n <= 9 || n == 12 || n == 16 || n == 24 || n == 32 || n == now {
			options = append(options, option{strconv.Itoa(n), strconv.Itoa(n)})
		}
	}
	return options
}

// writeMeasures says how hard the step is, whether four limbs can play it, and
// what it changes of the step before.
func writeMeasures(s State) app.UI {
	w := s.Write
	words := "Measuring."
	if w.Measured {
		words = ratingWords(w.Rating)
		if len(w.Clashes) == 0 && w.Draft.Current().Good {
			words += " Four limbs can play it."
		}
	}
	did := app.Text("")
	if w.Measured && w.Did != "" && w.DidOf == w.Rated {
		did = app.Elem("p").Class("second").Body(app.Elem("b").Text("Against the step before: "), app.Text(w.Did))
	}
	return app.Elem("div").Class("measures").Body(
		app.Elem("p").Class("second").Text(words),
		stickingButton(s),
		did,
	)
}

// writePair shows the bar before and after the chosen change, and what can be
// done with it.
func writePair(s State, pic Picture) app.UI {
	if pic.Pair.Before == "" {
		return app.Elem("div").Attr("hidden", true)
	}
	bars := capital(Range{pic.Pair.First, pic.Pair.Last}.String())
	return app.Elem("section").Class("pair").Aria("label", "Before and after the change").Body(
		app.Elem("figure").Body(app.Elem("figcaption").Text(bars+" as written"), &drawing{SVG: pic.Pair.Before}),
		app.Elem("figure").Body(app.Elem("figcaption").Text(bars+" with the change"), &drawing{SVG: pic.Pair.After}),
		choiceActions(s),
	)
}

// writeFoot holds what is done next.
func writeFoot(s State) app.UI {
	d := s.Write.Draft
	if s.phone() {
		return app.Elem("div").Class("foot").Body(
			signButtons(s),
			app.Elem("div").Class("actions").Body(
				undoButton("write-redo", "Redo", d.RedoName()),
				button("write-practise", "").Class("primary").Text("Practise it"),
			),
		)
	}
	return app.Elem("div").Class("foot").Body(
		app.Elem("p").Class("quiet").Text(footWords(s)),
		app.Elem("div").Class("actions").Body(
			undoButton("write-undo", "Undo", d.UndoName()),
			undoButton("write-redo", "Redo", d.RedoName()),
			button("write-practise", "").Class("primary").Text("Practise it"),
		),
	)
}

// undoButton stays reachable when there is nothing to undo, so that the
// keyboard does not fall off it.
func undoButton(act, label, what string) app.UI {
	b := button(act, "").Aria("disabled", what == "").Text(label)
	if what != "" {
		b = b.Title(label+": "+what).Aria("label", label+": "+what)
	}
	return b
}

// footWords is what is to be mended first, or the next thing worth knowing.
func footWords(s State) string {
	ps := s.Write.Draft.Problems()
	switch {
	case len(ps) > 0: // its place is further down, and this line is always in view
		return fmt.Sprintf("Line %d: %s", ps[0].Line, sentence(ps[0].What+"; "+ps[0].Do))
	case lesser(s) != "":
		return lesser(s)
	case s.Write.Unkept:
		return "Not kept on this device."
	case s.Write.Agree != "":
		return s.Write.Agree
	}
	return "Kept on this device as you write."
}
