package strip

import (
	"math"
	"strconv"
	"strings"

	"stampmill/app/svg"
	"stampmill/exercises/passage"
)

// Sizes of the player's marks in user units. Our choice.
const (
	hitWide = 3.4
	hitHigh = 18
	each    = 1.8  // radius of the dot of one pass
	missed  = 6.5  // radius of the dashed ring
	letter  = 7.0  // width of a letter in a label
	digit   = 8.0  // width of a digit in a number
	high    = 13.0 // height of a label
)

// lane draws the player's row and, under it, which way each stroke leans.
func (d *drawing) lane() {
	if !d.Lane {
		return
	}
	d.scaleLines()
	d.legend()
	if d.Message != "" {
		x := (d.m.left + d.Layout.Width - d.m.right) / 2
		d.Text("sm-message", svg.AtMiddle, x, d.TightY-ScaleMS*d.m.ms*0.55, d.Message)
	}
	var c crowd
	for _, h := range d.Hits {
		if d.shows(h.At) {
			d.hit(h, &c)
		}
	}
	for _, e := range d.Extras {
		if e.At >= d.From.Float() && e.At < d.To.Float() {
			d.extraTap(e, &c)
		}
	}
	for _, w := range c.pick() {
		d.Text(w.class, w.anchor, w.x, w.y, w.words)
	}
}

// scaleLines draws the player's row, the ends of the scale and the tight band.
func (d *drawing) scaleLines() {
	from, to, end := d.m.lines, d.Layout.Width-d.m.linesEnd, ScaleMS*d.m.ms
	d.Line("sm-rowline", from, d.YouY, to, d.YouY)
	d.Line("sm-scale", from, d.TightY-end, to, d.TightY-end)
	d.Line("sm-scale", from, d.TightY+end, to, d.TightY+end)
	d.Rect("sm-wash", from, d.TightY-TightMS*d.m.ms, to-from, 2*TightMS*d.m.ms)
	d.Line("sm-true", from, d.TightY, to, d.TightY)
}

// legend names the player's row and the three judgements with their shapes, or
// what lies before and after the player's own middle where there are none.
func (d *drawing) legend() {
	x, end := d.m.lines-100, ScaleMS*d.m.ms
	band := " ±" + strconv.Itoa(TightMS) + " ms"
	you := "You: " + partName(d.Part)
	indent := 17.0
	if d.Compact {
		x, band, you, indent = 8, "", "You", 0
	}
	d.Text("sm-you", svg.AtStart, x+indent, d.YouY+2, you)
	if d.Plain {
		d.Text("sm-say", svg.AtStart, x, d.TightY-end+1, "before")
		d.Tag("text", "sm-say")
		d.Set("x y", x, d.TightY+3)
		d.Raw(`>middle<tspan class="sm-more">` + band + "</tspan></text>\n")
		d.Text("sm-say", svg.AtStart, x, d.TightY+end+4, "after")
		return
	}
	d.mark(Early, x+4.5, d.TightY-end-4)
	d.Text("sm-early sm-say", svg.AtStart, x+13, d.TightY-end+1, "early")
	d.mark(Tight, x+4.5, d.TightY-1)
	d.Tag("text", "sm-tight sm-say")
	d.Set("x y", x+13, d.TightY+3)
	d.Raw(`>tight<tspan class="sm-more">` + band + "</tspan></text>\n")
	d.mark(Late, x+4.5, d.TightY+end-2)
	d.Text("sm-late sm-say", svg.AtStart, x+13, d.TightY+end+4, "late")
}

// partName names what the player plays, in the room of the column of names.
func partName(part []passage.Voice) string {
	switch len(part) {
	case 0:
		return "all"
	case 1, 2:
		var names []string
		for _, v := range part {
			names = append(names, strings.ToLower(v.Label()))
		}
		if all := strings.Join(names, ", "); len(all) <= 11 {
			return all
		}
	}
	return strconv.Itoa(len(part)) + " voices"
}

// hit draws how one stroke was played: an upright at the place it fell, and in
// the lane the mark that leans, with its number kept for the crowd.
func (d *drawing) hit(h Hit, c *crowd) {
	root := d.rat(h.At)
	mean, played := h.Mean()
	d.Tag("g", "sm-h")
	d.Attr("data-at", h.At.String())
	d.Attr("data-voice", h.Voice.String())
	d.Raw(">")
	defer d.Close()
	if played {
		d.upright(d.XAtSeconds(d.scale.seconds(h.At.Float()) + mean/1000))
	}
	if h.Missed > 0 {
		d.Circle("sm-miss", root, d.TightY, missed)
		c.add(word{class: "sm-say", anchor: svg.AtMiddle, x: root, y: d.TightY + 22, words: missedWords(h, played), short: "missed", above: d.TightY - 12, weight: missedWeight(h)})
	}
	switch {
	case played && d.Plain:
		d.plain(h, mean, c)
	case played:
		d.played(h, mean, c)
	}
}

