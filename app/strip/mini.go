package strip

import (
	"stampmill/app/svg"
	"stampmill/exercises/passage"
)

// Sizes of the small pictures of an answer, in user units. Our choice: two
// rows, each with its mark, stay as high as two lines of words.
const (
	miniRows  = 2    // shown at most
	miniHigh  = 22.0 // of one row
	miniNext  = 13.0 // of each row where there are two
	miniLeft  = 9.0
	miniRight = 4.0
	miniMarks = 0.72
)

// Minis draws what an answer means as two small pictures to one scale: rows and
// marks only, of the first two voices. They are for the eye beside words that
// say the same, so a screen reader passes them over. The width is in user
// units.
func Minis(from, to passage.Passage, width float64) (before, after string) {
	from, to = rowsOf(from, to), rowsOf(to, from)
	a, b := mini(from, width), mini(to, width)
	a.seconds = max(seconds(a.Sheet), seconds(b.Sheet))
	b.seconds = a.seconds
	return a.mini(), b.mini()
}

// mini returns the drawing of one of them, without its scale.
func mini(p passage.Passage, width float64) *drawing {
	p.Lines = p.Lines[:min(len(p.Lines), miniRows)]
	return &drawing{Sheet: Sheet{Passage: p, Width: width, Small: true}}
}

// mini lays the rows out and draws them.
func (d *drawing) mini() string {
	width := d.Sheet.Width
	d.Layout = Layout{Width: width, RowHeight: miniHigh, m: measures{left: miniLeft, right: miniRight, marks: miniMarks}}
	d.Layout.show(d.Sheet)
	d.Height = miniHigh
	if len(d.Passage.Lines) > 1 {
		d.RowHeight, d.Height = miniNext, miniNext*float64(len(d.Passage.Lines))
	}
	for i, line := range d.Passage.Lines {
		d.Rows = append(d.Rows, Row{Voice: line.Voice, Y: d.RowHeight * (float64(i) + 0.5)})
	}
	d.Passage = d.Passage.Excerpt(d.Layout.First, d.Layout.Last)
	d.Tag("svg", "sm-strip sm-mini")
	d.Attr("xmlns", "http://www.w3.org/2000/svg")
	d.Raw(` viewBox="0 0 `)
	d.B = svg.AppendNumber(d.B, width)
	d.B = append(d.B, ' ')
	d.B = svg.AppendNumber(d.B, d.Height)
	d.Raw(`"`)
	d.Attr("aria-hidden", "true")
	d.Raw(">\n")
	for _, r := range d.Rows {
		d.Line("sm-rowline", 0, r.Y, width, r.Y)
	}
	d.strokes()
	d.Raw("</svg>")
	return string(d.B)
}
