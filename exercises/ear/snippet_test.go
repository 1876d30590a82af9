package ear

import (
	"testing"

	"stampmill/exercises/change"
	"stampmill/exercises/passage"
)

// The small strips of a choice show a difference, in equal bars, and can be
// drawn. Only changes of bars and tempi have none.
func TestSnippetsShowTheDifference(t *testing.T) {
	for i, s := range some(7) {
		trial, err := what().Trial(s, 4, uint64(i))
		if err != nil {
			continue
		}
		bare := 0
		for _, c := range trial.Asks[0].Choices {
			if c.From == nil || c.To == nil {
				bare++
				continue
			}
			if c.From.Bars[0] != c.To.Bars[0] || len(c.From.Bars) != 1 || Alike(*c.From, *c.To) {
				t.Errorf("%s %q: the strips of %q show no difference", s.Climb, s.Title, c.Words)
			}
			if len(c.From.Lines) > snippetVoices || len(c.From.Beats()) > snippetBeats {
				t.Errorf("%s %q: the strips of %q are too large", s.Climb, s.Title, c.Words)
			}
			for _, p := range []passage.Passage{*c.From, *c.To} {
				if _, problems := p.Regroup(); len(problems) > 0 {
					t.Errorf("%s %q: %q cannot be drawn: %v", s.Climb, s.Title, c.Words, problems)
				}
			}
		}
		if bare > 2 { // nothing changed, and one of bars or tempi
			t.Errorf("%s %q: %d choices have no strips", s.Climb, s.Title, bare)
		}
	}
}

// Two answers whose small strips are the same are never both offered: in its
// first bar, all in half time is one stroke left out.
func TestLooksAs(t *testing.T) {
	p := read(t, "116", "4/4", "snare | . . X . | . . X . | / kick | x x . x | x x . . |")
	candidateOf := func(text string) candidate {
		c, err := change.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		out, ok := try(p, change.Selection{To: p.Length(), Voices: p.Voices()}, c)
		if !ok {
			t.Fatalf("%s cannot be heard", text)
		}
		return out
	}
	left, half, other := candidateOf("drop snare at 1.3"), candidateOf("half-time snare"), candidateOf("shift snare at 1 by 1/8")
	if !looksAs(p, left, half) || looksAs(p, left, other) {
		t.Error("one snare left out looks as half time does in the first bar, and not as a shift")
	}
	for _, c := range others(&maker{pause: func() {}}, p, left, []candidate{half, other}) {
		if c.words == half.words {
			t.Error("both are offered")
		}
	}
}

// What is called squeezed or pulled apart has as many strokes as before: one
// that is pushed out is heard as missing, and as nothing else.
func TestDistancesKeepTheirStrokes(t *testing.T) {
	for i, s := range some(3) {
		for _, c := range pool(&maker{rng: random("test", uint64(i)), pause: func() {}}, s.Passage, oneBeat, oneBar, wholeLength) {
			if name := c.change.Entry.Name; (name == "stretch" || name == "squeeze") && len(c.diff.gone) > len(c.diff.come) {
				t.Errorf("%s %q: %q leaves %d strokes out", s.Climb, s.Title, c.change, len(c.diff.gone)-len(c.diff.come))
			}
		}
	}
}

func TestSnippet(t *testing.T) {
	p := read(t, "100", "4/4 | 7/8 (2+2+3)", "snare | . . X . | .. X. ... | / kick | x. xx x. .x | x. .x x.x |")
	cases := []struct {
		place passage.Place
		metre string
		kicks int
	}{
		{passage.Place{Bar: 1, Beat: 1}, "4/4", 5},
		{passage.Place{Bar: 1, Beat: 4}, "4/4", 5},
		{passage.Place{Bar: 2, Beat: 3}, "7/8 (2+2+3)", 4},
	}
	for _, c := range cases {
		got := snippet(p, c.place, []passage.Voice{passage.Kick})
		if got == nil {
			t.Fatalf("%v: no strip", c.place)
		}
		l, _ := got.Line(passage.Kick)
		if got.Bars[0].Metre.String() != c.metre || len(l.Strokes) != c.kicks {
			t.Errorf("%v: %s with %d kicks, want %s with %d", c.place, got.Bars[0].Metre, len(l.Strokes), c.metre, c.kicks)
		}
	}
	long := read(t, "100", "6/4", "kick | x x. x x. x xx |")
	if got := snippet(long, passage.Place{Bar: 1, Beat: 3}, []passage.Voice{passage.Kick}); got == nil || len(got.Beats()) != snippetBeats {
		t.Errorf("four beats of six: %v", got)
	}
}
