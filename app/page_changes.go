package app

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/draft"
	"stampmill/app/strip"
	"stampmill/exercises/change"
	"stampmill/exercises/complexity"
	"stampmill/exercises/drill"
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// shownChanges is how many changes are listed at a time; our choice, what one
// looks through before one searches.
const shownChanges = 40

// changesKey is everything that the list of changes depends on.
type changesKey struct {
	offers         *offered // the first of them: a new list has another
	tried          int
	search, scope  string
	chosen, trying string
	all, good      bool
	idle, phone    bool
	single         bool
}

func (s State) changesKey() changesKey {
	w := s.Write
	key := changesKey{
		tried: len(w.Offers), search: w.Search, scope: scopeWords(s), chosen: w.Chosen, trying: w.Trying,
		all: w.All, good: w.Draft.Current().Good, idle: s.Phase == Idle, phone: s.phone(), single: s.Settings.Single,
	}
	if len(w.Offers) > 0 {
		key.offers = &w.Offers[0]
	}
	return key
}

// writeChanges is the catalogue, as far as it fits what is selected.
func writeChanges(s State, pic Picture) app.UI {
	w := s.Write
	all := "Show what does not fit"
	if w.All {
		all = "Hide what does not fit"
	}
	return app.Elem("aside").Class("changes").Aria("label", "Changes").Body(
		app.Elem("h2").Text("Change the selection"),
		app.Elem("p").Class("second").Text(scopeWords(s)),
		app.Elem("div").Class("choice").Body(
			app.Elem("label").Attr("for", "write-search").Text("Search"),
			app.ElemSelfClosing("input").ID("write-search").Attr("type", "search").Attr("autocomplete", "off").DataSet("act", "write-search").DataSet("live", "true").Attr("value", w.Search),
		),
		app.Elem("ul").Class("change-list").Body(changeItems(s, pic)...),
		button("write-all", "").Class("small").Aria("pressed", w.All).Text(all),
		app.Elem("p").Class("second").Text("Each is drawn beside the bar as it is before you take it."),
	)
}

// scopeWords says what the changes work on.
func scopeWords(s State) string {
	d := s.Write.Draft
	span := d.Scope()
	if len(span.Voices) == 0 {
		return "Nothing is selected."
	}
	p := d.Passage()
	from := p.Place(span.From)
	words := capital(spanVoices(p, span.Voices)) + fmt.Sprintf(", bar %d, beat %d", from.Bar, from.Beat)
	if first, last := p.BarsOf(span); first != last {
		return capital(spanVoices(p, span.Voices)) + ", " + Range{first, last}.String()
	}
	if last := lastBeat(p, span); last > from.Beat {
		words = capital(spanVoices(p, span.Voices)) + fmt.Sprintf(", bar %d, beats %d to %d", from.Bar, from.Beat, last)
	}
	return words
}

// spanVoices names voices; all of a passage together.
func spanVoices(p passage.Passage, voices []passage.Voice) string {
	if n := len(voices); n > 2 && n == len(p.Lines) {
		return "all voices"
	}
	return voiceWords(voices)
}

// lastBeat returns the beat, of the bar in which a span begins, in which it
// ends.
func lastBeat(p passage.Passage, span passage.Span) int {
	from, to := p.Place(span.From), p.Place(span.To)
	switch {
	case to.Bar > from.Bar || !span.To.Less(p.Length()):
		return len(p.Bars[from.Bar-1].Metre.Beats())
	case to.Into == (meter.Rat{}):
		return to.Beat - 1
	}
	return to.Beat
}

