package strip

import (
	"math"
	"strings"

	"stampmill/app/svg"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Sizes of problems in user units. Our choice.
const (
	boxIn      = 2.0  // a box lies inside the band of the same cells
	tagGap     = 5.0  // between a leader and its tag
	tagFar     = 60.0 // a tag may stand so much further right: a bar's name fits between
	tagStep    = 4.0
	leaderDown = 6.0 // a leader begins under the tag's baseline
)

// A boxed problem is where its boxes, its leader and its tag stand.
type boxed struct {
	boxes []box
	tag   word // no words where it has no room
}

// boxedProblems places the problems of the shown bars: their tags stand in the
// ruler where they hide neither each other nor, if it can be, the names of bars.
func (d *drawing) boxedProblems() []boxed {
	if len(d.Problems) == 0 {
		return nil
	}
	t := tagger{d: d}
	for _, b := range d.beats {
		if x := d.rat(b.At); b.Number == 1 {
			t.names.put(box{x, x + nameRoom + tagGap, d.m.name - high, d.m.name})
		}
	}
	var out []boxed
	seen := map[box]bool{}
	for _, p := range d.Problems {
		b := boxed{boxes: d.boxesOf(p.Span)}
		if len(b.boxes) == 0 || seen[b.boxes[0]] {
			continue
		}
		seen[b.boxes[0]] = true
		if !d.Small && p.Tag != "" {
			b.tag = t.place(p.Tag, b.boxes[0].right)
		}
		out = append(out, b)
	}
	return out
}

// boxesOf returns the boxes of a span, the uppermost first.
func (d *drawing) boxesOf(n passage.Span) []box {
	if !n.From.Less(n.To) {
		n.From, n.To = d.beatOf(n.From)
	}
	if len(n.Voices) == 0 {
		n.Voices = d.Passage.Voices()
	}
	var out []box
	for _, b := range d.bandsOf([]passage.Span{n}, "") {
		in := min(boxIn, (b.right-b.left)/4)
		out = append(out, box{b.left + in, b.right - in, b.top + boxIn, b.bottom - boxIn})
	}
	return out
}

// beatOf returns the shown beat in which a place lies, as a stretch; an empty
// one where it is not shown.
func (d *drawing) beatOf(at meter.Rat) (from, to meter.Rat) {
	if !d.shows(at) || len(d.beats) == 0 {
		return at, at
	}
	b := beatAt(d.beats, at)
	return b.At, b.At.Add(b.Length)
}

// A tagger places tags in the ruler.
type tagger struct {
	d     *drawing
	tags  crowd // placed so far
	names crowd // names of bars
}

// place puts a tag beside its leader: to the left of it, else to the right,
// else further right, else in its short form; where nothing is free over the
// name of a bar, which then is not written, but never over another tag.
func (t *tagger) place(words string, leader float64) word {
	_, short, ok := strings.Cut(words, ", ")
	if !ok {
		short = words
	}
	clear := func(b box) bool { return t.tags.free(b) && t.names.free(b) }
	for _, try := range []struct {
		words string
		far   float64
		free  func(box) bool
	}{{words, 0, clear}, {words, tagFar, clear}, {short, tagFar, clear}, {words, 0, t.tags.free}, {short, 0, t.tags.free}} {
		if w, ok := t.beside(try.words, leader, try.far, try.free); ok {
			t.tags.put(w.box())
			return w
		}
	}
	return word{}
}

// beside looks for room left of a leader, or right of it up to so far away.
func (t *tagger) beside(words string, leader, far float64, free func(box) bool) (word, bool) {
	w := word{class: "sm-fault", y: t.d.m.name, words: words, anchor: svg.AtEnd, x: leader - tagGap}
	fits := func() bool {
		b := w.box()
		return b.left >= t.d.m.lines && b.right <= t.d.Layout.Width && free(b)
	}
	if fits() {
		return w, true
	}
	w.anchor = svg.AtStart
	for away := tagGap; away <= tagGap+far; away += tagStep {
		if w.x = leader + away; fits() {
			return w, true
		}
	}
	return w, false
}

// boxes draws the problems' boxes over the strokes, with their leaders and
// tags.
func (d *drawing) boxes() {
	for _, p := range d.boxed {
		for _, b := range p.boxes {
			d.Rect("sm-problem", b.left, b.top, b.right-b.left, b.bottom-b.top)
		}
		if p.tag.words == "" {
			continue
		}
		x := p.boxes[0].right
		from := x
		if p.tag.x > x+tagGap { // an angle, where the tag stands further right
			from = p.tag.x
		}
		d.Path("sm-leader", "M# #H#V#", from, d.m.name+leaderDown, x, p.boxes[0].top)
		d.Text(p.tag.class, p.tag.anchor, p.tag.x, p.tag.y, p.tag.words)
	}
}

// nextTag returns where the first tag begins that ends right of x.
func (d *drawing) nextTag(x float64) float64 {
	next := math.Inf(1)
	for _, p := range d.boxed {
		if b := p.tag.box(); p.tag.words != "" && b.right > x {
			next = min(next, b.left)
		}
	}
	return next
}
