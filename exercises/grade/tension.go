package grade

import (
	"math"
	"sort"
)

// The tension of a take is how much there is to explain, by lane and beat of a
// pass: what the likeliest reading of that beat could gain at most, about.
// Readings of places without tension need not be tried.
type tension struct {
	log    float64       // how likely the take is as written, at the trend
	beats  int           // of a pass
	places [32][]float64 // written places, summed up to each beat
	chi    [32][]float64 // squares of their mean errors over what chance makes of them, likewise
	gross  [32][]float64 // nats to gain by misses and strays, likewise
}

// tensionOf measures the tension against what is written, at a trend. beats are
// the seconds at which each beat of a pass begins and, last, its end.
func (ev *evidence) tensionOf(lanes *[32]strokeList, t trend, beats []float64) *tension {
	out := &tension{beats: len(beats) - 1}
	a := newAligner(searchSpread, ev.strayRate())
	var off []float64
	for k := range lanes {
		if len(lanes[k].at) == 0 && len(ev.taps[k]) == 0 {
			continue
		}
		off = t.off(off, ev.taps[k])
		out.log += a.gain(lanes[k].at, off)
		ev.strain(out, k, a, &lanes[k], off, beats)
	}
	out.log += ev.leanPrior(t.lean) + ratePrior(t.rate)
	return out
}

// strain fills in one lane.
func (ev *evidence) strain(out *tension, k int, a *aligner, l *strokeList, taps, beats []float64) {
	n := len(beats) // one more than the beats: sums up to each
	places, chi, gross := make([]float64, n), make([]float64, n), make([]float64, n)
	type tally struct{ at, hits, missed, sum, squares float64 }
	var all []tally
	used := make([]bool, len(taps))
	for i, tap := range a.pairs(l.at, taps) {
		p := int(l.place[i])
		for p >= len(all) {
			all = append(all, tally{})
		}
		all[p].at = math.Mod(l.at[i]+1e-9, ev.pass)
		if tap < 0 {
			all[p].missed++
			continue
		}
		used[tap] = true
		all[p].hits++
		all[p].sum += taps[tap] - l.at[i]
		all[p].squares += square(taps[tap] - l.at[i])
	}
	beat := func(at float64) int { return min(max(sort.SearchFloat64s(beats, at+1e-9), 1), n-1) }
	for _, p := range all {
		b := beat(p.at)
		if p.hits > 0 {
			places[b]++
			chi[b] += square(p.sum) / (p.hits * square(searchSpread))
		}
		if 2*p.missed >= p.hits+p.missed && p.missed > 0 {
			gross[b] += p.missed * a.miss
		}
	}
	strays := make([]float64, n)
	for j, tap := range taps {
		if !used[j] {
			in := math.Mod(tap, ev.pass)
			if in < 0 {
				in = 0
			}
			strays[beat(in)]++
		}
	}
	for b, s := range strays {
		if 2*s >= float64(ev.passes) && s > 0 {
			gross[b] += s * (a.match - a.miss)
		}
	}
	for _, p := range all { // played before in one pass and behind in another, with a stray on the other side
		if b := beat(p.at); p.hits > 0 && strays[b] > 0 && 2*strays[b] >= float64(ev.passes) {
			off := square(searchSpread)
			chi[b] += max(0, p.squares/off-(p.hits-1)-square(p.sum)/(p.hits*off))
		}
	}
	for b := 1; b < n; b++ {
		places[b] += places[b-1]
		chi[b] += chi[b-1]
		gross[b] += gross[b-1]
	}
	out.places[k], out.chi[k], out.gross[k] = places, chi, gross
}

// bound returns about the most nats that a reading of some lanes in some beats
// (from, to not included; from 0) can gain. Mean errors that are as chance makes
// them cannot be explained: the sum of n squares is n, give or take its root.
// Strokes may come from the beats beside.
func (t *tension) bound(lanes []int, spans [][2]int) float64 {
	var n, chi, gross float64
	for _, k := range lanes {
		if t.places[k] == nil {
			continue
		}
		for _, s := range spans {
			from, to := s[0], s[1]
			n += t.places[k][to] - t.places[k][from]
			chi += t.chi[k][to] - t.chi[k][from]
			from, to = max(from-1, 0), min(to+1, t.beats)
			gross += t.gross[k][to] - t.gross[k][from]
		}
	}
	return gross + max(0, (chi-n)/2+chanceSlack*math.Sqrt(n/2))
}

// chanceSlack is how many standard deviations the squares of what no reading
// explains may lie below their mean. Our choice.
const chanceSlack = 1.5
