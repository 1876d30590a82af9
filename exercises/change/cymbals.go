package change

import (
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// cymbals are the changes that stretch a whole voice against the others.
func cymbals() []Entry {
	return []Entry{
		{
			Form:     "half-time {voices} [at {ranges}]",
			About:    "Every distance from the start doubles: strokes on 2 and 4 become one on 3. What leaves the range is left out.",
			Example:  "half-time china",
			effect:   scale(meter.Int(2)),
			sentence: says("plays", "play", "in half time"),
			inverse:  doubleBack,
		},
		{
			Form:     "double-time {voices} [at {ranges}]",
			About:    "Every distance from the start is halved, and the half is played twice so that the range stays filled.",
			Example:  "double-time hat at 2",
			effect:   doubleTime,
			sentence: doubledSaid,
			inverse:  by("half-time"),
		},
		{
			Form:     "dotted {voices} [at {ranges}]",
			About:    "Every distance from the start is one and a half times as long, so that the voice crosses the beat. What leaves the range is left out.",
			Example:  "dotted china",
			effect:   scale(meter.R(3, 2)),
			sentence: func(p passage.Passage, a Args) string { return apart(p, a, meter.R(3, 2)) },
			inverse: func(p passage.Passage, a Args) []Change {
				return []Change{with("squeeze", a.over(p, meter.R(3, 2)))}
			},
		},
		{
			Form:     "displace {voices} by {shift} [at {ranges}]",
			About:    "The whole voice is pushed off the grid: later or, with -, sooner. What leaves the range is left out.",
			Example:  "displace china by 1/16",
			effect:   displace,
			sentence: displaced,
			inverse:  func(_ passage.Passage, a Args) []Change { return []Change{with("displace", a.sooner())} },
		},
	}
}

// says returns a sentence of the voices, a verb for one or several, what they
// do, and where.
func says(one, several, what string) func(passage.Passage, Args) string {
	return func(p passage.Passage, a Args) string {
		return said(subject(a.Voices), agree(a.Voices, one, several), what, a.where(p))
	}
}

func doubledSaid(p passage.Passage, a Args) string {
	plays := strings.TrimSuffix(says("plays", "play", "in double time")(p, a), ".")
	return said(plays+":", agree(a.Voices, "its part", "their parts")+a.within(), agree(a.Voices, "comes", "come"), "twice")
}

// within says "there" when a change has ranges.
func (a Args) within() string {
	if len(a.At) > 0 {
		return " there"
	}
	return ""
}

// apart says that distances grow by a factor.
func apart(p passage.Passage, a Args, factor meter.Rat) string {
	return said("the", voiceWords(a.Voices), "strokes", a.where(p), "stand", timesWords(factor), "as far apart")
}

// by suggests another change with the same parameters as the inverse.
func by(name string) func(passage.Passage, Args) []Change {
	return func(_ passage.Passage, a Args) []Change { return []Change{with(name, a)} }
}

// doubleBack suggests double time; where the range was half empty, that only
// its strokes move together again.
func doubleBack(p passage.Passage, a Args) []Change {
	return []Change{with("double-time", a), with("squeeze", a.over(p, meter.Int(2)))}
}

// over returns the parameters with a factor, and all bars of p as the range
// where there is none.
func (a Args) over(p passage.Passage, factor meter.Rat) Args {
	a.Factor = factor
	if len(a.At) == 0 {
		a.At = []Range{{Spot{Bar: 1}, Spot{Bar: len(p.Bars)}}}
	}
	return a
}

// sooner returns the parameters with the shift turned round.
func (a Args) sooner() Args {
	a.By = a.By.Neg()
	return a
}

// scale multiplies distances from the start of each range, and lengths.
func scale(factor meter.Rat) func(*passage.Passage, Args) error {
	return func(p *passage.Passage, a Args) error {
		return eachStretch(p, a, func(s stretch, strokes []passage.Stroke) []passage.Stroke {
			return scaled(strokes, s.from, factor)
		})
	}
}

// scaled returns strokes with their distances from a place, and their lengths,
// times a factor.
func scaled(strokes []passage.Stroke, from, factor meter.Rat) []passage.Stroke {
	out := make([]passage.Stroke, len(strokes))
	for i, s := range strokes {
		s.At = from.Add(s.At.Sub(from).Mul(factor))
		s.Length = s.Length.Mul(factor)
		out[i] = s
	}
	return out
}

func doubleTime(p *passage.Passage, a Args) error {
	half := meter.R(1, 2)
	return eachStretch(p, a, func(s stretch, strokes []passage.Stroke) []passage.Stroke {
		once := scaled(strokes, s.from, half)
		return append(once, moved(once, s.length().Mul(half))...)
	})
}

// moved returns strokes some quarter notes later.
func moved(strokes []passage.Stroke, by meter.Rat) []passage.Stroke {
	out := make([]passage.Stroke, len(strokes))
	for i, s := range strokes {
		s.At = s.At.Add(by)
		out[i] = s
	}
	return out
}

func displace(p *passage.Passage, a Args) error {
	return eachStretch(p, a, func(_ stretch, strokes []passage.Stroke) []passage.Stroke {
		return moved(strokes, a.By)
	})
}

func displaced(p passage.Passage, a Args) string {
	return said(subject(a.Voices), agree(a.Voices, "is pushed", "are pushed"), later(a.By), a.where(p))
}
