package app

import (
	"fmt"
	"html"
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
	if s.Write.ID == "" {
		return []app.UI{top(s), writeEmpty(s), announcer(s)}
	}
	return []app.UI{
		top(s),
		app.Elem("main").Class("bench").Body(
			writeHead(s),
			writeMenu(s),
			writeNotice(s),
			writeSteps(s),
			writeTabs(s, pic),
			writeStrip(s, pic),
			writeRefused(s),
			writePair(s, pic),
			writeSigns(s),
			writeText(s),
			writeProblems(s),
			writeMeasures(s),
			writeFoot(s),
		),
		writeChanges(s),
		announcer(s),
	}
}

// writeEmpty is the page before there is an exercise.
func writeEmpty(s State) app.UI {
	return app.Elem("main").Class("bench", "empty").Body(
		app.Elem("h1").ID("title").TabIndex(-1).Text("Write"),
		writeNotice(s),
		app.Elem("div").Class("empty-box").Body(
			app.Elem("p").Body(app.Elem("strong").Text("No exercise of yours is here yet."), app.Text(" It stands as text and as a strip, and each can be edited.")),
			app.Elem("div").Class("actions").Body(
				button("write-new", "").ID("go").Class("primary").Text("New exercise"),
				button("write-file", "").Text("Open a file"),
				libraryBox(s),
			),
			app.Elem("p").Class("second").Text("A file can be dropped on the page, too. What you write stays on this device."),
		),
	)
}

// libraryBox begins with a copy of a climb of the library.
func libraryBox(s State) app.UI {
	options := []option{{"", "choose"}}
	for _, e := range s.Library {
		if !own(e.Name) {
			options = append(options, option{e.Name, e.Climb.Title})
		}
	}
	return choice("write-copy", "write-copy", "Copy a climb", "", options)
}

func writeHead(s State) app.UI {
	hear := "Hear from here"
	if s.Phase != Idle {
		hear = "Stop"
	}
	key := "Space"
	if s.Phase != Idle {
		key = "Esc"
	}
	return app.Elem("div").Class("head").Body(
		app.Elem("h1").ID("title").TabIndex(-1).Text(writtenTitle(s)),
		app.Elem("p").Class("meta").Text(writeMeta(s)),
		app.Elem("div").Class("head-settings").Body(
			keyed(button("write-hear", "").ID("go").Aria("pressed", s.Phase != Idle && s.Write.Trying == ""), hear, key, s),
			button("write-menu", "").Aria("expanded", s.Write.Menu).Aria("controls", "write-menu").Text("Exercise and steps"),
		),
	)
}

func writtenTitle(s State) string {
	if title := titleOf(s.Write.Draft.Text()); title != "" {
		return title
	}
	return "Without a title"
}

