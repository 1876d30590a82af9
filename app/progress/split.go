package progress

import (
	"sort"
	"strconv"
	"strings"

	"stampmill/app/logbook"
)

// Splits are how one kind of tuplet came out, mark by mark.
type Splits struct {
	Tuplet string      // as the book writes it; "" where none was played
	Even   []float64   // the written shares of the span
	Weeks  []SplitWeek // the newest maxSplits that were played, the oldest first
}

// A SplitWeek is the split of the weeks of one mark: the mean over all tuplets
// of the kind, each weighing as often as it was played.
type SplitWeek struct {
	From   Day
	Shares []float64 // adding up to 1
	N      int       // tuplets played
}

// maxSplits is how many weeks of splits are shown: as many rows as can still be
// told apart; our choice.
const maxSplits = 8

// maxShares bounds the strokes of a tuplet that are compared; our choice.
const maxShares = 16

type splitWork struct {
	by   map[string][]splitSum // a mark each
	last map[string]int        // the take that played it last
	seen int
}

type splitSum struct {
	shares []float64
	n      int
}

func (s *splitWork) take(e *logbook.Entry, mark int) {
	s.seen++
	for _, split := range e.Splits {
		if s.by == nil {
			s.by, s.last = map[string][]splitSum{}, map[string]int{}
		}
		if goodShares(split) {
			s.add(split, mark)
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

func (s *splitWork) add(split logbook.Split, mark int) {
	sums := s.by[split.Written]
	for len(sums) <= mark {
		sums = append(sums, splitSum{})
	}
	m := &sums[mark]
	if m.shares == nil {
		m.shares = make([]float64, len(split.Shares))
	}
	for i, x := range split.Shares { // as many as the ratio says, in every mark
		m.shares[i] += x * float64(split.N)
	}
	m.n += split.N
	s.by[split.Written], s.last[split.Written] = sums, s.seen
}

// result gives the kinds that were played, the last one first, and the splits
// of the chosen one.
func (s *splitWork) result(wanted string, r *Report) ([]string, Splits) {
	var kinds []string
	for kind := range s.by {
		kinds = append(kinds, kind)
	}
	sort.Slice(kinds, func(i, j int) bool {
		if a, b := s.last[kinds[i]], s.last[kinds[j]]; a != b {
			return a > b
		}
		return kinds[i] < kinds[j]
	})
	if len(kinds) == 0 {
		return nil, Splits{}
	}
	kind := kinds[0]
	if s.by[wanted] != nil {
		kind = wanted
	}
	return kinds, s.splits(kind, r)
}

func (s *splitWork) splits(kind string, r *Report) Splits {
	out := Splits{Tuplet: kind}
	for mark, m := range s.by[kind] {
		if m.n == 0 {
			continue
		}
		w := SplitWeek{From: r.begins(mark), N: m.n}
		for _, x := range m.shares {
			w.Shares = append(w.Shares, x/float64(m.n))
		}
		out.Weeks = append(out.Weeks, w)
	}
	out.Weeks = out.Weeks[max(0, len(out.Weeks)-maxSplits):]
	n := len(out.Weeks[0].Shares)
	for range n {
		out.Even = append(out.Even, 1/float64(n))
	}
	return out
}
