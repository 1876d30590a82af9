package app

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/progress"
	agenda "stampmill/exercises/plan"
)

// progressPage is the page of what is due today and what the takes of weeks
// show.
func progressPage(s State, pic Picture) []app.UI {
	return []app.UI{
		top(s),
		app.Elem("main").Class("progress-room").Body(
			app.Elem("section").Class("due").Aria("labelledby", "due").Body(
				app.Elem("h2").ID("due").Text("Due today"),
				dueBox(s, pic.Progress),
			),
			app.Elem("div").Class("looks").Body(
				app.Elem("div").Class("progress-head").Body(
					app.Elem("h1").ID("title").TabIndex(-1).Text("Progress"),
					spanBox(s),
				),
				progressBody(s, pic.Progress),
			),
			takeAway(s),
		),
		announcer(s),
	}
}

// dueBox is what is due, once all takes were read.
func dueBox(s State, pic progressPicture) app.UI {
	switch {
	case s.Booked == BookLoading:
		return app.Elem("p").Class("second").Text("The takes are being read.")
	case s.Booked == BookFailed && len(s.Book) == 0:
		return app.Elem("p").Class("second").Text("What is due is not known while the takes cannot be read.")
	}
	return &steady{Part: pic.list}
}

func spanBox(s State) app.UI {
	var all []app.UI
	for _, span := range progress.Spans() {
		all = append(all, button("progress-span", span.String()).Aria("pressed", span == s.span()).Text(span.Label()))
	}
	return app.Elem("div").Class("one-of").Role("group").Aria("label", "How far back").Body(all...)
}

// progressBody is the right of the page in each of its states.
func progressBody(s State, pic progressPicture) app.UI {
	var body []app.UI
	if s.Notice.Fact != "" {
		body = append(body, notice(s.Notice))
	}
	if s.Booked == BookLoading {
		body = append(body, reading(s))
	}
	if s.Booked == BookFailed {
		var failed Notice
		s.Lesser, failed = apart(s.Lesser, unreadFact)
		failed.Fact, failed.Mend = unreadFact, failed.Mend+" Then load this page again. New takes are graded meanwhile."
		body = append(body, notice(failed))
	}
	if quiet := lesser(s); quiet != "" {
		body = append(body, app.Elem("p").Class("quiet").Text(quiet))
	}
	switch {
	case s.Booked == BookLoading: // the charts come when all of it is there
	case len(s.Book) > 0:
		body = append(body, &steady{Part: pic.plots}, &steady{Part: pic.heard}, &steady{Part: pic.takes})
	case s.Booked == BookReady:
		body = append(body, noTakes(), &steady{Part: pic.heard})
	}
	return app.Elem("div").Body(body...)
}

// apart takes the notice of a fact out of others; one with nothing to mend where
// there is none.
func apart(all []Notice, fact string) (rest []Notice, of Notice) {
	for _, n := range all {
		if n.Fact == fact {
			of = n
		} else {
			rest = append(rest, n)
		}
	}
	return rest, of
}

// reading is how much of the book is there.
func reading(s State) app.UI {
	words := "Reading the takes."
	bar := app.Elem("progress").Aria("label", "Reading the takes")
	if s.BookOf > 0 {
		words = "Reading " + thousands(s.BookRead) + " of " + thousands(s.BookOf) + " takes."
		bar = bar.Attr("max", s.BookOf).Attr("value", s.BookRead)
	}
	return app.Elem("div").Class("making").Body(app.Elem("p").Text(words), bar)
}

func noTakes() app.UI {
	return app.Elem("div").Class("notice-box").Body(
		app.Elem("p").Body(app.Elem("strong").Text("No take has been recorded yet."), app.Text(" Each take you play is kept on this device and read here: the tempo you own on each climb, how you lean, how tuplets come out, which places are weak. After three takes a line can be drawn.")),
		button("practise-go", "").ID("start").Class("primary").Text("Play a take"),
	)
}

