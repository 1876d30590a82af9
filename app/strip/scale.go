package strip

import (
	"math"
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A scale turns quarter notes and seconds into x. It is linear in seconds, and
// exact only to float64: it is for drawing.
type scale struct {
	segs       []segment
	left, unit float64 // x of the first shown downbeat; user units a second
	from       float64 // seconds of the first shown downbeat
}

// A segment is a stretch of one tempo.
type segment struct {
	at, seconds float64 // where it begins, in quarter notes and seconds
	per         float64 // seconds a quarter note
}

// newScale lays the quarter notes from..to out over left..right, where these
// hold at least so many seconds.
func newScale(p passage.Passage, from, to meter.Rat, left, right, least float64) scale {
	s := scale{left: left}
	at, seconds, per := 0.0, 0.0, 0.0
	for i, b := range p.Bars {
		if i == 0 || b != p.Bars[i-1] {
			per = perQuarter(b)
		}
		if n := len(s.segs); n == 0 || s.segs[n-1].per != per {
			s.segs = append(s.segs, segment{at, seconds, per})
		}
		length := b.Metre.Length().Float()
		at += length
		seconds += length * per
	}
	s.from = s.seconds(from.Float())
	if span := max(s.seconds(to.Float())-s.from, least); span > 0 {
		s.unit = (right - left) / span
	}
	return s
}

// perQuarter returns the seconds a quarter note of a bar.
func perQuarter(b passage.Bar) float64 {
	per := 60 / b.Tempo.Quarters(b.Metre).Float()
	if !(per > 0) || math.IsInf(per, 0) {
		return 0.5 // no valid tempo: draw it at 120
	}
	return per
}

// seconds returns the seconds from the first downbeat at a place in quarter
// notes. Places outside the passage go by its first or last tempo.
func (s scale) seconds(quarters float64) float64 {
	if len(s.segs) == 0 {
		return 0
	}
	i := max(sort.Search(len(s.segs), func(i int) bool { return quarters < s.segs[i].at })-1, 0)
	g := s.segs[i]
	return g.seconds + (quarters-g.at)*g.per
}

// quarters is seconds the other way round.
func (s scale) quarters(seconds float64) float64 {
	if len(s.segs) == 0 {
		return 0
	}
	i := max(sort.Search(len(s.segs), func(i int) bool { return seconds < s.segs[i].seconds })-1, 0)
	g := s.segs[i]
	return g.at + (seconds-g.seconds)/g.per
}

func (s scale) x(quarters float64) float64 { return s.at(s.seconds(quarters)) }

func (s scale) at(seconds float64) float64 { return s.left + (seconds-s.from)*s.unit }
