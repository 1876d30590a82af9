package app

import (
	"fmt"
	"math"
	"slices"
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
		app.Section().Class("transport").Aria("label", "Transport").Body(
			goButton(s),
			tempoBox(s),
			app.Div().Class("settings", "away").Body(
				button("tap", "").Class("tap").Attr("aria-keyshortcuts", "T").Text("Tap tempo"),
				countInBox(s),
				loopBox(s),
				clickBox(s),
			),
		),
		app.Aside().Class("climb").Aria("label", "Climb").Body(climbBox(s), stepList(s)),
		app.Main().Class("room").Body(
			head(s),
			tabs(s, pic),
			stripBox(s, pic),
			words(s),
			foot(s),
		),
		announcer(s),
	}
}

// goButton starts and stops. It is copper unless another act comes next.
func goButton(s State) app.UI {
	b := button("go", "").ID("go").Class("go")
	switch {
	case s.Phase != Idle:
		return keyed(b.Class("primary"), "Stop", "Esc", s)
	case s.Verdict != nil:
		return keyed(b, "Start again", "Space", s)
	case s.Notice.Act == "start":
		return keyed(b.Class("primary"), "Start again", "Space", s)
	}
	return keyed(b.Class("primary"), "Start", "Space", s)
}

func tempoBox(s State) app.UI {
	return app.Div().Class("tempo").Role("group").Aria("label", "Tempo").Body(
		app.Label().For("tempo").Text("Tempo"),
		button("tempo-down", "").Class("square", "away").Aria("label", "Slower by one").Attr("aria-keyshortcuts", "-").Text("−"),
		app.Input().ID("tempo").Class("tempo-field").Type("text").Attr("inputmode", "numeric").Attr("maxlength", "5").AutoComplete(false).
			Aria("label", "Tempo in beats a minute").DataSet("act", "tempo").ReadOnly(s.taking()).Value(s.Tempo),
		button("tempo-up", "").Class("square", "away").Aria("label", "Faster by one").Attr("aria-keyshortcuts", "+").Text("+"),
	)
}

func countInBox(s State) app.UI {
	return choice("countin", "countin", "Count-in", strconv.Itoa(s.Settings.CountIn), []option{{"0", "none"}, {"1", "1 bar"}, {"2", "2 bars"}})
}

func clickBox(s State) app.UI {
	var options []option
	for _, c := range clicks {
		options = append(options, option{c.name, c.label})
	}
	return choice("click", "click", "Click", s.Settings.Click, options)
}

// loopBox chooses between some bars and the whole step. The bars are those of
// the loop, or those that the step changed.
func loopBox(s State) app.UI {
	loop := s.Loop
	if loop == (Range{}) {
		if loop = s.newBars(); loop == (Range{}) || len(s.written().Bars) == loop.Last-loop.First+1 {
			loop = Range{1, 1}
		}
	}
	looping := s.Loop != (Range{})
	return app.Div().Class("choice").Role("group").Aria("label", "Loop").Body(
		app.Span().Class("label").Aria("hidden", "true").Text("Loop"),
		button("loop-set", loop.arg()).Class("either").Aria("pressed", looping).Text(loop.String()),
		button("whole", "").Class("either").Aria("pressed", !looping).Text("whole"),
	)
}

func partBox(s State) app.UI {
	var options []option
	for _, p := range parts(s.written()) {
		options = append(options, option{p.String(), p.Label()})
	}
	return choice("part", "part", "You play", s.part().String(), options)
}

func passesBox(s State) app.UI {
	var options []option
	for n := 1; n <= maxPasses; n++ {
		if n <= 4 || n%4 == 0 || n == s.Settings.Passes {
			options = append(options, option{strconv.Itoa(n), strconv.Itoa(n)})
		}
	}
	return choice("passes", "passes", "Passes", strconv.Itoa(s.Settings.Passes), options)
}

