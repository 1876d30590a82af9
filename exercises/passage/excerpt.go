package passage

import (
	"slices"

	"stampmill/exercises/meter"
)

// Excerpt returns the passage with only what sounds in bars first to last
// (from 1, both included), in the groups that [Passage.Regroup] writes there.
// Bars and places stay as they are, other than in [Passage.Section]; a stroke
// held into or out of the bars is there as a whole. The other bars cost
// nothing; bars that there are not are left out.
func (p Passage) Excerpt(first, last int) Passage {
	bars := slices.DeleteFunc(p.grid(first, last), func(beats []Beat) bool { return len(beats) == 0 })
	var from, to meter.Rat
	if n := len(bars); n > 0 {
		end := bars[n-1][len(bars[n-1])-1]
		from, to = bars[0][0].At, end.At.Add(end.Length)
	}
	out := p
	out.Lines = make([]Line, len(p.Lines))
	for i, l := range p.Lines {
		out.Lines[i] = Line{Voice: l.Voice, Strokes: sounding(l.Strokes, from, to)}
		for _, beats := range bars {
			nodes, _ := l.bar(beats)
			out.Lines[i].Groups = flatten(out.Lines[i].Groups, nodes)
		}
	}
	return out
}

// sounding returns the strokes that sound from one place to another.
func sounding(strokes []Stroke, from, to meter.Rat) []Stroke {
	first := startingAt(strokes, from)
	end := max(first, startingAt(strokes, to))
	if first > 0 && from.Less(strokes[first-1].End()) {
		first--
	}
	return strokes[first:end:end]
}
