package strip

import (
	"strconv"

	"stampmill/app/svg"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// SVG returns the picture as one svg element, with the words of
// [Sheet.Describe] as its description. Inside it have ids, all beginning with
// Sheet.ID: -playhead, moved by its transform; -live, empty, for marks made
// while a take runs; -hit and -dot, the shapes of those marks.
func (s Sheet) SVG() string {
	d := s.drawing()
	d.B = make([]byte, 0, 1<<14+128*d.marks())
	d.openPicture()
	if d.covered() {
		d.ruler()
		d.names()
		d.cover()
		d.live()
		d.Raw("</svg>")
		return string(d.B)
	}
	d.shapes()
	d.drawBands()
	d.grid()
	d.ruler()
	d.names()
	d.tags()
	d.strokes()
	d.wasThere()
	d.heardWord()
	d.boxes()
	d.signs()
	d.cursor()
	d.tuplets()
	d.counts()
	d.lane()
	d.live()
	d.Raw("</svg>")
	return string(d.B)
}

// A drawing is a sheet while it is drawn. Of its passage only what sounds in
// the shown bars is left, with its bars and places, in complete groups.
type drawing struct {
	Sheet
	Layout
	svg.Pen
	id     string
	starts []meter.Rat     // of all bars, and the end
	beats  []passage.Beat  // shown
	words  []passage.Count // counting words of the shown bars
	bands  []band
	boxed  []boxed
}

func (s Sheet) drawing() *drawing {
	d := &drawing{Sheet: s, Layout: s.Layout(), id: s.ID, starts: s.Passage.Starts()}
	d.Passage = s.Passage.Excerpt(d.Layout.First, d.Layout.Last)
	d.beats = d.beatsShown(s.Passage)
	d.words = d.Passage.CountsIn(d.Layout.First, d.Layout.Last)
	d.bands = append(d.bandsOf(s.New, newHere), d.bandsOf(s.Selected, selected)...)
	if d.Heard != nil {
		d.bands = append(d.bands, d.bandsOf(d.Heard.Spans, "")...)
	}
	d.boxed = d.boxedProblems()
	if d.id == "" {
		d.id = "strip"
	}
	return d
}

// marks returns how many strokes are drawn.
func (d *drawing) marks() int {
	n := 0
	for _, line := range d.Passage.Lines {
		n += len(line.Strokes)
	}
	return n
}

func (d *drawing) openPicture() {
	class := "sm-strip"
	if d.Compact {
		class += " sm-compact"
	}
	d.Tag("svg", class)
	d.Attr("xmlns", "http://www.w3.org/2000/svg")
	d.Attr("width", "100%")
	d.Raw(` viewBox="0 0 `)
	d.B = svg.AppendNumber(d.B, d.Layout.Width)
	d.B = append(d.B, ' ')
	d.B = svg.AppendNumber(d.B, d.Height)
	d.Raw(`"`)
	d.Attr("role", "img")
	d.Attr("aria-label", d.title())
	d.Attr("aria-describedby", d.id+"-words")
	d.Raw(">\n<desc")
	d.Attr("id", d.id+"-words")
	d.Raw(">")
	d.Raw(svg.Escape(d.describe()))
	d.Raw("</desc>\n")
}

// title names the picture in a few words.
func (d *drawing) title() string {
	if d.Layout.First == d.Layout.Last {
		return "Strip of bar " + strconv.Itoa(d.Layout.First)
	}
	return "Strip of bars " + strconv.Itoa(d.Layout.First) + " to " + strconv.Itoa(d.Layout.Last)
}

// shapes defines the hatching and the marks of the live layer.
func (d *drawing) shapes() {
	d.Raw("<defs>\n<pattern")
	d.Attr("id", d.id+"-hatch")
	d.Raw(` width="9" height="9" patternUnits="userSpaceOnUse">` + "\n")
	d.Path("sm-hatch", "M-2 2L2 -2M0 9L9 0M7 11L11 7")
	d.Raw("</pattern>\n")
	d.shape("-hit", func() { d.Rect("sm-hit", -hitWide/2, -hitHigh/2, hitWide, hitHigh) })
	d.shape("-dot", func() { d.Circle("sm-plain", 0, 0, dot) })
	d.Raw("</defs>\n")
}

func (d *drawing) shape(id string, draw func()) {
	d.Tag("g", "")
	d.Attr("id", d.id+id)
	d.Raw(">")
	draw()
	d.Close()
}

// live draws what moves: the layer of new marks and the playhead.
func (d *drawing) live() {
	d.group("-live")
	d.Close()
	if !d.Playhead {
		return
	}
	d.Tag("g", "sm-head")
	d.Attr("id", d.id+"-playhead")
	d.Attr("transform", d.HeadTransform(d.HeadAt))
	d.Raw(">\n")
	top := d.m.grid + d.extra
	bottom := d.Height
	if d.Heard != nil {
		bottom = d.lowest()
	}
	d.Line("", 0, top, 0, bottom)
	d.Path("", "M-6 #h12l-3 7h-6z", top-2)
	d.Close()
}

func (d *drawing) group(id string) {
	d.Tag("g", "")
	d.Attr("id", d.id+id)
	d.Raw(">")
}
