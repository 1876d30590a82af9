package limbs

import (
	"math"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A timeline gives places their time in nanoseconds, rounded once. It is the
// passage's tempo map in floating point, which stays within a thousandth of a
// nanosecond of the exact one, so that equal places have equal times.
type timeline []stretch

// A stretch of one tempo.
type stretch struct{ from, start, perQuarter float64 } // quarter notes, ns, ns

// newTimeline returns the timeline of a passage; false if it has none.
func newTimeline(p passage.Passage) (timeline, bool) {
	tempo, err := p.TempoMap()
	if err != nil {
		return nil, false
	}
	var t timeline
	for _, s := range tempo.Segments() {
		t = append(t, stretch{s.At.Float(), 1e9 * tempo.Seconds(s.At), 60e9 / s.Quarters.Float()})
	}
	return t, true
}

// clock reads a timeline in order of time, so that reading all of a line is
// linear.
type clock struct {
	timeline
	i int
}

func (c *clock) time(at meter.Rat) int64 {
	q := float64(at.Num()) / float64(at.Den())
	for c.i > 0 && q < c.timeline[c.i].from {
		c.i--
	}
	for c.i+1 < len(c.timeline) && q >= c.timeline[c.i+1].from {
		c.i++
	}
	s := c.timeline[c.i]
	return int64(math.Round(s.start + (q-s.from)*s.perQuarter))
}
