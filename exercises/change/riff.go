package change

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// riff are the changes that make kick and guitar one machine.
func riff() []Entry {
	return []Entry{
		{
			Form:     "lock {voices} to {voice} [at {ranges}]",
			About:    "The voices strike exactly where another does. Strokes that stand there already stay as they are, others go, and new ones are plain hits.",
			Example:  "lock guitar to kick",
			effect:   lock,
			sentence: locked,
		},
		{
			Form:     "add {voices} at {places}",
			About:    "A plain hit at each place. A voice that the passage lacks comes in.",
			Example:  "add kick guitar at 1.2+1/8",
			effect:   add,
			sentence: added,
			inverse:  by("drop"),
		},
		{
			Form:     "fill {voices} by {length} [at {ranges}]",
			About:    "A plain hit on every multiple of the length, counted from each bar line, where none stands.",
			Example:  "fill kick by 1/16 at 2.4",
			effect:   fill,
			sentence: filled,
			inverse:  dropFilled,
		},
		{
			Form:     "thin {voices} to {length} [at {ranges}]",
			About:    "Only the strokes on a multiple of the length stay, counted from each bar line.",
			Example:  "thin kick guitar to 1/8",
			effect:   thin,
			sentence: thinned,
		},
		{
			Form:     "drop {voices} at {places}",
			About:    "The stroke at each place is left out.",
			Example:  "drop kick at 1.4",
			effect:   drop,
			sentence: dropped,
			inverse:  by("add"),
		},
	}
}

// shortest is the shortest length, in quarter notes, whose multiples can be
// asked for: one of the most cells a quarter note can have.
var shortest = meter.R(1, passage.MaxCells)

func lock(p *passage.Passage, a Args) error {
	to, err := lineOf(p, a.To)
	if err != nil {
		return err
	}
	model := *to
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	if slices.Contains(a.Voices, a.To) {
		return refuse("name another voice to follow", "the %s cannot be locked to itself", a.To)
	}
	if !slices.ContainsFunc(all, func(s stretch) bool { return len(onsetsIn(model, s)) > 0 }) {
		return refuse("name another voice or place", "the %s has no strokes%s", a.To, a.there(*p))
	}
	for _, v := range a.Voices {
		l := addedLine(p, v)
		for _, s := range all {
			put(l, s, follow(*l, s, onsetsIn(model, s)))
		}
	}
	return nil
}

// follow returns the strokes of a line in a stretch when it strikes where a
// model does.
func follow(l passage.Line, s stretch, model []passage.Stroke) []passage.Stroke {
	var out []passage.Stroke
	for _, m := range model {
		stroke, ok := strokeAt(l, m.At)
		if !ok || !stroke.Sounds() {
			stroke = passage.Stroke{At: m.At, Kind: passage.Hit}
		}
		out = append(out, stroke)
	}
	return out
}

func locked(p passage.Passage, a Args) string {
	return said(subject(a.Voices), agree(a.Voices, "strikes", "strike"), "exactly with the", a.To.Spoken(), a.where(p))
}

func add(p *passage.Passage, a Args) error {
	places, err := a.places(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l := addedLine(p, v)
		for _, at := range places {
			if _, ok := strokeAt(*l, at); ok {
				return refuse("name another place", "the %s has a stroke at %s", v, p.Place(at))
			}
			strike(l, passage.Stroke{At: at, Kind: passage.Hit})
		}
	}
	return nil
}

// strike puts one stroke into a line, in place of one that begins there, and
// cuts what is held into it.
func strike(l *passage.Line, stroke passage.Stroke) {
	i, stands := indexAt(*l, stroke.At)
	l.Strokes = slices.Clone(l.Strokes)
	if stands {
		l.Strokes[i] = stroke
	} else {
		l.Strokes = slices.Insert(l.Strokes, i, stroke)
	}
	if i > 0 {
		l.Strokes[i-1] = endBy(l.Strokes[i-1], stroke.At)
	}
	if i+1 < len(l.Strokes) {
		l.Strokes[i] = endBy(l.Strokes[i], l.Strokes[i+1].At)
	}
}