// dueList is what is due today with the reason of each, and the way to begin.
func dueList(s State, tasks []agenda.Task) app.UI {
	minutes := choice("minutes", "minutes", "Minutes you have", strconv.Itoa(s.Settings.Minutes), minuteOptions(minuteChoices, s.Settings.Minutes))
	if len(tasks) == 0 {
		words := []app.UI{
			app.Elem("p").Body(app.Elem("strong").Text(nothingDue(s))),
			app.Elem("p").Class("second").Text("A step you have played comes back here when it is about to be forgotten."),
		}
		return app.Elem("div").Body(append(words, goOnWith(s, tasks)...)...)
	}
	var items []app.UI
	total := 0.0
	for _, t := range tasks {
		total += t.Minutes
		items = append(items, dueItem(s, t))
	}
	first := tasks[0].Item
	body := []app.UI{
		app.Elem("ol").Class("due-list").Body(items...),
		button("due", itemArg(first)).ID("start").Class("primary", "wide").Text("Start with " + s.climbTitle(first.Climb)),
		app.Elem("p").Class("second").Text("About " + countMinutes(total) + ". Nothing is lost if you leave some for tomorrow."),
		minutes,
	}
	if left := float64(s.Settings.Minutes) - total; left >= agenda.TurnMinutes {
		if more := goOnWith(s, tasks); len(more) > 0 {
			body = append(body, app.Elem("p").Class("second", "then").Text("That leaves "+countMinutes(left)+" to go on where you were."))
			body = append(body, more...)
		}
	}
	return app.Elem("div").Body(body...)
}

// goOnWith opens the step that was played last, where it is not due itself.
func goOnWith(s State, tasks []agenda.Task) []app.UI {
	if len(s.Book) == 0 {
		return nil
	}
	e := s.Book[len(s.Book)-1]
	item := agenda.Item{Climb: e.Exercise, Title: e.Title, Part: e.Part}
	if e.Unread != "" || !s.here(item) {
		return nil
	}
	for _, t := range tasks {
		if t.Item == item {
			return nil
		}
	}
	return []app.UI{button("due", itemArg(item)).Class("wide").Text("Go on with " + s.climbTitle(item.Climb) + ", " + s.stepWord(item.Climb, item.Title))}
}

func nothingDue(s State) string {
	if len(s.Book) == 0 {
		return "Nothing has been played yet, so nothing is due."
	}
	return "Nothing is due today."
}

func dueItem(s State, t agenda.Task) app.UI {
	if t.Rest {
		return app.Elem("li").Class("rest").Body(app.Elem("p").Class("second").Text("Rest. " + t.Why))
	}
	title := s.climbTitle(t.Item.Climb) + ", " + s.stepWord(t.Item.Climb, t.Item.Title)
	again := ""
	if t.Turn > 1 {
		again = ", again"
	}
	return app.Elem("li").Body(
		button("due", itemArg(t.Item)).Class("due-item").Body(
			app.Elem("strong").Text(title+again),
			app.Elem("span").Class("second").Text(partWords(t.Item.Part)+". "+t.Why),
		),
	)
}

// partWords is a part for people: "Kick", "All on one key".
func partWords(part string) string { return partNamed(part).Label() }

func minuteOptions(choices []int, now int) []option {
	var all []option
	there := false
	for _, n := range choices {
		there = there || n == now
		if n > now && !there {
			all, there = append(all, minuteOption(now)), true
		}
		all = append(all, minuteOption(n))
	}
	if !there {
		all = append(all, minuteOption(now))
	}
	return all
}

func minuteOption(n int) option { return option{strconv.Itoa(n), strconv.Itoa(n)} }

func countMinutes(m float64) string {
	n := int(m + 0.5)
	if n == 1 {
		return "1 minute"
	}
	return strconv.Itoa(n) + " minutes"
}

