package ear

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Size of the small strips of choices. Our choice: what fits a card.
const (
	snippetBeats  = 4
	snippetVoices = 2
)

// snippets cuts out of two passages the beats in which they begin to differ,
// as small strips of the voices that do. They do not tell where in the
// passage that is. Nil where the bars are not the same.
func snippets(a passage.Passage, c candidate) (from, to *passage.Passage) {
	if !sameBars(a, c.after) {
		return nil, nil
	}
	first := c.diff.first()
	place, voices := beatOf(a, first.place), []passage.Voice{first.voice}
	for _, v := range c.diff.voices() {
		if v != first.voice && len(voices) < snippetVoices {
			voices = append(voices, v)
		}
	}
	slices.Sort(voices)
	from, to = snippet(a, place, voices), snippet(c.after, place, voices)
	if from == nil || to == nil {
		return nil, nil
	}
	return from, to
}

func sameBars(a, b passage.Passage) bool {
	if len(a.Bars) != len(b.Bars) {
		return false
	}
	for i := range a.Bars {
		if a.Bars[i] != b.Bars[i] {
			return false
		}
	}
	return true
}

// snippet returns some beats of a bar as a passage of one bar, from a place on
// or, near the end of the bar, from before; nil where they make no metre.
func snippet(p passage.Passage, place passage.Place, voices []passage.Voice) *passage.Passage {
	bar := p.Bars[place.Bar-1]
	beats := bar.Metre.Beats()
	first := max(min(place.Beat-1, len(beats)-snippetBeats), 0)
	last := min(first+snippetBeats, len(beats))
	metre, ok := metreOf(bar.Metre, beats[first:last])
	if !ok {
		return nil
	}
	from := p.Starts()[place.Bar-1].Add(bar.Metre.Starts()[first])
	out := passage.Passage{Tuning: p.Tuning, Machine: p.Machine}
	tempo := meter.Tempo{BPM: bar.Tempo.Quarters(bar.Metre), Unit: meter.Int(1)}
	out.Bars = []passage.Bar{{Metre: metre, Tempo: tempo}}
	for _, v := range voices {
		out.Lines = append(out.Lines, shifted(p, v, from, from.Add(metre.Length())))
	}
	out, _ = out.Regroup()
	if len(passage.Check(out)) > 0 {
		return nil
	}
	return &out
}

// metreOf returns the metre of some beats of another.
func metreOf(of meter.Metre, beats []meter.Rat) (meter.Metre, bool) {
	_, lower := of.Signature()
	var parts []string
	var sum int64
	for _, b := range beats {
		units := b.Mul(meter.R(int64(lower), 4)).Floor()
		sum += units
		parts = append(parts, fmt.Sprint(units))
	}
	m, err := meter.ParseMetre(fmt.Sprintf("%d/%d (%s)", sum, lower, strings.Join(parts, "+")))
	return m, err == nil
}

// shifted returns the strokes of a voice from one place to another, moved to
// the start.
func shifted(p passage.Passage, v passage.Voice, from, to meter.Rat) passage.Line {
	was, _ := p.Line(v)
	out := passage.Line{Voice: v}
	for _, s := range was.Strokes {
		if s.At.Less(from) || !s.At.Less(to) {
			continue
		}
		if to.Less(s.End()) {
			s.Length = to.Sub(s.At)
		}
		s.At = s.At.Sub(from)
		out.Strokes = append(out.Strokes, s)
	}
	for _, g := range was.Groups {
		if !g.At.Less(from) && !to.Less(g.End()) {
			g.At = g.At.Sub(from)
			out.Groups = append(out.Groups, g)
		}
	}
	return out
}
