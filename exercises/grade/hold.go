package grade

import (
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// lengths returns how long the strokes were held whose end a player has to
// make: nil where no tap carries a release.
func (g *grader) lengths(p passage.Passage) []LengthFigures {
	if !g.releases() {
		return nil
	}
	var out []LengthFigures
	for i, pos := range g.expected.Positions {
		if v, end, ok := g.madeEnd(p, pos); ok {
			f := LengthFigures{Voice: v, At: pos.At, Place: pos.Place, WrittenMS: 1000 * (g.expected.clock.seconds(end) - pos.Seconds)}
			f.Played = g.held(i)
			out = append(out, f)
		}
	}
	return out
}

func (g *grader) releases() bool {
	for _, tap := range g.take.Taps {
		if tap.Release.OK {
			return true
		}
	}
	return false
}

// held returns how long a position was held, over the passes.
func (g *grader) held(position int) Figure {
	var lengths []float64
	for i := position; i < len(g.expected.Onsets); i += len(g.expected.Positions) {
		if g.tapOf[i] < 0 {
			continue
		}
		tap := g.take.Taps[g.tapOf[i]]
		if long := tap.Release.Value - tap.Seconds; tap.Release.OK && long >= 0 && finite(long) {
			lengths = append(lengths, long)
		}
	}
	return leaning(lengths)
}

// madeEnd returns the voice and the end of the first stroke at a position that
// the player has to end: a string or sub that is written to sound and is
// neither muted nor followed at once by the next stroke, or anything that
// rings until a choke of its voice.
func (g *grader) madeEnd(p passage.Passage, pos Position) (passage.Voice, meter.Rat, bool) {
	for _, v := range pos.Voices.Voices() {
		s, ok := strokeAt(p, v, pos.At)
		if !ok {
			continue
		}
		next, follows := after(p, v, pos.At)
		switch {
		case follows && next.Kind == passage.Choke && (!v.Sustained() || !s.End().Less(next.At)):
			return v, next.At, true
		case held(v, s.Kind) && !g.taken(p, v, s.End()):
			return v, s.End(), true
		}
	}
	return passage.NoVoice, meter.Rat{}, false
}

// held reports whether a stroke sounds until it is ended: a muted one decays
// by itself.
func held(v passage.Voice, k passage.Kind) bool {
	muted := k == passage.Hit || k == passage.Accent || k == passage.Ghost
	return v.Family() == passage.Lows || v.Sustained() && !muted
}

// taken reports whether the next stroke of a voice begins at a place and so
// ends the one before, in this pass or the next.
func (g *grader) taken(p passage.Passage, v passage.Voice, at meter.Rat) bool {
	if at == g.expected.clock.end {
		at = g.expected.clock.start
	}
	_, ok := strokeAt(p, v, at)
	return ok
}

// after returns the stroke or choke of a voice that follows a place.
func after(p passage.Passage, v passage.Voice, at meter.Rat) (passage.Stroke, bool) {
	l, _ := p.Line(v)
	i := sort.Search(len(l.Strokes), func(i int) bool { return at.Less(l.Strokes[i].At) })
	if i == len(l.Strokes) {
		return passage.Stroke{}, false
	}
	return l.Strokes[i], true
}
