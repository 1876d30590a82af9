package progress

import (
	"math"

	"stampmill/app/chart"
	"stampmill/app/logbook"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Weak is how each place of one step and part came out over the takes of the
// span.
type Weak struct {
	Chosen
	Step    int          // as it is now, else as in the newest take
	Now     passage.Step // without bars where the climb has no such step any more
	Takes   int
	Unknown int          // of them, those whose delay was not known
	Spots   []chart.Spot // a written place and voice each; MS is no number where only such takes hit it
}

type weakWork struct {
	chosen Chosen
	weak   Weak
	index  map[spot]int
	spots  []spot
	timed  []timed
}

// A spot is a written stroke, or on a single key those at one place.
type spot struct {
	at     meter.Rat
	voices string
}

// timed are the errors of hits whose delay was known.
type timed struct {
	ms   float64 // sum
	hits int
}

func (k *weakWork) take(e *logbook.Entry, c Chosen) {
	if c != k.chosen || len(e.Places) == 0 {
		return
	}
	if k.index == nil {
		k.index = map[spot]int{}
	}
	k.weak.Takes++
	k.weak.Step = e.Step
	if !e.Known {
		k.weak.Unknown++
	}
	for i := range e.Places {
		k.place(&e.Places[i], i, e.Known)
	}
}

// place adds one place. Takes of one step name theirs in one order, so that the
// i-th is most often where the i-th was.
func (k *weakWork) place(p *logbook.Place, i int, known bool) {
	if p.Hits < 0 || p.Missed < 0 || !p.At.Valid() || p.At.Sign() < 0 {
		return
	}
	s := spot{p.At, p.Voices}
	if i >= len(k.spots) || k.spots[i] != s {
		i = k.find(s)
	}
	to := &k.weak.Spots[i]
	to.Hits, to.Missed = to.Hits+p.Hits, to.Missed+p.Missed
	if p.Hits > 0 && usable(p.MeanMS) && known {
		t := &k.timed[i]
		t.hits += p.Hits
		t.ms += p.MeanMS * float64(p.Hits)
	}
}

func (k *weakWork) find(s spot) int {
	i, ok := k.index[s]
	if !ok {
		i = len(k.spots)
		k.index[s] = i
		k.spots = append(k.spots, s)
		k.weak.Spots = append(k.weak.Spots, chart.Spot{At: s.at, Voices: s.voices})
		k.timed = append(k.timed, timed{})
	}
	return i
}

func (k *weakWork) result(of *work) Weak {
	w := k.weak
	w.Chosen = k.chosen
	if n, st, ok := of.tempi.climbs[w.Exercise].step(w.Title); ok {
		w.Step, w.Now = n, st
	}
	for i := range w.Spots {
		if t := k.timed[i]; t.hits > 0 {
			w.Spots[i].MS = t.ms / float64(t.hits)
		} else {
			w.Spots[i].MS = math.NaN()
		}
	}
	return w
}
