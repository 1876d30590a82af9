package chart

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Spot is one written place over many takes: the mean error of its hits in
// ms, how many hits and how many misses. Where voices are played apart, each
// has its own.
type Spot struct {
	At     meter.Rat // quarter notes from the first downbeat of the passage
	Voices string    // "kick", "kick+guitar"; told where a place has several spots
	MS     float64   // no number where it was never hit
	Hits   int
	Missed int
}

// A Weak chart shows which places of a bar are weak: the written strokes, the
// counting words and how each place leans. The worst two are repeated in words.
type Weak struct {
	Heading
	Passage passage.Passage // at the tempo that is played, with the lines of the part
	Bar     int             // from 1; 0: the bar with the worst place
	Spots   []Spot
}

// Bounds of what is weak. Our choice.
const (
	worst     = 2   // how many places are told in words
	oftenMiss = 0.1 // share of misses from which a place is weak ...
	someMiss  = 2   // ... and least misses: one may be chance
	fewHits   = 8   // fewer do not tell a lean: at a spread of 14 ms their mean is sure to ±10
)

// A weakness is one place as it is judged.
type weakness struct {
	Spot
	weight float64 // how weak; 0: not weak
}

// weigh puts a place that is never hit beside one at the end of the scale.
func weigh(s Spot) weakness {
	w := weakness{Spot: s}
	if s.leans() && s.Hits >= fewHits {
		w.weight = math.Abs(s.MS)
	}
	if share := s.missedShare(); share >= oftenMiss && s.Missed >= someMiss {
		w.weight = max(w.weight, strip.ScaleMS*share)
	}
	return w
}

// leans reports whether the hits are not tight.
func (s Spot) leans() bool {
	return s.Hits > 0 && finite(s.MS) && strip.Judge(s.MS) != strip.Tight
}

// counts reports whether the place was played at all.
func (s Spot) counts() bool { return s.Hits >= 0 && s.Missed >= 0 && s.Hits+s.Missed > 0 }

func (s Spot) missedShare() float64 {
	return float64(s.Missed) / float64(max(s.Missed+s.Hits, 1))
}

// places are what the chart shows: one bar.
type places struct {
	passage  passage.Passage
	bar      int // 0: none
	from, to meter.Rat
	spots    []weakness // of the bar, in order of time
}

func (c Weak) shown() places {
	p := places{passage: c.Passage, bar: c.bar()}
	if p.bar == 0 {
		return p
	}
	starts := c.Passage.Starts()
	p.from, p.to = starts[p.bar-1], starts[p.bar]
	for _, s := range c.Spots {
		if !s.At.Less(p.from) && s.At.Less(p.to) && s.counts() {
			p.spots = append(p.spots, weigh(s))
		}
	}
	slices.SortStableFunc(p.spots, func(a, b weakness) int { return a.At.Cmp(b.At) })
	return p
}

// bar returns the bar that is shown.
func (c Weak) bar() int {
	if len(c.Passage.Bars) == 0 {
		return 0
	}
	if c.Bar > 0 {
		return min(c.Bar, len(c.Passage.Bars))
	}
	bar, _ := c.worst()
	return bar
}

// WeakestBar returns the bar with the worst place, from 1; 0 where none is weak.
func (c Weak) WeakestBar() int {
	if bar, weight := c.worst(); weight > 0 {
		return bar
	}
	return 0
}

// worst returns the bar with the worst place, else the first with hits, and how
// weak that place is.
func (c Weak) worst() (bar int, most float64) {
	bar, most = 1, -1.0
	for _, s := range c.Spots {
		if w := weigh(s).weight; w > most && s.counts() && s.At.Valid() && s.At.Sign() >= 0 && s.At.Less(c.Passage.Length()) {
			bar, most = c.Passage.Place(s.At).Bar, w
		}
	}
	return bar, most
}

// weakest returns the worst places, the worst first.
func (p places) weakest() []weakness {
	all := slices.DeleteFunc(slices.Clone(p.spots), func(w weakness) bool { return !(w.weight > 0) })
	slices.SortStableFunc(all, func(a, b weakness) int { return cmp.Compare(b.weight, a.weight) })
	return all[:min(len(all), worst)]
}

// Words says the worst places.
func (c Weak) Words() string {
	p := c.shown()
	if p.bar == 0 {
		return "Nothing measured in this time."
	}
	return c.summary(p) + "."
}

// strong says why no place is weak.
func (p places) strong() string {
	known := false
	for _, s := range p.spots {
		if s.leans() && s.Hits < fewHits {
			return "too few hits to tell a weak place"
		}
		known = known || s.Hits > 0 && finite(s.MS)
	}
	if !known {
		return "no place missed often; early and late are not known"
	}
	return "every place within ±" + strconv.Itoa(strip.TightMS) + " ms"
}

func (c Weak) summary(p places) string {
	if len(p.spots) == 0 {
		return "Nothing measured in this bar"
	}
	var words []string
	for _, w := range p.weakest() {
		words = append(words, p.who(w)+fault(w)+" "+p.where(w.At))
	}
	bar := ""
	if len(c.Passage.Bars) > 1 {
		bar = "Bar " + strconv.Itoa(p.bar) + ": "
	}
	if len(words) == 0 {
		return bar + p.strong()
	}
	all := words[0]
	if len(words) > 1 {
		all += ", " + words[1]
	}
	return bar + all
}

// Rows returns one row a place.
func (c Weak) Rows() [][]string {
	rows := [][]string{{"bar", "place", "voices", "leaning ms, early is negative", "hits", "missed", "judgement"}}
	p := c.shown()
	for _, s := range p.spots {
		row := []string{strconv.Itoa(p.bar), p.where(s.At), strings.ReplaceAll(s.Voices, "+", " "), "", strconv.Itoa(s.Hits), strconv.Itoa(s.Missed), ""}
		if s.Hits > 0 && finite(s.MS) {
			row[3], row[6] = exact(s.MS), strip.Judge(s.MS).String()
		}
		rows = append(rows, row)
	}
	return rows
}
