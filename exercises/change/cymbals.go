package change

import (
	"fmt"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// cymbals are the changes that stretch a whole voice against the others.
func cymbals() []Entry {
	return []Entry{
		{
			Form:     "half-time {voices} [at {ranges}]",
			About:    "Every distance from the start doubles, so that a stroke on 2 and 4 comes on 3; what leaves the range is left out.",
			Example:  "half-time china",
			effect:   halfTime,
			sentence: says("plays", "play", "at half the speed"),
			inverse:  by("double-time"),
		},
		{
			Form:     "displace {voices} by {shift} [at {ranges}]",
			About:    "The whole voice is pushed off the grid, later or, with -, sooner; what leaves the range is left out.",
			Example:  "displace china by 1/16",
			effect:   displace,
			sentence: displaced,
			inverse:  func(_ passage.Passage, a Args) []Change { a.By = a.By.Neg(); return []Change{with("displace", a)} },
		},
	}
}

// says returns a sentence of the voices, a verb, what they do, and where.
func says(one, several, what string) func(passage.Passage, Args) string {
	return func(_ passage.Passage, a Args) string {
		return fmt.Sprintf("%s %s %s %s.", subject(a.Voices), agree(a.Voices, one, several), what, a.where())
	}
}

// by suggests another change with the same parameters as the inverse.
func by(name string) func(passage.Passage, Args) []Change {
	return func(_ passage.Passage, a Args) []Change { return []Change{with(name, a)} }
}

func halfTime(p *passage.Passage, a Args) error { return eachStretch(p, a, times(meter.Int(2))) }

// times multiplies distances from the start of a stretch, and lengths.
func times(factor meter.Rat) func(stretch, []passage.Stroke) []passage.Stroke {
	return func(s stretch, strokes []passage.Stroke) []passage.Stroke {
		for i := range strokes {
			strokes[i].At = s.from.Add(strokes[i].At.Sub(s.from).Mul(factor))
			strokes[i].Length = strokes[i].Length.Mul(factor)
		}
		return strokes
	}
}

func displace(p *passage.Passage, a Args) error {
	return eachStretch(p, a, func(_ stretch, strokes []passage.Stroke) []passage.Stroke {
		for i := range strokes {
			strokes[i].At = strokes[i].At.Add(a.By)
		}
		return strokes
	})
}

func displaced(_ passage.Passage, a Args) string {
	return fmt.Sprintf("%s %s %s %s.", subject(a.Voices), agree(a.Voices, "moves", "move"), later(a.By), a.where())
}
