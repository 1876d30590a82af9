package ear

import "stampmill/exercises/passage"

// strokesThatDiffer is the scale of the tasks that hide a change. Our choice:
// half a stroke is one that is only played otherwise, sixteen are a voice
// throughout.
var strokesThatDiffer = Scale{
	Unit: "strokes", Means: "strokes that differ between A and B; one that is only played otherwise counts half",
	Low: 0.5, High: 16, Falling: true, Log: true,
}

// startDiffers is where staircases on it begin. Our choice: easily heard.
const startDiffers = 8

func same() Task {
	return Task{
		Name: "same", Title: "Same or changed", Question: "Is B the same as A, or changed?",
		About: "Two passages, A and B. In half of the trials B is A with one change.",
		Yes:   true, Scale: strokesThatDiffer, Stair: stair(strokesThatDiffer, startDiffers),
		make: makeSame, mark: markChoice,
	}
}

func makeSame(m *maker) (Trial, error) {
	changed, u := m.rng.IntN(2) == 0, m.rng.Float64()
	a, err := m.window(fitsAll)
	if err != nil {
		return Trial{}, err
	}
	all := pool(m, a, oneBeat, oneBar, wholeLength)
	if len(all) == 0 {
		return Trial{}, noChange()
	}
	t := Trial{Asks: []Ask{{Kind: Choose, Question: same().Question, Choices: []Choice{
		{Words: yesNoWords["same"][0], Says: "Changed: B differs from A"},
		{Words: yesNoWords["same"][1], Says: "The same: B is A again"},
	}}}}
	if !changed {
		t.unchanged(a, 1)
		return t, nil
	}
	c := simplest(m, a, pick(all, m.d, u))
	t.changed(a, c, 0)
	return t, nil
}

// changed makes the sounds and the truth of a trial in which B is A with a
// change, and the right choice.
func (t *Trial) changed(a passage.Passage, c candidate, choice int) {
	t.Sounds, t.Made = pair(a, c.after), c.diff.size
	t.truth = truth{choice: choice, said: c.change.Sentence(a), hint: listenFor(a, c.after, c.diff)}
	t.truth.from, t.truth.to = c.rightPlaces(a)
	t.truth.explained(a, c.after)
}

// unchanged makes those of a trial in which B is A.
func (t *Trial) unchanged(a passage.Passage, choice int) {
	t.Sounds = pair(a, a.Clone())
	t.truth = truth{choice: choice, said: "Nothing changed: B is A again.", hint: listenFor(a, a, difference{})}
	t.truth.explained(a, a)
}