func writeMeta(s State) string {
	p := s.Write.Draft.Passage()
	if len(p.Bars) == 0 {
		return "your exercise"
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
	for _, item := range s.Write.Shelf {
		title := item.Title
		if title == "" {
			title = "Without a title"
		}
		shelf = append(shelf, option{item.ID, title})
	}
	return app.Elem("section").ID("write-menu").Class("bench-menu").Aria("label", "Exercise and steps").Body(
		app.Elem("div").Class("menu-row").Body(
			choice("write-open", "write-open", "Your exercises", s.Write.ID, shelf),
			libraryBox(s),
			button("write-new", "").Text("New"),
			button("write-double", "").Text("Duplicate"),
			button("write-file", "").Text("Open a file"),
			button("write-save", "").Text("Save as a file"),
			button("write-link", "").Text("Copy a link"),
			button("write-delete", "").Class("fault").Text("Delete"),
		),
		app.Elem("div").Class("menu-row").Body(
			textInput("write-title", "write-header", "title", "Title", d.Header("title")),
			textInput("write-tempo", "write-header", "tempo", "Tempo", d.Header("tempo")),
			textInput("write-metre", "write-header", "metre", "Metre", d.Header("metre")),
			textInput("write-tuning", "write-header", "tuning", "Lowest string", d.Header("tuning")),
		),
		app.Elem("div").Class("menu-row").Body(
			textInput("write-step-name", "write-step-name", "", "Step", d.Current().Title),
			textInput("write-step-says", "write-step-says", "", "Says", d.Current().Says),
			button("write-step-new", "").Text("New step"),
			button("write-step-copy", "").Text("Step from this one"),
			button("write-step-up", "").Text("Sooner"),
			button("write-step-down", "").Text("Later"),
			button("write-out", "").Text("Write out"),
			button("write-step-del", "").Class("fault").Text("Delete step"),
		),
		app.Elem("div").Class("menu-row").Body(
			choice("write-voice", "write-voice", "Add a voice", "", missingVoices(d.Passage())),
			button("write-unvoice", "").Text("Remove "+strings.ToLower(d.Cursor().Voice.Label())),
			button("write-bar", "").Text("Add a bar"),
			button("write-unbar", "").Text("Remove "+selectedBars(d).String()),
		),
		writeLink(s),
	)
}

func selectedBars(d draft.Draft) Range {
	first, last := barsOf(d.Passage(), d.Selection())
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
		app.ElemSelfClosing("input").ID("write-link").Attr("type", "text").Attr("readonly", true).Attr("value", s.Write.Link),
	)
}

func writeNotice(s State) app.UI {
	if s.Notice.Fact == "" {
		return app.Text("")
	}
	return notice(s.Notice)
}

// writeSteps are the steps of the exercise; the one of the caret is current.
func writeSteps(s State) app.UI {
	var items []app.UI
	for i, st := range s.Write.Draft.Steps() {
		words := fmt.Sprintf("%d %s", i+1, st.Title)
		if !st.Good {
			words += ", to be mended"
		}
		b := button("write-step", strconv.Itoa(i+1)).Class("bench-step").Text(words)
		if i == s.Write.Draft.Step() {
			b = b.Aria("current", "step")
		}
		items = append(items, app.Elem("li").Body(b))
	}
	return app.Elem("ol").Class("bench-steps").Aria("label", "Steps").Body(items...)
}

// writeTabs is the overview of the bars where not all are in the strip.
func writeTabs(s State, pic Picture) app.UI {
	if len(pic.Tabs) <= s.perWindow() {
		return app.Text("")
	}
	first, last := s.window()
	var all []app.UI
	for bar := range pic.Tabs {
		n := bar + 1
		b := button("write-select", strconv.Itoa(n)).Class("tab").Aria("pressed", n >= first && n <= last)
		all = append(all, b.Body(app.Elem("span").Class("tab-name").Text(fmt.Sprintf("bar %d", n)), &drawing{SVG: pic.Tabs[bar]}))
	}
	return app.Elem("div").Class("tabs").Role("group").Aria("label", "Bars: press to select one").Body(all...)
}

// writeStrip is the strip as something to edit. It takes the keyboard as one
// thing; what its cursor is on is said in the line after it.
func writeStrip(s State, pic Picture) app.UI {
	return app.Elem("div").Class("strip").Body(
		app.Elem("div").ID("write-strip").Class("edit-strip").TabIndex(0).Role("application").
			Aria("roledescription", "strip").Aria("label", "Strip. Arrow keys move, letters put strokes, digits divide the beat.").
			Aria("describedby", "write-cell").DataSet("keys", "strip").DataSet("draw", "strip").
			Body(&drawing{SVG: pic.SVG}),
		app.Elem("p").ID("write-cell").Class("second", "cell-line").Role("status").Text(cellWords(s)),
	)
}

