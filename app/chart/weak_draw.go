package chart

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Sizes of the chart of weak places in user units. Our choice.
const (
	weakNumber = 11  // baseline of the beat numbers
	weakGrid   = 17  // top of the upright lines
	weakRow    = 33  // the written strokes
	weakCount  = 57  // baseline of the counting words
	weakMiddle = 115 // of the tight band
	weakMS     = 1.0 // user units a millisecond
	weakHigh   = 186
	across     = 0.4 // user units a millisecond, sideways
	ring       = 6.5 // radius of the dashed ring
	numberRoom = 12  // of a counting word
)

// SVG draws the chart.
func (c Weak) SVG(width float64) string { return c.picture(width).element(c.Heading, c.Words()) }

func (c Weak) picture(width float64) *picture {
	p := newPicture(width)
	p.height = weakHigh
	w := weakPlot{picture: p, places: c.shown()}
	if w.bar == 0 {
		p.wrapped("ch-message", "middle", p.width/2, weakHigh/2, p.width-24, "Nothing measured in this time.")
		return p
	}
	w.passage = w.passage.Excerpt(w.bar, w.bar)
	w.layout = strip.Sheet{Passage: c.Passage, First: w.bar, Last: w.bar, Width: p.width, Small: true}.Layout()
	w.grid()
	w.strokes()
	w.counts()
	w.lane()
	n := p.wrapped("ch-strong", "", 4, weakHigh-6, p.width-8, c.summary(w.places))
	p.height += float64(n-1) * lineHigh
	return p
}

// A weakPlot is the picture with its geometry.
type weakPlot struct {
	*picture
	places
	layout strip.Layout
}

func (w *weakPlot) at(place meter.Rat) float64 { return w.layout.X(place.Float()) }

func (w *weakPlot) y(ms float64) float64 {
	return weakMiddle + weakMS*inside(ms, -strip.ScaleMS, strip.ScaleMS)
}

// left and right are the ends of the lines.
func (w *weakPlot) left() float64  { return 2 }
func (w *weakPlot) right() float64 { return w.width - 2 }

// grid draws the bar with its beats and their numbers.
func (w *weakPlot) grid() {
	bottom := w.y(strip.ScaleMS) + 6
	at := w.from
	for i, length := range w.passage.Bars[w.bar-1].Metre.Beats() {
		class, number := "ch-beat", "ch-number"
		if i == 0 {
			class, number = "ch-bar", "ch-strong"
		}
		x := w.at(at)
		w.Line(class, x, weakGrid, x, bottom)
		w.Text(number, "middle", x, weakNumber, strconv.Itoa(i+1))
		at = at.Add(length)
	}
	w.Line("ch-bar", w.at(w.to), weakGrid, w.at(w.to), bottom)
	w.Line("ch-grid", w.left(), weakRow, w.right(), weakRow)
}

// strokes draws a dot wherever the part sounds.
func (w *weakPlot) strokes() {
	seen := map[meter.Rat]bool{}
	for _, line := range w.passage.Lines {
		for _, s := range line.Strokes {
			if s.Sounds() && !s.At.Less(w.from) && s.At.Less(w.to) {
				seen[s.At] = true
			}
		}
	}
	var all []meter.Rat
	for at := range seen {
		all = append(all, at)
	}
	slices.SortFunc(all, meter.Rat.Cmp)
	r := dotRadius + 0.5
	for i := 1; i < len(all); i++ {
		r = min(r, max(1.5, (w.at(all[i])-w.at(all[i-1]))*0.45))
	}
	for _, at := range all {
		w.Circle("ch-dot", w.at(at), weakRow, r)
	}
}

// counts writes the counting words that have room: those on beats first, then
// the "&", then the rest.
func (w *weakPlot) counts() {
	words := w.passage.CountsIn(w.bar, w.bar)
	rank := func(c passage.Count) int {
		switch {
		case c.Strong:
			return 0
		case c.Word == "&":
			return 1
		}
		return 2
	}
	var taken []float64
	for level := range 3 {
		for _, c := range words {
			x := w.at(c.At)
			if rank(c) != level || slices.ContainsFunc(taken, func(t float64) bool { return math.Abs(t-x) < numberRoom }) {
				continue
			}
			taken = append(taken, x)
			class := "ch-count"
			if c.Strong {
				class = "ch-count ch-strong"
			}
			w.Text(class, "middle", x, weakCount, c.Word)
		}
	}
}

// lane draws the tight band, both ends of the scale and a mark at each place.
func (w *weakPlot) lane() {
	left, right := w.left(), w.right()
	w.Line("ch-dots", left, w.y(-strip.ScaleMS), right, w.y(-strip.ScaleMS))
	w.Line("ch-dots", left, w.y(strip.ScaleMS), right, w.y(strip.ScaleMS))
	w.Rect("ch-wash", left, w.y(-strip.TightMS), right-left, 2*strip.TightMS*weakMS)
	w.Line("ch-true", left, weakMiddle, right, weakMiddle)
	for _, s := range w.spots {
		w.spot(s)
	}
	w.numbers()
}

