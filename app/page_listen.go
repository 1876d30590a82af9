package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/exercises/ear"
)

// listenPage is the page on which the ear is trained.
func listenPage(s State, pic Picture) []app.UI {
	var room []app.UI
	switch {
	case s.Listen.Stage == ListenEnded:
		room = listenEnded(s)
	case s.trialShows() && len(s.Listen.Trial.Asks) == 0:
		room = listenMaking(s)
	case s.Listen.Stage == ListenAnswered:
		room = listenAnswered(s, pic.Listen)
	case s.Listen.Stage == ListenAsking:
		room = listenAsking(s, pic.Listen)
	default:
		room = listenReady(s)
	}
	head := top(s)
	switch {
	case s.phone() && s.Listen.Taking:
		head = app.Elem("header").Class("top").Body(
			app.Elem("div").Class("brand").Body(&drawing{SVG: brand}, app.Elem("span").Class("phone-tempo").Text(tapPlace(s))),
			keyed(button("listen-tap", "").ID("listen-tap").Class("primary"), "Stop", "Esc", s),
		)
		room = []app.UI{listenHeading(s)[0], tapBox(s)}
	case s.phone() && s.trialShows():
		head = top(s, app.Elem("p").Class("meta").Text(questionNumber(s)), endButton(s))
	}
	return []app.UI{
		head,
		app.Elem("main").Class("listen-room").Body(room...),
		announcer(s),
	}
}

// listenReady is what a session is, and the one press that begins it.
func listenReady(s State) []app.UI {
	minutes := s.Settings.ListenMinutes
	return []app.UI{
		app.Elem("div").Class("listen-begin").Body(
			app.Elem("h1").ID("title").TabIndex(-1).Text("Listen"),
			app.Elem("p").Class("lead").Text("Hear a passage, say what you heard, then see it. The passages are those of your climbs, and what changes in them are the changes you practise."),
			frontNotice(s),
			app.Elem("div").Class("actions").Body(
				keyed(button("listen-start", "").ID("listen-start").Class("big", "primary"), "Start listening", "Space", s),
				choice("listen-minutes", "listen-minutes", "Minutes", strconv.Itoa(minutes), minuteOptions(listenMinutes, minutes)),
			),
			making(s),
			app.Elem("p").Class("quiet").Text("No clock is shown and nothing is scored. A question can be heard as often as you like, and each can be answered with eyes shut."),
			soundCaution(s),
		),
		app.Elem("section").Class("listen-tasks").Aria("labelledby", "listen-tasks").Body(
			app.Elem("h2").ID("listen-tasks").Text("What is asked"),
			app.Elem("p").Class("second").Text("They come two or three at a time. Press one to leave it out."),
			taskList(s),
		),
		lesserLine(s),
	}
}

// listenMinutes are the lengths of a session that are offered. Our choice.
var listenMinutes = []int{5, 10, 15, 20, 30, mostListening}

// soundCaution stands where the first sound may be started.
func soundCaution(s State) app.UI {
	if s.Settings.Heard {
		return app.Text("")
	}
	return app.Elem("p").Class("caution").Body(
		app.Elem("strong").Text(soundDown),
		app.Text(" Low drums and guitar can harm hearing before they seem loud, above all in headphones."),
	)
}

func lesserLine(s State) app.UI {
	if quiet := lesser(s); quiet != "" {
		return app.Elem("p").Class("quiet").Text(quiet)
	}
	return app.Text("")
}

// taskList are the kinds of question; a pressed one is asked.
func taskList(s State) app.UI {
	var all []app.UI
	for _, t := range ear.Tasks() {
		on := s.Settings.asks(t.Name)
		state := app.Elem("span").Class("task-state")
		if on {
			state = state.Class("unseen").Text("asked")
		} else {
			state = state.Text("left out")
		}
		all = append(all, app.Elem("li").Body(button("listen-task", t.Name).Class("listen-task").Aria("pressed", on).Body(
			app.Elem("span").Class("box").Aria("hidden", "true"),
			app.Elem("span").Class("task-words").Body(
				app.Elem("strong").Text(t.Title), app.Text(" "),
				app.Elem("span").Class("second").Text(t.About),
				app.Text(" "), state,
			),
		)))
	}
	return app.Elem("ul").Class("task-list").Body(all...)
}

// listenMaking is the page while a question is being made.
func listenMaking(s State) []app.UI {
	return []app.UI{
		app.Elem("h1").ID("title").TabIndex(-1).Text("Listen"),
		frontNotice(s),
		app.Elem("p").Class("second").Text("Making the question."),
	}
}

