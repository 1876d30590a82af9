package app

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/exercises/grade"
)

// practise is the page of takes. Ready, playing and verdict have the same
// places; what is not for a running take is hidden and keeps its room.
func practise(s State, pic Picture) []app.UI {
	if s.phone() {
		return phonePractise(s, pic)
	}
	return []app.UI{
		top(s),
		app.Elem("section").Class("transport").Aria("label", "Transport").Body(
			goButton(s),
			tempoBox(s),
			app.Elem("div").Class("settings", "away").Body(
				button("tap", "").Class("tap").Attr("aria-keyshortcuts", "T").Text("Tap tempo"),
				countInBox(s),
				loopBox(s),
				clickBox(s),
			),
		),
		app.Elem("aside").Class("climb").Aria("label", "Climb").Body(
			climbBox(s),
			stepList(s),
			app.Elem("div").Class("climb-more", "away").Body(silenceBox(s)),
		),
		app.Elem("main").Class("room").Body(
			head(s),
			tabs(s, pic),
			stripBox(s, pic),
			words(s),
			foot(s),
		),
		announcer(s),
	}
}

func head(s State) app.UI {
	return app.Elem("div").Class("head").Body(
		app.Elem("h1").ID("title").TabIndex(-1).Text(s.entry().Climb.Title),
		app.Elem("p").Class("meta").Text(meta(s)),
		app.Elem("div").Class("head-settings", "away").Body(partBox(s), passesBox(s)),
	)
}

func meta(s State) string {
	n := fmt.Sprintf("Step %d of %d", s.Step+1, len(s.entry().Climb.Steps))
	switch {
	case s.taking():
		return fmt.Sprintf("%s · take %d at %d · you play %s", n, s.Today+1, s.Tempo, s.part().said())
	case s.Verdict != nil:
		return fmt.Sprintf("%s · take %d at %d · you played %s", n, s.Verdict.Nth, s.Verdict.Tempo, s.Verdict.Part.said())
	}
	return fmt.Sprintf("%s · %s", n, s.metreWords())
}

// tabs is the overview of the bars: pressing one loops it.
func tabs(s State, pic Picture) app.UI {
	from, to := s.bars()
	var all []app.UI
	for bar := range pic.Tabs {
		n := bar + 1
		in := n >= from && n <= to
		looped := in && s.Loop != (Range{})
		b := button("bar", strconv.Itoa(n)).Class("tab").Aria("pressed", looped).Attr("disabled", s.taking())
		if in {
			b = b.Class("in")
		}
		if s.phone() {
			b = b.Aria("pressed", n == max(s.Bar, 1))
		}
		words := []app.UI{app.Elem("span").Class("tab-name").Text(fmt.Sprintf("bar %d", n))}
		if s.showsVerdict() {
			if said, judgement := s.Verdict.barWords(n); said != "" {
				words = append(words, barVerdict(said, judgement))
			}
		} else {
			words = append(words, &drawing{SVG: pic.Tabs[bar]})
		}
		all = append(all, b.Body(words...))
	}
	label := "Bars: press to loop"
	if s.phone() {
		label = "Bars: press to see one, press it again to loop it"
	}
	return app.Elem("div").Class("tabs").Role("group").Aria("label", label).Body(all...)
}

// stripBox is the strip; over its column of names lie the buttons that mute.
func stripBox(s State, pic Picture) app.UI {
	if s.phone() { // here names only name; silence is under More
		return app.Elem("div").Class("strip").Body(&drawing{SVG: pic.SVG})
	}
	over := app.Elem("div").Class("over").Role("group").Aria("label", "Voices")
	l := pic.Layout
	if len(l.Rows) > 0 {
		over = over.Class(overClass(l.Rows[0].Y, l.RowHeight))
	}
	var names []app.UI
	for _, row := range l.Rows {
		label := row.Label
		if row.Muted {
			label += ", silent"
		}
		names = append(names, button("mute", row.Voice.String()).Class("mute").Attr("disabled", s.taking()).Aria("pressed", row.Muted).Aria("label", "Mute "+strings.ToLower(row.Label)).Title(label))
	}
	return app.Elem("div").Class("strip").Body(&drawing{SVG: pic.SVG}, over.Body(names...))
}

// overClass says by class how tall the rows are and where they begin; the
// policy of the page allows no style on an element.
func overClass(first, row float64) string {
	class := "rows-" + number(math.Round(row))
	if first-row/2 > 60 {
		class += " raised"
	}
	return class
}

