package strip

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"stampmill/app/svg"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Heard is what a strip shows of a passage that is asked about by ear: first
// its cover, and after the answer the difference that was to be heard.
type Heard struct {
	Cover string           // words on the cover; strokes are then neither drawn nor told. "" uncovers them
	Spans []passage.Span   // the difference
	Word  string           // what it is, in the line under the rows: "here in A"
	Was   *passage.Passage // the other passage: its strokes in the spans that are not here stand dashed; nil for none
}

// Sizes of the cover and of the words under a difference, in user units. Our
// choice.
const (
	coverLeft  = 16 // a cover begins before the first downbeat
	coverRight = 8  // and ends behind the last bar line
	coverGap   = 30 // height of the gap with the words
	coverSide  = 36 // of it, on either side of them
	coverTick  = 4
	coverSlant = 0.075 // of its height, to the right
	heardRoom  = 8     // what the lower edge gives to the words
	heardDown  = 17    // from the lowest band to their baseline
	arrowLeast = 16.0
	arrowGap   = 8.0
	heardWide  = 6.8 // a letter of these words
	coverWide  = 7.4 // a letter of those on the cover
)

// slants are the distances between the lines of a cover, over and over: uneven,
// as stone is cut.
var slants = [...]float64{5, 5, 6, 6, 13, 5, 6, 9, 5, 5, 12, 6, 5, 10}

// covered reports whether nothing of the strokes may be seen.
func (s Sheet) covered() bool { return s.Heard != nil && s.Heard.Cover != "" }

// bare reports whether nothing stands about the rows.
func (s Sheet) bare() bool { return s.Small && s.Labels == LabelsNone }

// Beside returns two sheets as they are compared: with the same rows and, once
// they may be seen, to one scale of time.
func Beside(a, b Sheet) (Sheet, Sheet) {
	a.Passage, b.Passage = rowsOf(a.Passage, b.Passage), rowsOf(b.Passage, a.Passage)
	a.seconds = max(seconds(a), seconds(b))
	b.seconds = a.seconds
	return a, b
}

// rowsOf returns a passage with an empty line for each voice that only the
// other one has, in the order of the table of voices.
func rowsOf(p, other passage.Passage) passage.Passage {
	lines := slices.Clone(p.Lines)
	for _, v := range other.Voices() {
		if has(p.Voices(), v) {
			continue
		}
		i := slices.IndexFunc(lines, func(l passage.Line) bool { return v < l.Voice })
		if i < 0 {
			i = len(lines)
		}
		lines = slices.Insert(lines, i, passage.Line{Voice: v})
	}
	p.Lines = lines
	return p
}

// lowest returns the lower edge of the rows.
func (d *drawing) lowest() float64 {
	if n := len(d.Rows); n > 0 {
		return d.Rows[n-1].Y + d.RowHeight/2
	}
	return d.Height
}

// cover draws the hatched stone over all rows, with its words.
func (d *drawing) cover() {
	left, top, right, bottom := d.rat(d.From)-coverLeft, d.m.grid+d.extra+2, min(d.rat(d.To)+coverRight, d.Layout.Width), d.lowest()
	if d.bare() {
		left, top, right, bottom = 0, 0, d.Layout.Width, d.Height
	} else {
		d.coverTicks(top)
	}
	d.Rect("sm-cover", left, top, right-left, bottom-top)
	lean := (bottom - top) * coverSlant
	form, at := "", []float64{}
	for i, x := 0, left+1; x+lean <= right; i, x = i+1, x+slants[i%len(slants)] {
		form += "M# #l# #"
		at = append(at, x, bottom, lean, top-bottom)
	}
	d.Path("sm-slant", form, at...)
	if d.bare() {
		return
	}
	wide, middle := coverWide*float64(utf8.RuneCountInString(d.Heard.Cover))+2*coverSide, (top+bottom)/2
	if wide = min(wide, right-left); bottom-top > coverGap {
		d.Rect("sm-cover", (left+right-wide)/2, middle-coverGap/2, wide, coverGap)
	}
	d.Text("sm-covered", svg.AtMiddle, (left+right)/2, middle+5, d.Heard.Cover)
}

// coverTicks draws the beats over the cover.
func (d *drawing) coverTicks(top float64) {
	for i, b := range d.beats {
		if b.Number == 1 || d.roomAt(i) >= 3 {
			d.Line("sm-tick", d.rat(b.At), top-coverTick, d.rat(b.At), top)
		}
	}
	d.Line("sm-tick", d.rat(d.To), top-coverTick, d.rat(d.To), top)
}

// A moved is what of a difference differs in one voice, in order of time.
type moved struct {
	row        int
	gone, come []passage.Stroke // only in the other passage; only here
}

// moves returns what differs in each row. Where the bars are others, no place
// of the one is that of the other, and there is none.
func (d *drawing) moves() []moved {
	if d.Heard == nil || d.Heard.Was == nil || len(d.Heard.Was.Bars) < d.Layout.Last || len(d.starts) <= d.Layout.Last || d.Heard.Was.Starts()[d.Layout.Last] != d.To {
		return nil
	}
	var all []moved
	for i, r := range d.Rows {
		m := moved{row: i}
		was, _ := d.Heard.Was.Line(r.Voice)
		m.gone = d.only(r.Voice, was.Strokes, d.Passage.Lines[i].Strokes)
		m.come = d.only(r.Voice, d.Passage.Lines[i].Strokes, was.Strokes)
		if len(m.gone)+len(m.come) > 0 {
			all = append(all, m)
		}
	}
	return all
}

