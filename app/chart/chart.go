// Package chart draws how practice goes: pure functions from plain data to SVG,
// to the same facts in words, and to rows of a table.
//
// The one idea: a chart ([Tempo], [Leaning], [Split], [Weak], [Minutes],
// [Hearing]) is a
// value that holds takes as they were, in any number, and a [Span] of time; it
// gathers them into weeks itself, in linear time, as far as there is room. Fill
// one in, then call SVG, Words, Rows or Standalone: all four tell the same.
// Small tempo charts that stand together share the scale of [TempoScale].
//
// Units: BPM, milliseconds (early is negative), minutes, shares of 1, and days
// in the time zone that the times carry; lengths are user units of the SVG,
// CSS pixels when the picture is as wide as asked for. What is no number is
// left out. Nothing is told by colour alone: judgements have shapes and words.
//
// The picture holds no style and no colour: [Style] gives both by class.
//
//	ch-plot                   the svg element
//	ch-grid ch-dots ch-week   lines of numbers: solid, dotted; upright week starts
//	ch-number ch-word         axis numbers; words beside them
//	ch-strong ch-value        words that stand out; the newest value at its point
//	ch-message                words where a line cannot be drawn yet
//	ch-band ch-line ch-goal   slowest to fastest; tempo owned; the goal, dashed
//	ch-dot                    a filled point, such as a take or a written stroke
//	ch-wash ch-true           tight band and its middle
//	ch-early ch-tight ch-late judgements: shapes and words are filled
//	ch-spread                 upright with end strokes
//	ch-lean ch-far            line from the written place; chevron beyond the scale
//	ch-miss                   dashed ring
//	ch-beat ch-bar ch-even    beat line; bar line; where even strokes would be
//	ch-count                  counting words; with ch-strong on a beat
//	ch-day ch-today           bars of minutes
//	ch-wrong                  cross of an answer that was not right
package chart

import "stampmill/app/svg"

// A Chart can be looked at, listened to and taken away.
type Chart interface {
	// SVG draws the chart as one svg element of a width, which is kept between
	// MinWidth and MaxWidth. Title and Note are left to the page.
	SVG(width float64) string
	// Words says what the picture shows, for those who listen to it.
	Words() string
	// Rows returns the numbers behind the picture; the first row names them.
	Rows() [][]string
	// Standalone draws the chart as a file of its own: with its style, its
	// title and its words inside, readable on paper.
	Standalone(Theme) string
}

// The widths that are laid out; outside them the picture is scaled. Our choice:
// four small charts stand beside each other in a window of 1280.
const (
	MinWidth = 180
	MaxWidth = 2_000
)

// A Heading is what stands over a chart.
type Heading struct {
	Title string // "Headframe"
	Note  string // at the right end: "step 5 of 8"
}

// A picture is a chart while it is drawn.
type picture struct {
	svg.Pen
	width, height float64
}

func newPicture(width float64) *picture {
	if !(width >= MinWidth) {
		width = MinWidth
	}
	return &picture{width: min(width, MaxWidth)}
}

// element returns the picture as an svg element of the page.
func (p *picture) element(h Heading, words string) string {
	var out svg.Pen
	out.Tag("svg", "ch-plot")
	out.Attr("xmlns", "http://www.w3.org/2000/svg")
	out.Attr("width", "100%")
	out.Raw(` viewBox="0 0 `)
	out.B = svg.AppendNumber(out.B, p.width)
	out.B = append(out.B, ' ')
	out.B = svg.AppendNumber(out.B, p.height)
	out.Raw(`"`)
	out.Attr("role", "img")
	out.Attr("aria-label", label(h, words))
	out.Raw(">\n")
	out.B = append(out.B, p.B...)
	out.Raw("</svg>")
	return out.String()
}

func label(h Heading, words string) string {
	name := h.Title
	if h.Note != "" {
		if name != "" {
			name += ", "
		}
		name += h.Note
	}
	if name != "" {
		name += ". "
	}
	return name + words
}

// Sizes of words in user units, for the sizes of [Style]. Our choice.
const (
	letter   = 7.0 // width of a letter of 12, on average in a wide face
	boldWide = 8.8 // width of a letter of 13, heavy
	lineHigh = 16  // from one line of words to the next
	middle   = 4   // from the middle of a digit down to its baseline
)

// wrapped writes words in lines no wider than room, the first with its baseline
// at y, and returns how many lines that took.
func (p *picture) wrapped(class, anchor string, x, y, room float64, words string) int {
	lines := wrap(words, max(1, int(room/letter)))
	for i, line := range lines {
		p.Text(class, anchor, x, y+float64(i)*lineHigh, line)
	}
	return len(lines)
}
