package strip

import (
	"strconv"

	"stampmill/app/svg"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Room that words need, in user units. Our choice, for the sizes of the CSS.
const (
	nameRoom   = 42 // "bar 64"
	numberRoom = 12 // a beat number
	wordRoom   = 14 // a counting word
	letterWide = 7.5
)

// beatsShown returns the beats of the shown bars.
func (l Layout) beatsShown(p passage.Passage) []passage.Beat {
	var shown []passage.Beat
	at := l.From
	for i := l.First - 1; i < l.Last && i < len(p.Bars); i++ {
		for n, length := range p.Bars[i].Metre.Beats() {
			shown = append(shown, passage.Beat{Bar: i + 1, Number: n + 1, At: at, Length: length})
			at = at.Add(length)
		}
	}
	return shown
}

// grid draws bar lines, beat lines and the line of each row.
func (d *drawing) grid() {
	top, bottom := d.m.grid+d.extra, d.Height
	if d.TightY == 0 {
		bottom -= d.m.under - 20 // ends shortly under the rows
	}
	if d.CountY > 0 && d.TightY == 0 {
		bottom = d.CountY - underCounts
	}
	if d.Heard != nil {
		bottom = d.lowest() + 1
	}
	for _, r := range d.Rows {
		d.Line("sm-rowline", d.m.lines, r.Y, d.Layout.Width-d.m.linesEnd, r.Y)
	}
	for i, b := range d.beats {
		x := d.rat(b.At)
		if b.Number > 1 && d.roomAt(i) >= 3 { // closer lines would be a grey field
			d.Line("sm-beat", x, top, x, bottom)
		}
	}
	for _, b := range d.beats { // over beat lines
		if b.Number == 1 {
			d.Line("sm-barline", d.rat(b.At), top, d.rat(b.At), bottom)
		}
	}
	end := d.rat(d.To)
	d.Line("sm-barline", end, top, end, bottom)
}

// roomAt returns the width of beat i.
func (d *drawing) roomAt(i int) float64 {
	b := d.beats[i]
	return d.rat(b.At.Add(b.Length)) - d.rat(b.At)
}

// ruler draws bar names, beat numbers and the loop over the rows.
func (d *drawing) ruler() {
	if d.Small {
		return
	}
	d.loop()
	names, numbers := 0.0, 0.0 // where there is room again
	for i, b := range d.beats {
		x := d.rat(b.At)
		if b.Number == 1 && x >= names {
			names = d.barName(b.Bar, x)
		}
		if x-numberRoom/2 < numbers {
			continue
		}
		switch {
		case b.Number == 1:
			d.Text("sm-number sm-one", svg.AtMiddle, x, d.m.number, "1")
		case d.roomAt(i) >= numberRoom:
			d.Text("sm-number", svg.AtMiddle, x, d.m.number, strconv.Itoa(b.Number))
		default:
			continue
		}
		numbers = x + numberRoom/2
	}
}

// barName writes "bar 3", or only the number where bars are narrow; and the
// metre and tempo where they change and have room. It returns where it ends.
func (d *drawing) barName(bar int, x float64) float64 {
	room := min(d.rat(d.starts[bar]), d.nextTag(x)) - x
	number := strconv.Itoa(bar)
	if room < letterWide*float64(len(number))+4 {
		return x // under a problem's tag
	}
	if room < nameRoom {
		d.Text("sm-name", svg.AtStart, x+2, d.m.name, number)
		return x + letterWide*float64(len(number)+1)
	}
	d.Text("sm-name", svg.AtStart, x+5, d.m.name, "bar "+number)
	if more := changes(d.Passage.Bars, d.Layout.First, bar); more != "" && room >= nameRoom+14+letterWide*float64(len(more)) {
		d.Text("sm-more", svg.AtStart, x+nameRoom+12, d.m.name, more)
	}
	return x + nameRoom
}

// changes returns what a bar has that the one before has not, such as "7/8
// (2+2+3), 160". The first bar shown tells its metre when the passage has
// several.
func changes(bars []passage.Bar, first, bar int) string {
	b := bars[bar-1]
	var metre, tempo bool
	if bar == first {
		for _, other := range bars {
			metre = metre || other.Metre != b.Metre
			tempo = tempo || other.Tempo != b.Tempo
		}
	} else {
		metre, tempo = bars[bar-2].Metre != b.Metre, bars[bar-2].Tempo != b.Tempo
	}
	words := ""
	if metre {
		words = b.Metre.String()
	}
	if tempo {
		if words != "" {
			words += ", "
		}
		words += b.Tempo.String()
	}
	return words
}

// loop draws the bracket over the looped bars that are shown.
func (d *drawing) loop() {
	if d.Loop[0] < 1 || d.Loop[1] < d.Loop[0] {
		return
	}
	bar := func(n int) meter.Rat {
		return d.starts[min(max(n, d.Layout.First-1), d.Layout.Last, len(d.starts)-1)]
	}
	from, to := d.rat(bar(d.Loop[0]-1)), d.rat(bar(d.Loop[1]))
	if from >= to {
		return
	}
	down := 5.0
	left, right := 0.0, 0.0
	if d.Loop[0] >= d.Layout.First {
		left = down
	}
	if d.Loop[1] <= d.Layout.Last {
		right = down
	}
	d.Path("sm-loop", "M# #v#H#v#", from, d.m.loop+left, -left, to, right)
}

// counts draws the counting words, fewer where they have no room: first the
// "e" and "a" go, then the "&".
func (d *drawing) counts() {
	if d.CountY == 0 {
		return
	}
	words := d.thin(d.words, func(c passage.Count) bool { return c.Strong || c.Word == "&" })
	words = d.thin(words, func(c passage.Count) bool { return c.Strong })
	free := 0.0
	for _, c := range words {
		x := d.rat(c.At)
		class := "sm-count"
		if c.Strong {
			class = "sm-count sm-strong"
		}
		if x-numberRoom/2 < free {
			continue
		}
		d.Text(class, svg.AtMiddle, x, d.CountY, c.Word)
		free = x + numberRoom/2
	}
}

// thin leaves out the words that stand too near their neighbours, but none
// that stays.
func (d *drawing) thin(words []passage.Count, stays func(passage.Count) bool) []passage.Count {
	var out []passage.Count
	before := d.m.lines
	for i, c := range words {
		x, after := d.rat(c.At), d.rat(d.To)
		if i+1 < len(words) {
			after = d.rat(words[i+1].At)
		}
		if stays(c) || min(x-before, after-x) >= wordRoom {
			out = append(out, c)
		}
		before = x
	}
	return out
}
