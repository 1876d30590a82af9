package ear

import (
	"cmp"
	"errors"
	"math/rand/v2"
	"slices"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A candidate is a change that can be heard, with what comes of it.
type candidate struct {
	sel    change.Selection // of which it was drawn
	change change.Change
	words  string
	after  passage.Passage
	diff   difference
}

// How many changes are looked at for a trial. Our choice: enough to choose
// from, few enough for a page that goes on (see the benchmark).
const (
	drawnSelections = 6
	drawnOffers     = 6 // of each selection
)

// A reach is how much of a passage a selection takes.
type reach int

const (
	oneBeat reach = iota
	oneBar
	wholeLength
)

// pool draws changes of p that can be heard, from the whole catalogue, with
// the reaches in turn. Each sounds other than p; two of them may sound alike.
func pool(m *maker, p passage.Passage, reaches ...reach) []candidate {
	rng := m.rng
	var all []candidate
	for i := range drawnSelections {
		sel := selection(rng, p, reaches[i%len(reaches)])
		entries := change.Entries()
		rng.Shuffle(len(entries), func(i, j int) { entries[i], entries[j] = entries[j], entries[i] })
		for n := 0; len(entries) > 0 && n < drawnOffers; entries = entries[1:] {
			m.pause()
			offers := change.OffersOf(entries[0], p, sel)
			if len(offers) == 0 {
				continue
			}
			ways := offers[rng.IntN(len(offers))]
			if c, ok := try(p, sel, ways[rng.IntN(len(ways))]); ok {
				all = append(all, c)
			}
			n++
		}
	}
	return all
}

// selection draws who and where: a voice, or kick and strings together where
// there are several.
func selection(rng *rand.Rand, p passage.Passage, r reach) change.Selection {
	sets := [][]passage.Voice{}
	var riff []passage.Voice
	for _, v := range voicesOf(p) {
		sets = append(sets, []passage.Voice{v})
		if v == passage.Kick || v.Family() == passage.Strings {
			riff = append(riff, v)
		}
	}
	if len(riff) > 1 {
		sets = append(sets, riff)
	}
	sel := change.Selection{To: p.Length(), Voices: sets[rng.IntN(len(sets))]}
	switch beats := p.Beats(); r {
	case oneBeat:
		b := beats[rng.IntN(len(beats))]
		sel.From, sel.To = b.At, b.At.Add(b.Length)
	case oneBar:
		starts := p.Starts()
		i := rng.IntN(len(p.Bars))
		sel.From, sel.To = starts[i], starts[i+1]
	}
	return sel
}

// try makes a change; false where it does not fit or cannot be heard.
func try(p passage.Passage, sel change.Selection, c change.Change) (candidate, bool) {
	words, ok := wordsOf(c)
	if !ok {
		return candidate{}, false
	}
	after, err := c.Apply(p)
	if err != nil {
		return candidate{}, false
	}
	d := compare(p, after)
	if d.size == 0 || slices.ContainsFunc(d.voices(), func(v passage.Voice) bool { return !asked(v) }) || losesStrokes(p, after, c) {
		return candidate{}, false
	}
	return candidate{sel, c, words, after, d}, true
}

// simplest returns a change as the catalogue offers it: of those that come to
// the same the one that is simplest to say.
func simplest(m *maker, p passage.Passage, c candidate) candidate {
	m.pause()
	for _, ways := range change.Offers(p, c.sel) {
		m.pause()
		if ways[0].String() == c.change.String() {
			return c
		}
		if !comesTo(p, ways[0], c.after) {
			continue
		}
		if simple, ok := try(p, c.sel, ways[0]); ok {
			return simple
		}
	}
	return c
}

// losesStrokes reports whether a change that is about distances pushes strokes
// out, so that what is heard is that they are missing.
func losesStrokes(p, after passage.Passage, c change.Change) bool {
	if c.Entry.Name != "stretch" && c.Entry.Name != "squeeze" {
		return false
	}
	return slices.ContainsFunc(c.Args.Voices, func(v passage.Voice) bool {
		was, _ := p.Line(v)
		now, _ := after.Line(v)
		return onsets(now) < onsets(was)
	})
}

// local reports whether all that differs lies in one beat and the bars stay.
func (c candidate) local(p passage.Passage) bool {
	return slices.Equal(p.Bars, c.after.Bars) && len(c.diff.beats(p)) == 1
}

// bandRatio is how much smaller than the asked size a difference may be, so
// that what is asked varies. Our choice.
const bandRatio = 1.5

// pick takes one of some candidates whose difference is of size d or somewhat
// less; of the smallest where all are greater. Each wording is as likely, and a
// smaller d never gives a greater difference: the bounds of what is taken rise
// with d, and so does the share u, 0 to 1, of what lies between.
func pick(all []candidate, d, u float64) candidate {
	weight := map[string]float64{}
	for _, c := range all {
		weight[c.words]++
	}
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b candidate) int { return cmp.Compare(a.diff.size, b.diff.size) })
	high := all[0].diff.size
	for _, c := range all {
		if c.diff.size <= d {
			high = c.diff.size
		}
	}
	all = slices.DeleteFunc(all, func(c candidate) bool { return c.diff.size > high || c.diff.size*bandRatio <= high })
	sum := 0.0
	for _, c := range all {
		sum += 1 / weight[c.words]
	}
	left := u * sum
	for _, c := range all {
		if left -= 1 / weight[c.words]; left < 0 {
			return c
		}
	}
	return all[len(all)-1]
}

// noChange refuses a passage of which nothing can be changed.
func noChange() error {
	return errors.New("no change of the catalogue fits that could be heard; take a step with more strokes")
}

// rightPlaces returns the beats in which a change may be said to begin: from
// where it is made to the first stroke that differs.
func (c candidate) rightPlaces(p passage.Passage) (from, to passage.Place) {
	first := c.diff.first()
	at := first.place
	if !slices.Equal(p.Bars, c.after.Bars) {
		at = placeAt(p, first.at)
	}
	to = beatOf(p, at)
	from = to
	note := func(s change.Spot) {
		s.Beat, s.Into = max(s.Beat, 1), meter.Rat{}
		if comparePlaces(s, from) < 0 {
			from = s
		}
	}
	for _, s := range c.change.Args.Places {
		note(s)
	}
	for _, r := range c.change.Args.At {
		note(r.From)
	}
	if b := c.change.Args.Bar; b > 0 {
		note(change.Spot{Bar: b})
	}
	if len(c.change.Args.Places)+len(c.change.Args.At)+c.change.Args.Bar == 0 {
		note(change.Spot{Bar: 1})
	}
	return from, to
}

// placeAt returns the start of the beat of p in which a moment falls.
func placeAt(p passage.Passage, ms float64) meter.Rat {
	t := timer(p)
	var at meter.Rat
	for _, b := range p.Beats() {
		if t(b.At) <= ms+sameMoment {
			at = b.At
		}
	}
	return at
}
