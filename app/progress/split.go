package progress

import (
	"sort"
	"strconv"
	"strings"
	"time"

	"stampmill/app/chart"
	"stampmill/app/logbook"
)

// Split is how one kind of tuplet came out, over all climbs.
type Split struct {
	chart.Split
	Tuplet string    // as the book writes it; "" where none was played
	Lately []float64 // mean shares of the newest week that was played, adding up to 1
	N      int       // tuplets of that week
}

// maxShares bounds the strokes of a tuplet that are compared; our choice.
const maxShares = 16

// splitWork gathers the tuplets by kind.
type splitWork struct {
	span chart.Span
	by   map[string]*tuplets
	seen int
}

type tuplets struct {
	Split
	last int // the take that played it last
	week Day // of Lately
	sums []float64
}

func (s *splitWork) take(e *logbook.Entry, at time.Time, week Day) {
	s.seen++
	for i := range e.Splits {
		if goodShares(e.Splits[i]) {
			s.add(&e.Splits[i], at, week)
		}
	}
}

// goodShares reports whether a split is one, of a tuplet all of whose strokes
// are written alike: its ratio begins with their number.
func goodShares(split logbook.Split) bool {
	n := len(split.Shares)
	if split.N < 1 || n < 2 || n > maxShares || !strings.HasPrefix(split.Written, strconv.Itoa(n)+":") {
		return false
	}
	total := 0.0
	for _, x := range split.Shares {
		if !(x > 0 && x < 1) {
			return false
		}
		total += x
	}
	return total > 0.99 && total < 1.01
}

func (s *splitWork) add(split *logbook.Split, at time.Time, week Day) {
	if s.by == nil {
		s.by = map[string]*tuplets{}
	}
	t := s.by[split.Written]
	if t == nil {
		t = &tuplets{}
		t.Tuplet, t.Span = split.Written, s.span
		s.by[split.Written] = t
	}
	t.last = s.seen
	t.Takes = append(t.Takes, chart.Division{At: at, Shares: split.Shares, N: split.N})
	if t.week != week || t.sums == nil {
		t.week, t.N, t.sums = week, 0, make([]float64, len(split.Shares))
	}
	t.N += split.N
	for i, x := range split.Shares { // as many as the ratio says, in every take
		t.sums[i] += x * float64(split.N)
	}
}

// result gives the kinds that were played, the last one first, and the splits
// of the wanted one, or of the first.
func (s *splitWork) result(wanted string) ([]string, Split) {
	var kinds []string
	for kind := range s.by {
		kinds = append(kinds, kind)
	}
	sort.Slice(kinds, func(i, j int) bool {
		if a, b := s.by[kinds[i]].last, s.by[kinds[j]].last; a != b {
			return a > b
		}
		return kinds[i] < kinds[j]
	})
	if len(kinds) == 0 {
		return nil, Split{Split: chart.Split{Span: s.span}}
	}
	t := s.by[wanted]
	if t == nil {
		t = s.by[kinds[0]]
	}
	for _, sum := range t.sums {
		t.Lately = append(t.Lately, sum/float64(t.N))
		t.Written = append(t.Written, 1/float64(len(t.sums)))
	}
	return kinds, t.Split
}
