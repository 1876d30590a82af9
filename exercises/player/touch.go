package player

import (
	"math"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Level is how strongly a kind of stroke is struck, 0 to 1: the mean, and the
// standard deviation about it. What would leave 0 to 1 is cut there.
type Level struct{ Mean, Spread float64 }

// A Touch gives every tap its strength. Strokes that are neither accent nor
// ghost are hits.
type Touch struct{ Accent, Hit, Ghost Level }

// A Release gives every tap its release. Strokes of string voices and cymbals
// that are choked end where it is written, others soon after they began.
type Release struct {
	LateMS, SpreadMS float64 // error of the end; early negative
	ChokeLateMS      float64 // more than that where a cymbal is choked
}

// A Grace says how the grace strokes of flams and drags come. Its zero value
// plays them as the sound has them.
type Grace struct {
	FlamMS   float64 // before the main stroke; 0: writtenFlamMS
	DragMS   float64 // from each stroke of a drag to the next; 0: writtenDragMS
	SpreadMS float64 // of each distance
	Missing  float64 // chance of a main stroke without them, 0 to 1
}

// How long before its main stroke a grace stroke comes when nothing else is
// said. Our choice, as the sound of this program has them.
const (
	writtenFlamMS = 26
	writtenDragMS = 38
)

// pressMS is how long a stroke lasts that has no end to be played: a finger
// on a key, a stick on a pad. Our choice.
const pressMS = 60

// place is where a voice strikes.
type place struct {
	voice passage.Voice
	at    meter.Rat
}

// strokesAt returns the strokes of a passage by their places.
func strokesAt(p passage.Passage) map[place]passage.Stroke {
	all := map[place]passage.Stroke{}
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if s.Sounds() {
				all[place{l.Voice, s.At}] = s
			}
		}
	}
	return all
}

// played calls f for each note that is played, with its tap; taps too many are
// left out. It relies on the taps of notes standing last, in order.
func (pl *player) played(f func(n note, tap *grade.Tap)) {
	k := len(pl.all)
	for i := len(pl.notes) - 1; i >= 0; i-- {
		if !pl.notes[i].missed {
			k--
			f(pl.notes[i], &pl.all[k])
		}
	}
}

// touch gives the taps their strength; taps too many are hits.
func (pl *player) touch() {
	if pl.o.Touch == nil {
		return
	}
	for i := range pl.all {
		pl.all[i].Strength = pl.strength(pl.o.Touch.Hit)
	}
	pl.played(func(n note, tap *grade.Tap) {
		switch n.stroke.Kind {
		case passage.Accent:
			tap.Strength = pl.strength(pl.o.Touch.Accent)
		case passage.Ghost:
			tap.Strength = pl.strength(pl.o.Touch.Ghost)
		}
	})
}

func (pl *player) strength(l Level) grade.Optional {
	return grade.Some(min(max(l.Mean+l.Spread*pl.rng.NormFloat64(), 0), 1))
}

// release gives the taps their releases.
func (pl *player) release() {
	if pl.o.Release == nil {
		return
	}
	for i := range pl.all {
		pl.all[i].Release = grade.Some(pl.all[i].Seconds + pressMS/1000.)
	}
	seconds := secondsOf(pl.p, pl.e.Tempo)
	chokes := chokesOf(pl.p)
	pl.played(func(n note, tap *grade.Tap) {
		v := pl.voice(n)
		late := pl.o.Release.LateMS + pl.o.Release.SpreadMS*pl.rng.NormFloat64()
		end, choked := chokes[place{v, n.stroke.At}]
		switch {
		case choked:
			late += pl.o.Release.ChokeLateMS
		case v.Sustained():
			end = n.stroke.End()
		default:
			return
		}
		held := (seconds(end) - seconds(n.stroke.At)) * pl.pace()
		began := n.onset.Seconds*pl.pace() + pl.o.LatencyMS/1000
		tap.Release = grade.Some(max(began+held+late/1000, tap.Seconds))
	})
}

// chokesOf returns where the strokes of cymbals are choked that are.
func chokesOf(p passage.Passage) map[place]meter.Rat {
	all := map[place]meter.Rat{}
	for _, l := range p.Lines {
		for i, s := range l.Strokes {
			if i > 0 && s.Kind == passage.Choke && l.Strokes[i-1].Sounds() {
				all[place{l.Voice, l.Strokes[i-1].At}] = s.At
			}
		}
	}
	return all
}

// graces puts in the grace strokes of flams and drags. Where the stroke before
// of the same voice is near, they keep to the second half of the gap.
func (pl *player) graces() {
	var before []grade.Tap
	gaps := pl.gaps()
	pl.played(func(n note, main *grade.Tap) {
		if strokes := pl.gracesOf(n.stroke.Kind); len(strokes) > 0 && pl.rng.Float64() >= pl.o.Grace.Missing {
			within := min(1, 1000*gaps[n.onset]/2/strokes[len(strokes)-1])
			for _, ms := range strokes {
				tap := *main
				tap.Seconds -= ms * within / 1000
				if tap.Release.OK {
					tap.Release = grade.Some(tap.Seconds)
				}
				before = append(before, tap)
			}
		}
	})
	pl.all = append(pl.all, before...)
}

// gaps returns how many seconds before each stroke the one before of the same
// voice is written.
func (pl *player) gaps() map[grade.Onset]float64 {
	all := map[grade.Onset]float64{}
	last := map[passage.Voice]float64{}
	for _, n := range pl.notes {
		v := pl.voice(n)
		before, ok := last[v]
		all[n.onset] = math.Inf(1)
		if ok {
			all[n.onset] = n.onset.Seconds - before
		}
		last[v] = n.onset.Seconds
	}
	return all
}

// gracesOf returns how long before a stroke its grace strokes come, in ms.
func (pl *player) gracesOf(k passage.Kind) []float64 {
	apart := func(given, written float64) float64 {
		if given == 0 {
			given = written
		}
		return max(given+pl.o.Grace.SpreadMS*pl.rng.NormFloat64(), 1)
	}
	switch k {
	case passage.Flam:
		return []float64{apart(pl.o.Grace.FlamMS, writtenFlamMS)}
	case passage.Drag:
		second := apart(pl.o.Grace.DragMS, writtenDragMS)
		return []float64{second, second + apart(pl.o.Grace.DragMS, writtenDragMS)}
	}
	return nil
}
