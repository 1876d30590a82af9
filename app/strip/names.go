package strip

import (
	"strings"

	"stampmill/app/svg"
	"stampmill/exercises/passage"
)

// Places in the column of names, in user units. Our choice.
const (
	nameColumn = 100 // from the start of the row's line back to the squares
	square     = 13
	beside     = 5 // longest name, in letters, that has "silent" beside it
	narrow     = 7 // longest name that fits the compact column as it is
	squeezed   = 58
)

// names draws the names of the voices, where the sheet wants them drawn, and
// of the counts.
func (d *drawing) names() {
	x, indent := d.m.lines-nameColumn, 21.0
	if d.narrowNames() {
		x, indent = 8, 18
	}
	for _, r := range d.Rows {
		switch d.Labels {
		case LabelsPlain:
			d.label("sm-label", x+3, r.Y+2, d.shortName(r.Voice))
		case LabelsMute:
			d.square(r, x)
			d.name(r, x+indent)
		}
	}
	if d.CountY > 0 && !d.narrowNames() {
		d.Text("sm-count", svg.AtStart, x+17, d.CountY, "Count")
	}
}

// shortName keeps a name inside the narrow column.
func (d *drawing) shortName(v passage.Voice) string {
	if !d.narrowNames() {
		return v.Label()
	}
	return strings.NewReplacer(" left", " L", " right", " R").Replace(v.Label())
}

// square is filled for a voice that is heard, hollow for a silent one.
func (d *drawing) square(r Row, x float64) {
	if r.Muted {
		d.Rect("sm-square sm-off", x+1, r.Y-8, square-2, square-2)
		return
	}
	d.Rect("sm-square", x, r.Y-9, square, square)
}

// name writes a voice's name, with the word "silent" beside or under it.
func (d *drawing) name(r Row, x float64) {
	name := d.shortName(r.Voice)
	switch {
	case !r.Muted:
		d.label("sm-label", x, r.Y+2, name)
	case d.narrowNames() || len(name) > beside:
		d.label("sm-label sm-off", x, r.Y-3, name)
		d.Text("sm-silent", svg.AtStart, x, r.Y+10, "silent")
	default:
		d.Tag("text", "sm-label sm-off")
		d.Set("x y", x, r.Y+2)
		d.Raw(">" + svg.Escape(name) + `<tspan class="sm-silent" dx="9">silent</tspan></text>` + "\n")
	}
}

// label writes a name; a long one is squeezed into the compact column.
func (d *drawing) label(class string, x, y float64, name string) {
	d.Tag("text", class)
	d.Set("x y", x, y)
	if d.narrowNames() && len(name) > narrow {
		d.Set("textLength", squeezed)
		d.Attr("lengthAdjust", "spacingAndGlyphs")
	}
	d.Raw(">" + svg.Escape(name) + "</text>\n")
}
