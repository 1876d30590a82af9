package progress

import (
	"math"
	"sort"

	"stampmill/app/logbook"
	"stampmill/exercises/meter"
)

// Weak is how each place of one step and part came out over the takes of the
// span.
type Weak struct {
	Chosen
	Step   int // as in the newest take
	Takes  int
	Known  bool    // the delay was known: means tell early from late
	Places []Place // in order of time
}

// A Place is one written stroke, or what stands together at one place.
type Place struct {
	At     meter.Rat // quarter notes from the first downbeat of the step
	Voices string
	MS     float64 // mean error, early negative; of the timed hits
	Timed  int     // hits of takes whose delay was known
	Hits   int     // all
	Missed int
}

type weakWork struct {
	chosen Chosen
	weak   Weak
	index  map[spot]int
	summed []float64 // ms times hits, of each place
}

type spot struct {
	at     meter.Rat
	voices string
}

func (k *weakWork) take(e *logbook.Entry) {
	if chosen(e) != k.chosen || len(e.Places) == 0 {
		return
	}
	if k.index == nil {
		k.index = map[spot]int{}
	}
	k.weak.Takes++
	k.weak.Step = e.Step
	k.weak.Known = k.weak.Known || e.Known
	for i := range e.Places {
		k.place(&e.Places[i], i, e.Known)
	}
}

// place adds one place; takes of one step name theirs in one order, so that the
// i-th is most often where the i-th was.
func (k *weakWork) place(p *logbook.Place, i int, known bool) {
	if p.Hits < 0 || p.Missed < 0 || !p.At.Valid() || p.At.Sign() < 0 {
		return
	}
	at := i
	if at >= len(k.weak.Places) || k.weak.Places[at].At != p.At || k.weak.Places[at].Voices != p.Voices {
		at = k.find(p)
	}
	to := &k.weak.Places[at]
	to.Hits, to.Missed = to.Hits+p.Hits, to.Missed+p.Missed
	if p.Hits > 0 && usable(p.MeanMS) && known {
		to.Timed += p.Hits
		k.summed[at] += p.MeanMS * float64(p.Hits)
	}
}

func (k *weakWork) find(p *logbook.Place) int {
	s := spot{p.At, p.Voices}
	at, ok := k.index[s]
	if !ok {
		at = len(k.weak.Places)
		k.index[s] = at
		k.weak.Places = append(k.weak.Places, Place{At: p.At, Voices: p.Voices})
		k.summed = append(k.summed, 0)
	}
	return at
}

func (k *weakWork) result() Weak {
	w := k.weak
	w.Chosen = k.chosen
	for i := range w.Places {
		if n := w.Places[i].Timed; n > 0 {
			w.Places[i].MS = k.summed[i] / float64(n)
		}
	}
	sort.SliceStable(w.Places, func(i, j int) bool { return w.Places[i].At.Less(w.Places[j].At) })
	return w
}

// Limits of what is called weak; our choice. A lean inside the tight band of the
// pictures is none, and one place in ten missed may be chance.
const (
	weakMS     = 10
	weakMissed = 0.1
	weakHits   = 4 // fewer say nothing of a place
)

// Worst returns the places that came out worst, at most two, the worst first:
// those missed in more than a tenth, then those that lean outside the tight
// band.
func (w Weak) Worst() []Place {
	var worst []Place
	for _, p := range w.Places {
		if p.weakness() > 0 {
			worst = append(worst, p)
		}
	}
	sort.SliceStable(worst, func(i, j int) bool { return worst[i].weakness() > worst[j].weakness() })
	return worst[:min(len(worst), 2)]
}

// weakness orders places: a place always missed weighs as one 100 ms off, the
// widest window in which a hit is still one. 0 is not weak.
func (p Place) weakness() float64 {
	bad := 0.0
	if n := p.Hits + p.Missed; n >= weakHits {
		if share := float64(p.Missed) / float64(n); share > weakMissed {
			bad = 100 * share
		}
	}
	if p.Timed >= weakHits && math.Abs(p.MS) > weakMS {
		bad += math.Abs(p.MS)
	}
	return bad
}