func added(p passage.Passage, a Args) string {
	strokes := "a stroke"
	if len(a.Places) > 1 {
		strokes = "strokes"
	}
	return said(subject(a.Voices), agree(a.Voices, "adds", "add"), strokes, placesWords(p, a.Places))
}

func fill(p *passage.Passage, a Args) error {
	if a.By.Less(shortest) {
		return refuse("choose 1/16 or 1/32, say", "%s is too short to fill with", lengthWords(a.By))
	}
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l := addedLine(p, v)
		for _, s := range all {
			strokes := slices.Clone(strokesIn(*l, s))
			for _, at := range multiples(*p, s, a.By) {
				if _, ok := strokeAt(*l, at); !ok {
					strokes = append(strokes, passage.Stroke{At: at, Kind: passage.Hit})
				}
			}
			put(l, s, strokes)
		}
	}
	return nil
}

// multiples returns the places in a stretch that are a whole number of steps
// after the bar line before them.
func multiples(p passage.Passage, s stretch, step meter.Rat) []meter.Rat {
	var all []meter.Rat
	starts := p.Starts()
	for i := range p.Bars {
		for at := starts[i]; at.Less(starts[i+1]); at = at.Add(step) {
			if s.holds(at) {
				all = append(all, at)
			}
		}
	}
	return all
}

func filled(p passage.Passage, a Args) string {
	if !a.strikesIn(p) {
		return said(subject(a.Voices), agree(a.Voices, "plays", "play"), steps(a.By), a.where(p))
	}
	return said(subject(a.Voices), agree(a.Voices, "fills", "fill"), "the gaps with", steps(a.By), a.where(p))
}

// strikesIn reports whether one of the voices strikes in one of the ranges.
func (a Args) strikesIn(p passage.Passage) bool {
	all, _ := a.stretches(p)
	return slices.ContainsFunc(a.Voices, func(v passage.Voice) bool {
		l, _ := p.Line(v)
		return slices.ContainsFunc(all, func(s stretch) bool { return len(onsetsIn(l, s)) > 0 })
	})
}

// dropFilled suggests to drop what the first voice lacked.
func dropFilled(p passage.Passage, a Args) []Change {
	all, err := a.stretches(p)
	if err != nil {
		return nil
	}
	l, _ := p.Line(a.Voices[0])
	back := Args{Voices: a.Voices}
	for _, s := range all {
		for _, at := range multiples(p, s, a.By) {
			if _, ok := strokeAt(l, at); !ok {
				back.Places = append(back.Places, p.Place(at))
			}
		}
	}
	return []Change{with("drop", back)}
}

func thin(p *passage.Passage, a Args) error {
	starts := p.Starts()
	return eachStretch(p, a, func(_ stretch, strokes []passage.Stroke) []passage.Stroke {
		return slices.DeleteFunc(strokes, func(s passage.Stroke) bool {
			return s.Sounds() && !a.By.Divides(s.At.Sub(starts[p.Place(s.At).Bar-1]))
		})
	})
}

func thinned(p passage.Passage, a Args) string {
	return said(subject(a.Voices), agree(a.Voices, "keeps", "keep"), "only the", steps(a.By), a.where(p))
}

func drop(p *passage.Passage, a Args) error {
	places, err := a.places(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l, err := lineOf(p, v)
		if err != nil {
			return err
		}
		for _, at := range places {
			i, ok := indexAt(*l, at)
			if !ok {
				return refuse("name a place where one begins", "the %s has no stroke at %s", v, p.Place(at))
			}
			l.Strokes = slices.Delete(l.Strokes, i, i+1)
		}
	}
	return nil
}

func dropped(p passage.Passage, a Args) string {
	strokes := "stroke"
	if len(a.Places) > 1 {
		strokes = "strokes"
	}
	return said(subject(a.Voices), agree(a.Voices, "leaves out its", "leave out their"), strokes, placesWords(p, a.Places))
}
