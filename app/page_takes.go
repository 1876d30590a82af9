package app

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/logbook"
	"stampmill/app/strip"
)

// takesPage is how many takes stand in the table at a time: our choice, few
// enough to be drawn at once however many there are.
const takesPage = 25

// pagesOf is how many pages the takes fill, at least one.
func pagesOf(takes int) int { return max((takes+takesPage-1)/takesPage, 1) }

// takesTable is every take in words, the newest first, a page at a time.
func takesTable(s State) app.UI {
	n := len(s.Book)
	page, newest, oldest := shownTakes(s)
	narrow := s.plotLayout().narrow
	var rows []app.UI
	for i := newest; i < oldest; i++ {
		rows = append(rows, takeRows(s, &s.Book[n-1-i], narrow)...)
	}
	var heads []app.UI
	for _, h := range takeHeads(narrow) {
		heads = append(heads, app.Elem("th").Attr("scope", "col").Text(h))
	}
	caption := takesCaption(s)
	return app.Elem("section").Class("takes").Aria("labelledby", "takes").Body(
		app.Elem("div").Class("cards-head").Body(
			app.Elem("h2").ID("takes").TabIndex(-1).Text("Takes"),
			pager(s, page),
		),
		app.Elem("table").Body(
			app.Elem("caption").Class("second").Text(caption),
			app.Elem("thead").Body(app.Elem("tr").Body(heads...)),
			app.Elem("tbody").Body(rows...),
		),
	)
}

// shownTakes are the page of takes and those on it, counted from the newest, from
// 0 and less the last.
func shownTakes(s State) (page, newest, oldest int) {
	n := len(s.Book)
	page = min(max(s.Progress.Page, 0), pagesOf(n)-1)
	return page, page * takesPage, min((page+1)*takesPage, n)
}

func takesCaption(s State) string {
	_, newest, oldest := shownTakes(s)
	return "Takes " + thousands(newest+1) + " to " + thousands(oldest) + " of " + thousands(len(s.Book)) + ", the newest first"
}

// pager goes to newer and older takes.
func pager(s State, page int) app.UI {
	last := pagesOf(len(s.Book)) - 1
	if last == 0 {
		return app.Text("")
	}
	var options []option
	for p := range last + 1 {
		options = append(options, option{strconv.Itoa(p), s.pageWords(p)})
	}
	return app.Elem("div").Class("actions", "pager").Body(
		button("takes-page", strconv.Itoa(max(page-1, 0))).ID("newer").Aria("disabled", page == 0).Text("Newer"),
		cardSelect("takes-page", "Which takes", strconv.Itoa(page), options),
		button("takes-page", strconv.Itoa(min(page+1, last))).ID("older").Aria("disabled", page == last).Text("Older"),
	)
}

// pageWords names a page by its days: "3 to 9 Nov 2026".
func (s State) pageWords(page int) string {
	n := len(s.Book)
	to, from := s.Book[n-1-page*takesPage].At, s.Book[max(n-(page+1)*takesPage, 0)].At
	a, b := from.In(s.Now.Location()).Format("2 Jan 2006"), to.In(s.Now.Location()).Format("2 Jan 2006")
	if a == b {
		return a
	}
	return a + " to " + b
}

func takeHeads(narrow bool) []string {
	if narrow {
		return []string{"Take", "Came out"}
	}
	return []string{"When", "Step", "Part", "Tempo", "Hits", "Leaning", "Spread", "Passed"}
}

