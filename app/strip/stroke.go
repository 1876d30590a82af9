package strip

import (
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Sizes of the written marks in user units, for a row of 36. Our choice.
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
	bendRise = 4.0 // user units a semitone
)

// strokes draws every stroke of the shown bars, each as one g with its place,
// and the rest of those that are held into them.
func (d *drawing) strokes() {
	for i, line := range d.Passage.Lines {
		r := d.Rows[i]
		d.tag("g", "sm-row")
		d.attr("data-voice", line.Voice.String())
		d.raw(">\n")
		all := line.Strokes
		first := sort.Search(len(all), func(i int) bool { return !all[i].At.Less(d.From) })
		if first > 0 && d.From.Less(all[first-1].End()) && sustained(line.Voice) && all[first-1].Sounds() {
			x, w := d.sounding(d.From, all[first-1].End())
			d.rect("sm-ink", x, r.Y-barHalf, w, 2*barHalf)
		}
		for _, s := range all[first:] {
			if !s.At.Less(d.To) {
				break
			}
			d.tag("g", "sm-s")
			d.attr("data-at", s.At.String())
			d.raw(">")
			d.stroke(line.Voice, s, r.Y)
			d.close()
		}
		d.close()
	}
}

// sustained reports whether a voice is drawn as bars as long as the sound.
func sustained(v passage.Voice) bool {
	return v.Family() == passage.Strings || v.Family() == passage.Lows
}

func (d *drawing) stroke(v passage.Voice, s passage.Stroke, y float64) {
	x := d.rat(s.At)
	switch {
	case s.Kind == passage.Choke:
		d.path("sm-mark", "M# #v#", x, y-upright, 2*upright)
	case sustained(v):
		d.bar(s, y)
	case v.Family() == passage.Cymbals:
		d.cymbal(s.Kind, x, y)
	case v.Family() == passage.Clicks:
		d.click(s.Kind, x, y)
	default:
		d.drum(s.Kind, x, y)
	}
}

func (d *drawing) cymbal(k passage.Kind, x, y float64) {
	a := arm
	switch k {
	case passage.Accent:
		d.circle("sm-ring", x, y, ring)
	case passage.Ghost:
		a = ghost
	case passage.Open:
		d.circle("sm-ring", x, y-arm-4.5, ghost)
	}
	d.path("sm-mark", "M# #l# #m#0l# #", x-a, y-a, 2*a, 2*a, -2*a, 2*a, -2*a)
}

func (d *drawing) drum(k passage.Kind, x, y float64) {
	switch k {
	case passage.Accent:
		d.circle("sm-ring", x, y, ring)
		d.circle("sm-ink", x, y, strong)
		return
	case passage.Ghost:
		d.circle("sm-hollow", x, y, ghost)
		return
	case passage.Drag:
		d.circle("sm-ink", x-dot-2*grace-4, y, grace)
		fallthrough
	case passage.Flam:
		d.circle("sm-ink", x-dot-grace-1.5, y, grace)
	}
	d.circle("sm-ink", x, y, dot)
}

func (d *drawing) click(k passage.Kind, x, y float64) {
	switch k {
	case passage.Accent:
		d.circle("sm-ring", x, y, ring)
	case passage.Ghost:
		d.rect("sm-hollow", x-ghost/2, y-ghost/2, ghost, ghost)
		return
	}
	d.rect("sm-ink", x-ghost, y-ghost, 2*ghost, 2*ghost)
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
	h := barHalf
	switch s.Kind {
	case passage.Accent:
		d.rect("sm-ink", x, y-h, w, 2*h)
		d.rect("sm-ring", x-2.5, y-h-2.5, w+5, 2*h+5)
	case passage.Ghost:
		d.rect("sm-hollow", x+1, y-ghost, max(w-2, 1), 2*ghost)
	case passage.Open: // rings away: the bar thins out
		d.path("sm-ink", "M# #h#L# #V#L# #H#z", x, y-h, w/3, x+w, y-2, y+2, x+w/3, y+h, x)
	case passage.Harmonic:
		d.path("sm-hollow", "M# #l# #l# #l# #z", x, y, h, -h, h, h, -h, h)
		d.path("sm-mark", "M# #H#", x+2*h, y, max(x+w, x+2*h))
	case passage.Scrape:
		d.scrape(x, w, y)
	case passage.Bend:
		d.bend(x, w, y, float64(s.Bend))
	case passage.Tremolo:
		d.tremolo(x, w, y)
	case passage.Tapped:
		d.rect("sm-ink", x, y-h, w, 2*h)
		d.path("sm-mark", "M# #h8m-4 0v4", x, y-h-5)
	default:
		d.rect("sm-ink", x, y-h, w, 2*h)
	}
}

// Steps of the two toothed shapes, in user units.
const (
	hatchStep = 5.0
	toothStep = 6.0
)

// scrape draws slanted lines over the length.
func (d *drawing) scrape(x, w, y float64) {
	form, at := "", []float64{}
	for dx := 0.0; dx == 0 || dx+barHalf <= w; dx += hatchStep {
		form += "M# #l# #"
		at = append(at, x+dx, y+barHalf, min(barHalf, w), -2*barHalf)
	}
	d.path("sm-mark", form, at...)
}

// bend draws a bar whose last third rises.
func (d *drawing) bend(x, w, y, semitones float64) {
	h, up := barHalf, min(bendRise*semitones, d.RowHeight/2-2)
	a, b := x+w*0.6, x+w
	mid := (a + b) / 2
	d.path("sm-ink", "M# #H#C# # # # # #v#C# # # # # #H#z",
		x, y-h, a, mid, y-h, mid, y-h-up, b, y-h-up, 2*h,
		mid, y+h-up, mid, y+h, a, y+h, x)
}

// tremolo draws a bar with a toothed upper edge.
func (d *drawing) tremolo(x, w, y float64) {
	teeth := max(1, int(w/toothStep))
	step := w / float64(teeth)
	form, at := "M# #V#", []float64{x, y + barHalf, y}
	for range teeth {
		form += "l# #l# #"
		at = append(at, step/2, -barHalf-2, step/2, barHalf+2)
	}
	d.path("sm-ink", form+"V#z", append(at, y+barHalf)...)
}
