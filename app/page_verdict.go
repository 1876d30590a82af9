package app

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/exercises/grade"
)

func barVerdict(said, judgement string) app.UI {
	if judgement == "" {
		return app.Elem("span").Class("tab-verdict").Text(said)
	}
	return app.Elem("span").Class("tab-verdict", judgement).Body(judgementMark(judgement), app.Elem("span").Text(said))
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
		second = []app.UI{app.Elem("strong").Text(s.Notice.Fact), app.Text(" " + s.Notice.Mend + " ")}
		if s.Notice.Act == "dismiss" || s.unstored() {
			second = append(second, button(s.Notice.Act, "").Class("small").Text(s.Notice.Label))
		}
	}
	return app.Elem("div").Class("lead", "verdict").Body(
		app.Elem("h2").Body(lead...),
		app.Elem("p").Class("second").Body(second...),
	)
}

// suggestionWords is the one thing to do.
func suggestionWords(s State) string {
	if !s.Verdict.Take.Known {
		return "Tap along to a click for half a minute; then this take is told early from late too."
	}
	if s.Verdict.Passed && s.alone() {
		return fmt.Sprintf("%s alone is done at %d. Now %s together.", capital(s.part().said()), s.Verdict.Tempo, s.Together.said())
	}
	if _, ok := s.paced(); ok {
		return s.paceWords()
	}
	if s.Verdict.Passed && s.Verdict.Loop == (Range{}) {
		next := s.suggested().String()
		if to := s.nextAction(); to.act != "" && s.Verdict.Next.Kind == grade.NextStep {
			next = "Go on to the " + lowered(to.label) + "."
		}
		return fmt.Sprintf("This step is done at %d. %s%s", s.Verdict.Tempo, s.ownedWords(), next)
	}
	return s.suggested().String()
}

func figures(s State) app.UI { return figureList(s.Verdict.figures()) }

func figureList(all []figure) app.UI {
	var tiles []app.UI
	for _, f := range all {
		tiles = append(tiles, app.Elem("div").Class("figure").Body(
			app.Elem("dt").Text(f.label),
			app.Elem("dd").Body(figureBody(f)...),
		))
	}
	return app.Elem("dl").Class("figures").Body(tiles...)
}

func figureBody(f figure) []app.UI {
	value := app.Elem("span").Class("value", f.class)
	if f.value == unknown {
		value = value.Class("unknown")
	}
	body := []app.UI{value.Body(app.Text(f.value), app.Elem("span").Class("unit").Text(f.unit))}
	if f.split != nil {
		body = []app.UI{&drawing{SVG: splitPicture(*f.split)}}
	}
	return append(body, app.Elem("span").Class("sub").Text(f.sub))
}

// splitPicture draws the shares of a tuplet: played over written.
func splitPicture(t grade.TupletFigures) string {
	const width, gap = 150.0, 1.5
	var b strings.Builder
	b.WriteString(`<svg class="split" viewBox="0 0 150 26" width="150" height="26" aria-hidden="true" focusable="false">`)
	for row, shares := range [][]float64{t.Played, t.WrittenShares()} {
		x := 0.0
		for _, share := range shares {
			fmt.Fprintf(&b, `<rect class="split-%d" x="%.1f" y="%d" width="%.1f" height="%d"/>`, row, x+0.5, 1+row*15, max(width*share-gap-0.5, 1), 10-2*row)
			x += width * share
		}
	}
	b.WriteString(`</svg>`)
	return b.String()
}
