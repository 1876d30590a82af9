package passage

import (
	"slices"

	"stampmill/exercises/meter"
)

// A Span is a stretch of time in some voices, in quarter notes.
type Span struct {
	From, To meter.Rat
	Voices   []Voice
}

// Diff returns what changed from one passage to another, in places of the
// latter: whole beats, neighbouring ones with the same voices as one span, in
// order of time. Bars are compared one with one; a bar whose metre changed, or
// that is new, is new in every voice. Tempo is not looked at: it moves nothing.
func Diff(before, after Passage) []Span {
	var out []Span
	old, now := before.Starts(), after.Starts()
	beats := after.Beats()
	lines := withGone(before, after)
	for b := range after.Bars {
		n := 0
		for n < len(beats) && beats[n].Bar == b+1 {
			n++
		}
		same := b < len(before.Bars) && before.Bars[b].Metre == after.Bars[b].Metre
		for _, beat := range beats[:n] {
			var voices []Voice
			into := beat.At.Sub(now[b])
			for _, line := range lines {
				if !same || changed(before, line, old[b].Add(into), beat) {
					voices = append(voices, line.Voice)
				}
			}
			out = extend(out, Span{beat.At, beat.At.Add(beat.Length), voices})
		}
		beats = beats[n:]
	}
	return out
}

// withGone returns the lines of a passage and, empty, those that it lost.
func withGone(before, after Passage) []Line {
	lines := slices.Clip(after.Lines)
	for _, l := range before.Lines {
		if _, ok := after.Line(l.Voice); !ok {
			lines = append(lines, Line{Voice: l.Voice})
		}
	}
	return lines
}

// changed reports whether a line's strokes in a beat differ from those of the
// same voice in the beat that stood at a place of the passage before.
func changed(before Passage, line Line, place meter.Rat, beat Beat) bool {
	was, _ := before.Line(line.Voice)
	old := strokesIn(was.Strokes, place, place.Add(beat.Length))
	now := strokesIn(line.Strokes, beat.At, beat.At.Add(beat.Length))
	shift := beat.At.Sub(place)
	return !slices.EqualFunc(old, now, func(o, n Stroke) bool {
		o.At = o.At.Add(shift)
		return line.Voice.alike(o, n)
	})
}

// alike reports whether two strokes of a voice sound alike.
func (v Voice) alike(a, b Stroke) bool {
	if !v.Sustained() || a.Kind == Choke {
		a.Length = b.Length // a drum sounds as long as it likes, a choke not at all
	}
	return a == b
}

// strokesIn returns the strokes that start from one place to another.
func strokesIn(strokes []Stroke, from, to meter.Rat) []Stroke {
	first := startingAt(strokes, from)
	return strokes[first:max(first, startingAt(strokes, to))] // as long as nothing, where they are not in order
}

// startingAt returns the index of the first stroke at or after a place.
func startingAt(strokes []Stroke, at meter.Rat) int {
	i, _ := slices.BinarySearchFunc(strokes, at, func(s Stroke, at meter.Rat) int { return s.At.Cmp(at) })
	return i
}

// extend adds a beat's span to the list, joined to the last where it goes on.
func extend(spans []Span, s Span) []Span {
	if len(s.Voices) == 0 {
		return spans
	}
	if n := len(spans); n > 0 && spans[n-1].To == s.From && slices.Equal(spans[n-1].Voices, s.Voices) {
		spans[n-1].To = s.To
		return spans
	}
	return append(spans, s)
}

// Same reports whether two passages sound alike and say the same of
// themselves: equal bars, tuning, machine and strokes. How the strokes are
// written as cells, lines without strokes, and how long a stroke is written that
// does not sound as long as that, do not matter.
func Same(a, b Passage) bool {
	if !slices.Equal(a.Bars, b.Bars) || a.Tuning != b.Tuning || a.Machine != b.Machine {
		return false
	}
	for _, l := range withGone(b, a) {
		one, _ := a.Line(l.Voice)
		two, _ := b.Line(l.Voice)
		if !slices.EqualFunc(one.Strokes, two.Strokes, l.Voice.alike) {
			return false
		}
	}
	return true
}
