package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/strip"
	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
)

// listenAsking is a question that waits for its answer. On a phone the sounds
// stand first, as small covers beside the buttons that play them.
func listenAsking(s State, pic listenPicture) []app.UI {
	var body []app.UI
	notes := []app.UI{frontNotice(s), passedOver(s)}
	if s.phone() {
		body = append(body, notes...)
		body = append(body, soundBoxes(s, pic), phoneCoverNote(s))
		body = append(body, listenHeading(s)...)
	} else {
		body = append(body, listenHeading(s)...)
		body = append(body, notes...)
		body = append(body, soundBoxes(s, pic))
	}
	var foot []app.UI
	for i, ask := range s.Listen.Trial.Asks {
		switch ask.Kind {
		case ear.Choose:
			body = append(body, choiceCards(s, pic, i))
		case ear.Place:
			box := placeBox(s, ask, i)
			if s.phone() || i == 0 {
				body = append(body, box)
			} else {
				foot = append(foot, box)
			}
		case ear.Strip:
			body = append(body, paperBox(s, pic, ask))
		case ear.Taps:
			body = append(body, tapBox(s))
		}
	}
	return append(body, listenFoot(s, foot, askingHint(s), askingActions(s)...))
}

func phoneCoverNote(s State) app.UI {
	words := "Covered until you answer. No clock runs."
	if len(s.Listen.Trial.Sounds) == 2 {
		words = "Both stay covered until you answer. No clock runs."
	}
	return app.Elem("p").Class("second", "cover-note").Text(words)
}

// passedOver says which source was taken instead of another, and why.
func passedOver(s State) app.UI {
	if s.Listen.Note == "" {
		return app.Text("")
	}
	return app.Elem("p").Class("quiet").Text(s.Listen.Note)
}

// choiceCards are the answers as words with small strips. i is the index of
// the ask.
func choiceCards(s State, pic listenPicture, i int) app.UI {
	ask, nth := s.Listen.Trial.Asks[i], chooseIndex(s.Listen.Trial, i)
	var all []app.UI
	for n, c := range ask.Choices {
		arg := strconv.Itoa(n)
		if nth > 0 {
			arg = strconv.Itoa(nth) + ":" + arg
		}
		b := button("listen-choose", arg).Class("choice-card").Aria("pressed", s.chose(nth) == n)
		if key := cardKey(s, ask, n, nth); key != "" {
			b = b.Attr("aria-keyshortcuts", key)
		}
		all = append(all, b.Body(cardWords(c, cardKey(s, ask, n, nth), minisOf(pic, nth, n))...))
	}
	group := app.Elem("div").Class("choices", choiceClass(ask)).Role("group")
	if i == 0 {
		return group.Aria("labelledby", "title").Body(all...)
	}
	return app.Elem("section").Body(
		app.Elem("h2").ID("ask-"+strconv.Itoa(i)).Text(ask.Question),
		group.Aria("labelledby", "ask-"+strconv.Itoa(i)).Body(all...),
	)
}

// chooseIndex returns which of the asks with choices an ask is, from 0.
func chooseIndex(t ear.Trial, ask int) int {
	n := 0
	for _, a := range t.Asks[:ask] {
		if a.Kind == ear.Choose {
			n++
		}
	}
	return n
}

// choiceClass lays the answers out by their number and whether they have
// pictures.
func choiceClass(ask ear.Ask) string {
	pictures := false
	for _, c := range ask.Choices {
		pictures = pictures || c.From != nil
	}
	switch {
	case len(ask.Choices) <= 2:
		return "choices-2"
	case !pictures:
		return "choices-plain"
	}
	return "choices-8"
}

func minisOf(pic listenPicture, nth, n int) [2]string {
	if nth == 0 && n < len(pic.Minis) {
		return pic.Minis[n]
	}
	return [2]string{}
}