// takeAway hands out everything that was played.
func takeAway(s State) app.UI {
	body := []app.UI{
		app.Elem("h2").ID("take-away").Text("Take it with you"),
		app.Elem("p").Class("second").Text("Every take, with each hit in ms."),
	}
	if s.Transfer.What != "" {
		body = append(body, transferring(s)...)
	} else {
		var buttons []app.UI
		if len(s.Book) > 0 {
			buttons = append(buttons, button("hits", "").ID("export").Text("Export table"))
		}
		body = append(body, app.Elem("div").Class("actions").Body(append(buttons, button("print", "").Class("plain").Text("Print"))...))
	}
	return app.Elem("section").Class("take-away").Aria("labelledby", "take-away").Body(body...)
}

// A plotLayout is how wide the charts are, in CSS pixels, as the style lays
// them out: the window less what is due, gaps and frames.
type plotLayout struct {
	columns int // of tempi
	across  int // charts of timing beside each other: 1, 2 or 3
	narrow  bool

	tempo, leaning, split, weak, minutes float64
}

// Sizes of the style, in CSS pixels.
const (
	dueWidth    = 282
	cardGap     = 12
	cardFrame   = 26  // padding and border, both sides
	tempoLeast  = 228 // a card of a tempo
	mostColumns = 6   // of them
	threeLeast  = 820 // for three charts beside each other
	twoLeast    = 560
	tableLeast  = 700 // for all columns of the table
)

func (s State) plotLayout() plotLayout {
	width := float64(s.Width)
	if s.Width <= 0 {
		width = 1280
	}
	room := width - dueWidth - 48
	if s.phone() {
		room = width - 24
	}
	l := plotLayout{columns: min(max(1, int((room+cardGap)/(tempoLeast+cardGap))), mostColumns), across: 1, narrow: room < tableLeast}
	each := func(n int) float64 { return (room-cardGap*float64(n-1))/float64(n) - cardFrame }
	l.tempo, l.minutes = each(l.columns), each(1)
	l.leaning, l.split, l.weak = each(1), each(1), each(1)
	switch {
	case room >= threeLeast: // 310, 258 and 358 parts of 926
		l.across = 3
		part := (room - 2*cardGap) / 926
		l.leaning, l.split, l.weak = 310*part-cardFrame, 258*part-cardFrame, 358*part-cardFrame
	case room >= twoLeast:
		l.across = 2
		l.leaning, l.split = each(2), each(2)
	}
	return l
}

// plots are the charts.
func plots(s State, v sight) app.UI {
	l := s.plotLayout()
	tempi := v.tempi
	if !s.Progress.Every && len(tempi) > shownClimbs {
		tempi = tempi[:shownClimbs]
	}
	cards := func(class string, all []card, width func(i int) float64) app.UI {
		var figures []app.UI
		for i, c := range all {
			figures = append(figures, chartCard(s, v, c, width(i)))
		}
		return app.Elem("div").Class("cards", class).Body(figures...)
	}
	timing := []float64{l.leaning, l.split, l.weak}
	body := []app.UI{
		app.Elem("div").Class("cards-head").Body(
			app.Elem("h2").Text("Tempo owned"),
			app.Elem("p").Class("second").Text(tempoCaption),
		),
	}
	if len(tempi) == 0 {
		body = append(body, app.Elem("p").Text("No whole step was played in this span."))
	}
	body = append(body, cards("columns-"+strconv.Itoa(l.columns), tempi, func(int) float64 { return l.tempo }))
	if len(v.tempi) > shownClimbs {
		label := "Show all " + strconv.Itoa(len(v.tempi)) + " climbs"
		if s.Progress.Every {
			label = "Show those played last"
		}
		body = append(body, button("progress-every", "").ID("every").Class("small").Text(label))
	}
	body = append(body,
		app.Elem("h2").Class("unseen").Text("Timing"),
		cards("across-"+strconv.Itoa(l.across), v.timing, func(i int) float64 { return timing[i] }),
		app.Elem("h2").Class("unseen").Text("Minutes"),
		cards("across-1", []card{v.daily}, func(int) float64 { return l.minutes }),
	)
	if n := v.report.LeftOut; n > 0 {
		body = append(body, app.Elem("p").Class("quiet").Text(capital(countWord(n, "take"))+" with a date that cannot be, such as one to come, stands in no chart."))
	}
	return app.Elem("div").Body(body...)
}