func climbBox(s State) app.UI {
	var options []option
	for _, e := range s.Library {
		options = append(options, option{e.Name, e.Climb.Title})
	}
	return app.Div().Class("climb-choice").Body(
		app.H2().Text("Climb"),
		app.Div().Class("away").Body(choice("climb", "climb", "Which climb", s.entry().Name, options)),
	)
}

// stepList is the climb: what is done, where the player is, what is to come.
func stepList(s State) app.UI {
	var items []app.UI
	for i, st := range s.entry().Climb.Steps {
		tempo := s.Done[stepName(s.entry().Name, st.Title)]
		item := app.Li().Class(stepClass(i, s.Step, tempo, goal(st)))
		b := button("step", strconv.Itoa(i+1)).Class("step").Disabled(s.taking())
		if i == s.Step {
			b = b.Aria("current", "step")
		}
		items = append(items, item.Body(b.Body(
			app.Span().Class("box").Aria("hidden", "true"),
			app.Span().Class("step-words").Body(stepWords(i, s, tempo)...),
		)))
	}
	return app.Ol().Class("steps").Body(items...)
}

func stepClass(i, now, tempo, goal int) string {
	class := "to-come"
	if tempo > 0 {
		class = "passed"
	}
	if tempo >= goal {
		class = "done"
	}
	if i == now {
		class += " now"
	}
	return class
}

func stepWords(i int, s State, tempo int) []app.UI {
	st := s.entry().Climb.Steps[i]
	words := []app.UI{app.Span().Class("step-title").Text(st.Title)}
	switch {
	case i == s.Step && tempo > 0:
		words = append(words, app.Span().Class("step-fact").Text(fmt.Sprintf("now: done at %d, goal %d", tempo, goal(st))))
	case i == s.Step:
		words = append(words, app.Span().Class("step-fact").Text(fmt.Sprintf("now: goal %d", goal(st))))
	case tempo > 0:
		words = append(words, app.Span().Class("step-fact").Text(fmt.Sprintf("done at %d", tempo)))
	}
	return words
}