func changeItems(s State, pic Picture) []app.UI {
	w := s.Write
	var items []app.UI
	say := func(words string) { items = append(items, app.Elem("li").Class("second").Text(words)) }
	left := 0
	var unfit []app.UI
	search := strings.Fields(strings.ToLower(w.Search))
	for _, o := range w.Offers {
		switch {
		case !o.has(search):
		case o.why != "":
			unfit = append(unfit, changeItem(s, pic, o))
		case len(items) == shownChanges:
			left++
		default:
			items = append(items, changeItem(s, pic, o))
		}
	}
	if w.All { // behind those that fit
		items = append(items, unfit[:min(len(unfit), shownChanges)]...)
	}
	switch {
	case left > 0:
		say(fmt.Sprintf("%d more: search, or select less.", left))
	case len(items) > 0:
	case !w.Draft.Current().Good:
		say("Changes come back when the text of this step is mended.")
	case w.rest.Left() > 0 || !w.begun:
		say("Trying what fits here.")
	case len(unfit) > 0:
		say("What you search for does not fit here; show it to read why.")
	case len(w.Offers) > 0:
		say("No change has these words.")
	default:
		say("Select a cell in the strip: what fits it stands here.")
	}
	return items
}

// has reports whether an offer is what is searched for: every word stands in
// its sentence, its text, its name or its group.
func (o offered) has(words []string) bool {
	for _, word := range words {
		if !strings.Contains(o.find, word) {
			return false
		}
	}
	return true
}

func changeItem(s State, pic Picture, o offered) app.UI {
	if o.why != "" { // not now: still reachable, with the reason
		return app.Elem("li").Class("change", "unfit").TabIndex(0).Body(
			app.Elem("span").Class("change-words").Text(o.text),
			app.Elem("span").Class("change-text").Text(o.why),
		)
	}
	chosen := o.text == s.Write.Chosen
	item := app.Elem("li").Class("change")
	choose := button("write-choose", o.text).Class("change-choose").Aria("pressed", chosen).Body(
		app.Elem("span").Class("change-words").Text(o.words),
		app.Elem("span").Class("change-text").Text(o.text),
	)
	if !chosen {
		return item.Body(choose)
	}
	if s.phone() { // elsewhere the two bars stand under the strip
		return item.Class("chosen").Body(choose, writePair(s, pic))
	}
	return item.Class("chosen").Body(choose)
}

// choiceActions are what can be done with the chosen change.
func choiceActions(s State) app.UI {
	text := s.Write.Chosen
	hear := "Hear it"
	if s.Phase != Idle && s.Write.Trying == text {
		hear = "Stop"
	}
	return app.Elem("div").Class("actions").Body(
		button("write-try", text).Text(hear),
		keyed(button("write-apply", text), "Make it", "Enter", s),
		button("write-as-step", text).Text("Save as a step"),
		button("write-leave", "").Class("plain").Text("Leave it"),
	)
}

// ratingWords says how hard a step is.
func ratingWords(r complexity.Rating) string {
	words := fmt.Sprintf("Syncopation %d", r.Syncopation)
	if r.Hardest > 0 && len(r.Bars) > 1 {
		words += fmt.Sprintf(" (bar %d)", r.Hardest)
	}
	if r.Fastest != "" {
		words += fmt.Sprintf(" · fastest %.1f strokes a second, %s", r.PeakRate, r.Fastest)
	}
	if r.New > 0 {
		words += fmt.Sprintf(" · %d strokes new", r.New)
	}
	return words + "."
}

// writeSheet says what the strip shows on the Write page.
func (s State) writeSheet() strip.Sheet {
	d := s.Write.Draft
	p := d.Passage()
	first, last := s.window()
	sheet := strip.Sheet{
		Passage: p, First: first, Last: last, Width: s.stripWidth(), Compact: s.phone(), Row: s.row(),
		Labels: strip.LabelsPlain, Counts: !s.phone(), TagRoom: true, Playhead: s.Phase != Idle,
		Cursor: strip.CursorOn(d.Cursor()), Problems: s.problemSpans(),
	}
	if d.Selected() {
		sheet.Selected = []passage.Span{d.Selection()}
	}
	if !d.Current().Good {
		sheet.Cursor = strip.Cursor{}
	}
	if s.Sticking {
		sheet.Sticking = signsOf(p, s.Settings.pedals())
	}
	starts := p.Starts()
	if first >= 1 && first <= len(starts) {
		sheet.HeadAt = starts[first-1].Float()
	}
	return sheet
}