const tempoCaption = "Line: the highest tempo you passed twice, on the step whose number stands over it. Band: slowest to fastest played that week, none if not played. Dashed: goal."

// chartCard is one chart with its name, what it means, and its files.
func chartCard(s State, v sight, c card, width float64, more ...app.UI) app.UI {
	id := "card-" + c.id
	body := []app.UI{
		app.Elem("figcaption").Class("card-head").Body(
			app.Elem("h3").ID(id).Text(c.title),
			app.Elem("span").Class("second").Text(c.note),
		),
		cardChoice(s, v, c),
	}
	if c.chart == nil {
		return app.Elem("figure").Class("card").Aria("labelledby", id).Body(append(body, app.Elem("p").Class("says").Text(c.says))...)
	}
	body = append(body, &drawing{SVG: c.chart.SVG(width)})
	if c.says != "" {
		body = append(body, app.Elem("p").Class("says").Body(coloured(c.says)...))
	}
	body = append(body, more...)
	if c.id == "leaning" && v.report.Lately.Takes == 0 && v.report.Unknown > 0 {
		body = append(body, button("measure-go", "").Class("small").Text("Measure the delay"))
	}
	if c.id == "weak" && v.bar > 0 {
		body = append(body, button("progress-bar", strconv.Itoa(v.bar)).Class("small").Text("Practise bar "+strconv.Itoa(v.bar)))
	}
	body = append(body, app.Elem("details").Class("card-files").Body(
		app.Elem("summary").Aria("label", "Save: "+c.title).Text("Save"),
		app.Elem("div").Class("actions").Body(
			button("chart-svg", c.id).Class("small").Aria("label", "Save "+c.title+" as a picture, SVG").Text("Picture, SVG"),
			button("chart-csv", c.id).Class("small").Aria("label", "Save "+c.title+" as numbers, CSV").Text("Numbers, CSV"),
		),
	))
	return app.Elem("figure").Class("card").Aria("labelledby", id).Body(body...)
}

// cardChoice is what of a chart can be chosen: the step, or the tuplet.
func cardChoice(s State, v sight, c card) app.UI {
	var options []option
	switch {
	case c.id == "weak" && len(v.report.Played) > 1:
		for _, p := range v.report.Played[:min(len(v.report.Played), maxChoices)] {
			options = append(options, option{chosenArg(p), s.climbTitle(p.Exercise) + ", " + s.stepWord(p.Exercise, p.Title) + ", " + strings.ToLower(partWords(p.Part))})
		}
		return cardSelect("progress-weak", "Whose weak places", chosenArg(v.report.Weak.Chosen), options)
	case c.id == "split" && len(v.report.Tuplets) > 1:
		for _, t := range v.report.Tuplets {
			options = append(options, option{t, t})
		}
		return cardSelect("progress-tuplet", "Which split", v.report.Split.Tuplet, options)
	}
	return app.Text("")
}

// maxChoices is how many steps can be chosen, those played last: our choice, a
// list that can still be gone through.
const maxChoices = 60

func cardSelect(act, label, value string, options []option) app.UI {
	var body []app.UI
	for _, o := range options {
		body = append(body, app.Elem("option").Attr("value", o.value).Attr("selected", o.value == value).Text(o.label))
	}
	return app.Elem("select").ID(act).Class("card-choice").DataSet("act", act).Aria("label", label).Attr("value", value).Body(body...)
}

func chosenArg(c progress.Chosen) string {
	return itemArg(agenda.Item{Climb: c.Exercise, Title: c.Title, Part: c.Part})
}
