package strip

import (
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Speak says one cell to those who listen: "Kick, bar 2, beat 3, second of four
// cells: hit". It goes by the cell's place, so the passage may have changed
// since; "" where the passage has no such place.
func Speak(p passage.Passage, c passage.Cell) string {
	c, ok := p.CellAt(c.Voice, c.At)
	if !ok {
		return ""
	}
	groups := p.GroupsAt(c.Voice, c.At)
	words := []string{c.Voice.Label()}
	if len(groups) > 0 {
		words = append(words, speakBeats(p, groups[0]))
	} else {
		words = append(words, speakBeats(p, passage.Group{At: c.At, Length: c.Length, Cells: 1}))
	}
	for i, g := range groups {
		if g.Cells > 1 {
			words = append(words, speakCell(g, c.At, i > 0))
		}
	}
	return strings.Join(words, ", ") + ": " + speakContent(p, c)
}

// speakBeats says the bar and the beats of a group.
func speakBeats(p passage.Passage, g passage.Group) string {
	from := p.Place(g.At)
	last := from.Beat
	at := g.At
	for _, b := range p.Bars[from.Bar-1].Metre.Beats()[from.Beat-1:] {
		if at = at.Add(b); at.Less(g.End()) {
			last++
		}
	}
	bar, first := "bar "+strconv.Itoa(from.Bar)+", ", strconv.Itoa(from.Beat)
	switch last - from.Beat {
	case 0:
		return bar + "beat " + first
	case 1:
		return bar + "beats " + first + " and " + strconv.Itoa(last)
	}
	return bar + "beats " + first + " to " + strconv.Itoa(last)
}

// speakCell says which cell of a group it is in which a place lies.
func speakCell(g passage.Group, at meter.Rat, nested bool) string {
	i := int(at.Sub(g.At).Div(g.Cell()).Floor())
	words := ordinal(i+1) + " of " + cardinal(g.Cells)
	if nested {
		return words + " in it"
	}
	return words + " cells"
}

// speakContent says what stands in a cell.
func speakContent(p passage.Passage, c passage.Cell) string {
	l, _ := p.Line(c.Voice)
	i := startsAt(l.Strokes, c.At)
	if i < len(l.Strokes) && l.Strokes[i].At.Less(c.End()) {
		return speakStroke(l.Strokes[i])
	}
	if p.Letter(c) == "-" {
		return "still sounding"
	}
	return "rest"
}

func speakStroke(s passage.Stroke) string {
	words := s.Kind.String()
	if s.Fret > 0 {
		words += ", fret " + strconv.Itoa(int(s.Fret))
	}
	switch {
	case s.Bend == 1:
		words += ", up one semitone"
	case s.Bend > 1:
		words += ", up " + cardinal(int(s.Bend)) + " semitones"
	}
	return words
}

// Numbers as words, as far as a beat usually has cells.
var (
	ordinals  = []string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}
	cardinals = []string{"", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
)

func ordinal(n int) string {
	if n < len(ordinals) {
		return ordinals[n]
	}
	return "number " + strconv.Itoa(n)
}

func cardinal(n int) string {
	if n < len(cardinals) {
		return cardinals[n]
	}
	return strconv.Itoa(n)
}