// choiceKey is the key that chooses an answer: its number in order, or the
// number that it is; "" for none.
func choiceKey(ask ear.Ask, n int) string {
	if _, err := strconv.Atoi(ask.Choices[0].Words); err == nil {
		return ask.Choices[n].Words
	}
	if n < 9 {
		return strconv.Itoa(n + 1)
	}
	return ""
}

// cardKey is the key of a card where single keys work.
func cardKey(s State, ask ear.Ask, n, nth int) string {
	if nth > 0 || !s.Settings.Single || s.phone() {
		return ""
	}
	return choiceKey(ask, n)
}

// cardWords are the words of an answer with its key and its small strips. They
// are also its name: where a screen reader wants more, it is told that.
func cardWords(c ear.Choice, key string, minis [2]string) []app.UI {
	more, longer := strings.CutPrefix(c.Says, c.Words+": ")
	name := app.Elem("strong").Text(c.Words)
	words := []app.UI{name}
	if !longer && c.Says != "" && c.Says != c.Words {
		words = []app.UI{name.Aria("hidden", "true"), app.Elem("span").Class("unseen").Text(c.Says)}
	}
	if key != "" && key != c.Words {
		words = append([]app.UI{app.Elem("kbd").Aria("hidden", "true").Text(key)}, words...)
	}
	body := []app.UI{app.Elem("span").Class("card-words").Body(words...)}
	if minis[0] != "" {
		return append(body, app.Elem("span").Class("minis").Aria("hidden", "true").Body(
			app.Elem("span").Class("second").Text("from"), &drawing{SVG: minis[0]},
			app.Elem("span").Class("second").Text("to"), &drawing{SVG: minis[1]},
		))
	}
	if longer {
		return append(body, app.Elem("span").Class("second").Text(capital(more)+"."))
	}
	return body
}

// placeBox are the beats that may be named, bar by bar.
func placeBox(s State, ask ear.Ask, i int) app.UI {
	id, class := "title", "places-first"
	var head app.UI = app.Text("")
	if i > 0 {
		class = "places"
		id = "ask-" + strconv.Itoa(i)
		head = app.Elem("h2").ID(id).Aria("label", ask.Question).Text("Where?")
	}
	return app.Elem("div").Class("places", class).Role("group").Aria("labelledby", id).Body(append([]app.UI{head}, placeBars(ask, func(p passage.Place) app.UI {
		here := p.Bar == s.Listen.Place.Bar && p.Beat == s.Listen.Place.Beat
		return button("listen-place", placeArg(p)).Class("place-button").Aria("pressed", here).Aria("label", placeName(p)).Text(p.Beat)
	})...)...)
}

func placeArg(p passage.Place) string { return strconv.Itoa(p.Bar) + "." + strconv.Itoa(p.Beat) }

func placeName(p passage.Place) string {
	return "Bar " + strconv.Itoa(p.Bar) + ", beat " + strconv.Itoa(p.Beat)
}

// placeBars are the beats of an ask as rows, one a bar.
func placeBars(ask ear.Ask, draw func(passage.Place) app.UI) []app.UI {
	var rows []app.UI
	for from := 0; from < len(ask.Places); {
		bar := ask.Places[from].Bar
		row := []app.UI{app.Elem("span").Class("second").Aria("hidden", "true").Text("bar " + strconv.Itoa(bar))}
		for ; from < len(ask.Places) && ask.Places[from].Bar == bar; from++ {
			row = append(row, draw(ask.Places[from]))
		}
		rows = append(rows, app.Elem("div").Class("place-bar").Body(row...))
	}
	return rows
}

