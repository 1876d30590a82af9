package progress

import (
	"math"

	"stampmill/app/logbook"
)

// Leaning is how the player leaned in the weeks of one mark, over all climbs.
// Each take weighs as many as its hits.
type Leaning struct {
	From      Day
	Takes     int
	MS        float64 // mean, early negative
	Low, High float64 // 95 % confidence interval of the mean; both MS where OK is false
	OK        bool    // there are takes enough for the interval
	Spread    float64 // ms, as within a take; 0 where it is not known
}

// sums are the sums of one mark.
type sums struct {
	takes                     int
	weight, lean, lean2       float64 // of the weights, of lean and lean²
	weight2, spread2, spreadW float64 // of weight², of spread², of its weights
}

// lean adds a take; one whose delay was not known says nothing of early or late.
func (w *work) lean(e *logbook.Entry, d Day) {
	switch {
	case !e.Known:
		w.r.Unknown++
		return
	case !e.Leaning.OK || !usable(e.Leaning.Value) || e.Matched < 1:
		return
	}
	s, n, ms := &w.leaning[w.r.mark(d)], float64(e.Matched), e.Leaning.Value
	s.takes++
	s.weight, s.weight2 = s.weight+n, s.weight2+n*n
	s.lean, s.lean2 = s.lean+n*ms, s.lean2+n*ms*ms
	if e.Spread.OK && usable(e.Spread.Value) {
		s.spread2, s.spreadW = s.spread2+n*e.Spread.Value*e.Spread.Value, s.spreadW+n
	}
}

func (w *work) leanings() []Leaning {
	var all []Leaning
	for i, s := range w.leaning {
		if s.takes > 0 {
			all = append(all, s.leaning(w.r.begins(i)))
		}
	}
	return all
}

// leaning takes the takes as the sample: hits of one take hang together, so that
// counting them would make the interval too narrow. The weighted mean has the
// variance s²·Σw²/(Σw)², with s² from the weighted squares (Cochran 1977,
// Sampling Techniques, section 5.10, for the variance of a weighted mean).
func (s sums) leaning(from Day) Leaning {
	mean := s.lean / s.weight
	l := Leaning{From: from, Takes: s.takes, MS: mean, Low: mean, High: mean}
	if s.spreadW > 0 {
		l.Spread = math.Sqrt(s.spread2 / s.spreadW)
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
