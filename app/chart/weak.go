package chart

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Spot is one written place over many takes: the mean error of its hits in
// ms, how many hits and how many misses. Where voices are played apart, each
// has its own.
type Spot struct {
	At     meter.Rat // quarter notes from the first downbeat of the passage
	Voices string    // "kick", "kick+guitar"; told where a place has several spots
	MS     float64   // no number where it was never hit
	Hits   int
	Missed int
}

// A Weak chart shows which places of a bar are weak: the written strokes, the
// counting words and how each place leans. The worst two are repeated in words.
type Weak struct {
	Heading
	Passage passage.Passage // at the tempo that is played, with the lines of the part
	Bar     int             // from 1; 0: the bar with the worst place
	Spots   []Spot
}

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
	worst      = 2   // how many are told in words
	oftenMiss  = 0.1 // share of misses from which a place is weak
)

// A weakness is one place as it is judged.
type weakness struct {
	Spot
	weight float64 // how weak; 0: not weak
}

// weigh puts a place that is never hit beside one at the end of the scale.
func weigh(s Spot) weakness {
	w := weakness{Spot: s}
	if s.leans() {
		w.weight = math.Abs(s.MS)
	}
	if share := s.missedShare(); share >= oftenMiss {
		w.weight = max(w.weight, strip.ScaleMS*share)
	}
	return w
}

// leans reports whether the hits are not tight.
func (s Spot) leans() bool {
	return s.Hits > 0 && finite(s.MS) && strip.Judge(s.MS) != strip.Tight
}

// counts reports whether the place was played at all.
func (s Spot) counts() bool { return s.Hits >= 0 && s.Missed >= 0 && s.Hits+s.Missed > 0 }

func (s Spot) missedShare() float64 {
	return float64(s.Missed) / float64(max(s.Missed+s.Hits, 1))
}

// places are what the chart shows: one bar.
type places struct {
	passage  passage.Passage
	bar      int // 0: none
	from, to meter.Rat
	spots    []weakness // of the bar, in order of time
}

func (c Weak) shown() places {
	p := places{passage: c.Passage, bar: c.bar()}
	if p.bar == 0 {
		return p
	}
	starts := c.Passage.Starts()
	p.from, p.to = starts[p.bar-1], starts[p.bar]
	for _, s := range c.Spots {
		if !s.At.Less(p.from) && s.At.Less(p.to) && s.counts() {
			p.spots = append(p.spots, weigh(s))
		}
	}
	slices.SortStableFunc(p.spots, func(a, b weakness) int { return a.At.Cmp(b.At) })
	return p
}

// bar returns the bar that is shown.
func (c Weak) bar() int {
	if len(c.Passage.Bars) == 0 {
		return 0
	}
	if c.Bar > 0 {
		return min(c.Bar, len(c.Passage.Bars))
	}
	bar, _ := c.worst()
	return bar
}

// WeakestBar returns the bar with the worst place, from 1; 0 where none is weak.
func (c Weak) WeakestBar() int {
	if bar, weight := c.worst(); weight > 0 {
		return bar
	}
	return 0
}

// worst returns the bar with the worst place, else the first with hits, and how
// weak that place is.
func (c Weak) worst() (bar int, most float64) {
	bar, most = 1, -1.0
	for _, s := range c.Spots {
		if w := weigh(s).weight; w > most && s.counts() && s.At.Valid() && s.At.Sign() >= 0 && s.At.Less(c.Passage.Length()) {
			bar, most = c.Passage.Place(s.At).Bar, w
		}
	}
	return bar, most
}

// weakest returns the worst places, the worst first.
func (p places) weakest() []weakness {
	all := slices.DeleteFunc(slices.Clone(p.spots), func(w weakness) bool { return !(w.weight > 0) })
	slices.SortStableFunc(all, func(a, b weakness) int { return cmp.Compare(b.weight, a.weight) })
	return all[:min(len(all), worst)]
}

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

// Words says the worst places.
func (c Weak) Words() string {
	p := c.shown()
	if p.bar == 0 {
		return "Nothing measured in this time."
	}
	return c.summary(p) + "."
}

