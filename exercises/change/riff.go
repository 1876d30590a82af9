package change

import (
	"fmt"

	"stampmill/exercises/passage"
)

// riff are the changes that make kick and guitar one machine.
func riff() []Entry {
	return []Entry{
		{
			Form:     "add {voices} at {places}",
			About:    "A plain hit at each place, where none stands; a voice that the passage lacks gets a line.",
			Example:  "add kick guitar at 1.2+1/8",
			effect:   add,
			sentence: added,
			inverse:  by("drop"),
		},
	}
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
			put(l, stretch{at, p.Length()}, append([]passage.Stroke{{At: at, Kind: passage.Hit}}, strokesIn(*l, stretch{at, p.Length()})...))
		}
	}
	return nil
}

func added(_ passage.Passage, a Args) string {
	return fmt.Sprintf("%s %s a stroke %s.", subject(a.Voices), agree(a.Voices, "adds", "add"), placesWords(a.Places))
}
