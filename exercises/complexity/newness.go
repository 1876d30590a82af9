package complexity

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// New returns how many strokes of a passage differ from those of the one
// before: for each voice the strokes that came or those that went, whichever
// are more, so that a stroke which only moves, or is played another way, is
// one. Strokes are compared by bar and place in the bar. Lengths count in
// voices that sound as long as they are written.
func New(before, after passage.Passage) int {
	old, now := strokes(before), strokes(after)
	came, went := missing(old, now), missing(now, old)
	total := 0
	for _, v := range passage.Voices() {
		total += max(came[v], went[v])
	}
	return total
}

// A written stroke, by bar and place in the bar.
type written struct {
	voice  passage.Voice
	bar    int
	stroke passage.Stroke // At from the bar line
}

func strokes(p passage.Passage) map[written]bool {
	all := map[written]bool{}
	g := gridOf(p)
	starts := p.Starts()
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if !g.holds(s.At) {
				continue
			}
			if !l.Voice.Sustained() {
				s.Length = meter.Rat{}
			}
			bar := g.beats[g.index(s.At)].bar
			s.At = s.At.Sub(starts[bar])
			all[written{l.Voice, bar, s}] = true
		}
	}
	return all
}

// missing counts, for each voice, what is in b and not in a.
func missing(a, b map[written]bool) map[passage.Voice]int {
	count := map[passage.Voice]int{}
	for w := range b {
		if !a[w] {
			count[w.voice]++
		}
	}
	return count
}