// listenEnded is what a session came to, and one thing to do next.
func listenEnded(s State) []app.UI {
	var lines []app.UI
	for _, line := range s.Listen.Summary.Lines {
		lines = append(lines, app.Elem("li").Text(line))
	}
	if len(lines) == 0 {
		lines = append(lines, app.Elem("li").Text("No question was answered."))
	}
	return []app.UI{
		app.Elem("div").Class("listen-begin").Body(
			app.Elem("h1").ID("title").TabIndex(-1).Text(endedTitle(len(s.Listen.Here))),
			frontNotice(s),
			app.Elem("ul").Class("listen-lines").Body(lines...),
			app.Elem("p").Class("second").Body(app.Elem("strong").Text("Next: "), app.Text(s.Listen.Summary.Next)),
			app.Elem("div").Class("actions").Body(endedActions(s)...),
			app.Elem("p").Body(app.Elem("a").Class("page-link").Attr("href", href(progressPath)).Text("All answers on Progress")),
		),
		lesserLine(s),
	}
}

// endedActions go on with what is suggested, with all tasks, or with others.
func endedActions(s State) []app.UI {
	words := "Listen again"
	t, one := ear.Named(s.Listen.Summary.Task)
	if one {
		words += ": " + t.Title
	}
	all := []app.UI{keyed(button("listen-start", s.Listen.Summary.Task).ID("listen-start").Class("big", "primary"), words, "Space", s)}
	if one && len(s.wantedTasks()) > 1 {
		all = append(all, button("listen-start", "").Text("All tasks, mixed"))
	}
	return append(all, button("listen-back", "").Class("plain").Text("Minutes and tasks"))
}

func endedTitle(answered int) string {
	if answered == 0 {
		return "The session is over"
	}
	return capital(countWord(answered, "question")) + " answered"
}

// questionNumber says which question of the session it is.
func questionNumber(s State) string { return "question " + strconv.Itoa(max(s.Listen.Number, 1)) }

// trialMeta says where the question is from: "Tailings, Gallop · 132 · question 4".
func trialMeta(s State) string {
	t := s.Listen.Trial
	words := s.climbTitle(t.Source.Climb)
	if t.Source.Title != "" {
		words += ", " + t.Source.Title
	}
	if tempo := heardTempo(t); tempo != "" && s.Listen.Trial.Task.Name != "tempo" {
		words += " · " + tempo
	}
	return words + " · " + questionNumber(s)
}

func heardTempo(t ear.Trial) string {
	if len(t.Sounds) == 0 || len(t.Sounds[0].Strip.Bars) == 0 {
		return ""
	}
	return number(t.Sounds[0].Strip.Bars[0].Tempo.BPM.Float())
}

func endButton(s State) app.UI {
	return button("listen-end", "").ID("listen-end").Class("small").Text("End")
}

// listenHeading is the question, or on the page of the answer what it was.
func listenHeading(s State) []app.UI {
	h := app.Elem("h1").ID("title").TabIndex(-1).Text(trialHeading(s.Listen.Trial))
	if s.phone() {
		return []app.UI{h}
	}
	return []app.UI{
		app.Elem("div").Class("head").Body(
			h, app.Elem("p").Class("meta").Text(trialMeta(s)),
			app.Elem("div").Class("head-settings").Body(button("listen-end", "").ID("listen-end").Class("small").Text("End session")),
		),
	}
}

// trialHeading is the question of the first ask.
func trialHeading(t ear.Trial) string {
	if len(t.Asks) > 0 && t.Asks[0].Question != "" {
		return t.Asks[0].Question
	}
	return t.Task.Question
}

// soundBoxes are the sounds of the question with their strips.
func soundBoxes(s State, pic listenPicture) app.UI {
	var all []app.UI
	for i := range s.Listen.Trial.Sounds {
		all = append(all, soundBox(s, pic, i))
	}
	class := "sounds-" + strconv.Itoa(len(all))
	if s.Listen.Stage == ListenAnswered {
		all = append(all, writtenBox(pic, len(all))...)
	}
	return app.Elem("div").Class("sounds", class).Body(all...)
}

// writtenBox is what the player wrote, under what was to be written.
func writtenBox(pic listenPicture, from int) []app.UI {
	if from != 1 || len(pic.SVG) < 2 {
		return nil
	}
	return []app.UI{app.Elem("section").Class("sound").Aria("label", "As you wrote it").Body(
		app.Elem("div").Class("sound-head").Body(app.Elem("h2").Class("sound-words").Text("As you wrote it")),
		app.Elem("div").Class("heard-strip").Body(&drawing{SVG: pic.SVG[1]}),
	)}
}

