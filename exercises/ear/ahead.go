package ear

import (
	"errors"
	"fmt"
	"math"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// How far a voice is moved. 6 ms is the least displacement that is heard in a
// fast even run, 2.5 % of the distance in a slow one (Friberg & Sundberg 1995,
// JASA 98(5) 2524-2531); the ends of the scale are our choice. Half
// milliseconds are exact in every tempo that is taken.
const (
	aheadGrid  = 2 // steps a millisecond
	aheadStart = 40
	// closest is how much of the distance to the next onset a displacement may
	// take, so that it never looks like another written place. Our choice.
	closest = 0.4
)

var aheadScale = Scale{
	Unit: "ms", Means: "how far one voice is ahead of the others or behind",
	Low: 2, High: 60, Falling: true, Log: true,
}

func ahead() Task {
	return Task{
		Name: "ahead", Title: "Ahead or behind", Question: "Is one voice ahead of the others or behind?",
		About: "A is as written. In B one voice, which is named, is some milliseconds ahead of the others or behind, throughout.",
		Yes:   true, Scale: aheadScale, Stair: stair(aheadScale, aheadStart),
		make: makeAhead, mark: markChoice,
	}
}

func makeAhead(m *maker) (Trial, error) {
	behind := m.rng.IntN(2)
	ms := math.Round(m.d*aheadGrid) / aheadGrid
	a, err := m.window(func(p passage.Passage) error {
		if err := steady(p); err != nil {
			return err
		}
		_, err := movable(p, ms)
		return err
	})
	if err != nil {
		return Trial{}, err
	}
	voices, err := movable(a, ms)
	if err != nil {
		return Trial{}, err
	}
	v := voices[m.rng.IntN(len(voices))]
	written, a, b, err := displaced(a, v, ms, behind == 0)
	if err != nil {
		return Trial{}, err
	}
	name := v.Spoken()
	t := Trial{Sounds: pair(a, b), Made: ms, Asks: []Ask{{
		Kind: Choose, Question: fmt.Sprintf("In B, is the %s ahead of the others or behind?", name),
		Choices: []Choice{{Words: yesNoWords["ahead"][0], Says: "Ahead: too soon"}, {Words: yesNoWords["ahead"][1], Says: "Behind: too late"}},
	}}}
	t.Sounds[0].Strip, t.Sounds[1].Strip = written, written // milliseconds are not drawn
	way := []string{"ahead of", "behind"}[behind]
	t.truth = truth{
		choice: behind,
		said:   fmt.Sprintf("The %s is %s ms %s the others.", name, trim(ms), way),
		hint:   fmt.Sprintf("Where the %s lands with another voice, listen which of the two begins.", name),
		a:      written, b: written,
		spans: []passage.Span{{To: a.Length(), Voices: []passage.Voice{v}}},
	}
	t.truth.spansA = t.truth.spans
	return t, nil
}

// movable returns the voices that can be moved by some milliseconds: they land
// with another voice at least once, and are never near another written place.
func movable(p passage.Passage, ms float64) ([]passage.Voice, error) {
	var all []passage.Voice
	near := false
	events, end := hear(p), timer(p)(p.Length())
	for _, v := range voicesOf(p) {
		together, close := meets(events, end, v, ms)
		near = near || close
		if together && !close {
			all = append(all, v)
		}
	}
	switch {
	case len(all) > 0:
		return all, nil
	case near:
		return nil, fmt.Errorf("the strokes lie too close together for %s ms; take a slower step, or a smaller difference", trim(ms))
	}
	return nil, errors.New("no two voices strike together; take a step with more voices")
}

// meets reports whether a voice strikes together with another that stays, and
// whether an onset of another moment, or the end, lies too close to one of its.
func meets(events []event, end float64, v passage.Voice, ms float64) (together, close bool) {
	for _, e := range events {
		close = close || (end-e.at)*closest < ms // whoever is moved
		if e.voice != v {
			continue
		}
		for _, o := range events {
			switch gap := math.Abs(o.at - e.at); {
			case o.voice != v && o.voice != passage.Click && gap < sameMoment && asked(o.voice):
				together = true
			case gap >= sameMoment && gap*closest < ms:
				close = true
			}
		}
	}
	return together, close
}

// displaced returns a passage as it is written, the same as it sounds, and with
// one voice some milliseconds ahead or behind, exactly, all at a tempo in which
// all places are exact numbers: the written one, else the nearest whole one.
// Ahead, it is the others that come later, since nothing can sound before the
// start.
func displaced(p passage.Passage, v passage.Voice, ms float64, ahead bool) (written, a, b passage.Passage, err error) {
	for _, speed := range speeds(p.Bars[0].Tempo.Quarters(p.Bars[0].Metre)) {
		written, err := atSpeed(p, speed)
		if err != nil {
			continue
		}
		by := speed.Mul(meter.R(int64(math.Round(ms*aheadGrid)), aheadGrid*60_000))
		a, ok := roomAtEnd(written, by)
		if !ok {
			continue
		}
		if b, ok := later(a, by, func(o passage.Voice) bool { return (o == v) != ahead }); ok {
			return written, a, b, nil
		}
	}
	return p, p, p, errors.New("the strokes stand in parts of a beat too fine to be moved exactly; take a step with simpler divisions")
}

// speedReach is how far from the written tempo an exact one is looked for, in
// quarter notes a minute. Our choice; multiples of 30 leave room for all
// divisions that are written.
const speedReach = 30

// speeds returns the written speed, then the whole ones about it, nearest first.
func speeds(written meter.Rat) []meter.Rat {
	all := []meter.Rat{written}
	for i := range int64(speedReach) {
		all = append(all, meter.Int(written.Floor()-i), meter.Int(written.Floor()+1+i))
	}
	return all
}

// roomAtEnd returns the passage with what is held up to its end shortened, so
// that it can be moved and still sound as long; false where there is no exact
// place for that.
func roomAtEnd(p passage.Passage, by meter.Rat) (passage.Passage, bool) {
	p = p.Clone()
	last := p.Length().Sub(by)
	for i, l := range p.Lines {
		if !l.Voice.Sustained() {
			continue
		}
		for j, s := range l.Strokes {
			if !last.Less(s.End()) {
				continue
			}
			length := last.Sub(s.At)
			if !length.Valid() || length.Sign() <= 0 {
				return p, false
			}
			p.Lines[i].Strokes[j].Length, p.Lines[i].Groups = length, nil
		}
	}
	return p, true
}

// later returns the passage with some voices later, all else as it was; false
// where that has no exact place. What would sound past the end is cut there.
func later(p passage.Passage, by meter.Rat, moves func(passage.Voice) bool) (passage.Passage, bool) {
	p = p.Clone()
	end := p.Length()
	for i, l := range p.Lines {
		if !moves(l.Voice) {
			continue
		}
		p.Lines[i].Groups = nil // the strokes fall on no cells
		kept := l.Strokes[:0]
		for _, s := range l.Strokes {
			s.At = s.At.Add(by)
			if !s.At.Valid() || !s.End().Valid() {
				return p, false
			}
			if !s.At.Less(end) {
				continue
			}
			if end.Less(s.End()) {
				s.Length = end.Sub(s.At)
			}
			kept = append(kept, s)
		}
		p.Lines[i].Strokes = kept
	}
	return p, len(passage.Check(p)) == 0
}
