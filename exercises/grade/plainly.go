package grade

import (
	"math"
	"slices"

	"stampmill/exercises/change"
	"stampmill/exercises/passage"
)

// mostPlain is up to how many strokes left out or added a class is said by its
// strokes, whatever else would come to the same: "a stroke added on beat 3"
// before "half-time on beats 2 and 3". plainest is the weight of such a name.
// Our choice.
const (
	mostPlain = 2
	plainest  = math.MinInt32
)

// plainly returns changes that say a class by the few strokes that it leaves
// out or adds in every pass; none where it does anything else.
func (s *Search) plainly(k *class) []change.Change {
	var left, came []passage.Place
	var lanes []passage.Voice
	for i, l := range k.lanes {
		out, in, ok := s.differs(l)
		if !ok || i > 0 && (!slices.Equal(out, left) || !slices.Equal(in, came)) {
			return nil
		}
		left, came = out, in
		lanes = append(lanes, passage.Voice(l.lane))
	}
	name, places := "drop", left
	if len(left) == 0 {
		name, places = "add", came
	}
	if len(places) == 0 || len(places) > mostPlain || len(left) > 0 && len(came) > 0 {
		return nil
	}
	e, _ := change.Named(name)
	sets := [][]passage.Voice{lanes}
	if s.g.oneKey {
		sets = append([][]passage.Voice{s.voicesAt(0, places)}, s.sets...)
	}
	for _, voices := range sets {
		c := change.Change{Entry: e, Args: change.Args{Voices: voices, Places: places}}
		if s.comesTo(c, k) {
			return []change.Change{c}
		}
	}
	return nil
}

// differs returns the places of a pass that a lane leaves out and those that it
// adds; false where one of them has no name.
func (s *Search) differs(l laneStrokes) (left, came []passage.Place, ok bool) {
	var now []float64
	for _, at := range l.at {
		if at < s.ev.pass-1e-9 {
			now = append(now, at)
		}
	}
	has := func(all []float64, x float64) bool {
		return slices.ContainsFunc(all, func(y float64) bool { return math.Abs(x-y) < 1e-6 })
	}
	for _, pos := range s.g.expected.Positions {
		if s.g.laneOf(pos.Voices) == l.lane && !has(now, pos.Seconds) {
			left = append(left, pos.Place)
		}
	}
	for _, at := range now {
		if has(s.once[l.lane], at) {
			continue
		}
		place, found := s.onGrid(at)
		if !found {
			return nil, nil, false
		}
		came = append(came, place)
	}
	return left, came, true
}

// comesTo reports whether a change can be made and comes to the strokes of a
// class.
func (s *Search) comesTo(c change.Change, k *class) bool {
	sketch, ok := c.Sketch(s.p)
	if !ok {
		return false
	}
	if _, err := c.Apply(s.p); err != nil {
		return false
	}
	for _, lanes := range s.strokesOf(c, sketch) {
		differing := slices.DeleteFunc(slices.Clone(lanes), func(l laneStrokes) bool { return sameTimes(l.at, s.written[l.lane].at) })
		if slices.EqualFunc(differing, k.lanes, func(a, b laneStrokes) bool { return a.lane == b.lane && sameTimes(a.at, b.at) }) {
			return true
		}
	}
	return false
}
