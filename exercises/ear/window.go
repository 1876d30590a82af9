package ear

import (
	"errors"
	"fmt"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// How much of a passage is heard at once. Our choice: two bars can be kept in
// mind; where bars are short, as many as make a phrase.
const (
	windowBars  = 2
	phraseBeats = 4
	mostBars    = 4
)

// window takes a few bars of the source in which something sounds, any of
// those that fit. The error says what none of them has.
func (m *maker) window(fits func(p passage.Passage) error) (passage.Passage, error) {
	p := m.source.Passage
	var first error
	for _, i := range m.rng.Perm(len(p.Bars)) {
		from, last := windowAt(p.Bars, i)
		w, err := p.Section(from, last)
		if err == nil && !sounds(w) {
			err = noStrokes()
		}
		if err == nil {
			w, _ = w.Regroup()
			err = fits(w)
		}
		if err == nil {
			m.bars = [2]int{from, last}
			return w, nil
		}
		if first == nil {
			first = err
		}
	}
	return passage.Passage{}, first
}

// noStrokes refuses what is silent.
func noStrokes() error {
	return errors.New("there are no strokes to hear; write some, or take another step")
}

// windowAt returns the first and last bar, from 1, of the window from the i-th
// bar on. Near the end of the passage it begins earlier.
func windowAt(bars []passage.Bar, i int) (first, last int) {
	first, last = i, i // from the index first to before last
	beats := 0
	for last-first < mostBars && last-first < len(bars) && (last-first < windowBars || beats < phraseBeats) {
		if last < len(bars) {
			beats += len(bars[last].Metre.Beats())
			last++
		} else {
			first--
			beats += len(bars[first].Metre.Beats())
		}
	}
	return first + 1, last
}

// sounds reports whether anything but the click sounds in a passage.
func sounds(p passage.Passage) bool { return len(voicesOf(p)) > 0 }

// asked reports whether a voice is ever asked about. The click is not music,
// and the sub is not heard on small speakers.
func asked(v passage.Voice) bool { return v != passage.Click && v != passage.Sub }

// voicesOf returns the voices that may be asked about and strike.
func voicesOf(p passage.Passage) []passage.Voice {
	var all []passage.Voice
	for _, l := range p.Lines {
		if asked(l.Voice) && onsets(l) > 0 {
			all = append(all, l.Voice)
		}
	}
	return all
}

// onsets counts the strokes of a line that sound.
func onsets(l passage.Line) int {
	n := 0
	for _, s := range l.Strokes {
		if s.Sounds() {
			n++
		}
	}
	return n
}

// fitsAll accepts every window.
func fitsAll(passage.Passage) error { return nil }

// hasBeats returns a test for windows of so many beats at least.
func hasBeats(n int) func(passage.Passage) error {
	return func(p passage.Passage) error {
		if have := len(p.Beats()); have < n {
			return fmt.Errorf("%d beats are too few to ask where, it takes %d; take a longer step", have, n)
		}
		return nil
	}
}

// steady refuses windows in which the speed changes.
func steady(p passage.Passage) error {
	speed := p.Bars[0].Tempo.Quarters(p.Bars[0].Metre)
	for _, b := range p.Bars {
		if b.Tempo.Quarters(b.Metre) != speed {
			return errors.New("the tempo changes within two bars; take a step with one tempo")
		}
	}
	return nil
}

// beatOf returns the place of the beat in which quarter notes fall.
func beatOf(p passage.Passage, at meter.Rat) passage.Place {
	place := p.Place(at)
	place.Into = meter.Rat{}
	return place
}

// beatPlaces returns the place of every beat.
func beatPlaces(p passage.Passage) []passage.Place {
	var all []passage.Place
	for _, b := range p.Beats() {
		all = append(all, passage.Place{Bar: b.Bar, Beat: b.Number})
	}
	return all
}

// atSpeed returns the passage at one speed throughout, in quarter notes a
// minute. The error is that of a tempo outside the limits.
func atSpeed(p passage.Passage, quarters meter.Rat) (passage.Passage, error) {
	p = p.Clone()
	for i, b := range p.Bars {
		unit := b.Tempo.Unit
		if unit.Sign() <= 0 {
			unit = b.Metre.CountedBeat()
		}
		p.Bars[i].Tempo.BPM = quarters.Div(unit)
		if err := p.Bars[i].Tempo.Check(); err != nil {
			return p, err
		}
	}
	return p, nil
}
