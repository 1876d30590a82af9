package strip

import (
	"math"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Sizes of the written marks in user units, for rows up to 36; they grow with
// higher rows. Our choice.
const (
	dot      = 4.8 // radius of a plain drum stroke
	strong   = 6.0 // radius of an accented one, inside its ring
	ring     = 9.5
	ghost    = 3.0
	grace    = 2.0 // radius of the small dots of flam and drag
	arm      = 5.5 // half the width of a cymbal's cross
	barHalf  = 6.0 // half the height of a sounding bar
	barGap   = 3.0 // what a bar is shorter, so that two in a row are two
	upright  = 8.0 // half the height of a choke
	bendRise = 4.0 // a semitone
)

// grow returns what the sizes of marks are multiplied by.
func (l Layout) grow() float64 {
	if l.m.marks > 0 {
		return l.m.marks
	}
	return max(1, (l.RowHeight-l.m.signs)/wide.row)
}

// strokes draws every stroke of the shown bars, each as one g with its place,
// and the rest of those that are held into them.
func (d *drawing) strokes() {
	for i, line := range d.Passage.Lines {
		r := d.Rows[i]
		d.Tag("g", "sm-row")
		d.Attr("data-voice", line.Voice.String())
		d.Raw(">\n")
		all := line.Strokes
		first := startsAt(all, d.From)
		if first > 0 && d.From.Less(all[first-1].End()) && line.Voice.Sustained() && all[first-1].Sounds() {
			x, w := d.sounding(d.From, all[first-1].End())
			h := barHalf * d.grow()
			d.Rect("sm-ink", x, r.Y-h, w, 2*h)
		}
		shown := all[first:startsAt(all, d.To)]
		k := d.size(line.Voice, shown)
		for _, s := range shown {
			d.Tag("g", "sm-s")
			d.Attr("data-at", s.At.String())
			d.Raw(">")
			d.stroke(line.Voice, s, r.Y, k)
			d.Close()
		}
		d.Close()
	}
}

// size returns what the sizes of a row's marks are multiplied by: smaller where
// the nearest two would touch, but never under a half. Bars are as long as
// their sound anyway.
func (d *drawing) size(v passage.Voice, shown []passage.Stroke) float64 {
	nearest := math.Inf(1)
	for i := 1; i < len(shown) && !v.Sustained(); i++ {
		nearest = min(nearest, d.rat(shown[i].At)-d.rat(shown[i-1].At))
	}
	return inside(nearest/(2*dot+1), 0.5, d.grow())
}

// startsAt returns the index of the first stroke at or after a place.
func startsAt(strokes []passage.Stroke, at meter.Rat) int {
	i, _ := slices.BinarySearchFunc(strokes, at, func(s passage.Stroke, at meter.Rat) int { return s.At.Cmp(at) })
	return i
}

func (d *drawing) stroke(v passage.Voice, s passage.Stroke, y, k float64) {
	x := d.rat(s.At)
	switch {
	case s.Kind == passage.Choke:
		d.Path("sm-mark", "M# #v#", x, y-upright*k, 2*upright*k)
	case v.Sustained():
		d.bar(s, y)
	case v.Family() == passage.Cymbals:
		d.cymbal(s.Kind, x, y, k)
	case v.Family() == passage.Clicks:
		d.click(s.Kind, x, y, k)
	default:
		d.drum(s.Kind, x, y, k)
	}
}

func (d *drawing) cymbal(kind passage.Kind, x, y, k float64) {
	a := arm * k
	switch kind {
	case passage.Accent:
		d.Circle("sm-ring", x, y, ring*k)
	case passage.Ghost:
		a = ghost * k
	case passage.Open:
		d.Circle("sm-ring", x, y-(arm+4.5)*k, ghost*k)
	}
	d.Path("sm-mark", "M# #l# #m# 0l# #", x-a, y-a, 2*a, 2*a, -2*a, 2*a, -2*a)
}

func (d *drawing) drum(kind passage.Kind, x, y, k float64) {
	switch kind {
	case passage.Accent:
		d.Circle("sm-ring", x, y, ring*k)
		d.Circle("sm-ink", x, y, strong*k)
		return
	case passage.Ghost:
		d.Circle("sm-hollow", x, y, ghost*k)
		return
	case passage.Rim:
		a := arm * k
		d.Path("sm-mark", "M# #l# #m# 0l# #", x-a, y-a, 2*a, 2*a, -2*a, 2*a, -2*a)
		return
	case passage.Drag:
		d.Circle("sm-ink", x-(dot+3*grace+2.5)*k, y, grace*k)
		fallthrough
	case passage.Flam:
		d.Circle("sm-ink", x-(dot+grace+1.5)*k, y, grace*k)
	}
	d.Circle("sm-ink", x, y, dot*k)
}

func (d *drawing) click(kind passage.Kind, x, y, k float64) {
	a := ghost * k // half the side of its square
	switch kind {
	case passage.Accent:
		d.Circle("sm-ring", x, y, ring*k)
	case passage.Ghost:
		d.Rect("sm-hollow", x-a/2, y-a/2, a, a)
		return
	}
	d.Rect("sm-ink", x-a, y-a, 2*a, 2*a)
}

// sounding returns the left edge and width of a bar, cut at the strip's end.
func (d *drawing) sounding(at, end meter.Rat) (x, w float64) {
	x = d.rat(at)
	if d.To.Less(end) {
		end = d.To
	}
	w = d.rat(end) - x
	return x, max(w-min(barGap, w/4), 0)
}

// bar draws a stroke of guitar, bass, lead or sub: as long as it sounds, its
// outline telling how it is played.
func (d *drawing) bar(s passage.Stroke, y float64) {
	x, w := d.sounding(s.At, s.End())
	h := barHalf * d.grow()
	switch s.Kind {
	case passage.Accent:
		d.Rect("sm-ink", x, y-h, w, 2*h)
		d.Rect("sm-ring", x-2.5, y-h-2.5, w+5, 2*h+5)
	case passage.Ghost:
		d.Rect("sm-hollow", x+1, y-h/2, max(w-2, 1), h)
	case passage.Open: // rings away: the bar thins out
		d.Path("sm-ink", "M# #h#L# #V#L# #H#z", x, y-h, w/3, x+w, y-2, y+2, x+w/3, y+h, x)
	case passage.Harmonic:
		d.Path("sm-hollow", "M# #l# #l# #l# #z", x, y, h, -h, h, h, -h, h)
		d.Path("sm-mark", "M# #H#", x+2*h, y, max(x+w, x+2*h))
	case passage.Chord: // three strings on one pick
		b := min(w/3, h/2)
		d.Path("sm-ink", "M# #h#v3H#V#H#v3H#V#H#v3H#z",
			x, y-h, w, x+b, y-1.5, x+w, x+b, y+h-3, x+w, x)
	case passage.Scrape:
		d.scrape(x, w, y, h)
	case passage.ScrapeDown:
		d.scrape(x, w, y, -h)
	case passage.Bend:
		d.bend(x, w, y, h, float64(s.Bend))
	case passage.Tremolo:
		d.tremolo(x, w, y, h)
	case passage.Tapped:
		d.Rect("sm-ink", x, y-h, w, 2*h)
		d.Path("sm-mark", "M# #h8m-4 0v4", x, y-h-5)
	default:
		d.Rect("sm-ink", x, y-h, w, 2*h)
	}
}

// Steps of the two toothed shapes, in user units. Our choice.
const (
	hatchStep = 5.0
	toothStep = 6.0
)

// scrape draws slanted lines over the length, rising; with h below 0, falling.
func (d *drawing) scrape(x, w, y, h float64) {
	form, at := "", []float64{}
	lean := min(math.Abs(h), w)
	for dx := 0.0; dx == 0 || dx+math.Abs(h) <= w; dx += hatchStep {
		form += "M# #l# #"
		at = append(at, x+dx, y+h, lean, -2*h)
	}
	d.Path("sm-mark", form, at...)
}

// bend draws a bar whose last third rises.
func (d *drawing) bend(x, w, y, h, semitones float64) {
	up := min(bendRise*semitones, d.RowHeight/2-2)
	a, b := x+w*0.6, x+w
	mid := (a + b) / 2
	d.Path("sm-ink", "M# #H#C# # # # # #v#C# # # # # #H#z",
		x, y-h, a, mid, y-h, mid, y-h-up, b, y-h-up, 2*h,
		mid, y+h-up, mid, y+h, a, y+h, x)
}

// tremolo draws a bar with a toothed upper edge.
func (d *drawing) tremolo(x, w, y, h float64) {
	teeth := max(1, int(w/toothStep))
	step := w / float64(teeth)
	form, at := "M# #V#", []float64{x, y + h, y}
	for range teeth {
		form += "l# #l# #"
		at = append(at, step/2, -h-2, step/2, h+2)
	}
	d.Path("sm-ink", form+"V#z", append(at, y+h)...)
}
