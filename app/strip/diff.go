package strip

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Diff returns what changed from one passage to another, in places of the
// latter: whole beats, neighbouring ones with the same voices as one span, in
// order of time. Bars are compared one with one; a bar whose metre changed, or
// that is new, is new in every voice. Tempo is not looked at: it moves nothing.
func Diff(before, after passage.Passage) []Span {
	var out []Span
	old, now := before.Starts(), after.Starts()
	beats := after.Beats()
	for b := range after.Bars {
		n := 0
		for n < len(beats) && beats[n].Bar == b+1 {
			n++
		}
		same := b < len(before.Bars) && before.Bars[b].Metre == after.Bars[b].Metre
		for _, beat := range beats[:n] {
			var voices []passage.Voice
			into := beat.At.Sub(now[b])
			for _, line := range after.Lines {
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

// changed reports whether a line's strokes in a beat differ from those of the
// same voice in the beat that stood at a place of the passage before.
func changed(before passage.Passage, line passage.Line, place meter.Rat, beat passage.Beat) bool {
	was, _ := before.Line(line.Voice)
	old := within(was.Strokes, place, place.Add(beat.Length))
	now := within(line.Strokes, beat.At, beat.At.Add(beat.Length))
	shift := beat.At.Sub(place)
	return !slices.EqualFunc(old, now, func(o, n passage.Stroke) bool {
		o.At = o.At.Add(shift)
		if !sustained(line.Voice) {
			o.Length = n.Length // a drum sounds as long as it likes
		}
		return o == n
	})
}

// within returns the strokes that start from one place to another.
func within(strokes []passage.Stroke, from, to meter.Rat) []passage.Stroke {
	return strokes[startsAt(strokes, from):startsAt(strokes, to)]
}

// startsAt returns the index of the first stroke at or after a place.
func startsAt(strokes []passage.Stroke, at meter.Rat) int {
	i, _ := slices.BinarySearchFunc(strokes, at, func(s passage.Stroke, at meter.Rat) int { return s.At.Cmp(at) })
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
