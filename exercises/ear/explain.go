package ear

import (
	"fmt"
	"slices"

	"stampmill/exercises/passage"
)

// listenFor says in one sentence what to listen for to hear a difference from
// a to b.
func listenFor(a, b passage.Passage, d difference) string {
	if d.size == 0 {
		return "Follow one voice at a time through A, then through B."
	}
	first := d.first()
	switch {
	case len(d.gone)+len(d.come) == 0:
		i := slices.Index(d.other, first)
		if i < 0 {
			i = max(slices.Index(d.was, first), 0)
		}
		return playedOtherwise(a, d.was[i], d.other[i])
	case len(d.beats(b)) > 1 || !slices.Equal(a.Bars, b.Bars):
		return followVoice(a, b, first.voice)
	}
	beat := beatOf(a, first.place)
	if n, m := inBeat(a, beat, first.voice), inBeat(b, beat, first.voice); n != m {
		return fmt.Sprintf("On %s the %s has %s in A, %d in B.", placeWords(beat), first.voice.Spoken(), strokeWords(n), m)
	}
	return fmt.Sprintf("On %s in A %s; in B %s.", placeWords(beat), company(a, d.gone, first.voice), company(b, d.come, first.voice))
}

// playedOtherwise compares how one stroke is played.
func playedOtherwise(a passage.Passage, was, now event) string {
	where := placeWords(beatOf(a, was.place))
	switch {
	case was.kind != now.kind:
		return fmt.Sprintf("Listen to how the %s is played on %s: %s in A, %s in B.", was.voice.Spoken(), where, was.kind, now.kind)
	case was.pitch != now.pitch:
		return fmt.Sprintf("Listen to the pitch of the %s on %s.", was.voice.Spoken(), where)
	}
	return fmt.Sprintf("Listen to how long the %s sounds on %s.", was.voice.Spoken(), where)
}

// followVoice counts the strokes of a voice in A and in B.
func followVoice(a, b passage.Passage, v passage.Voice) string {
	was, _ := a.Line(v)
	now, _ := b.Line(v)
	n, m := onsets(was), onsets(now)
	if n == m {
		return fmt.Sprintf("Follow the %s alone: as many strokes in A and in B, but elsewhere.", v.Spoken())
	}
	return fmt.Sprintf("Follow the %s alone: %s in A, %d in B.", v.Spoken(), strokeWords(n), m)
}

// inBeat counts the strokes of a voice in a beat.
func inBeat(p passage.Passage, beat passage.Place, v passage.Voice) int {
	l, _ := p.Line(v)
	n := 0
	for _, s := range l.Strokes {
		if s.Sounds() && beatOf(p, s.At) == beat {
			n++
		}
	}
	return n
}

// company says what the first of some events of a voice strikes with: "the
// kick lands with the snare".
func company(p passage.Passage, events []event, v passage.Voice) string {
	i := slices.IndexFunc(events, func(e event) bool { return e.voice == v })
	if i < 0 {
		return "the " + v.Spoken() + " has no stroke there"
	}
	if events[i].kind == passage.Choke {
		return "the " + v.Spoken() + " is choked"
	}
	var with []passage.Voice
	for _, e := range hear(p) {
		if e.place == events[i].place && e.voice != v && e.kind != passage.Choke && asked(e.voice) {
			with = append(with, e.voice)
		}
	}
	if len(with) == 0 {
		return "the " + v.Spoken() + " lands alone"
	}
	return fmt.Sprintf("the %s lands with the %s", v.Spoken(), voiceWords(with))
}

// explained fills in where the difference lies and both passages.
func (t *truth) explained(a, b passage.Passage) {
	t.a, t.b = a, b
	t.spans, t.spansA = passage.Diff(a, b), passage.Diff(b, a)
}

// bars returns the bars, from 1, in which there is something to hear again: all
// of the window where it lies throughout.
func (t truth) bars() (first, last int) {
	last = max(len(t.a.Bars), len(t.b.Bars))
	if len(t.spans) == 0 {
		return 1, last
	}
	first, to := t.b.BarsOf(t.spans[0])
	for _, s := range t.spans {
		_, end := t.b.BarsOf(s)
		to = max(to, end)
	}
	return first, to
}