func missedWords(h Hit, played bool) string {
	if !played {
		return "missed"
	}
	return "missed " + strconv.Itoa(h.Missed) + " of " + strconv.Itoa(h.Missed+len(h.Errors))
}

// missedWeight puts a stroke that was never played beside an error at the end
// of the scale, one missed now and then under it.
func missedWeight(h Hit) float64 {
	return ScaleMS * float64(h.Missed) / float64(max(1, h.Missed+len(h.Errors)))
}

func (d *drawing) upright(x float64) {
	d.Rect("sm-hit", x-hitWide/2, d.YouY-hitHigh/2, hitWide, hitHigh)
}

// plain draws a mark that is not judged.
func (d *drawing) plain(h Hit, mean float64, c *crowd) {
	d.passes(h)
	x, y := d.LeanAt(h.At.Float(), mean)
	c.block(x, y)
	d.Line("sm-lean sm-plain", d.rat(h.At), d.TightY, x, y)
	d.Circle("sm-plain", x, y, dot)
}

// played draws the judged mark at the mean of the passes, a small dot for each
// pass, and gives its number to the crowd.
func (d *drawing) played(h Hit, mean float64, c *crowd) {
	d.passes(h)
	j := Judge(mean)
	x, y := d.LeanAt(h.At.Float(), mean)
	d.Line("sm-lean sm-"+j.String(), d.rat(h.At), d.TightY, x, y)
	d.mark(j, x, y)
	c.block(x, y)
	if j == Tight {
		return
	}
	far := math.Abs(mean) > ScaleMS
	if far {
		d.chevron(j, x, y)
	}
	c.add(d.number(j, x, y, mean, far))
}

// passes draws one small dot a pass, where there are several.
func (d *drawing) passes(h Hit) {
	if len(h.Errors) < 2 {
		return
	}
	for _, e := range h.Errors {
		x, y := d.LeanAt(h.At.Float(), e)
		d.Circle("sm-each", x, y, each)
	}
}

// mark draws the shape of a judgement.
func (d *drawing) mark(j Judgement, x, y float64) { Mark(&d.Pen, "sm-"+j.String(), j, x, y) }

// Mark draws the shape of a judgement about a point: a triangle pointing left
// for early and right for late, a dot for tight.
func Mark(p *svg.Pen, class string, j Judgement, x, y float64) {
	switch j {
	case Early:
		p.Path(class, "M# #l#-6v12z", x-6, y, 11)
	case Late:
		p.Path(class, "M# #l#-6v12z", x+6, y, -11)
	default:
		p.Circle(class, x, y, dot)
	}
}

// chevron tells that a mark is pinned to the end of the scale.
func (d *drawing) chevron(j Judgement, x, y float64) {
	if j == Early {
		d.Path("sm-far sm-early", "M# #l-7 6l7 6", x-9, y-6)
		return
	}
	d.Path("sm-far sm-late", "M# #l7 6l-7 6", x+9, y-6)
}

// number returns the number of a mark: over an early one, right of a late one,
// and over it where the right edge is near.
func (d *drawing) number(j Judgement, x, y, mean float64, far bool) word {
	w := word{class: "sm-ms sm-" + j.String(), words: strconv.Itoa(int(math.Abs(math.Round(clampMS(mean))))), weight: math.Abs(mean)}
	beside := 10.0
	if far {
		beside += 11
	}
	wide := digit * float64(len(w.words))
	switch {
	case j == Early:
		w.anchor, w.x, w.y = svg.AtMiddle, x, y-9
	case x+beside+wide > d.Layout.Width-d.m.right-4:
		w.anchor, w.x, w.y = svg.AtMiddle, x+5, y-9
	default:
		w.anchor, w.x, w.y = svg.AtStart, x+beside, y+4.5
	}
	return w
}

// clampMS keeps a number printable whatever came in.
func clampMS(ms float64) float64 { return inside(ms, -99999, 99999) }

// extraTap draws a tap that belongs to no stroke: an upright where it fell, and
// an open cross in the lane.
func (d *drawing) extraTap(e Extra, c *crowd) {
	x := d.X(e.At)
	d.upright(x)
	const a, b = 2.0, 4.0 // half the width of an arm, and its length
	d.Path("sm-extra", "M# #h#v#h#v#h#v#h#v#h#v#h#v#z",
		x-a, d.TightY-a-b, 2*a, b, b, 2*a, -b, b, -2*a, -b, -b, -2*a, b, -b)
	c.add(word{class: "sm-say", anchor: svg.AtMiddle, x: x, y: d.TightY + 22, words: "extra", weight: TightMS})
}
