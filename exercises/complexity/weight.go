package complexity

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Weight returns the weight of a place: 0 on a downbeat, -1 on another beat,
// and one less for each split that the beat needs to reach the place. Splits
// are by primes, so an eighth is 2 and a sixteenth 3 below the bar, a triplet,
// quintuplet or septuplet cell 2, and a cell of a sextuplet that no triplet and
// no eighth reaches 3. Places outside the passage weigh as if it went round.
//
// In 4/4 the sixteen sixteenths weigh 0 -3 -2 -3 -1 -3 -2 -3 -1 -3 -2 -3 -1 -3
// -2 -3, the profile of Witek, Clarke, Wallentin, Kringelbach & Vuust 2014. The
// paper splits by 2; other splits are our extension.
//
// The weight is that of the place as heard, not as written: the middle of a
// beat is an eighth in whatever group it stands. So a passage is as hard as it
// sounds, however it is spelled.
func Weight(p passage.Passage, at meter.Rat) int {
	g := gridOf(p)
	if len(g.beats) == 0 || !at.Valid() {
		return 0
	}
	round := at.Div(g.end)
	at = at.Sub(g.end.Mul(meter.Int(round.Floor())))
	if !g.holds(at) {
		return 0
	}
	return g.weight(at)
}

// weight returns the weight of a place in the passage.
func (g grid) weight(at meter.Rat) int {
	b := g.beats[g.index(at)]
	switch {
	case at != b.at:
		return -1 - splits(b.cell(at).Den())
	case b.first:
		return 0
	}
	return -1
}

// cell returns how far into the beat a place is, as a share of the beat: with
// the denominator n it is a place of the n equal cells of the beat, and of no
// fewer.
func (b beat) cell(at meter.Rat) meter.Rat { return at.Sub(b.at).Div(b.length) }

// splits returns how many splits by a prime it takes to cut a beat into n
// cells; 0 for n below 2. A prime above 7 is one split too.
func splits(n int64) int {
	count := 0
	for prime := int64(2); prime*prime <= n; prime++ {
		for n%prime == 0 {
			n /= prime
			count++
		}
	}
	if n > 1 {
		count++
	}
	return count
}
