package app

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/strip"
	"stampmill/exercises/change"
	"stampmill/exercises/complexity"
	"stampmill/exercises/limbs"
	"stampmill/exercises/passage"
)

// shownChanges is how many changes are listed at a time; our choice, what one
// looks through before one searches.
const shownChanges = 40

// writeChanges is the catalogue, as far as it fits what is selected.
func writeChanges(s State) app.UI {
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
		app.Elem("ul").Class("change-list").Body(changeItems(s)...),
		button("write-all", "").Class("plain").Aria("pressed", w.All).Text(all),
		app.Elem("p").Class("second").Text("Choose one to see and hear it beside the bar as it is. Choose it again, or press Enter on the strip, to make it."),
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
	words := capital(voiceWords(span.Voices)) + fmt.Sprintf(", bar %d, beat %d", from.Bar, from.Beat)
	if first, last := barsOf(p, span); first != last {
		words = capital(voiceWords(span.Voices)) + ", " + Range{first, last}.String()
	}
	return words
}

func changeItems(s State) []app.UI {
	w := s.Write
	p := w.Draft.Passage()
	var items []app.UI
	left := 0
	for _, o := range w.Offers {
		if o.Reason != "" && !w.All || !found(o, w.Search, p) {
			continue
		}
		if len(items) == shownChanges {
			left++
			continue
		}
		items = append(items, changeItem(s, o, p))
	}
	switch {
	case left > 0:
		items = append(items, app.Elem("li").Class("second").Text(fmt.Sprintf("%d more: search, or select less.", left)))
	case len(items) == 0 && !w.Draft.Current().Good:
		items = append(items, app.Elem("li").Class("second").Text("Changes come back when the text of this step is mended."))
	case len(items) == 0 && len(w.Offers) > 0:
		items = append(items, app.Elem("li").Class("second").Text("No change with these words fits here."))
	}
	return items
}

// found reports whether a change is what is searched for: every word stands
// in its sentence, its text, or its name.
func found(o change.Offer, search string, p passage.Passage) bool {
	if strings.TrimSpace(search) == "" {
		return true
	}
	in := strings.ToLower(o.Change.Sentence(p) + " " + o.Change.String() + " " + o.Change.Entry.About + " " + o.Change.Entry.Group)
	for _, word := range strings.Fields(strings.ToLower(search)) {
		if !strings.Contains(in, word) {
			return false
		}
	}
	return true
}

func changeItem(s State, o change.Offer, p passage.Passage) app.UI {
	text := o.Change.String()
	if o.Reason != "" {
		return app.Elem("li").Class("change", "unfit").Body(
			app.Elem("span").Class("change-words").Text(text),
			app.Elem("span").Class("change-text").Text(sentence(o.Reason)),
		)
	}
	chosen := text == s.Write.Chosen
	item := app.Elem("li").Class("change")
	choose := button("write-choose", text).Class("change-choose").Aria("pressed", chosen).Body(
		app.Elem("span").Class("change-words").Text(o.Change.Sentence(p)),
		app.Elem("span").Class("change-text").Text(text),
	)
	if !chosen {
		return item.Body(choose)
	}
	hear := "Hear it"
	if s.Phase != Idle && s.Write.Trying == text {
		hear = "Stop"
	}
	return item.Class("chosen").Body(choose, app.Elem("div").Class("actions").Body(
		button("write-try", text).Text(hear),
		keyed(button("write-apply", text), "Make it", "Enter", s),
		button("write-as-step", text).Text("Save as a step"),
	))
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
		Labels: strip.LabelsPlain, Counts: true, TagRoom: true, Playhead: s.Phase != Idle,
		Cursor: strip.CursorOn(d.Cursor()), Problems: s.clashSpans(),
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

// clashSpans are the places of the step that limbs cannot play, as boxes.
func (s State) clashSpans() []strip.Problem {
	var all []strip.Problem
	for i, c := range s.Write.Clashes {
		span := passage.Span{From: c.At, To: c.At}
		if c.Voice.Valid() {
			span.Voices = []passage.Voice{c.Voice}
		}
		all = append(all, strip.Problem{Span: span, Tag: fmt.Sprintf("problem, line %d", s.Write.ClashLines[i].Line)})
	}
	return all
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
	if s.Write.Chosen == "" || !s.writing() {
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