func (c Weak) summary(p places) string {
	if len(p.spots) == 0 {
		return "Nothing measured in this bar"
	}
	var words []string
	for _, w := range p.weakest() {
		words = append(words, p.who(w)+fault(w)+" "+p.where(w.At))
	}
	bar := ""
	if len(c.Passage.Bars) > 1 {
		bar = "Bar " + strconv.Itoa(p.bar) + ": "
	}
	if len(words) == 0 {
		return bar + "every place within ±" + strconv.Itoa(strip.TightMS) + " ms"
	}
	all := words[0]
	if len(words) > 1 {
		all += ", " + words[1]
	}
	return bar + all
}

// who names the voice where others stand at its place: "kick ".
func (p places) who(w weakness) string {
	for _, s := range p.spots {
		if s.At == w.At && s.Voices != w.Voices {
			return strings.ReplaceAll(w.Voices, "+", " and ") + " "
		}
	}
	return ""
}

// fault writes what is weak: "17 early", "missed 4 of 12".
func fault(w weakness) string {
	if w.weight > 0 && (w.Hits == 0 || !finite(w.MS) || strip.ScaleMS*w.missedShare() >= w.weight) {
		return missedOften(w.Spot)
	}
	return whole(math.Abs(w.MS)) + " " + strip.Judge(w.MS).String()
}

// where says a place as players count: "on 3", "on the e of 3", "on the 2nd of
// 5 in beat 3", "after 3".
func (p places) where(at meter.Rat) string {
	beat, start := 1, p.from
	var length meter.Rat
	for i, l := range p.passage.Bars[p.bar-1].Metre.Beats() {
		beat, length = i+1, l
		if at.Less(start.Add(l)) {
			break
		}
		start = start.Add(l)
	}
	of := strconv.Itoa(beat)
	into := at.Sub(start)
	if into.Sign() == 0 {
		return "on " + of
	}
	if words := p.counted(start, start.Add(length)); len(words) > 0 {
		if i := slices.IndexFunc(words, func(c passage.Count) bool { return c.At == at }); i >= 0 {
			return nth(words, i) + of
		}
	}
	if part := into.Div(length); part.Valid() && part.Den() <= mostSplit {
		return "on the " + ordinal(part.Num()+1) + " of " + strconv.FormatInt(part.Den(), 10) + " in beat " + of
	}
	return "after " + of
}

// counted returns the counting words of a beat.
func (p places) counted(from, to meter.Rat) []passage.Count {
	all := p.passage.Excerpt(p.bar, p.bar).CountsIn(p.bar, p.bar)
	return slices.DeleteFunc(all, func(c passage.Count) bool { return c.At.Less(from) || !c.At.Less(to) })
}

// nth says word i of a beat: by the word where the beat has it once, else by its
// number.
func nth(words []passage.Count, i int) string {
	word, times := words[i].Word, 0
	for _, c := range words {
		if c.Word == word {
			times++
		}
	}
	if times == 1 && (word == "e" || word == "&" || word == "a") {
		return "on the " + word + " of "
	}
	return "on the " + ordinal(int64(i+1)) + " of " + strconv.Itoa(len(words)) + " in beat "
}

// ordinal writes "1st", "2nd", "3rd", "4th".
func ordinal(n int64) string {
	ending := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			ending = "st"
		case 2:
			ending = "nd"
		case 3:
			ending = "rd"
		}
	}
	return strconv.FormatInt(n, 10) + ending
}

// Rows returns one row a place.
func (c Weak) Rows() [][]string {
	rows := [][]string{{"bar", "place", "voices", "leaning ms, early is negative", "hits", "missed", "judgement"}}
	p := c.shown()
	for _, s := range p.spots {
		row := []string{strconv.Itoa(p.bar), p.where(s.At), strings.ReplaceAll(s.Voices, "+", " "), "", strconv.Itoa(s.Hits), strconv.Itoa(s.Missed), ""}
		if s.Hits > 0 && finite(s.MS) {
			row[3], row[6] = exact(s.MS), strip.Judge(s.MS).String()
		}
		rows = append(rows, row)
	}
	return rows
}
