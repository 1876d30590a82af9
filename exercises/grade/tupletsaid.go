package grade

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/exercises/passage"
)

// mostPlaces is how many places of tuplets that came out alike are named; our
// choice.
const mostPlaces = 3

// An outcome is how some tuplets came out, in words.
type outcome struct {
	name, ratio string // "triplet", "3:3:2"
	voice       passage.Voice
}

// together joins findings about tuplets that came out alike, such as those of
// two voices that play the same, to one each. Each rests on its tuplets being
// taken off the samples.
func (r *report) together(found []finding) []finding {
	var all []finding
	places := map[outcome][]string{}
	for _, f := range found {
		o := r.outcome(*f.tuplet, found)
		place := f.tuplet.Place.String()
		was, told := places[o]
		if !told {
			f.base = true
			all = append(all, f)
		}
		if !slices.Contains(was, place) {
			places[o] = append(was, place)
		}
		k := slices.IndexFunc(all, func(g finding) bool { return r.outcome(*g.tuplet, found) == o })
		all[k].weight = max(all[k].weight, f.weight)
		if all[k].bar != f.bar {
			all[k].bar = 0
		}
	}
	for i, f := range all {
		o := r.outcome(*f.tuplet, found)
		all[i].text = o.said(places[o])
		all[i].anyDelay = all[i].text
	}
	return all
}

// outcome names the voice where another with the same tuplet came out otherwise.
func (r *report) outcome(t TupletFigures, found []finding) outcome {
	o := t.outcome()
	for _, u := range r.Tuplets {
		alike := slices.ContainsFunc(found, func(f finding) bool {
			return f.tuplet.At == u.At && f.tuplet.End == u.End && f.tuplet.Voice == u.Voice && u.outcome() == t.outcome()
		})
		if u.At == t.At && u.Voice != t.Voice && !alike {
			o.voice = t.Voice
		}
	}
	return o
}

// outcome reads what cameOut says.
func (t TupletFigures) outcome() outcome {
	name, rest, _ := strings.Cut(strings.TrimPrefix(t.cameOut(), "The "), " at ")
	_, ratio, _ := strings.Cut(strings.TrimSuffix(rest, "."), " came out ")
	return outcome{name: name, ratio: ratio}
}

// said says how tuplets at some places came out.
func (o outcome) said(places []string) string {
	end := "came out " + o.ratio
	if o.voice.Valid() {
		end += " on the " + spokenVoice(o.voice)
	}
	switch n := len(places); {
	case n == 1:
		return fmt.Sprintf("The %s at %s %s.", o.name, places[0], end)
	case n <= mostPlaces:
		return fmt.Sprintf("The %ss at %s and %s %s.", o.name, strings.Join(places[:n-1], ", "), places[n-1], end)
	}
	return fmt.Sprintf("%d %ss %s, the first at %s.", len(places), o.name, end, places[0])
}