// takeRows are the row of a take and, where it is open, what was said of it.
func takeRows(s State, e *logbook.Entry, narrow bool) []app.UI {
	open := s.Progress.Open == e.Name
	when := button("take-open", e.Name).Class("take-open").Aria("expanded", open).Text(whenWords(e.At, s.Now))
	step := s.climbTitle(e.Exercise) + ", " + s.stepWord(e.Exercise, e.Title)
	var cells []app.UI
	cell := func(words string) { cells = append(cells, app.Elem("td").Text(words)) }
	if narrow {
		cells = append(cells, app.Elem("th").Attr("scope", "row").Body(
			when,
			app.Elem("span").Text(step),
			app.Elem("span").Class("second").Text(partWords(e.Part)+", at "+number(e.Tempo)),
		))
		cell(hitWords(e) + " hits, " + lowered(leanOf(e)) + ", spread " + spreadOf(e) + ", " + lowered(passedWords(e)))
	} else {
		cells = append(cells, app.Elem("th").Attr("scope", "row").Body(when))
		for _, words := range []string{step, partWords(e.Part), number(e.Tempo), hitWords(e)} {
			cell(words)
		}
		lean := app.Elem("td")
		if e.Known && e.Leaning.OK {
			lean = lean.Class(strip.Judge(e.Leaning.Value).String())
		}
		cells = append(cells, lean.Text(leanOf(e)))
		cell(spreadOf(e))
		cell(passedWords(e))
	}
	rows := []app.UI{app.Elem("tr").Body(cells...)}
	if open {
		rows = append(rows, app.Elem("tr").Class("take-more").Body(app.Elem("td").Attr("colspan", len(takeHeads(narrow))).Body(takeMore(s, e)...)))
	}
	return rows
}

// takeMore is what was said of a take, and what can be done with it.
func takeMore(s State, e *logbook.Entry) []app.UI {
	said := e.Said
	if e.Unread != "" {
		said = "This take cannot be judged: " + e.Unread + "."
	}
	var facts []string
	if e.Extra > 0 {
		facts = append(facts, capital(countWord(e.Extra, "tap"))+" too many.")
	}
	for _, split := range e.Splits {
		if len(split.Shares) > 0 {
			facts = append(facts, "The "+split.Written+" of the "+joinWords(strings.Split(split.Voice, "+"))+" at "+split.At+" came out "+shares(split.Shares)+" %.")
		}
	}
	body := []app.UI{app.Elem("p").Body(coloured(said)...)}
	for _, f := range facts {
		body = append(body, app.Elem("p").Class("second").Text(f))
	}
	return append(body, app.Elem("div").Class("actions").Body(
		button("due", chosenArgOf(e)).Class("small").Text("Practise this step"),
		button("take-save", e.Name).Class("small").Text("Save this take"),
	))
}

func chosenArgOf(e *logbook.Entry) string { return e.Exercise + "\n" + e.Title + "\n" + e.Part }

// whenWords is "Today 14:05", "25 Nov 14:05", "25 Nov 2025".
func whenWords(at, now time.Time) string {
	at = at.In(now.Location())
	switch {
	case at.Year() != now.Year():
		return at.Format("2 Jan 2006")
	case at.YearDay() == now.YearDay():
		return at.Format("Today 15:04")
	}
	return at.Format("2 Jan 15:04")
}

func hitWords(e *logbook.Entry) string {
	if e.Unread != "" {
		return unknown
	}
	return fmt.Sprintf("%d of %d", e.Matched, e.Expected)
}

func leanOf(e *logbook.Entry) string {
	if !e.Known || !e.Leaning.OK {
		return unknown
	}
	n, unit := leanWords(e.Leaning.Value)
	return n + " " + unit
}

func spreadOf(e *logbook.Entry) string {
	if !e.Spread.OK {
		return unknown
	}
	return "±" + number(e.Spread.Value) + " ms"
}

func passedWords(e *logbook.Entry) string {
	switch {
	case e.Unread != "":
		return "Not judged"
	case !e.Whole:
		return "Some bars"
	case e.Passed:
		return "Passed"
	}
	return "Not yet"
}

// thousands writes a count as "10,000".
func thousands(n int) string {
	words := strconv.Itoa(int(math.Abs(float64(n))))
	for i := len(words) - 3; i > 0; i -= 3 {
		words = words[:i] + "," + words[i:]
	}
	if n < 0 {
		return "-" + words
	}
	return words
}
