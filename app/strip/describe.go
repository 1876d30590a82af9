package strip

import (
	"math"
	"sort"
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Describe returns what the picture shows in words, for those who listen to
// it: bar by bar and voice by voice the places that are struck, then the hits.
func (s Sheet) Describe() string { return s.drawing().describe() }

func (d *drawing) describe() string {
	if d.covered() {
		return d.tellCovered()
	}
	var b strings.Builder
	beats := d.beats
	next := make([]int, len(d.Passage.Lines)) // first stroke not told, per line
	for i, line := range d.Passage.Lines {
		next[i] = startsAt(line.Strokes, d.From)
	}
	t := d.teller()
	for len(beats) > 0 {
		bar := barOf(beats)
		b.WriteString("Bar " + strconv.Itoa(bar[0].Bar))
		if more := changes(d.Passage.Bars, d.Layout.First, bar[0].Bar); more != "" {
			b.WriteString(", " + more)
		}
		b.WriteString(". ")
		for i, line := range d.Passage.Lines {
			b.WriteString(line.Voice.Label())
			if d.Rows[i].Muted {
				b.WriteString(" (silent)")
			}
			b.WriteString(": " + t.line(line, &next[i], bar) + ". ")
		}
		beats = beats[len(bar):]
	}
	if d.Heard != nil {
		d.tellHeard(&b, t)
	}
	if d.Lane {
		d.tellHits(&b, t)
	}
	return strings.TrimSpace(b.String())
}

// barOf returns the beats of the first bar in the list.
func barOf(beats []passage.Beat) []passage.Beat {
	n := 1
	for n < len(beats) && beats[n].Bar == beats[0].Bar {
		n++
	}
	return beats[:n]
}

// A teller says places as they are counted.
type teller struct {
	tuplets map[passage.Voice][]passage.Group // of each voice, none within another
	words   map[meter.Rat]string              // "and of 2": places inside a beat that have a counting word
}

func (d *drawing) teller() teller {
	t := teller{map[passage.Voice][]passage.Group{}, map[meter.Rat]string{}}
	for _, line := range d.Passage.Lines {
		t.tuplets[line.Voice] = tupletsOf(line.Groups)
	}
	beat, before := "", ""
	for _, c := range d.words {
		word := spelt(c.Word)
		switch {
		case c.Strong:
			beat, before = c.Word, ""
			continue
		case c.Word == "e" && before != "": // six to the beat have three of them
			word += " after " + before
		}
		t.words[c.At] = word + " of " + beat
		before = word
	}
	return t
}

// spelt returns a counting word as it is spoken.
func spelt(word string) string {
	if word == "&" {
		return "and"
	}
	return word
}

// line lists the strokes of a line in a bar and moves next behind them.
func (t teller) line(line passage.Line, next *int, bar []passage.Beat) string {
	var places []string
	end := bar[len(bar)-1].At.Add(bar[len(bar)-1].Length)
	for ; *next < len(line.Strokes) && line.Strokes[*next].At.Less(end); *next++ {
		s := line.Strokes[*next]
		place := t.place(s.At, line.Voice, bar)
		if s.Kind != passage.Hit {
			place += " " + s.Kind.String()
		}
		places = append(places, place)
	}
	if len(places) == 0 {
		return "rest"
	}
	return strings.Join(places, ", ")
}

// parts are the words for places that another voice's finer division leaves
// uncounted; the same words as under the rows.
var parts = map[meter.Rat]string{
	meter.R(1, 4): "e of ", meter.R(1, 2): "and of ", meter.R(3, 4): "a of ",
}

// place names a place as it is counted: "3", "and of 3", "2 of 3 from beat 3"
// in a tuplet, else "1/8 into 3".
func (t teller) place(at meter.Rat, voice passage.Voice, bar []passage.Beat) string {
	beat := beatAt(bar, at)
	number := strconv.Itoa(beat.Number)
	into := at.Sub(beat.At).Div(beat.Length)
	if cell, g, ok := inTuplet(at, t.tuplets[voice]); ok {
		return strconv.Itoa(cell) + " of " + strconv.Itoa(g.Cells) + " from beat " + strconv.Itoa(beatAt(bar, g.At).Number)
	}
	if into.Sign() == 0 {
		return number
	}
	if word, ok := t.words[at]; ok {
		return word
	}
	if word, ok := parts[into]; ok {
		return word + number
	}
	return into.String() + " into " + number
}

// beatAt returns the beat in which a place stands, the first for places before.
func beatAt(beats []passage.Beat, at meter.Rat) passage.Beat {
	i := sort.Search(len(beats), func(i int) bool { return at.Less(beats[i].At) }) - 1
	return beats[max(i, 0)]
}

// tupletsOf returns the irregular ones of the groups that cut no cell of
// another.
func tupletsOf(groups []passage.Group) []passage.Group {
	var out []passage.Group
	for _, g := range tops(groups) {
		if ratio, _ := meter.DivisionOf(g.Length, g.Cells); ratio.Irregular() {
			out = append(out, g)
		}
	}
	return out
}

// inTuplet returns which cell of a tuplet, from 2, begins at a place; the first
// is on a beat anyway.
func inTuplet(at meter.Rat, tuplets []passage.Group) (int, passage.Group, bool) {
	i := sort.Search(len(tuplets), func(i int) bool { return at.Less(tuplets[i].End()) })
	if i == len(tuplets) || !tuplets[i].At.Less(at) {
		return 0, passage.Group{}, false
	}
	g := tuplets[i]
	cell := at.Sub(g.At).Div(g.Cell())
	return int(cell.Floor()) + 1, g, cell.Den() == 1
}

// tellHits lists how each stroke was played.
func (d *drawing) tellHits(b *strings.Builder, t teller) {
	beats := d.beats
	heading := "Your hits. "
	for _, h := range d.Hits {
		if !d.shows(h.At) || len(beats) == 0 || len(h.Errors)+h.Missed == 0 {
			continue
		}
		bar := barAt(beats, h.At)
		b.WriteString(heading)
		heading = ""
		b.WriteString(strconv.Itoa(bar[0].Bar) + ", " + t.place(h.At, h.Voice, bar))
		if len(d.Part) != 1 && !d.OneKey && h.Voice.Valid() {
			b.WriteString(" " + strings.ToLower(h.Voice.Label()))
		}
		b.WriteString(": " + sayError(h, d.Plain) + ". ")
	}
	if n := d.extrasShown(); n == 1 {
		b.WriteString("One extra tap. ")
	} else if n > 1 {
		b.WriteString(strconv.Itoa(n) + " extra taps. ")
	}
}

// barAt returns the beats of the bar in which a place stands.
func barAt(beats []passage.Beat, at meter.Rat) []passage.Beat {
	i := sort.Search(len(beats), func(i int) bool { return at.Less(beats[i].At) }) - 1
	first := max(i, 0) + 1 - beats[max(i, 0)].Number
	return barOf(beats[max(first, 0):])
}

// sayError says how a stroke was played: "12 ms early", "4 ms early, tight",
// "missed", or "12 ms before your middle" where the delay is not known.
func sayError(h Hit, plain bool) string {
	mean, played := h.Mean()
	switch {
	case !played:
		return "missed"
	case h.Missed > 0:
		return sayMean(mean, plain) + ", " + missedWords(h, true)
	}
	return sayMean(mean, plain)
}

func sayMean(mean float64, plain bool) string {
	before, on, after := " ms early", "on the place", " ms late"
	if plain {
		before, on, after = " ms before your middle", "at your middle", " ms after your middle"
	}
	ms := math.Round(clampMS(mean))
	words := on
	switch {
	case ms < 0:
		words = strconv.Itoa(int(-ms)) + before
	case ms > 0:
		words = strconv.Itoa(int(ms)) + after
	}
	if !plain && Judge(mean) == Tight {
		words += ", tight"
	}
	return words
}

func (d *drawing) extrasShown() int {
	n := 0
	for _, e := range d.Extras {
		if e.At >= d.From.Float() && e.At < d.To.Float() {
			n++
		}
	}
	return n
}