func head(s State) app.UI {
	return app.Div().Class("head").Body(
		app.H1().ID("title").TabIndex(-1).Text(s.entry().Climb.Title),
		app.P().Class("meta").Text(meta(s)),
		app.Div().Class("head-settings", "away").Body(partBox(s), passesBox(s)),
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
		b := button("bar", strconv.Itoa(n)).Class("tab").Aria("pressed", looped).Disabled(s.taking())
		if in {
			b = b.Class("in")
		}
		if s.phone() {
			b = b.Aria("pressed", n == max(s.Bar, 1))
		}
		words := []app.UI{app.Span().Class("tab-name").Text(fmt.Sprintf("bar %d", n))}
		if s.Verdict != nil && s.Phase == Idle {
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
	return app.Div().Class("tabs").Role("group").Aria("label", label).Body(all...)
}

func barVerdict(said, judgement string) app.UI {
	if judgement == "" {
		return app.Span().Class("tab-verdict").Text(said)
	}
	return app.Span().Class("tab-verdict", judgement).Body(judgementMark(judgement), app.Span().Text(said))
}

// stripBox is the strip; over its column of names lie the buttons that mute.
func stripBox(s State, pic Picture) app.UI {
	over := app.Div().Class("over").Role("group").Aria("label", "Voices")
	l := pic.Layout
	if len(l.Rows) > 0 {
		over = over.Class(overClass(l.Rows[0].Y, l.RowHeight, s.phone()))
	}
	var names []app.UI
	for _, row := range l.Rows {
		label := row.Label
		if row.Muted {
			label += ", silent"
		}
		if s.phone() {
			continue // here names only name; silence is under More
		}
		names = append(names, button("mute", row.Voice.String()).Class("mute").Disabled(s.taking()).Aria("pressed", row.Muted).Aria("label", "Mute "+strings.ToLower(row.Label)).Title(label))
	}
	return app.Div().Class("strip").Body(&drawing{SVG: pic.SVG}, over.Body(names...))
}

// overClass says by class how tall the rows are and where they begin; the
// policy of the page allows no style on an element.
func overClass(first, row float64, phone bool) string {
	class := "rows-" + number(math.Round(row))
	if first-row/2 > 60 {
		class += " raised"
	}
	return class
}

// words is the room under the strip: what is new, the quiet line of a take, or
// what came of it.
func words(s State) app.UI {
	box := app.Section().Class("words").Aria("label", "This step")
	switch {
	case s.taking() || s.Phase == Hearing || s.Phase == Starting:
		return box.Body(quietLine(s), making(s))
	case s.Notice.Fact != "" && s.Notice.Act != "dismiss" && s.Notice.Act != "save":
		return box.Body(notice(s.Notice))
	case s.Verdict != nil:
		return box.Body(verdictWords(s), figures(s))
	}
	return box.Body(readyWords(s), readyFigures(s))
}

// quietLine is where a take is, in words.
func quietLine(s State) app.UI {
	return app.Div().Class("quiet-line").Body(
		app.P().Class("place").Text(placeWords(s)),
		app.P().Class("second").Text(quietHint(s)),
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
	return fmt.Sprintf("%s, pass %d of %d", bars, s.Pass+1, s.Take.Passes)
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
	return app.Div().Class("lead").Body(
		app.H2().Text(lead),
		app.P().Class("second").Text(fmt.Sprintf("No take yet. Hear it once, then play %s yourself: %s.", s.part().said(), inputWords(s))),
	)
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
	if s.Tempo != slower(goal(s.step())) {
		sub = fmt.Sprintf("now at %d", s.Tempo)
	}
	due := int(math.Ceil(grade.DefaultPassing.Hits*float64(s.expected()) - 1e-9))
	all := []figure{
		{label: "Goal tempo", value: strconv.Itoa(goal(s.step())), sub: sub},
		{label: "To move on", value: fmt.Sprintf("%d of %d", due, s.expected()), sub: fmt.Sprintf("hits, spread within ±%g ms", grade.DefaultPassing.SpreadMS)},
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

func verdictWords(s State) app.UI {
	v := s.Verdict
	sentences := v.sentences()
	var lead []app.UI
	for i, sentence := range sentences {
		if i > 0 {
			lead = append(lead, app.Text(" "))
		}
		lead = append(lead, coloured(sentence)...)
	}
	second := []app.UI{app.Text(suggestionWords(s))}
	if s.Notice.Fact != "" {
		second = []app.UI{app.Strong().Text(s.Notice.Fact), app.Text(" " + s.Notice.Mend + " ")}
		if s.Notice.Act == "dismiss" {
			second = append(second, button("dismiss", "").Class("small").Text(s.Notice.Label))
		}
	}
	return app.Div().Class("lead", "verdict").Body(
		app.H2().Body(lead...),
		app.P().Class("second").Body(second...),
	)
}

// suggestionWords is the one thing to do.
func suggestionWords(s State) string {
	if !s.Verdict.Take.Known {
		return "Tap along to a click for half a minute; then this take is told early from late too."
	}
	if s.Verdict.Passed && s.Verdict.Loop == (Range{}) {
		return fmt.Sprintf("This step is done at %d. %s", s.Verdict.Tempo, s.Verdict.Next.String())
	}
	return s.Verdict.Next.String()
}

func figures(s State) app.UI { return figureList(s.Verdict.figures()) }

func figureList(all []figure) app.UI {
	var tiles []app.UI
	for _, f := range all {
		tiles = append(tiles, app.Div().Class("figure").Body(
			app.Dt().Text(f.label),
			app.Dd().Body(figureBody(f)...),
		))
	}
	return app.Dl().Class("figures").Body(tiles...)
}

func figureBody(f figure) []app.UI {
	value := app.Span().Class("value", f.class)
	if f.value == unknown {
		value = value.Class("unknown")
	}
	body := []app.UI{value.Body(app.Text(f.value), app.Span().Class("unit").Text(f.unit))}
	if f.split != nil {
		body = []app.UI{&drawing{SVG: splitPicture(*f.split)}}
	}
	return append(body, app.Span().Class("sub").Text(f.sub))
}

// splitPicture draws the shares of a tuplet: played over written.
func splitPicture(t grade.TupletFigures) string {
	const width, gap = 150.0, 1.5
	var b strings.Builder
	b.WriteString(`<svg class="split" viewBox="0 0 150 26" width="150" height="26" aria-hidden="true" focusable="false">`)
	sum := 0
	for _, n := range t.Split {
		sum += n
	}
	var written []float64
	for _, n := range t.Split {
		written = append(written, float64(n)/float64(max(sum, 1)))
	}
	for row, shares := range [][]float64{t.Played, written} {
		x := 0.0
		for _, share := range shares {
			fmt.Fprintf(&b, `<rect class="split-%d" x="%.1f" y="%d" width="%.1f" height="%d"/>`, row, x+0.5, 1+row*15, max(width*share-gap-0.5, 1), 10-2*row)
			x += width * share
		}
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// foot holds the actions; during a take on a touch screen the areas to hit.
func foot(s State) app.UI {
	if s.taking() {
		return app.Div().Class("foot").Body(touchAreas(s))
	}
	return app.Div().Class("foot").Body(
		app.Div().Class("actions").Body(footActions(s)...),
		app.P().Class("quiet").Text(footNote(s)),
		footSave(s),
	)
}

func footActions(s State) []app.UI {
	if s.Verdict == nil || s.Phase != Idle {
		hear := "Hear it first"
		if s.Phase != Idle {
			hear = "Hear it"
		}
		return []app.UI{
			keyed(button("hear", "").ID("hear").Aria("pressed", s.Phase != Idle), hear, "H", s),
			keyed(button("slower", "").Class("plain"), fmt.Sprintf("Slower: %d", slower(s.Tempo)), "S", s),
		}
	}
	var all []app.UI
	for i, a := range shown(s.actions()) {
		b := button(a.act, a.arg)
		switch {
		case i == 0:
			b = b.ID("next").Class("primary")
		case a.act == "next":
			b = b.Class("plain")
		}
		all = append(all, keyed(b, a.label, a.key, s))
	}
	return all
}

// shown are the actions that have room: with five of them, the one that can
// also be had by the tempo goes.
func shown(all []action) []action {
	if len(all) <= 4 {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), func(a action) bool { return a.act == "slower" })
}

func footSave(s State) app.UI {
	if s.Verdict == nil || s.Phase != Idle {
		return app.Text("")
	}
	return button("save", "").Class("small").Text("Save this take")
}

func footNote(s State) string {
	if quiet := lesser(s); quiet != "" {
		return quiet
	}
	switch {
	case s.Notice.Act == "save":
		return "Not kept on this device."
	case s.Verdict != nil && s.Phase == Idle:
		return fmt.Sprintf("Saved on this device, take %d of today.", s.Verdict.Nth)
	case !s.Settings.Heard:
		return "Turn your sound down before you press."
	}
	return "While a take runs every letter key is a hit. Esc stops."
}

// touchAreas are what fingers hit: one, two or four, to the edge of the hands.
func touchAreas(s State) app.UI {
	var all []app.UI
	voices := s.part().voices(s.written())
	for i := range s.Settings.Areas {
		name := "any"
		if s.part() != allOnOneKey && len(voices) > 0 {
			name = strings.ToLower(voices[i%len(voices)].Label())
		}
		if s.part().OneKey {
			name = "hit"
		}
		all = append(all, app.Div().ID("area-%d", i).Class("area").DataSet("area", i).Body(
			app.Strong().Text(name),
			app.Span().Text(areaHand(i, s.Settings.Areas)),
		))
	}
	return app.Div().Class("areas", "areas-"+strconv.Itoa(s.Settings.Areas)).Body(all...)
}

func areaHand(i, areas int) string {
	switch {
	case areas == 1:
		return "anywhere"
	case i%2 == 0:
		return "left thumb"
	}
	return "right thumb"
}

func capital(words string) string {
	if words == "" {
		return ""
	}
	return strings.ToUpper(words[:1]) + words[1:]
}
