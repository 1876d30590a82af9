package passage

import (
	"slices"
	"strconv"

	"stampmill/exercises/meter"
)

// A Count is one counting word, as players say it aloud.
type Count struct {
	At     meter.Rat // quarter notes
	Word   string    // "1", "e", "&", "a", ...
	Strong bool      // on a beat, or one of a tuplet's numbers
}

// words are the counting words of the divisions of a beat, common practice:
// "1 &", "1 & a", "1 e & a"; six and eight to the beat keep those words and
// say little or nothing between them.
var words = map[int][]string{
	1: {""}, 2: {"", "&"}, 3: {"", "&", "a"}, 4: {"", "e", "&", "a"},
	6: {"", "e", "&", "e", "a", "e"}, 8: {"", "", "e", "", "&", "", "a", ""},
}

// spokenAs returns the words of a division of a beat, nil for one that is
// counted by numbers. A dotted beat has three parts, so two and four are
// irregular in it.
func spokenAs(beat meter.Rat, cells int) []string {
	if beat.Num()%3 == 0 && cells != 1 && cells%3 != 0 {
		return nil
	}
	return words[cells]
}

// Counts returns the counting words under the passage, in order of time. Each
// beat is counted in the finest division in which a voice plays there. A
// division into 5, 7 or another irregular number, and a group over several
// beats that does not fall on them, is counted by numbers from 1. Groups
// without strokes are not counted, so a silent beat has its number only.
func (p Passage) Counts() []Count {
	p, _ = p.Regroup()
	return p.CountsIn(1, len(p.Bars))
}

// CountsIn returns the counting words of bars first to last (from 1, both
// included) at their places in the passage. Its groups must be complete there,
// as [Passage.Excerpt] and [Passage.Regroup] leave them.
func (p Passage) CountsIn(first, last int) []Count {
	c := counter{beats: slices.Concat(p.grid(first, last)...), index: map[meter.Rat]int{}, division: map[int]int{}, over: map[int]Group{}}
	for i, b := range c.beats {
		c.index[b.At] = i
	}
	for _, l := range p.Lines {
		c.line(l)
	}
	return c.counts()
}

// A counter collects how each beat is divided.
type counter struct {
	beats    []Beat
	index    map[meter.Rat]int // of the beat at a place
	division map[int]int       // most cells of a beat, by its index
	over     map[int]Group     // longest group not counted in beats, by the index of its first beat
}

// line notes the groups in which a voice plays.
func (c *counter) line(l Line) {
	strokes := l.Strokes
	for _, n := range forest(l.Groups) {
		for len(strokes) > 0 && strokes[0].At.Less(n.At) {
			strokes = strokes[1:]
		}
		if len(strokes) > 0 && strokes[0].At.Less(n.End()) {
			c.group(n.Group)
		}
	}
}

func (c *counter) group(g Group) {
	first, ok := c.index[g.At]
	if !ok {
		return
	}
	last := first
	for last < len(c.beats) && c.beats[last].At.Less(g.End()) {
		last++
	}
	beats := c.beats[first:last]
	switch {
	case len(beats) == 1 || g.fallsOn(beats):
		for i, b := range beats {
			c.division[first+i] = max(c.division[first+i], int(b.Length.Div(g.Cell()).Floor()), 1)
		}
	case !g.withinBeats(beats) && c.over[first].Length.Less(g.Length):
		c.over[first] = g
	}
}

// fallsOn reports whether every beat begins on a cell of the group.
func (g Group) fallsOn(beats []Beat) bool {
	cell := g.Cell()
	for _, b := range beats {
		if !cell.Divides(b.At.Sub(g.At)) {
			return false
		}
	}
	return true
}

// withinBeats reports whether every cell of the group begins on a beat, as one
// cell over a whole bar does.
func (g Group) withinBeats(beats []Beat) bool {
	on := map[meter.Rat]bool{}
	for _, b := range beats {
		on[b.At] = true
	}
	at := g.At
	for range g.Cells {
		if !on[at] {
			return false
		}
		at = at.Add(g.Cell())
	}
	return true
}

func (c *counter) counts() []Count {
	var out []Count
	var end meter.Rat // of the group counted by numbers
	for i, b := range c.beats {
		if b.At.Less(end) {
			continue
		}
		if g, ok := c.over[i]; ok {
			out, end = numbered(out, g), g.End()
			continue
		}
		g := Group{b.At, b.Length, max(c.division[i], 1)}
		if spoken := spokenAs(b.Length, g.Cells); spoken != nil {
			out = say(out, g, b.Number, spoken)
		} else {
			out = numbered(out, g)
		}
	}
	return out
}

// numbered counts the cells of a group from 1.
func numbered(dst []Count, g Group) []Count {
	at, cell := g.At, g.Cell()
	for i := range g.Cells {
		dst = append(dst, Count{at, strconv.Itoa(i + 1), true})
		at = at.Add(cell)
	}
	return dst
}

// say counts a beat by its number and words.
func say(dst []Count, g Group, beat int, words []string) []Count {
	at, cell := g.At, g.Cell()
	for i, w := range words {
		if i == 0 {
			w = strconv.Itoa(beat)
		}
		if w != "" {
			dst = append(dst, Count{at, w, i == 0})
		}
		at = at.Add(cell)
	}
	return dst
}

// Ordinal returns "1st", "2nd", "3rd", "4th" and so on, for places in a beat.
func Ordinal(n int64) string {
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
