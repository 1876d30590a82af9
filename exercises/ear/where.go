package ear

import "slices"

// leastBeats is how many beats there are to choose from at least. Our choice.
const leastBeats = 3

func where() Task {
	return Task{
		Name: "where", Title: "Where", Question: "Where is B changed?",
		About: "Two passages, A and B. B is A with a change in one beat: name the bar and the beat.",
		Scale: strokesThatDiffer, Stair: stair(strokesThatDiffer, startDiffers/2),
		make: makeWhere, mark: markPlace, Answered: Place,
	}
}

func makeWhere(m *maker) (Trial, error) {
	u := m.rng.Float64()
	a, err := m.window(hasBeats(leastBeats))
	if err != nil {
		return Trial{}, err
	}
	all := slices.DeleteFunc(pool(m, a, oneBeat), func(c candidate) bool { return !c.local(a) })
	if len(all) == 0 {
		return Trial{}, noChange()
	}
	c := simplest(m, a, pick(all, m.d, u))
	t := Trial{Asks: []Ask{{Kind: Place, Question: where().Question, Places: beatPlaces(a)}}}
	t.changed(a, c, 0)
	return t, nil
}