func (w *weakPlot) spot(s weakness) {
	x := w.at(s.At)
	if s.missedShare() >= oftenMiss {
		w.Circle("ch-miss", x, weakMiddle, ring)
	}
	if s.Hits == 0 || !finite(s.MS) {
		return
	}
	j := strip.Judge(s.MS)
	mx, my := w.mark(s)
	w.Line("ch-lean ch-"+j.String(), x, weakMiddle, mx, my)
	if math.Abs(s.MS) > strip.ScaleMS {
		w.far(j, mx, my)
	}
	strip.Mark(&w.Pen, "ch-"+j.String(), j, mx, my)
}

// mark returns the middle of a place's mark.
func (w *weakPlot) mark(s weakness) (x, y float64) {
	if s.Hits == 0 || !finite(s.MS) {
		return w.at(s.At), weakMiddle
	}
	return w.at(s.At) + across*inside(s.MS, -strip.ScaleMS, strip.ScaleMS), w.y(s.MS)
}

// far draws the chevron of a mark that is pinned to the end of the scale.
func (w *weakPlot) far(j strip.Judgement, x, y float64) {
	out := -1.0
	if j == strip.Late {
		out = 1
	}
	w.Path("ch-far ch-"+j.String(), "M# #l# 6l# 6", x+out*9, y-6, out*7, -out*7)
}

// A tag is a number at a place: its words about x, on the baseline y.
type tag struct {
	class, words string
	x, y         float64
}

// touches reports whether two tags would run into each other.
func (t tag) touches(o tag) bool {
	return math.Abs(t.y-o.y) < lineHigh-3 && math.Abs(t.x-o.x) < boldWide*float64(len(t.words)+len(o.words))/2+2
}

// numbers writes the error of what is weak, or how often it was missed, the
// worst first, each where it touches neither a mark nor another number.
func (w *weakPlot) numbers() {
	all := slices.Clone(w.spots)
	slices.SortStableFunc(all, func(a, b weakness) int { return cmp.Compare(b.weight, a.weight) })
	var taken []tag
	for _, s := range all {
		x, y := w.mark(s)
		taken = append(taken, tag{words: "m", x: x, y: y + middle}) // a mark takes the room of a letter
	}
	for _, s := range all {
		taken = w.place(w.tags(s), taken)
		if s.leans() && s.missedShare() >= oftenMiss {
			taken = w.place(w.missed(s), taken)
		}
	}
}

// place writes the first of the tags that touches none of those taken, and
// returns them with it.
func (w *weakPlot) place(tags, taken []tag) []tag {
	for _, t := range tags {
		half := boldWide * float64(len(t.words)) / 2
		if t.x-half < 0 || t.x+half > w.width || slices.ContainsFunc(taken, t.touches) {
			continue
		}
		w.Text(t.class, "middle", t.x, t.y, t.words)
		return append(taken, t)
	}
	return taken
}

// tags returns the places where the number of a weak place may stand, the best
// first: over an early mark, right of a late one; for misses under the ring.
func (w *weakPlot) tags(s weakness) []tag {
	if s.weight == 0 {
		return nil
	}
	if !s.leans() {
		return w.missed(s)
	}
	j := strip.Judge(s.MS)
	x, y := w.mark(s)
	t := tag{class: "ch-strong ch-" + j.String(), words: whole(math.Abs(s.MS))}
	beside := 10 + boldWide*float64(len(t.words))/2
	if math.Abs(s.MS) > strip.ScaleMS {
		beside += 11
	}
	over, under, right, left := t, t, t, t
	over.x, over.y = x, y-9
	under.x, under.y = x, y+19
	right.x, right.y = x+beside, y+middle
	left.x, left.y = x-beside, y+middle
	if j == strip.Late {
		return []tag{right, under, over, left}
	}
	return []tag{over, left, right, under}
}

// missed returns the places of the word at a ring: under it or over it, with
// how often if there is room.
func (w *weakPlot) missed(s weakness) []tag {
	var all []tag
	for _, words := range []string{missedOften(s.Spot), "missed"} {
		if s.Hits == 0 {
			words = "missed"
		}
		x := w.at(s.At)
		all = append(all, tag{"ch-strong", words, x, weakMiddle + 22}, tag{"ch-strong", words, x, weakMiddle - 14})
	}
	return all
}

// missedOften writes "missed 4 of 12".
func missedOften(s Spot) string {
	return "missed " + strconv.Itoa(s.Missed) + " of " + strconv.Itoa(s.Missed+s.Hits)
}
