package strip

import (
	"stampmill/exercises/passage"

	"stampmill/app/svg"
)

// Overview draws one bar (from 1) as a line of dots, for the bar's tab: a dot
// wherever one of the voices sounds, all voices when none is named. The width
// is in user units; the height is overviewHigh.
func Overview(p passage.Passage, bar int, width float64, voices ...passage.Voice) string {
	l := Sheet{Passage: p, First: bar, Last: bar, Width: MinWidth}.Layout()
	l.scale = newScale(p, l.From, l.To, overviewDot+1, width-overviewDot-1, 0)
	var d svg.Pen
	d.Tag("svg", "sm-overview")
	d.Attr("xmlns", "http://www.w3.org/2000/svg")
	d.Raw(` viewBox="0 0 `)
	d.B = svg.AppendNumber(d.B, width)
	d.B = append(d.B, ' ')
	d.B = svg.AppendNumber(d.B, overviewHigh)
	d.Raw(`"`)
	d.Attr("aria-hidden", "true")
	d.Raw(">\n")
	d.Line("sm-rowline", 0, overviewHigh/2, width, overviewHigh/2)
	drawn := map[float64]bool{}
	for _, line := range p.Lines {
		if len(voices) > 0 && !has(voices, line.Voice) {
			continue
		}
		for _, s := range line.Strokes[startsAt(line.Strokes, l.From):startsAt(line.Strokes, l.To)] {
			if x := l.rat(s.At); s.Sounds() && !drawn[x] {
				drawn[x] = true
				d.Circle("sm-ink", x, overviewHigh/2, overviewDot)
			}
		}
	}
	d.Raw("</svg>")
	return string(d.B)
}

// Sizes of an overview in user units. Our choice.
const (
	overviewHigh = 10
	overviewDot  = 3
)