// soundBox is one sound: its letter, the button that plays it, how often it was
// heard or what it is, and its strip.
func soundBox(s State, pic listenPicture, i int) app.UI {
	label := s.Listen.Trial.Sounds[i].Label
	class := "silent"
	if s.hears(i) {
		class = "sounding"
	}
	head := []app.UI{}
	if label != "" {
		head = append(head, app.Elem("h2").Class("letter").Text(label))
	}
	if !s.tapsToIt() {
		head = append(head, playButton(s, i))
	}
	body := []app.UI{}
	if i < len(pic.SVG) {
		body = append(body, app.Elem("div").Class("heard-strip").Body(&drawing{SVG: pic.SVG[i]}))
	}
	if s.phone() && s.Listen.Stage == ListenAsking { // all in one row
		return app.Elem("section").Class("sound", "row-of-sound", class).Aria("label", soundName(label)).Body(append(head, body...)...)
	}
	head = append(head, app.Elem("p").Class("second", "sound-note").Text(soundNote(s, i)))
	return app.Elem("section").Class("sound", class).Aria("label", soundName(label)).Body(append([]app.UI{app.Elem("div").Class("sound-head").Body(head...)}, body...)...)
}

func soundName(label string) string {
	if label == "" {
		return "The sound"
	}
	return "Sound " + label
}

// tapsToIt reports whether the sound is tapped along to: then it is heard by
// tapping.
func (s State) tapsToIt() bool {
	ask, ok := s.Listen.ask(ear.Taps)
	return ok && ask.Under == nil && s.Listen.Stage == ListenAsking
}

// hears reports whether a sound of the question is heard or about to be,
// slowly or not.
func (s State) hears(i int) bool {
	n := len(s.Listen.Trial.Sounds)
	at := s.Listen.Sounding
	return s.Phase != Idle && at >= 0 && n > 0 && (at == i || at == n+i)
}

// playButton plays a sound and stops it. It is copper while it plays, and while
// this sound is what comes next.
func playButton(s State, i int) app.UI {
	label, key := s.Listen.Trial.Sounds[i].Label, s.Listen.Trial.Sounds[i].Label
	if key == "" {
		key = "Space"
	}
	b := button("listen-play", strconv.Itoa(i)).ID("listen-play-" + strconv.Itoa(i)).Class("play")
	words := "Play"
	switch {
	case s.hears(i):
		words, b = "Stop", b.Class("primary")
	case s.Listen.Stage == ListenAsking && s.nextToHear() == i:
		b = b.Class("primary")
	}
	if label != "" {
		words += " " + label
	}
	if s.phone() && s.Listen.Stage == ListenAsking {
		b = b.Aria("label", words)
		words, _, _ = strings.Cut(words, " ")
	}
	return keyed(b, words, key, s)
}

// nextToHear is the sound that was not heard yet while nothing plays; -1 for
// none.
func (s State) nextToHear() int {
	if s.Phase != Idle || s.complete() {
		return -1
	}
	for i := range s.Listen.Trial.Sounds {
		if s.plays(i) == 0 {
			return i
		}
	}
	return -1
}

func (s State) plays(i int) int {
	if i < len(s.Listen.Plays) {
		return s.Listen.Plays[i]
	}
	return 0
}

// complete reports whether the answer can be marked: all was heard that is asked
// about, and enough was answered.
func (s State) complete() bool { return len(s.Listen.Trial.Asks) > 0 && missingWords(s) == "" }

// wrote reports whether a stroke was written.
func (s State) wrote() bool {
	for _, l := range s.Listen.Draft.Passage().Lines {
		if len(l.Strokes) > 0 {
			return true
		}
	}
	return false
}

// soundNote is how often a sound was heard, and afterwards what it is.
func soundNote(s State, i int) string {
	l := s.Listen
	if l.Stage == ListenAnswered {
		return heardAs(s, i)
	}
	switch n := s.plays(i); {
	case s.hears(i) && n <= 1:
		return "playing"
	case s.hears(i):
		return "playing, " + nth(n) + " time"
	case n == 0:
		return "not heard yet"
	case n == 1:
		return "heard once"
	case n == 2:
		return "heard twice"
	default:
		return "heard " + strconv.Itoa(n) + " times"
	}
}

func nth(n int) string {
	words := []string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth"}
	if n < len(words) {
		return words[n]
	}
	return strconv.Itoa(n) + "th"
}

func heardAs(s State, i int) string {
	l := s.Listen
	switch {
	case len(l.Trial.Sounds) != 2 && l.Trial.Task.Answered == ear.Strip:
		return "as you heard it"
	case len(l.Trial.Sounds) != 2:
		return ""
	case i == 0:
		return "as written"
	case len(l.Result.Spans) == 0:
		return "the same as A"
	case l.Trial.Task.Name == "ahead", l.Trial.Task.Name == "tempo":
		return differenceNote(s)
	}
	return "one change"
}

func differenceNote(s State) string { return s.differenceWord() }
