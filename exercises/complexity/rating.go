package complexity

import (
	"stampmill/exercises/limbs"
	"stampmill/exercises/passage"
)

// A Rating is everything this package says of one step.
type Rating struct {
	Bars        []int   // syncopation of each bar
	Syncopation int     // of the hardest bar
	Hardest     int     // that bar, from 1; 0 where there is no bar
	Parts       []Rated // limbs of the drummer, then string players
	PeakRate    float64 // strokes a second of the fastest part
	Fastest     string  // that part; "" where nothing is struck
	New         int     // strokes that differ from the step before; all of the first step
	Playable    bool    // by two hands, two feet and picking hands
}

// A Rated part is what one limb or string player has to do.
type Rated struct {
	Name string
	WNBD Distance
	Peak Peak
}

// Rate rates a passage for two kick pedals. The step before it may be nil.
func Rate(before *passage.Passage, p passage.Passage) Rating {
	return RateFor(limbs.Two, before, p)
}

// RateFor rates a passage for a player's pedals. The step before it may be nil.
func RateFor(pedals limbs.Pedals, before *passage.Passage, p passage.Passage) Rating {
	r := Rating{Bars: Syncopation(p), Playable: len(limbs.Problems(p, pedals)) == 0}
	for i, degree := range r.Bars {
		if degree > r.Syncopation || i == 0 {
			r.Syncopation, r.Hardest = degree, i+1
		}
	}
	g := gridOf(p)
	for _, part := range Parts(p, pedals) {
		rated := Rated{part.Name, g.wnbd(part.Onsets), Fastest(p, part.Moves)}
		r.Parts = append(r.Parts, rated)
		if rated.Peak.PerSecond > r.PeakRate {
			r.PeakRate, r.Fastest = rated.Peak.PerSecond, part.Name
		}
	}
	if before == nil {
		before = &passage.Passage{}
	}
	r.New = New(*before, p)
	return r
}

// Load is the one number by which a climb rises: the syncopation of the
// hardest bar, in degrees, plus the strokes a second of the fastest limb.
//
// Both are peaks, not means: a passage is as hard as its hardest bar and its
// fastest run. So a stop, a ring or a choke in one bar, which take strokes
// away but ask for no less of the player, do not read as relief while another
// bar keeps up what was; a mean would fall with every stroke left out. What
// makes all bars easier does lower it. Our choice; the sum weighs a degree of
// syncopation like one stroke a second, as hard-won as the other at the tempi
// of the style.
func (r Rating) Load() float64 { return float64(r.Syncopation) + r.PeakRate }

// WNBD returns the largest weighted note-to-beat distance of a part, a bar:
// that of the limb or player who is farthest from the beats.
func (r Rating) WNBD() float64 {
	most := 0.0
	for _, part := range r.Parts {
		most = max(most, part.WNBD.Float())
	}
	return most / max(float64(len(r.Bars)), 1)
}