// problemSpans are the places of the step that the text or four limbs have a
// problem with, as boxes on the strip as it could last be read.
func (s State) problemSpans() []strip.Problem {
	d := s.Write.Draft
	var all []strip.Problem
	add := func(span passage.Span, line int) {
		if len(all) < maxMarked {
			all = append(all, strip.Problem{Span: span, Tag: fmt.Sprintf("problem, line %d", line)})
		}
	}
	for _, p := range d.Problems() {
		if span, ok := placeOfProblem(d, p); ok {
			add(span, p.Line)
		}
	}
	for i, c := range s.Write.Clashes {
		span := passage.Span{From: c.At, To: c.At}
		if c.Voice.Valid() {
			span.Voices = []passage.Voice{c.Voice}
		}
		add(span, s.Write.ClashLines[i].Line)
	}
	return all
}

// placeOfProblem returns where a problem of the text stands in the strip of the
// current step: its cell, or the beat in which it lies, counted by bar lines and
// spaces where the line cannot be read.
func placeOfProblem(d draft.Draft, problem drill.Problem) (passage.Span, bool) {
	steps, p := d.Reading().Steps, d.Passage()
	if d.Step() >= len(steps) {
		return passage.Span{}, false
	}
	for _, v := range steps[d.Step()].Voices {
		if v.Line != problem.Line {
			continue
		}
		bar, beat := barAndBeat(lineOf(d.Text(), v.Line), problem.Column)
		for _, b := range p.Beats() {
			if at := p.Place(b.At); at.Bar == bar && at.Beat == beat {
				return passage.Span{From: b.At, To: b.At, Voices: []passage.Voice{v.Voice}}, true
			}
		}
		if starts := p.Starts(); bar >= 1 && bar < len(starts) {
			return passage.Span{From: starts[bar-1], To: starts[bar], Voices: []passage.Voice{v.Voice}}, true
		}
	}
	return passage.Span{}, false
}

// lineOf returns a line of a text, from 1.
func lineOf(text string, n int) string {
	for line := range strings.Lines(text) {
		if n--; n == 0 {
			return strings.TrimRight(line, "\r\n")
		}
	}
	return ""
}

// barAndBeat counts the bar lines of a voice line before a column, and the
// groups since the last one.
func barAndBeat(line string, column int) (bar, beat int) {
	inGroup := false
	for i, r := range []rune(line) {
		if i >= column {
			break
		}
		switch {
		case r == '|':
			bar, beat, inGroup = bar+1, 0, false
		case r == ' ' || r == '\t':
			inGroup = false
		case !inGroup:
			beat, inGroup = beat+1, true
		}
	}
	return bar, max(beat, 1)
}

// signsOf are the hands and feet, and the picks, of a passage as letters.
func signsOf(p passage.Passage, pedals limbs.Pedals) []strip.Sign {
	var signs []strip.Sign
	for _, row := range limbs.Rows(p, pedals) {
		for _, m := range row.Marks {
			signs = append(signs, strip.Sign{Voice: row.Voice, At: m.At, Text: m.Letter})
		}
	}
	return signs
}

// pair is the chosen change beside the bar as it is.
func (s State) pair() strip.PairPicture {
	if s.pairLook() == (pairLook{}) {
		return strip.PairPicture{}
	}
	c, err := change.Parse(s.Write.Chosen)
	if err != nil {
		return strip.PairPicture{}
	}
	p := s.Write.Draft.Passage()
	after, err := c.Apply(p)
	if err != nil {
		return strip.PairPicture{}
	}
	width := (s.stripWidth() - 24) / 2
	if s.phone() {
		width = s.stripWidth() - 24
	}
	return strip.Pair{Before: p, After: after, Voices: s.Write.Draft.Scope().Voices, Width: width, Labels: strip.LabelsPlain}.Draw()
}
