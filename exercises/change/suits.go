package change

import (
	"slices"

	"stampmill/exercises/passage"
)

// groupsFor says which groups of the catalogue one thinks of first for a
// voice. Our choice, from what each voice does in the style: cymbals leave the
// grid, kick and guitar are one machine, the snare moves, toms fill.
var groupsFor = map[string][]string{
	"cymbal": {"Cymbals", "Weight", "Triplets and other tuplets", "Snare", "Groupings", "Kick and guitar", "Arrangement", "Space and form"},
	"snare":  {"Snare", "Weight", "Triplets and other tuplets", "Kick and guitar", "Groupings", "Arrangement", "Cymbals", "Space and form"},
	"riff":   {"Kick and guitar", "Triplets and other tuplets", "Weight", "Snare", "Groupings", "Arrangement", "Space and form", "Cymbals"},
	"tom":    {"Arrangement", "Triplets and other tuplets", "Snare", "Weight", "Kick and guitar", "Groupings", "Space and form", "Cymbals"},
	"all":    {"Space and form", "Arrangement", "Triplets and other tuplets", "Kick and guitar", "Groupings", "Snare", "Weight", "Cymbals"},
}

// role returns what a voice is for in the style.
func role(v passage.Voice) string {
	switch {
	case v.Family() == passage.Cymbals:
		return "cymbal"
	case v == passage.Snare:
		return "snare"
	case slices.Contains(toms, v):
		return "tom"
	}
	return "riff"
}

// wholeBand is how many voices are taken for all there are. Our choice.
const wholeBand = 4

// roleOf returns what voices are for together: a few different ones are a
// riff.
func roleOf(voices []passage.Voice) string {
	if n := len(voices); n == 0 || n >= wholeBand {
		return "all"
	}
	for _, v := range voices {
		if role(v) != role(voices[0]) {
			return "riff"
		}
	}
	return role(voices[0])
}

// suits returns how far from what one thinks of first for some voices an entry
// is: 0 is nearest.
func (e *Entry) suits(voices []passage.Voice) int {
	return slices.Index(groupsFor[roleOf(voices)], e.Group)
}
