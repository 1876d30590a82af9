package ear

import "math"

// The curve that is fitted: the share of right answers rises from guessing to
// all but some lapses as a logistic function of the level. Its width may be
// anything between the bounds, in shares of the scale. Our choice: from hardly
// more than a step to what the scale just holds. Lapses are at most 6 %
// (Wichmann & Hill 2001, Percept. Psychophys. 63 1293-1313, from memory).
const (
	narrowest = 1.0 / 50
	widest    = 1.0 / 4
	widths    = 10
	mostLapse = 0.06
	lapses    = 3
	cells     = 128 // of the scale, in which the threshold is looked for
)

// A heap is the trials of one cell of the scale and one chance. Cells are
// counted so that more is easier.
type heap struct {
	cell         int
	chance       float64
	right, wrong float64
}

// heaps gathers trials.
func heaps(s Scale, tried []Tried) []heap {
	var all []heap
	at := map[heap]int{}
	for _, x := range tried {
		h := heap{cell: s.cell(x.heard(s)), chance: x.Chance}
		i, ok := at[h]
		if !ok {
			i = len(all)
			at[h], all = i, append(all, h)
		}
		if x.Right {
			all[i].right++
		} else {
			all[i].wrong++
		}
	}
	return all
}

// cell returns the cell of a difficulty, 0 for the hardest to cells for the
// easiest.
func (s Scale) cell(d float64) int {
	share := (s.Level(d) - s.Level(s.Low)) / (s.Level(s.High) - s.Level(s.Low))
	if !s.Falling {
		share = 1 - share
	}
	return int(math.Round(share * cells))
}

// ofCell returns the difficulty in a place of the scale, counted in cells.
func (s Scale) ofCell(cell float64) float64 {
	share := cell / cells
	if !s.Falling {
		share = 1 - share
	}
	return s.Of(s.Level(s.Low) + share*(s.Level(s.High)-s.Level(s.Low)))
}

// profile returns, for each cell, the logarithm of the likelihood of what was
// answered if the threshold were there, taken over all widths and lapses. They
// are averaged, widths by their ratios, rather than the best taken: with few
// trials the best ones fit too well, and the interval gets too narrow (Berger,
// Liseo & Wolpert 1999, Stat. Sci. 14 1-28, from memory; measured here).
func profile(all []heap, rate, chance float64) []float64 {
	sum := make([]float64, cells+1)
	for i := range sum {
		sum[i] = math.Inf(-1)
	}
	for l := range lapses {
		lapse := mostLapse * float64(l) / (lapses - 1)
		if rate >= 1-lapse {
			break // never reached
		}
		for w := range widths {
			width := cells * narrowest * math.Pow(widest/narrowest, float64(w)/(widths-1))
			for i, v := range likelihoods(all, curve{width, lapse, rate, chance}) {
				sum[i] = addLogs(sum[i], v)
			}
		}
	}
	return sum
}

// addLogs returns log(exp(a) + exp(b)).
func addLogs(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(b, -1) {
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}

// A curve says how right answers go with the cells from the threshold.
type curve struct {
	width  float64 // cells
	lapse  float64
	rate   float64 // of right answers at the threshold
	chance float64 // for which it is so
}

// right returns how likely an answer is right so many cells easier than the
// threshold, where guesses are with a chance.
func (c curve) right(cells int, chance float64) float64 {
	p := (c.rate - c.chance) / (1 - c.chance - c.lapse)
	return chance + max(1-chance-c.lapse, 0)/(1+(1-p)/p*math.Exp(-float64(cells)/c.width))
}

// likelihoods returns the log likelihood of all trials for a threshold in each
// cell.
func likelihoods(all []heap, c curve) []float64 {
	sum := make([]float64, cells+1)
	type logs struct{ right, wrong [2*cells + 1]float64 } // from cells harder to cells easier
	tables := map[float64]*logs{}
	for _, h := range all {
		table := tables[h.chance]
		if table == nil {
			table = new(logs)
			for i := range table.right {
				q := c.right(i-cells, h.chance)
				table.right[i], table.wrong[i] = math.Log(q), math.Log1p(-q)
			}
			tables[h.chance] = table
		}
		for i := range sum {
			k := h.cell - i + cells
			if h.right > 0 {
				sum[i] += h.right * table.right[k]
			}
			if h.wrong > 0 {
				sum[i] += h.wrong * table.wrong[k]
			}
		}
	}
	return sum
}

// peak returns where a profile is highest, and from where to where it has not
// fallen by more than chance makes it fall in 95 of 100 cases: half the
// chi-square of one degree of freedom (Wilks 1938, Ann. Math. Stat. 9 60-62,
// from memory). All in cells.
func peak(profile []float64) (best, from, to float64) {
	top := 0
	for i, v := range profile {
		if v > profile[top] {
			top = i
		}
	}
	floor := profile[top] - z95*z95/2
	first, last := top, top
	for i, v := range profile {
		if v >= floor {
			first, last = min(first, i), max(last, i)
		}
	}
	return float64(top), crossing(profile, first, -1, floor), crossing(profile, last, 1, floor)
}

// crossing returns where between cell i and its neighbour the profile falls
// through a floor; i where there is none.
func crossing(profile []float64, i, way int, floor float64) float64 {
	next := i + way
	if next < 0 || next >= len(profile) {
		return float64(i)
	}
	return float64(i) + float64(way)*(profile[i]-floor)/(profile[i]-profile[next])
}