// paperBox is the empty strip of a dictation with the strokes to write.
func paperBox(s State, pic listenPicture, ask ear.Ask) app.UI {
	d := s.Listen.Draft
	return app.Elem("section").Class("paper").Aria("label", "Your strip").Body(
		app.Elem("div").Class("strip").Body(
			app.Elem("div").ID("listen-strip").Class("edit-strip").TabIndex(0).Role("application").
				Aria("roledescription", "strip").Aria("label", "Empty strip: "+spokenVoices(ask.Voices)).Aria("describedby", "listen-keys").
				DataSet("keys", "listen-strip").DataSet("draw", "listen-strip").Body(&drawing{SVG: pic.Write}),
			app.Elem("p").ID("listen-cell").Class("second", "cell-line").Aria("hidden", "true").Text(paperWords(s)),
			app.Elem("p").ID("listen-keys").Class("second", "keys-line").Text("Arrows move. A letter strikes, a point clears, 1 to 9 cut the beat. Ctrl and Z undoes."),
		),
		app.Elem("div").Class("sign-row").Body(
			paperSigns(s),
			choice("listen-divide", "listen-divide", "Beat in", strconv.Itoa(max(d.Cursor().Of, 1)), cellsOptions(d.Cursor().Of)),
			undoButton("listen-undo", "Undo", d.UndoName()),
			undoButton("listen-redo", "Redo", d.RedoName()),
			button("listen-clear", "").Text("Clear"),
		),
	)
}

func spokenVoices(voices []passage.Voice) string {
	var all []string
	for _, v := range voices {
		all = append(all, v.Spoken())
	}
	return joinWords(all)
}

// paperWords says the cell under the cursor.
func paperWords(s State) string {
	d := s.Listen.Draft
	if c := d.Cursor(); c.Voice.Valid() {
		return strip.Speak(d.Passage(), c) + "."
	}
	return ""
}

// listenCell is what the announcer says beside what happened: why an answer was
// not taken, or the cell under the cursor of a dictation.
func listenCell(s State) string {
	switch {
	case s.Page != listenPath || s.Listen.Stage != ListenAsking:
		return ""
	case s.Listen.Refused != "":
		return s.Listen.Refused
	case s.dictating():
		return paperWords(s)
	}
	return ""
}

// paperSigns are the strokes that the asked voice plays.
func paperSigns(s State) app.UI {
	var signs []app.UI
	add := func(letter, name string) {
		signs = append(signs, button("listen-sign", letter).Class("sign").Title(name).Body(
			app.Elem("b").Text(letter), app.Text(" "), app.Elem("span").Text(name)))
	}
	c := s.Listen.Draft.Cursor()
	for _, k := range c.Voice.Kinds() {
		add(string(k.Letter()), k.String())
	}
	add("-", "hold")
	add(".", "rest")
	return app.Elem("div").Class("signs").Role("group").Aria("label", "Strokes").Body(signs...)
}

// tapBox is where the player taps: how it goes, and on touch screens the area.
func tapBox(s State) app.UI {
	if s.Listen.Taking {
		return app.Elem("section").Class("tapping").Aria("label", "Tapping").Body(
			app.Elem("p").Class("place", "wide-only").Text(tapPlace(s)),
			app.Elem("p").Class("second").Text(tapHint(s)),
			tapMaking(s),
			app.Elem("div").Class("areas", "areas-1").Body(
				app.Elem("div").ID("area-0").Class("area").DataSet("area", 0).Body(app.Elem("strong").Text("tap here"), app.Elem("span").Text("or any letter key")),
			),
		)
	}
	return app.Elem("section").Class("tapping").Aria("label", "Tapping").Body(
		app.Elem("p").Text(s.Listen.Trial.Task.About),
		app.Elem("p").Class("second").Text("Any letter key or a touch is a tap. It is marked when it ends by itself; stopped before, nothing is marked."),
		delayHint(s),
	)
}

// tapMaking is how far the sounds are, on a phone, whose foot is the area.
func tapMaking(s State) app.UI {
	if !s.phone() {
		return app.Text("")
	}
	return making(s)
}

func tapPlace(s State) string {
	switch {
	case s.Phase == Starting:
		return "Starting"
	case s.Pass < 0:
		return "Count-in"
	}
	return "Tap now"
}

