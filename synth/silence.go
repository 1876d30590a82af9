package synth

import (
	"fmt"
	"math/big"
	"sort"
	"strings"

	"stampmill/exercises/passage"
)

// Silence is bars in which nothing sounds, click included, so that the player
// keeps the time alone: Heard bars are heard, then Silent bars are not, and so
// on from the first bar of the first pass, through all passes. What rings is
// choked where a silence begins. The zero value is no silence.
type Silence struct{ Heard, Silent int }

// MaxSilence is the most bars heard, or silent, at a time; our choice.
const MaxSilence = 16

func (s Silence) check() error {
	if s == (Silence{}) {
		return nil
	}
	if s.Heard < 1 || s.Heard > MaxSilence || s.Silent < 1 || s.Silent > MaxSilence {
		return fmt.Errorf("%d bars heard and %d silent; use 1 to %d of each", s.Heard, s.Silent, MaxSilence)
	}
	return nil
}

// String returns the silence as [ParseSilence] reads it: "2+1" for two bars
// heard and one silent, "none" for no silence.
func (s Silence) String() string {
	if s == (Silence{}) {
		return "none"
	}
	return fmt.Sprintf("%d+%d", s.Heard, s.Silent)
}

// ParseSilence reads bars heard and bars silent, such as "2+1", or "none".
func ParseSilence(text string) (Silence, error) {
	if text == "none" {
		return Silence{}, nil
	}
	heard, silent, _ := strings.Cut(text, "+")
	h, ok1 := numberIn(heard)
	n, ok2 := numberIn(silent)
	if !ok1 || !ok2 {
		return Silence{}, fmt.Errorf("silent bars %q are not understood; use none, or bars heard and silent, such as 2+1", text)
	}
	s := Silence{h, n}
	return s, s.check()
}

// Of reports whether a bar is silent, where bar counts from 0 at the start of
// the first pass and on through all passes.
func (s Silence) Of(bar int) bool {
	return s.Silent > 0 && s.Heard > 0 && bar >= 0 && bar%(s.Heard+s.Silent) >= s.Heard
}

// SilentBar reports whether a bar of the passage, from 1, is silent in a pass,
// from 0. In the count-in, pass -1, none is.
func (p Plan) SilentBar(pass, bar int) bool {
	return pass >= 0 && bar >= 1 && p.Silence.Of(pass*len(p.Passage.Bars)+bar-1)
}

// hushed returns the events of a pass, of which those in silent bars are left
// out, with what rings choked where a silence begins.
func (s *Sequence) hushed(pass int) []event {
	if s.plan.Silence == (Silence{}) {
		return s.events
	}
	var out []event
	for _, e := range s.events {
		if e.command.Stop || !s.plan.SilentBar(pass, s.barAt(e.at)) {
			out = append(out, e)
		}
	}
	first := pass * len(s.bars)
	for i, at := range s.bars {
		if s.plan.Silence.Of(first+i) && !s.plan.Silence.Of(first+i-1) {
			out = append(out, s.chokes(at)...)
		}
	}
	return out
}

// chokes are stops of every voice of the passage.
func (s *Sequence) chokes(at *big.Rat) []event {
	w := writer{rate: s.plan.Rate}
	for _, l := range s.plan.Passage.Lines {
		if l.Voice != passage.Click {
			w.voice = l.Voice
			w.stop(at, desk[l.Voice].stop)
		}
	}
	return w.out
}

// barAt returns the bar, from 1, in which a moment of a pass lies, in seconds.
func (s *Sequence) barAt(seconds *big.Rat) int {
	return sort.Search(len(s.bars), func(i int) bool { return s.bars[i].Cmp(seconds) > 0 })
}