// cellWords is the cell under the cursor, and what is selected.
func cellWords(s State) string {
	d := s.Write.Draft
	c := d.Cursor()
	if !c.Voice.Valid() {
		return "No voice is written in this step yet."
	}
	words := strip.Speak(d.Passage(), c)
	if d.Selected() {
		span := d.Selection()
		p := d.Passage()
		words += fmt.Sprintf(" Selected: %s, %s to %s.", voiceWords(span.Voices), p.Place(span.From), p.Place(span.To))
	}
	if said := d.Said(); said != "" {
		words = said + " " + words
	}
	return words
}

func voiceWords(voices []passage.Voice) string {
	var names []string
	for _, v := range voices {
		names = append(names, strings.ToLower(v.Label()))
	}
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}

// writeRefused says why the last edit was not made.
func writeRefused(s State) app.UI {
	return app.Elem("p").Class("refused").Role("status").Text(s.Write.Refused)
}

// writeSigns are the strokes that the voice of the cursor plays, as buttons for
// fingers and as a legend for keys, and the division of the beat.
func writeSigns(s State) app.UI {
	d := s.Write.Draft
	c := d.Cursor()
	var signs []app.UI
	add := func(letter, name string) {
		signs = append(signs, button("write-sign", letter).Class("sign").Aria("label", name).Title(name).Body(
			app.Elem("b").Text(letter), app.Elem("span").Text(name)))
	}
	for _, k := range c.Voice.Kinds() {
		add(string(k.Letter()), k.String())
	}
	add("-", "hold")
	add(".", "rest")
	body := []app.UI{app.Elem("div").Class("signs").Role("group").Aria("label", "Strokes").Body(signs...)}
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

// textRows are the fewest rows and columns of the text field.
const (
	textRows = 12
	textCols = 60
)

// writeText is the exercise as text. Under the field lie the marks of its
// problems and of the cell under the cursor.
func writeText(s State) app.UI {
	text := s.Write.Draft.Text()
	rows, cols := sizeOfText(text)
	return app.Elem("section").Class("text-box").Aria("label", "Text").Body(
		app.Elem("div").Class("text-head").Body(
			app.Elem("h2").Text("Text"),
			app.Elem("p").Class("second").Text("One line per voice. A bar ends at |, a beat at a space; the number of cells is how finely the beat is cut."),
		),
		app.Elem("div").Class("text-scroll").Body(
			app.Elem("div").Class("text-sheet").Body(
				&drawing{SVG: underText(s, rows)},
				app.Elem("textarea").ID(textField).Class("text-field").DataSet("text", "true").DataSet("keys", "text").
					Attr("rows", rows).Attr("cols", cols).Attr("wrap", "off").Attr("spellcheck", "false").Attr("autocomplete", "off").Attr("autocapitalize", "off").
					Aria("label", "Text of the exercise").Aria("describedby", "write-problems").Aria("invalid", len(s.Write.Draft.Problems()) > 0),
			),
		),
	)
}

// sizeOfText returns the lines of a text and its longest line, in characters,
// with room to go on.
func sizeOfText(text string) (rows, cols int) {
	for line := range strings.Lines(text) {
		rows++
		cols = max(cols, len([]rune(line)))
	}
	return max(rows+2, textRows), max(cols+4, textCols)
}

// maxMarked is the most problems that are marked in the text; our choice, all
// of them are listed below it.
const maxMarked = 20

// lineHigh is the height of a line of the text field in its own letters, as
// in the style.
const lineHigh = 1.6

// underText draws line numbers and marks under the text field. Lengths are in
// letters of its fixed-width face.
func underText(s State, rows int) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="under-text" aria-hidden="true" focusable="false" width="100%%" height="%.1fem">`, float64(rows)*lineHigh)
	for i, st := range s.Write.Draft.Steps() {
		if i == s.Write.Draft.Step() {
			fmt.Fprintf(&b, `<rect class="text-step" x="0" y="%.1fem" width="0.25ch" height="%.1fem"/>`, float64(st.Line-1)*lineHigh, lineHigh)
		}
	}
	for i, p := range s.Write.Draft.Problems() {
		if i == maxMarked {
			break
		}
		fmt.Fprintf(&b, `<rect class="text-fault" x="%dch" y="%.1fem" width="3ch" height="%.1fem"/>`, p.Column-1, float64(p.Line-1)*lineHigh, lineHigh)
		fmt.Fprintf(&b, `<text class="text-mark" x="%dch" y="%.2fem">%s</text>`, p.Column-1, float64(p.Line)*lineHigh+0.15, html.EscapeString("^"))
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// shownProblems is how many problems are listed at a time; our choice.
const shownProblems = 4

// writeProblems lists what is to be mended, each with its place.
func writeProblems(s State) app.UI {
	ps := s.Write.Draft.Problems()
	var items []app.UI
	for i, p := range ps {
		if i == shownProblems {
			items = append(items, app.Elem("li").Class("second").Text(fmt.Sprintf("and %d more", len(ps)-i)))
			break
		}
		items = append(items, app.Elem("li").Body(
			app.Elem("b").Class("place").Text(fmt.Sprintf("%d:%d", p.Line, p.Column)),
			app.Elem("span").Text(" "+sentence(p.What+"; "+p.Do)+" "),
			button("write-goto", strconv.Itoa(i)).Class("plain").Text("Go there"),
		))
	}
	if len(ps) == 0 {
		for i, c := range s.Write.ClashLines {
			if i == shownProblems {
				break
			}
			items = append(items, app.Elem("li").Body(
				app.Elem("b").Class("place").Text(fmt.Sprintf("%d:%d", c.Line, c.Column)),
				app.Elem("span").Text(" "+sentence(c.What+"; "+c.Do)),
			))
		}
	}
	return app.Elem("ul").ID("write-problems").Class("problems").Role("status").Body(items...)
}

// writeMeasures says how hard the step is, and whether four limbs can play it.
func writeMeasures(s State) app.UI {
	w := s.Write
	words := "Measuring"
	if w.Measured {
		words = ratingWords(w.Rating)
		if len(w.Clashes) == 0 {
			words += " Four limbs can play it."
		}
	}
	return app.Elem("div").Class("measures").Body(
		app.Elem("p").Class("second").Text(words),
		stickingButton(s),
	)
}

// writePair shows the bar before and after the chosen change.
func writePair(s State, pic Picture) app.UI {
	if pic.Pair.Before == "" {
		return app.Text("")
	}
	return app.Elem("section").Class("pair").Aria("label", "Before and after the change").Body(
		app.Elem("figure").Body(app.Elem("figcaption").Text("As it is"), &drawing{SVG: pic.Pair.Before}),
		app.Elem("figure").Body(app.Elem("figcaption").Text("With the change"), &drawing{SVG: pic.Pair.After}),
	)
}

// writeFoot holds what is done next.
func writeFoot(s State) app.UI {
	d := s.Write.Draft
	return app.Elem("div").Class("foot").Body(
		app.Elem("p").Class("quiet").Text(footWords(s)),
		app.Elem("div").Class("actions").Body(
			undoButton("write-undo", "Undo", d.UndoName()),
			undoButton("write-redo", "Redo", d.RedoName()),
			button("write-practise", "").Class("primary").Text("Practise it"),
		),
	)
}

func undoButton(act, label, what string) app.UI {
	b := button(act, "").Attr("disabled", what == "").Text(label)
	if what != "" {
		b = b.Title(label+": "+what).Aria("label", label+": "+what)
	}
	return b
}

func footWords(s State) string {
	d := s.Write.Draft
	if quiet := lesser(s); quiet != "" {
		return quiet
	}
	if s.Write.Unkept {
		return "Not kept on this device."
	}
	if words := draft.Agree(d.Passage(), passage.Kick, passage.Guitar); words != "" {
		return words
	}
	return "Kept on this device as you write."
}