// words is the room under the strip: what is new, the quiet line of a take, or
// what came of it.
func words(s State) app.UI {
	body := wordsNow(s)
	if s.phone() { // its foot has no room for these
		if !s.Settings.Heard {
			body = append([]app.UI{app.Elem("p").Class("quiet").Text(soundDown)}, body...)
		}
		if quiet := lesser(s); quiet != "" {
			body = append(body, app.Elem("p").Class("quiet").Text(quiet))
		}
	}
	return app.Elem("section").Class("words").Aria("label", "This step").Body(body...)
}

func wordsNow(s State) []app.UI {
	switch {
	case s.Phase != Idle:
		return []app.UI{quietLine(s), making(s)}
	case s.Notice.Fact != "" && s.Notice.Act != "dismiss" && !(s.unstored() && s.Verdict != nil):
		return []app.UI{notice(s.Notice)}
	case s.Verdict != nil:
		return []app.UI{verdictWords(s), figures(s)}
	}
	return []app.UI{readyWords(s), readyFigures(s)}
}

// quietLine is where a take is, in words.
func quietLine(s State) app.UI {
	return app.Elem("div").Class("quiet-line").Body(
		app.Elem("p").Class("place").Text(placeWords(s)),
		app.Elem("p").Class("second").Text(quietHint(s)),
	)
}

func quietHint(s State) string {
	switch {
	case s.Aim == ForHearing:
		return "Nothing is judged. Esc stops."
	case s.Take.Source != Keyboard || s.phone():
		return "Colour and numbers come when you stop."
	}
	return "Every letter key is a hit. Colour and numbers come when you stop."
}

func placeWords(s State) string {
	first, last := s.bars()
	bars := capital(Range{first, last}.String())
	switch {
	case s.Phase == Starting:
		return bars
	case s.Pass < 0:
		return "Count-in"
	case s.Aim == ForHearing:
		return bars
	}
	words := fmt.Sprintf("%s, pass %d of %d", bars, s.Pass+1, s.Take.Passes)
	if s.silentNow() {
		words += ". Silent: play on"
	}
	return words
}

func readyWords(s State) app.UI {
	says := s.step().Says
	lead := says
	if _, ok := s.before(); ok && says != "" {
		lead = "New in this step: " + lowered(says)
	}
	if s.phone() && says != "" {
		lead = strings.Replace(lead, "New in this step:", "New:", 1)
	}
	return app.Elem("div").Class("lead").Body(
		app.Elem("h2").Text(lead),
		app.Elem("p").Class("second").Text(readyHint(s)),
	)
}

// readyHint says how to begin: with a hearing where the step is new, else at
// the tempo that follows from the takes.
func readyHint(s State) string {
	p := s.pace()
	how := fmt.Sprintf("play %s: %s.", s.part().said(), inputWords(s))
	switch {
	case s.follows() && p.Played:
		return openingWords(p, goal(s.step()))
	case p.Played:
		return capital(how)
	case s.Booked == BookLoading: // there may be takes
		return "Hear it once, then " + how
	}
	return "No take yet. Hear it once, then " + how
}

func inputWords(s State) string {
	part := s.part()
	switch {
	case s.phone() && s.Settings.Areas == 1:
		return "when you start, an area for your thumbs opens at the foot"
	case s.phone():
		return fmt.Sprintf("when you start, %s for your thumbs open at the foot", countWord(s.Settings.Areas, "area"))
	case !part.OneKey && len(part.voices(s.written())) > 1:
		return "each voice by its own keys, see Setup"
	}
	return "any letter key, or a touch"
}

// readyFigures say where the step goes.
func readyFigures(s State) app.UI {
	sub := fmt.Sprintf("you start at %d", s.Tempo)
	if s.Tempo != s.opening() {
		sub = fmt.Sprintf("now at %d", s.Tempo)
	}
	if p := s.pace(); s.follows() && p.Owned > 0 {
		sub = fmt.Sprintf("owned %.0f, %s", p.Owned, sub)
	}
	marks, n := s.Settings.passing(), s.expected()
	all := []figure{
		{label: "Goal tempo", value: strconv.Itoa(goal(s.step())), sub: sub},
		{label: "To move on", value: fmt.Sprintf("%d of %d", marks.HitsOf(n), n), sub: fmt.Sprintf("hits, at most %d too many, spread within ±%g ms", marks.ExtraOf(n), marks.SpreadMS)},
	}
	return figureList(all)
}

// expected returns how many strokes a take of the whole step has.
func (s State) expected() int {
	t := grade.Take{Tempo: float64(s.Tempo), Passes: s.Settings.Passes, Part: s.part().voices(s.written())}
	e, err := grade.Expect(s.written(), t, s.part().OneKey)
	if err != nil {
		return 0
	}
	return len(e.Onsets)
}

func capital(words string) string {
	if words == "" {
		return ""
	}
	return strings.ToUpper(words[:1]) + words[1:]
}
