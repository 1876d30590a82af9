package strip

import (
	"strconv"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// SVG returns the picture as one svg element, with the words of
// [Sheet.Describe] as its description. Inside it have ids, all beginning with
// Sheet.ID: -playhead, moved by its transform; -live, empty, for marks made
// while a take runs; -hit and -dot, the shapes of those marks.
func (s Sheet) SVG() string {
	d := s.drawing()
	d.b = make([]byte, 0, 1<<14+128*d.marks())
	d.openPicture()
	d.shapes()
	d.drawBands()
	d.grid()
	d.ruler()
	d.names()
	d.tags()
	d.strokes()
	d.boxes()
	d.signs()
	d.cursor()
	d.tuplets()
	d.counts()
	d.lane()
	d.live()
	d.raw("</svg>")
	return string(d.b)
}

// A drawing is a sheet while it is drawn. Of its passage only what sounds in
// the shown bars is left, with its bars and places, in complete groups.
type drawing struct {
	Sheet
	Layout
	pen
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
	d.tag("svg", class)
	d.attr("xmlns", "http://www.w3.org/2000/svg")
	d.attr("width", "100%")
	d.raw(` viewBox="0 0 `)
	d.b = appendNumber(d.b, d.Layout.Width)
	d.b = append(d.b, ' ')
	d.b = appendNumber(d.b, d.Height)
	d.raw(`"`)
	d.attr("role", "img")
	d.attr("aria-label", d.title())
	d.attr("aria-describedby", d.id+"-words")
	d.raw(">\n<desc")
	d.attr("id", d.id+"-words")
	d.raw(">")
	d.raw(escape(d.describe()))
	d.raw("</desc>\n")
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
	d.raw("<defs>\n<pattern")
	d.attr("id", d.id+"-hatch")
	d.raw(` width="9" height="9" patternUnits="userSpaceOnUse">` + "\n")
	d.path("sm-hatch", "M-2 2L2 -2M0 9L9 0M7 11L11 7")
	d.raw("</pattern>\n")
	d.shape("-hit", func() { d.rect("sm-hit", -hitWide/2, -hitHigh/2, hitWide, hitHigh) })
	d.shape("-dot", func() { d.circle("sm-plain", 0, 0, dot) })
	d.raw("</defs>\n")
}

func (d *drawing) shape(id string, draw func()) {
	d.tag("g", "")
	d.attr("id", d.id+id)
	d.raw(">")
	draw()
	d.close()
}

// live draws what moves: the layer of new marks and the playhead.
func (d *drawing) live() {
	d.group("-live")
	d.close()
	if !d.Playhead {
		return
	}
	d.tag("g", "sm-head")
	d.attr("id", d.id+"-playhead")
	d.attr("transform", d.HeadTransform(d.HeadAt))
	d.raw(">\n")
	top := d.m.grid + d.extra
	d.line("", 0, top, 0, d.Height)
	d.path("", "M-6 #h12l-3 7h-6z", top-2)
	d.close()
}

func (d *drawing) group(id string) {
	d.tag("g", "")
	d.attr("id", d.id+id)
	d.raw(">")
}