// only returns the shown strokes of a voice in the difference at whose places
// the others have none.
func (d *drawing) only(v passage.Voice, strokes, others []passage.Stroke) []passage.Stroke {
	var out []passage.Stroke
	for _, s := range strokes {
		i := startsAt(others, s.At)
		there := i < len(others) && others[i].At == s.At
		marked := slices.ContainsFunc(d.Heard.Spans, func(n passage.Span) bool {
			return has(n.Voices, v) && !s.At.Less(n.From) && s.At.Less(n.To)
		})
		if marked && !there && d.shows(s.At) && s.Sounds() {
			out = append(out, s)
		}
	}
	return out
}

// wasThere draws a dashed ring at each old place.
func (d *drawing) wasThere() {
	for _, m := range d.moves() {
		r := d.Rows[m.row]
		k := d.size(r.Voice, m.gone)
		for _, s := range m.gone {
			d.Circle("sm-was", d.rat(s.At), r.Y, (dot+1)*k)
		}
	}
}

// heardWord writes what the difference is under the rows, behind an arrow from
// the old place to the new one where as many strokes went as came.
func (d *drawing) heardWord() {
	if d.Heard == nil || d.covered() || d.Heard.Word == "" || len(d.bands) == 0 {
		return
	}
	y := d.lowest() + heardDown - 2
	room := heardWide * float64(utf8.RuneCountInString(d.Heard.Word))
	left, right := d.bands[0].left+3, d.bands[0].left+3
	from, to, ok := d.arrow()
	if ok {
		left, right = min(from, to)-arrowGap, max(from, to)+arrowGap
	}
	x, anchor := right, svg.AtStart
	switch edge := d.Layout.Width - 4; {
	case right+room <= edge:
	case ok && left-room >= 4:
		x, anchor = left, svg.AtEnd
	default:
		x, anchor, ok = edge, svg.AtEnd, false
	}
	if ok {
		head := 5.0
		if to < from {
			head = -head
		}
		d.Path("sm-arrow", "M# #H#m# #l# #l# #", from, y-4, to, -head, -4, head, 4, -head, 4)
	}
	d.Text("sm-heard", anchor, x, y, d.Heard.Word)
}

// arrow returns where the arrow of the first voice that moved starts and ends.
func (d *drawing) arrow() (from, to float64, ok bool) {
	for _, m := range d.moves() {
		if len(m.gone) != len(m.come) || len(m.gone) == 0 || !d.oneSpan(m.gone[0].At, m.come[0].At) {
			continue
		}
		from, to = d.rat(m.gone[0].At), d.rat(m.come[0].At)
		switch {
		case to >= from && to-from < arrowLeast:
			to = from + arrowLeast
		case to < from && from-to < arrowLeast:
			to = from - arrowLeast
		}
		return from, to, true
	}
	return 0, 0, false
}

// oneSpan reports whether two places lie in the same marked stretch.
func (d *drawing) oneSpan(a, b meter.Rat) bool {
	return slices.ContainsFunc(d.Heard.Spans, func(n passage.Span) bool {
		return !a.Less(n.From) && a.Less(n.To) && !b.Less(n.From) && b.Less(n.To)
	})
}

// tellHeard says what is marked, for those who listen.
func (d *drawing) tellHeard(b *strings.Builder, t teller) {
	for _, n := range d.Heard.Spans {
		from, to, ok := d.inShown(n.From, n.To)
		if !ok {
			continue
		}
		var names []string
		for _, v := range n.Voices {
			names = append(names, v.Spoken())
		}
		b.WriteString("Marked")
		if d.Heard.Word != "" {
			b.WriteString(", " + d.Heard.Word)
		}
		b.WriteString(": " + strings.Join(names, ", ") + ", " + d.stretch(from, to) + ". ")
	}
	for _, m := range d.moves() {
		var places []string
		for _, s := range m.gone {
			beat := beatAt(d.beats, s.At)
			places = append(places, t.place(s.At, d.Rows[m.row].Voice, d.barAround(beat.Bar))+" in bar "+strconv.Itoa(beat.Bar))
		}
		if len(places) > 0 {
			b.WriteString("Dashed, where the " + d.Rows[m.row].Voice.Spoken() + " was: " + strings.Join(places, ", ") + ". ")
		}
	}
}

// stretch says from which beat to which a stretch goes.
func (d *drawing) stretch(from, to meter.Rat) string {
	first, last := beatAt(d.beats, from), d.beats[len(d.beats)-1]
	for _, b := range d.beats {
		if !b.At.Less(to) {
			break
		}
		last = b
	}
	words := "bar " + strconv.Itoa(first.Bar) + " beat " + strconv.Itoa(first.Number)
	if first == last {
		return words
	}
	return words + " to bar " + strconv.Itoa(last.Bar) + " beat " + strconv.Itoa(last.Number)
}

// barAround returns the beats of a shown bar.
func (d *drawing) barAround(bar int) []passage.Beat {
	i := slices.IndexFunc(d.beats, func(b passage.Beat) bool { return b.Bar == bar })
	return barOf(d.beats[i:])
}

// tellCovered says what of a covered strip may be known.
func (d *drawing) tellCovered() string {
	var names []string
	for _, r := range d.Rows {
		names = append(names, r.Voice.Spoken())
	}
	return upper(d.Heard.Cover) + ". Voices: " + strings.Join(names, ", ") + "."
}

// upper begins a sentence.
func upper(words string) string {
	if words == "" {
		return ""
	}
	return strings.ToUpper(words[:1]) + words[1:]
}
