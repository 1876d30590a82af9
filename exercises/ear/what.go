package ear

import (
	"errors"
	"slices"

	"stampmill/exercises/change"
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
	all := pool(m.rng, a, oneBeat, oneBar, wholeLength)
	if len(all) == 0 {
		return Trial{}, noChange()
	}
	right := pick(all, m.d, u)
	m.rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	offered := others(a, right, all)
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
func others(a passage.Passage, right candidate, all []candidate) []candidate {
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
		if len(taken) == mostChoices-1 {
			break
		}
		twice := slices.ContainsFunc(taken, func(t candidate) bool {
			return t.words == c.words || t.form(a) && c.form(a) || Alike(t.after, c.after)
		})
		if !twice && !rivals(a, c, right) {
			taken = append(taken, c)
		}
	}
	return taken[1:]
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
		moved := change.Change{Entry: c.change.Entry, Args: args}
		if sketch, ok := moved.Sketch(a); !ok || !strikesAs(sketch, right.after) {
			continue
		}
		if after, err := moved.Apply(a); err == nil && Alike(after, right.after) {
			return true
		}
	}
	return false
}

// strikesAs reports whether the lines of a sketch strike when those of a
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
			if l.Strokes[i].At != was.Strokes[i].At {
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
