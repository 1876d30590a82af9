package app

import (
	"regexp"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/strip"
)

// brand is the mark: three stamps over a copper line.
const brand = `<svg class="brand-mark" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false"><g class="brand-stamps"><path d="M4 0h2v8h2v5H2V8h2z"/><path d="M11 2h2v11h2v5H9v-5h2z"/><path d="M18 0h2v6h2v5h-6V6h2z"/></g><path class="brand-line" d="M0 21h24v3H0z"/></svg>`

// Elements are made with app.Elem and its like. go-app has a type for each
// element, but each brings more than a hundred methods into the program; all
// of those used here would make it 80 KB larger as it is served.

// top is the head of every page.
func top(s State, more ...app.UI) app.UI {
	head := []app.UI{
		app.Elem("a").Class("brand").Attr("href", href("/")).Aria("label", "Stampmill, front page").Body(&drawing{SVG: brand}, app.Elem("span").Class("brand-name").Text("Stampmill")),
		pages(s),
	}
	return app.Elem("header").Class("top").Body(append(head, more...)...)
}

// pages is the list of pages. On a phone it opens under the name of the page.
func pages(s State) app.UI {
	list := app.Elem("nav").Class("pages").Aria("label", "Pages").Body(pageLinks(s)...)
	if !s.phone() {
		return list
	}
	name := "Pages"
	for _, p := range Pages() {
		if p.Path == s.Page && p.Name != "" {
			name = p.Name
		}
	}
	return app.Elem("details").Class("menu").Body(
		app.Elem("summary").Text(name),
		list,
	)
}

func pageLinks(s State) []app.UI {
	var links []app.UI
	for _, p := range Pages() {
		if p.Name == "" {
			continue
		}
		link := app.Elem("a").Class("page-link").Attr("href", href(p.Path)).Text(p.Name)
		if p.Path == s.Page {
			link = link.Aria("current", "page")
		}
		links = append(links, link)
	}
	return links
}

// button is a control that does an act of [acts].
func button(act, arg string) app.HTMLElem {
	b := app.Elem("button").Attr("type", "button").DataSet("act", act)
	if arg != "" {
		b = b.DataSet("arg", arg)
	}
	return b
}

// keyed gives a button its words and the key that does the same.
func keyed(b app.HTMLElem, label, key string, s State) app.UI {
	if key == "" || s.phone() || (len([]rune(key)) == 1 && !s.Settings.Single) {
		return b.Text(label)
	}
	return b.Attr("aria-keyshortcuts", shortcut(key)).Body(
		app.Elem("span").Text(label),
		app.Elem("kbd").Aria("hidden", "true").Text(key),
	)
}

func shortcut(key string) string {
	if key == "Esc" {
		return "Escape"
	}
	return key
}

// An option of a select.
type option struct{ value, label string }

// choice is a select with its label.
func choice(id, act, label, value string, options []option) app.UI {
	var body []app.UI
	for _, o := range options {
		body = append(body, app.Elem("option").Attr("value", o.value).Attr("selected", o.value == value).Text(o.label))
	}
	return app.Elem("div").Class("choice").Body(
		app.Elem("label").Attr("for", id).Text(label),
		app.Elem("select").ID(id).DataSet("act", act).Attr("value", value).Body(body...),
	)
}

// notice is a state in words.
func notice(n Notice) app.UI {
	words := []app.UI{app.Elem("p").Body(app.Elem("strong").Text(n.Fact), app.Text(" "+n.Mend))}
	if n.Act != "" {
		words = append(words, button(n.Act, n.Arg).ID("notice-act").Text(n.Label))
	}
	return app.Elem("div").Class("notice-box").Body(words...)
}

// lesser are the quiet notices, as one line.
func lesser(s State) string {
	var words []string
	for _, n := range s.Lesser {
		words = append(words, n.words())
	}
	if s.Offline {
		words = append(words, "You are offline. Everything here works without the network.")
	}
	return strings.Join(words, " ")
}

// announcer tells a screen reader what came of a take or a state, each once:
// only the words that change are said.
func announcer(s State) app.UI {
	var said []app.UI
	for _, words := range []string{outcome(s), listenCell(s), s.Notice.words(), lesser(s)} {
		said = append(said, app.Elem("span").Text(words), app.Text(" "))
	}
	return app.Elem("p").ID("said").Class("unseen").Role("status").Aria("live", "polite").Aria("atomic", false).Body(said...)
}

// outcome is what came of the last press: on its way, or the result of a take
// or a measurement.
func outcome(s State) string {
	switch {
	case s.Phase == Starting && s.Making.Made < s.Making.Needed:
		return "Making the sounds."
	case s.Page == "/setup/":
		return measuredWords(s)
	case s.Page == listenPath:
		return s.Listen.Said
	case s.Page == progressPath && s.Progress.Page > 0:
		return takesCaption(s)
	case s.Page == "/practise/" && s.Verdict != nil:
		return strings.Join(s.Verdict.sentences(), " ")
	}
	return ""
}

// leaning finds "12 ms early" in a sentence.
var leaning = regexp.MustCompile(`(\d+(?:\.\d+)?) ms (early|late)\b`)

// coloured is a sentence in which leans have the colour of their judgement; the
// word of their direction is there already.
func coloured(sentence string) []app.UI {
	var out []app.UI
	for {
		at := leaning.FindStringSubmatchIndex(sentence)
		if at == nil {
			return append(out, app.Text(sentence))
		}
		if at[0] > 0 {
			out = append(out, app.Text(sentence[:at[0]]))
		}
		ms, _ := strconv.ParseFloat(sentence[at[2]:at[3]], 64)
		if sentence[at[4]:at[5]] == "early" {
			ms = -ms
		}
		out = append(out, app.Elem("span").Class(strip.Judge(ms).String()).Text(sentence[at[0]:at[1]]))
		sentence = sentence[at[1]:]
	}
}

// lowered returns a sentence to go on after a colon.
func lowered(sentence string) string {
	if sentence == "" {
		return ""
	}
	return strings.ToLower(sentence[:1]) + sentence[1:]
}

// judgementMark is the shape of a judgement, beside its word.
func judgementMark(judgement string) app.UI {
	shapes := map[string]string{
		"early": `<path d="M9 0v10L1 5z"/>`,
		"late":  `<path d="M1 0v10l8-5z"/>`,
		"tight": `<circle cx="5" cy="5" r="4"/>`,
	}
	return &drawing{SVG: `<svg class="shape ` + judgement + `" viewBox="0 0 10 10" width="10" height="10" aria-hidden="true" focusable="false">` + shapes[judgement] + `</svg>`}
}
