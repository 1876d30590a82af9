package progress

import (
	"math"
	"time"

	"stampmill/app/chart"
	"stampmill/app/logbook"
)

// Leaning is how the player leaned in one week, over all climbs. Each take
// weighs as many as its hits.
type Leaning struct {
	Week      Day // its Monday
	Takes     int
	MS        float64 // mean
	Low, High float64 // 95 % confidence interval of the mean; both MS where OK is false
	OK        bool    // there are takes enough for the interval
	SpreadMS  float64 // as within a take; 0 where it is not known
}

// leanWork gathers the first and the last week of the span that were played.
type leanWork struct{ first, last sums }

// sums are the sums of one week.
type sums struct {
	week                      Day
	takes                     int
	weight, lean, lean2       float64 // of the weights, of lean and lean²
	weight2, spread2, spreadW float64 // of weight², of spread², of its weights
}

// leans adds a take; one whose delay was not known says nothing of early or late.
func (w *work) leans(e *logbook.Entry, at time.Time, d Day) {
	switch {
	case !e.Known:
		w.r.Unknown++
		return
	case !e.Leaning.OK || !usable(e.Leaning.Value) || e.Matched < 1:
		return
	}
	take := chart.Lean{At: at, MS: e.Leaning.Value, SpreadMS: math.NaN(), N: e.Matched}
	if e.Spread.OK && usable(e.Spread.Value) {
		take.SpreadMS = e.Spread.Value
	}
	w.r.Leaning.Takes = append(w.r.Leaning.Takes, take)
	l := &w.lean
	week := d.Monday()
	if l.last.week != week {
		l.last = sums{week: week}
	}
	l.last.add(take)
	if l.first.takes == 0 || l.first.week == week {
		l.first = l.last
	}
}

func (s *sums) add(t chart.Lean) {
	n := float64(t.N)
	s.takes++
	s.weight, s.weight2 = s.weight+n, s.weight2+n*n
	s.lean, s.lean2 = s.lean+n*t.MS, s.lean2+n*t.MS*t.MS
	if usable(t.SpreadMS) {
		s.spread2, s.spreadW = s.spread2+n*t.SpreadMS*t.SpreadMS, s.spreadW+n
	}
}

// leaning takes the takes as the sample: hits of one take hang together, so that
// counting them would make the interval too narrow. The weighted mean has the
// variance s²·Σw²/(Σw)², where s² is the weighted mean square about it over
// 1-Σw²/(Σw)² (textbook, from memory).
func (s sums) leaning() Leaning {
	if s.takes == 0 {
		return Leaning{}
	}
	mean := s.lean / s.weight
	l := Leaning{Week: s.week, Takes: s.takes, MS: mean, Low: mean, High: mean}
	if s.spreadW > 0 {
		l.SpreadMS = math.Sqrt(s.spread2 / s.spreadW)
	}
	share := s.weight2 / (s.weight * s.weight)
	if s.takes < minTakes || share >= 1 {
		return l
	}
	variance := max(s.lean2/s.weight-mean*mean, 0) / (1 - share)
	half := student975(s.takes-1) * math.Sqrt(variance*share)
	l.Low, l.High, l.OK = mean-half, mean+half, true
	return l
}

// student975 is the 97.5 % point of Student's t with n degrees of freedom, from
// its usual table; beyond it the asymptotic form z + (z³+z)/4n, z = 1.95996
// (Abramowitz and Stegun 1964, 26.7.5).
func student975(n int) float64 {
	table := [...]float64{12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228}
	if n <= len(table) {
		return table[max(n, 1)-1]
	}
	const z = 1.95996
	return z + (z*z*z+z)/(4*float64(n))
}
