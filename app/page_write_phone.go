package app

import (
	"fmt"
	"html"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// phoneWrite is the Write page on a narrow screen: one bar, its text standing
// under its own beats, the changes, and at the foot one row of signs.
func phoneWrite(s State, pic Picture) []app.UI {
	return []app.UI{
		&steady{Part: pic.Parts.top},
		app.Elem("main").Class("bench").Body(
			&steady{Part: pic.Parts.head},
			writeNotice(s),
			app.Elem("div").Class("steps-row").Body(&steady{Part: pic.Parts.steps}, menuButton(s)),
			writeMenu(s),
			&steady{Part: pic.Parts.tabs},
			writeStrip(s, pic),
			app.Elem("div").Class("bar-text").DataSet("draw", "bar-text").Body(&drawing{SVG: pic.Bar}),
			writeRefused(s),
			&steady{Part: pic.Parts.problems},
			&steady{Part: pic.Parts.signs},
			&steady{Part: pic.Parts.changes},
			writeText(s, pic),
			&steady{Part: pic.Parts.measures},
			app.Elem("p").Class("second").Text(footWords(s)),
			&steady{Part: pic.Parts.foot},
		),
		&steady{Part: pic.Parts.said},
	}
}

// Sizes of the text under the strip of a phone, in user units of its picture.
const (
	barTextRow  = 30
	barTextBase = 20 // of the letters, from the top of their row
)

// barText is one bar as it is written, each beat under its own place in the
// strip; what is selected is framed.
func barText(p passage.Passage, bar int, l strip.Layout, selected passage.Span) string {
	starts := p.Starts()
	if bar < 1 || bar >= len(starts) {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="sm-strip bar-letters" viewBox="0 0 %.0f %d" role="presentation" aria-hidden="true">`, l.Width, barTextRow*len(p.Lines)+8)
	for row, line := range p.Lines {
		y := row*barTextRow + barTextBase + 4
		fmt.Fprintf(&b, `<text class="sm-label" x="8" y="%d">%s</text>`, y, html.EscapeString(line.Voice.Label()))
		for _, g := range beatTexts(p, line.Voice, bar) {
			x := l.X(g.from.Float())
			if holds(selected, line.Voice) && g.from.Less(selected.To) && selected.From.Less(g.to) {
				fmt.Fprintf(&b, `<rect class="bar-cell" x="%.1f" y="%d" width="%.1f" height="22" rx="2"/>`, x-5, y-16, float64(len([]rune(g.text)))*letterWide+10)
			}
			fmt.Fprintf(&b, `<text class="bar-letter" x="%.1f" y="%d">%s</text>`, x-3, y, html.EscapeString(g.text))
		}
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// letterWide is the width of a letter of the text under the strip, as the style
// has it, in user units.
const letterWide = 9.0

func holds(span passage.Span, v passage.Voice) bool {
	for _, w := range span.Voices {
		if w == v {
			return true
		}
	}
	return false
}

// A beatText is the cells of a beat, or of several that are cut together, as
// they are written.
type beatText struct {
	from, to meter.Rat
	text     string
}

// beatTexts are the cells of a voice in a bar, beat by beat.
func beatTexts(p passage.Passage, v passage.Voice, bar int) []beatText {
	onBeat := map[meter.Rat]bool{}
	for _, b := range p.Beats() {
		onBeat[b.At] = true
	}
	var all []beatText
	for _, c := range p.Cells(v, bar) {
		if len(all) == 0 || onBeat[c.At] {
			all = append(all, beatText{from: c.At})
		}
		last := &all[len(all)-1]
		last.text += p.Letter(c)
		last.to = c.End()
	}
	return all
}
