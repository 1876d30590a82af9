package ear

import (
	"errors"
	"slices"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// How many answers there are to "what changed", "nothing" one of them. Our
// choice: the eight that have a key each, and no fewer than four.
const (
	mostChoices  = 8
	leastChoices = 4
	// One trial in so many has no change, as often as any other answer is right.
	nothingOneIn = mostChoices
)

func what() Task {
	return Task{
		Name: "what", Title: "What changed", Question: "What changed from A to B?",
		About: "Two passages, A and B, with one change of the catalogue or none. Say which, and where it begins.",
		Scale: strokesThatDiffer, Stair: stair(strokesThatDiffer, startDiffers),
		make: makeWhat, mark: markWhat,
	}
}

func makeWhat(m *maker) (Trial, error) {
	nothing, u := m.rng.IntN(nothingOneIn) == 0, m.rng.Float64()
	a, err := m.window(hasBeats(leastBeats))
	if err != nil {
		return Trial{}, err
	}
	all := pool(m, a, oneBeat, oneBar, wholeLength)
	if len(all) == 0 {
		return Trial{}, noChange()
	}
	right := simplest(m, a, pick(all, m.d, u))
	m.rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	offered := others(m, a, right, all)
	if len(offered)+2 < leastChoices {
		return Trial{}, errors.New("too few different changes fit that could be told apart; take a step with more strokes")
	}
	offered = append(offered, right)
	m.rng.Shuffle(len(offered), func(i, j int) { offered[i], offered[j] = offered[j], offered[i] })
	t := Trial{Asks: []Ask{
		{Kind: Choose, Question: what().Question, Choices: choices(a, offered)},
		{Kind: Place, Question: "Where does the change begin?", Places: beatPlaces(a)},
	}}
	if nothing {
		t.unchanged(a, len(offered))
		return t, nil
	}
	t.changed(a, right, slices.IndexFunc(offered, func(c candidate) bool { return c.words == right.words }))
	return t, nil
}

// choices returns the cards of some changes and, last, that nothing changed.
func choices(a passage.Passage, offered []candidate) []Choice {
	var all []Choice
	for _, c := range offered {
		from, to := snippets(a, c)
		all = append(all, Choice{Words: c.words, Says: c.words, From: from, To: to})
	}
	return append(all, Choice{Words: nothingChanged, Says: nothingChanged + ": B is A again"})
}

// others takes the wrong answers beside the right one: first those about the
// same voices, of which no two have the same words or sound alike, and none of
// which, made where the right one is, would sound as it does.
func others(m *maker, a passage.Passage, right candidate, all []candidate) []candidate {
	all = slices.Clone(all)
	far := func(c candidate) int {
		if slices.ContainsFunc(c.diff.voices(), func(v passage.Voice) bool { return slices.Contains(right.diff.voices(), v) }) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(all, func(c, o candidate) int { return far(c) - far(o) })
	taken := []candidate{right}
	for _, c := range all {
		if len(taken) == mostChoices-1+spares {
			break
		}
		m.pause()
		twice := slices.ContainsFunc(taken, func(t candidate) bool {
			return t.words == c.words || t.form(a) && c.form(a) || Alike(t.after, c.after) || looksAs(a, t, c)
		})
		if !twice && !rivals(a, c, right) {
			taken = append(taken, c)
		}
	}
	also := alsoTrue(m, a, right, taken[1:])
	wrong := slices.DeleteFunc(taken[1:], func(c candidate) bool { return also[c.words] })
	return wrong[:min(len(wrong), mostChoices-2)]
}

// looksAs reports whether the small strips of two changes are the same, so that
// only their words would tell them apart.
func looksAs(a passage.Passage, c, o candidate) bool {
	from, to := snippets(a, c)
	from2, to2 := snippets(a, o)
	return to != nil && to2 != nil && Alike(*from, *from2) && Alike(*to, *to2)
}

// spares are answers looked for beyond those that are offered, since a look at
// all readings may take some away. Our choice.
const spares = 2

// alsoTrue returns the words of those candidates that, made anywhere else and
// in any amount that players fall into, would sound as the right one does.
func alsoTrue(m *maker, a passage.Passage, right candidate, all []candidate) map[string]bool {
	words, names := map[string]bool{}, map[string]bool{}
	for _, c := range all {
		words[c.words], names[c.change.Entry.Name] = false, true
	}
	if !sameBars(a, right.after) {
		return words // nothing of the voices makes that
	}
	r := change.NewReader(a, voicesOf(a), nil, 1, len(a.Bars))
	for _, scope := range covering(a, r, right.diff) {
		m.pause()
		for _, c := range r.Readings(scope) {
			if !names[c.Entry.Name] {
				continue
			}
			if said, ok := wordsOf(c); ok && !words[said] {
				if _, offered := words[said]; offered && comesTo(a, c, right.after) {
					words[said] = true
				}
			}
		}
	}
	return words
}

// covering returns the scopes that hold all that differs.
func covering(a passage.Passage, r *change.Reader, d difference) []change.Scope {
	sets := slices.DeleteFunc(r.Together(), func(set []passage.Voice) bool {
		return !slices.ContainsFunc(d.voices(), func(v passage.Voice) bool { return slices.Contains(set, v) })
	})
	return slices.DeleteFunc(r.Scopes(append(sets, nil)), func(s change.Scope) bool {
		spans := s.Span(a)
		return slices.ContainsFunc(d.all(), func(e event) bool {
			return !slices.ContainsFunc(spans, func(span [2]meter.Rat) bool {
				return !e.place.Less(span[0]) && !span[1].Less(e.place)
			})
		})
	})
}

// comesTo reports whether a change of a sounds as a passage does.
func comesTo(a passage.Passage, c change.Change, p passage.Passage) bool {
	if sketch, ok := c.Sketch(a); !ok || !strikesAs(sketch, p) {
		return false
	}
	after, err := c.Apply(a)
	return err == nil && Alike(after, p)
}

// form reports whether a change is one of bars or tempi. These are told from
// others at once, so there is one among the answers at most.
func (c candidate) form(a passage.Passage) bool { return !sameBars(a, c.after) }

// rivals reports whether a change, made where another is, would sound as that
// does, so that its words would be true as well.
func rivals(a passage.Passage, c, right candidate) bool {
	voices := right.diff.voices()
	if named := append(slices.Clone(c.change.Args.Voices), c.change.Args.To); len(c.change.Args.Voices) > 0 &&
		slices.ContainsFunc(voices, func(v passage.Voice) bool { return !slices.Contains(named, v) }) && c.change.Entry.Name != "stop" {
		return false
	}
	for _, args := range elsewhere(a, c.change.Args, right) {
		if comesTo(a, change.Change{Entry: c.change.Entry, Args: args}, right.after) {
			return true
		}
	}
	return false
}

// strikesAs reports whether the lines of a sketch strike when and as those of a
// passage do; where the bars differ, they may.
func strikesAs(sketch, p passage.Passage) bool {
	if !sameBars(sketch, p) {
		return true
	}
	for _, l := range sketch.Lines {
		was, _ := p.Line(l.Voice)
		if onsets(l) != onsets(was) {
			return false
		}
		for i := 0; i < min(len(l.Strokes), len(was.Strokes)) && len(l.Strokes) == len(was.Strokes); i++ {
			if s, o := l.Strokes[i], was.Strokes[i]; s.At != o.At || s.Kind != o.Kind {
				return false
			}
		}
	}
	return true
}

// elsewhere returns parameters in the places of another change: where that is
// made, and where it makes a difference.
func elsewhere(a passage.Passage, args change.Args, right candidate) []change.Args {
	var all []change.Args
	put := func(set func(*change.Args)) {
		moved := args
		set(&moved)
		all = append(all, moved)
	}
	beats := right.diff.beats(a)
	first, last := beats[0], beats[len(beats)-1]
	switch {
	case len(args.Places) > 0:
		var each []change.Spot
		for _, e := range right.diff.all() {
			if spot := a.Place(e.place); !slices.Contains(each, spot) {
				each = append(each, spot)
			}
		}
		for _, spot := range append(slices.Clone(each), beats...) {
			put(func(m *change.Args) { m.Places = []change.Spot{spot} })
		}
		put(func(m *change.Args) { m.Places = each })
		if len(right.change.Args.Places) > 0 {
			put(func(m *change.Args) { m.Places = right.change.Args.Places })
		}
	case args.Bar > 0:
		put(func(m *change.Args) { m.Bar = first.Bar })
		put(func(m *change.Args) { m.Bar = max(right.change.Args.Bar, 1) })
	default:
		put(func(m *change.Args) { m.At = nil })
		put(func(m *change.Args) { m.At = right.change.Args.At })
		put(func(m *change.Args) { m.At = []change.Range{{From: first, To: last}} })
		put(func(m *change.Args) {
			m.At = []change.Range{{From: change.Spot{Bar: first.Bar}, To: change.Spot{Bar: last.Bar}}}
		})
		for _, b := range beats {
			put(func(m *change.Args) { m.At = []change.Range{{From: b, To: b}} })
		}
	}
	return all
}