func tapHint(s State) string {
	if s.phone() {
		return "Stop ends it, and nothing is marked."
	}
	return "Every letter key is a tap. Esc stops it, and nothing is marked."
}

// delayHint says that without a measured delay early and late are not known,
// where that matters.
func delayHint(s State) app.UI {
	if s.delayKnown() || !s.Listen.wantsDelay() {
		return app.Text("")
	}
	return app.Elem("p").Class("second", "delay-hint").Body(
		app.Text("The delay is not measured, so how early or late you are is not known exactly. "),
		button("measure-go", "").Class("small").Text("Measure the delay"),
	)
}

// listenFoot stays in view: the places, a quiet line, and what comes next.
func listenFoot(s State, left []app.UI, hint string, actions ...app.UI) app.UI {
	body := left
	switch {
	case s.Phase == Starting && s.Making.Made < s.Making.Needed:
		body = append(body, making(s))
	case hint != "":
		body = append(body, app.Elem("p").Class("quiet").Text(hint))
	}
	return app.Elem("div").Class("foot", "listen-foot").Body(append(body, app.Elem("div").Class("actions").Body(actions...))...)
}

// askingHint is the quiet line at the foot: why the last answer was not taken,
// and else that there is no hurry.
func askingHint(s State) string {
	switch quiet := lesser(s); {
	case s.Listen.Refused != "":
		return s.Listen.Refused
	case quiet != "":
		return quiet
	case s.phone() || s.Listen.Taking:
		return ""
	}
	if s.tapsToIt() {
		return "No clock runs."
	}
	return "No clock runs. Listen as often as you like."
}

// askingActions is the button that answers. It is copper once there is an
// answer and nothing sounds.
func askingActions(s State) []app.UI {
	if ask, taps := s.Listen.ask(ear.Taps); taps {
		return []app.UI{tapButton(s, ask)}
	}
	b := button("listen-answer", "").ID("listen-answer").Class("answer")
	missing := missingWords(s)
	switch {
	case missing != "":
		b = b.Class("not-now").Aria("describedby", "listen-missing")
	case s.Phase == Idle:
		b = b.Class("primary")
	}
	actions := []app.UI{keyed(b, "Answer", "Enter", s)}
	if missing != "" {
		actions = append(actions, app.Elem("span").ID("listen-missing").Class("unseen").Text(missing))
	}
	return actions
}

// tapButton begins the taps and stops them.
func tapButton(s State, ask ear.Ask) app.UI {
	b := button("listen-tap", "").ID("listen-tap").Class("answer")
	switch {
	case s.Listen.Taking:
		return keyed(b.Class("primary"), "Stop", "Esc", s)
	case s.Phase == Idle && (ask.Under == nil || s.nextToHear() < 0):
		b = b.Class("primary")
	}
	if ask.Under == nil {
		return keyed(b, "Play, and tap along", "Enter", s)
	}
	return keyed(b, "Tap it back", "Enter", s)
}

// missingWords says what is still to be done before an answer; "" for nothing.
func missingWords(s State) string {
	if words := unready(s); words != "" {
		return words
	}
	chooses := 0
	for _, a := range s.Listen.Trial.Asks {
		switch a.Kind {
		case ear.Choose:
			if s.chose(chooses) < 0 {
				return "Choose one first."
			}
			chooses++
		case ear.Place:
			if len(s.Listen.Trial.Asks) == 1 && s.Listen.Place.Bar == 0 {
				return "Name a beat first."
			}
		case ear.Strip:
			if !s.wrote() {
				return "Write a stroke first."
			}
		}
	}
	return ""
}

// chose returns the choice of the nth ask with choices, -1 for none.
func (s State) chose(nth int) int {
	if nth < len(s.Listen.Chosen) {
		return s.Listen.Chosen[nth]
	}
	return -1
}
