package grade

import (
	"fmt"
	"math"
	"slices"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// strokesOf returns what the lanes would play if a change were read, given its
// sketch: once, or where it is longer or shorter than what is written, coming
// in again with each pass, running on, and running on to the end of the take.
func (s *Search) strokesOf(c change.Change, sketch passage.Passage) [][]laneStrokes {
	if slices.Equal(sketch.Bars, s.p.Bars) {
		lanes := s.lanesPlaying(c.Names, sketch, s.g.expected.clock.start, s.g.expected.clock.end, s.clock)
		return [][]laneStrokes{s.repeated(lanes, s.ev.pass, s.ev.passes)}
	}
	return s.otherForm(sketch)
}

// otherForm is strokesOf for a passage with other bars: all its lines count.
func (s *Search) otherForm(q passage.Passage) [][]laneStrokes {
	clock, ok := s.g.expected.clock.instead(s.p, q)
	if !ok {
		return nil
	}
	every := func(passage.Voice) bool { return true }
	lanes := s.lanesPlaying(every, q, clock.start, clock.end, quickly(clock))
	long := clock.seconds(clock.end)
	again := make([]onceIn, len(lanes))
	for i, l := range lanes {
		again[i] = onceIn{l.lane, slices.DeleteFunc(slices.Clone(l.at), func(at float64) bool { return at >= s.ev.pass-1e-9 })}
	}
	all := [][]laneStrokes{s.repeated(again, s.ev.pass, s.ev.passes)}
	if d := long - s.ev.pass; d > 1e-6 || d < -1e-6 {
		all = append(all, s.repeated(lanes, long, s.ev.passes))
		if toEnd := int(s.ev.end/long) + 1; toEnd != s.ev.passes && long > leastPass {
			all = append(all, s.repeated(lanes, long, toEnd))
		}
	}
	return all
}

// leastPass is the shortest pass that is repeated. Our choice.
const leastPass = 0.25 // seconds

// instead returns the clock of a passage q that is played instead of the p of
// the clock c, at the same speed; false where the bars played cannot be found
// in it.
func (c clock) instead(p, q passage.Passage) (clock, bool) {
	first, last := c.first, c.last
	switch {
	case len(q.Bars) == len(p.Bars):
	case c.all:
		first, last = 1, len(q.Bars)
	case len(q.Bars) == 2*len(p.Bars):
		first, last = 2*c.first-1, 2*c.last
	case 2*len(q.Bars) == len(p.Bars) && c.first%2 == 1 && c.last%2 == 0:
		first, last = (c.first+1)/2, c.last/2
	default:
		return clock{}, false
	}
	tempo, err := q.TempoMap()
	if err != nil {
		return clock{}, false
	}
	starts := q.Starts()
	out := clock{tempo: tempo, first: first, last: last, start: starts[first-1], end: starts[last], slower: c.slower, all: c.all}
	out.from = tempo.Exact(out.start)
	return out, out.start.Less(out.end)
}

// Instead returns what is played in a take of the passage p by somebody who
// plays q in its place, at the same speed: coming in again with each pass of p,
// or running on in passes of q until those of p are over. It is for made-up
// players; arguments and errors are otherwise those of [Expect].
func Instead(p, q passage.Passage, t Take, oneKey, again bool) (Expected, error) {
	e, err := Expect(p, t, oneKey)
	if err != nil {
		return Expected{}, err
	}
	clock, ok := e.clock.instead(p, q)
	if !ok {
		return Expected{}, fmt.Errorf("%s are not in what is played instead; choose all bars", e.clock.bars())
	}
	part := t.Part
	if len(part) == 0 {
		part = slices.DeleteFunc(q.Voices(), func(v passage.Voice) bool { return v == passage.Click })
	}
	over := float64(e.Onsets[len(e.Onsets)-1].Pass) * e.PassSeconds
	length := e.PassSeconds
	e.Positions, e.clock = positions(q, part, clock, oneKey), clock
	e.PassSeconds, e.Onsets = clock.seconds(clock.end), nil
	if again {
		e.PassSeconds = length
	}
	for pass := 1; float64(pass-1)*e.PassSeconds < over-1e-9 && e.PassSeconds > leastPass; pass++ {
		start := float64(pass-1) * e.PassSeconds
		for i, pos := range e.Positions {
			if at := start + pos.Seconds; at < over-1e-9 && pos.Seconds < e.PassSeconds-1e-9 {
				e.Onsets = append(e.Onsets, Onset{i, pass, at})
			}
		}
	}
	return e, nil
}

// onceIn is what a lane plays in one pass, in seconds from its start.
type onceIn struct {
	lane int
	at   []float64
}

// lanesPlaying returns what the lanes play of a passage, of the voices that
// are named; on one key all voices are one lane, and those not named play what
// is written.
func (s *Search) lanesPlaying(names func(passage.Voice) bool, q passage.Passage, start, end meter.Rat, clock quickClock) []onceIn {
	var all []onceIn
	var key []float64
	for v := passage.China; v <= passage.Sub; v++ {
		mine := slices.Contains(s.part, v) || slices.Contains(s.others, v) || s.any
		switch {
		case !mine:
		case names(v):
			l, _ := q.Line(v)
			if at := secondsOf(l, start, end, clock); s.g.oneKey {
				key = append(key, at...)
			} else if len(at) > 0 || len(s.once[v]) > 0 {
				all = append(all, onceIn{int(v), at})
			}
		case s.g.oneKey:
			l, _ := s.p.Line(v)
			key = append(key, secondsOf(l, start, end, clock)...)
		}
	}
	if s.g.oneKey {
		slices.Sort(key)
		key = slices.CompactFunc(key, func(a, b float64) bool { return math.Abs(b-a) < 1e-9 })
		all = append(all, onceIn{int(passage.NoVoice), key})
	}
	return all
}

// secondsOf returns when the strokes of a line sound that begin in a stretch.
func secondsOf(l passage.Line, start, end meter.Rat, clock quickClock) []float64 {
	all := make([]float64, 0, len(l.Strokes))
	for _, st := range l.Strokes {
		if st.Sounds() && !st.At.Less(start) && st.At.Less(end) {
			all = append(all, clock.of(st.At))
		}
	}
	return all
}

// repeated returns lanes that play one pass over and over.
func (s *Search) repeated(lanes []onceIn, every float64, passes int) []laneStrokes {
	all := make([]laneStrokes, len(lanes))
	for i, l := range lanes {
		all[i] = laneStrokes{l.lane, repeat(l.at, every, passes, s.ev.end)}
	}
	return all
}
