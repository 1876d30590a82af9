package chart

import (
	_ "embed"
	"strings"

	"stampmill/app/svg"
)

// Style is the look of the classes, in terms of the tokens of the page's style
// sheet, which holds it word for word.
//
//go:embed style.css
var Style string

// A Theme is a set of colours.
type Theme uint8

// The themes of a file. On paper both are black on white.
const (
	Light Theme = iota
	Dark
)

// token is a colour of the page's style sheet that [Style] names.
type token struct{ name, light, dark, paper string }

// tokens have the page's values, but the wash, which lies on the face here: not
// every program reads colours that can be seen through. On paper shapes and
// words carry the meaning.
var tokens = [...]token{
	{"ink", "#1b1d21", "#f1ede3", "#000000"},
	{"ink-2", "#4f4d47", "#bbb8af", "#333333"},
	{"face", "#fbf9f5", "#1b1e23", "#ffffff"},
	{"face-2", "#e6e2d7", "#262a31", "#e8e8e8"},
	{"seam", "#cbc5b7", "#363b44", "#bbbbbb"},
	{"edge", "#7a7467", "#7b828e", "#555555"},
	{"early", "#1d56b8", "#7fb2ff", "#000000"},
	{"tight", "#0f6b5c", "#5fb8a6", "#333333"},
	{"late", "#a34400", "#ff9d5c", "#000000"},
	{"tight-wash", "#d8e4de", "#263839", "#eeeeee"},
}

// fileStyle is what a file has beside [Style].
const fileStyle = `.ch-face { fill: var(--face); }
.ch-plot .ch-title { fill: var(--ink); font-size: 16px; font-weight: 700; }
`

// fonts are those of the page.
const fonts = `system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", sans-serif`

// Sizes of a file in user units. Our choice.
const (
	fileWidth = 640
	longWidth = 960 // of minutes
	margin    = 20
	titleHigh = 22
)

// styleOf returns the style of a file: that of a theme, and that of paper.
func styleOf(theme Theme) string {
	colour := func(t token) string { return t.light }
	if theme == Dark {
		colour = func(t token) string { return t.dark }
	}
	return coloured(colour) + "@media print {\n" + coloured(func(t token) string { return t.paper }) + "}\n"
}

// coloured puts colours in the place of tokens, which not every program knows.
func coloured(colour func(token) string) string {
	pairs := []string{"var(--font)", fonts}
	for _, t := range tokens {
		pairs = append(pairs, "var(--"+t.name+")", colour(t))
	}
	return strings.NewReplacer(pairs...).Replace(fileStyle + Style)
}

// file returns the picture as a file of its own, with a legend, as there is no
// page that explains it.
func (p *picture) file(h Heading, legend, words string, theme Theme) string {
	var out svg.Pen
	width, top := p.width+2*margin, float64(margin)
	var head picture
	for _, line := range []struct{ class, words string }{{"ch-title", h.Title}, {"ch-word", h.Note}, {"", legend}} {
		if line.words != "" {
			top += float64(head.wrapped(line.class, "", margin, top+12, p.width*0.9, line.words)) * titleHigh
		}
	}
	height := top + p.height + margin
	out.Raw(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	out.Tag("svg", "ch-plot")
	out.Attr("xmlns", "http://www.w3.org/2000/svg")
	out.Set("width height", width, height)
	out.Raw(` viewBox="0 0 `)
	out.B = svg.AppendNumber(out.B, width)
	out.B = append(out.B, ' ')
	out.B = svg.AppendNumber(out.B, height)
	out.Raw("\" role=\"img\">\n<title>" + svg.Escape(h.Title) + "</title>\n<desc>" + svg.Escape(words) + "</desc>\n")
	out.Raw("<style>\n" + styleOf(theme) + "</style>\n")
	out.Rect("ch-face", 0, 0, width, height)
	out.B = append(out.B, head.B...)
	out.Raw(`<g transform="translate(`)
	out.B = svg.AppendNumber(out.B, margin)
	out.B = append(out.B, ' ')
	out.B = svg.AppendNumber(out.B, top)
	out.Raw(")\">\n")
	out.B = append(out.B, p.B...)
	out.Raw("</g>\n</svg>\n")
	return out.String()
}

// Standalone draws the chart as a file.
func (c Tempo) Standalone(theme Theme) string {
	s := c.shown()
	return c.picture(fileWidth, s).file(c.Heading, "BPM. Line: tempo owned. Band: slowest to fastest of the week. Dashed: goal.", c.words(s), theme)
}

// Standalone draws the chart as a file.
func (c Leaning) Standalone(theme Theme) string {
	return c.picture(fileWidth).file(c.Heading, "Early above, late below, in ms. Upright: spread.", c.Words(), theme)
}

// Standalone draws the chart as a file.
func (c Split) Standalone(theme Theme) string {
	return c.picture(fileWidth).file(c.Heading, "Where the strokes fell in the beat, the newest week lowest. Dashed: as written.", c.Words(), theme)
}

// Standalone draws the chart as a file.
func (c Weak) Standalone(theme Theme) string {
	return c.picture(fileWidth).file(c.Heading, "Early above, late below, in ms. Dashed ring: missed.", c.Words(), theme)
}

// Standalone draws the chart as a file.
func (c Minutes) Standalone(theme Theme) string {
	return c.picture(longWidth).file(c.Heading, "", c.Words(), theme)
}

// Standalone draws the chart as a file.
func (c Hearing) Standalone(theme Theme) string {
	return c.picture(fileWidth).file(c.Heading, sentence(c.Unit+". Dot: right. Cross: not right. Band: interval of the threshold. Dashed: published"), c.Words(), theme)
}

var _ = []Chart{Tempo{}, Leaning{}, Split{}, Weak{}, Minutes{}, Hearing{}}
