package complexity

import (
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Syncope is one syncopation: a stroke of a stream, and the place after it,
// at least as strong, at which that stream is silent.
type Syncope struct {
	At      meter.Rat // of the stroke, in quarter notes
	Against meter.Rat // of the stronger place; wraps to the start of the passage
	Stream  Streams   // that struck
	Others  Streams   // that strike at the stronger place; 0 for silence
	Degree  int       // how much stronger that place is, plus the instrument weight
}

// A Reading says which place a stroke is held against.
type Reading uint8

const (
	// Levels is ours: the next place on the level of the stroke itself, so an
	// eighth off the beat is held against the beat, and a sixteenth against the
	// next eighth. Strokes on the beat are never syncopated.
	Levels Reading = iota
	// Sixteenths is that of the public readers of the paper whose values can be
	// checked: the next sixteenth, whatever the stroke. A stream that goes on is
	// not let off where both others strike with it. Cymbals do not syncopate.
	Sixteenths
)

// Syncopes returns the syncopations of a passage in order of time, then of
// streams from low to high. Each has the degree S = Ndi - N + I of Witek et al.
// 2014: the weight of the stronger place less that of the stroke, plus the
// instrument weight. (One reader notes that the paper prints Ndi and N the
// other way round; its examples have this sign.)
//
// Ours, in the reading [Levels]: what the next place of a stroke is; that a
// stream which strikes again there, or before, is steady and not syncopated,
// so streams that divide the beats evenly from the downbeat on give nothing;
// the streams of voices that the paper does not have; and the cymbals.
// A held note is a rest in this sense, as a tie is to Longuet-Higgins & Lee
// 1984; a choke strikes nothing.
func Syncopes(p passage.Passage, r Reading) []Syncope {
	g := gridOf(p)
	places, strikes := g.strikes(p)
	var all []Syncope
	for _, stream := range []Streams{Low, Mid, High} {
		all = append(all, g.syncopes(r, stream, places, strikes)...)
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].At.Less(all[j].At) })
	return all
}

// Syncopation returns the sum of the degrees of each bar's syncopations.
func Syncopation(p passage.Passage) []int {
	bars := make([]int, len(p.Bars))
	g := gridOf(p)
	for _, s := range Syncopes(p, Levels) {
		bars[g.beats[g.index(s.At)].bar] += s.Degree
	}
	return bars
}

// strikes returns the places at which anything strikes, in order, and the
// streams that do.
func (g grid) strikes(p passage.Passage) ([]meter.Rat, map[meter.Rat]Streams) {
	strikes := map[meter.Rat]Streams{}
	var places []meter.Rat
	for _, l := range p.Lines {
		stream := StreamOf(l.Voice)
		if stream == 0 {
			continue
		}
		for _, s := range l.Strokes {
			if s.Sounds() && g.holds(s.At) {
				strikes[s.At] |= stream
				places = append(places, s.At)
			}
		}
	}
	return inOrder(places), strikes
}

// syncopes returns the syncopations of one stream.
func (g grid) syncopes(r Reading, stream Streams, places []meter.Rat, strikes map[meter.Rat]Streams) []Syncope {
	var own []meter.Rat
	for _, at := range places {
		if strikes[at]&stream != 0 {
			own = append(own, at)
		}
	}
	if r == Sixteenths && stream == High {
		return nil
	}
	var all []Syncope
	for i, at := range own {
		next, ok := g.next(r, at)
		if !ok || i+1 < len(own) && own[i+1].Less(next) {
			continue
		}
		if at := g.wrap(next); !r.steady(stream, strikes[at]) {
			all = append(all, g.syncope(stream, own[i], at, strikes[at]))
		}
	}
	return all
}

func (g grid) syncope(stream Streams, at, strong meter.Rat, strikes Streams) Syncope {
	others := strikes &^ stream
	return Syncope{at, strong, stream, others, g.weight(strong) - g.weight(at) + against(stream, others)}
}

// sixteenth is the step of the reading [Sixteenths], in quarter notes.
var sixteenth = meter.R(1, 4)

// next returns the place that a stroke is held against; false where it is
// weaker than the stroke, so that there is none. It may be the end of the
// passage.
func (g grid) next(r Reading, at meter.Rat) (meter.Rat, bool) {
	b := g.beats[g.index(at)]
	if r == Sixteenths {
		next := at.Add(sixteenth)
		return next, g.weight(at) <= g.weight(g.wrap(next))
	}
	// The next of the cells on which the stroke stands is never weaker: its
	// share of the beat has the same denominator, or a divisor of it.
	return at.Add(b.length.Div(meter.Int(b.cell(at).Den()))), at != b.at
}

// steady reports whether a stream that struck before goes on at the stronger
// place, so that there is no syncopation.
func (r Reading) steady(stream, strikes Streams) bool {
	return strikes&stream != 0 && (r == Levels || strikes != Low|Mid|High)
}
