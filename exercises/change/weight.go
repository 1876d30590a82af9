package change

import (
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// ringBars is how long a cymbal is taken to ring after its last stroke, in
// bars. Our choice: about two seconds at the tempi of the style, after which
// there is little left to stop.
const ringBars = 1

// maxBack is the most places that an inverse names. Our choice: more of them
// would be no text that anybody reads, and longer than [MaxText].
const maxBack = 16

// weight are the changes of how a stroke is played, not when.
func weight() []Entry {
	return []Entry{
		{
			Form:     "accent {voices} at {places}",
			About:    "The strokes become accents.",
			Example:  "accent guitar at 1.1 2.1",
			effect:   weigh(passage.Accent),
			sentence: weighed("an accent", "accents"),
			inverse:  unweigh,
		},
		{
			Form:     "ghost {voices} [at {ranges}]",
			About:    "The strokes become ghost notes, barely touched.",
			Example:  "ghost snare at 1.4",
			effect:   ghost,
			sentence: says("plays", "play", "ghost notes"),
			inverse:  unghost,
		},
		{
			Form:     "ring {voices} at {places} for {length}",
			About:    "The stroke is played open and rings so long; strokes under it are left out. The hat is closed again at its end.",
			Example:  "ring guitar at 2.4 for 1/4",
			effect:   ring,
			sentence: rung,
			inverse:  unweigh,
		},
		{
			Form:     "choke {voices} at {places}",
			About:    "What rings is stopped at the place, where no stroke stands. A cymbal is taken to ring for a bar.",
			Example:  "choke china at 1.4",
			effect:   choke,
			sentence: choked,
			inverse:  by("drop"),
		},
		{
			Form:     "bend {voices} at {places} by {semitones}",
			About:    "The strokes are bent up by so many semitones.",
			Example:  "bend guitar at 2.4 by 2",
			effect:   weigh(passage.Bend),
			sentence: bent,
			inverse:  unweigh,
		},
		{
			Form:     "flam {voices} at {places}",
			About:    "The strokes become flams: one grace note before each.",
			Example:  "flam snare at 2.3",
			effect:   weigh(passage.Flam),
			sentence: weighed("a flam", "flams"),
			inverse:  unweigh,
		},
		{
			Form:     "drag {voices} at {places}",
			About:    "The strokes become drags: two grace notes before each.",
			Example:  "drag snare at 2.3",
			effect:   weigh(passage.Drag),
			sentence: weighed("a drag", "drags"),
			inverse:  unweigh,
		},
		{
			Form:     "chord {voices} at {places}",
			About:    "The strokes become power chords: root, fifth and octave, ringing as long as they are written.",
			Example:  "chord guitar at 1.1",
			effect:   weigh(passage.Chord),
			sentence: weighed("a power chord", "power chords"),
			inverse:  unweigh,
		},
		{
			Form:     "noise {voices} at {places} as {scrape|scrape-down|harmonic}",
			About:    "The strokes become pick scrapes up or down the string, or natural harmonics.",
			Example:  "noise guitar at 2.4 as harmonic",
			effect:   noise,
			sentence: noisy,
			inverse:  unweigh,
		},
	}
}

// noises are the kinds of stroke that noise takes by name.
var noises = map[string]passage.Kind{"scrape": passage.Scrape, "scrape-down": passage.ScrapeDown, "harmonic": passage.Harmonic}

func noise(p *passage.Passage, a Args) error { return weigh(noises[a.As])(p, a) }

// weigh returns the effect that turns the strokes at some places into a kind.
func weigh(k passage.Kind) func(*passage.Passage, Args) error {
	return func(p *passage.Passage, a Args) error {
		return eachStroke(p, a, k, func(l *passage.Line, i int) error {
			l.Strokes[i] = as(l.Strokes[i], k, a.Count)
			return nil
		})
	}
}

// as returns a stroke as another kind, bent by so many semitones if it is one
// to bend.
func as(s passage.Stroke, k passage.Kind, semitones int) passage.Stroke {
	s.Kind, s.Bend = k, 0
	if k == passage.Bend {
		s.Bend = uint8(semitones)
	}
	return s
}

// eachStroke calls f with the stroke of each voice at each place, by its index.
// It refuses where none begins, and a voice that cannot play the kind it is to
// become.
func eachStroke(p *passage.Passage, a Args, k passage.Kind, f func(l *passage.Line, i int) error) error {
	places, err := a.places(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l, err := playing(p, v, k)
		if err != nil {
			return err
		}
		for _, at := range places {
			i, ok := indexAt(*l, at)
			if !ok || !l.Strokes[i].Sounds() {
				return refuse("name a place where it strikes", "the %s has no stroke at %s", v, p.Place(at))
			}
			if err := f(l, i); err != nil {
				return err
			}
		}
	}
	return nil
}

// playing returns the line of a voice that can play a kind of stroke.
func playing(p *passage.Passage, v passage.Voice, k passage.Kind) (*passage.Line, error) {
	l, err := lineOf(p, v)
	if err == nil && !v.Plays(k) {
		err = refuse("name "+players(k), "the %s cannot play %s strokes", v, k)
	}
	return l, err
}

// players lists the voices that can play a kind of stroke.
func players(k passage.Kind) string {
	var all []string
	for _, v := range passage.Voices() {
		if v.Plays(k) {
			all = append(all, v.String())
		}
	}
	return listWords(all, "or")
}

// weighed returns a sentence that says what strokes become.
func weighed(one, several string) func(passage.Passage, Args) string {
	return func(p passage.Passage, a Args) string {
		if len(a.Voices) == 1 && len(a.Places) == 1 {
			return said("the", voiceWords(a.Voices), "stroke", a.where(p), "becomes", one)
		}
		return said("the", voiceWords(a.Voices), "strokes", a.where(p), "become", several)
	}
}

func noisy(p passage.Passage, a Args) string {
	switch a.As {
	case "scrape":
		return weighed("a pick scrape", "pick scrapes")(p, a)
	case "scrape-down":
		return weighed("a pick scrape down the string", "pick scrapes down the string")(p, a)
	}
	return weighed("a harmonic", "harmonics")(p, a)
}

func bent(p passage.Passage, a Args) string {
	return said(subject(a.Voices), agree(a.Voices, "bends", "bend"), "up by", semitonesWords(a.Count), a.where(p))
}

func semitonesWords(n int) string {
	if n == 1 {
		return "one semitone"
	}
	return numberWord(n) + " semitones"
}

// unweigh suggests the changes that could give the strokes their kind back.
func unweigh(p passage.Passage, a Args) []Change {
	l, ok := p.Line(a.Voices[0])
	at, _, err := spotIn(p, a.Places[0])
	was, begins := strokeAt(l, at)
	if !ok || err != nil || !begins {
		return nil
	}
	back := Args{Voices: a.Voices, Places: a.Places}
	switch was.Kind {
	case passage.Accent:
		return []Change{with("accent", back)}
	case passage.Flam:
		return []Change{with("flam", back)}
	case passage.Drag:
		return []Change{with("drag", back)}
	case passage.Bend:
		back.Count = int(was.Bend)
		return []Change{with("bend", back)}
	case passage.Open:
		back.By = was.Length
		return []Change{with("ring", back)}
	case passage.Chord:
		return []Change{with("chord", back)}
	case passage.Scrape, passage.ScrapeDown, passage.Harmonic:
		back.As = strings.ReplaceAll(was.Kind.String(), " ", "-")
		return []Change{with("noise", back)}
	case passage.Ghost:
		return []Change{with("ghost", Args{Voices: a.Voices, At: beatsFrom(a.Places)})}
	}
	return nil
}

// beatsFrom returns the ranges from each place to the end of its beat.
func beatsFrom(places []Spot) []Range {
	all := make([]Range, len(places))
	for i, s := range places {
		all[i] = Range{s, Spot{Bar: s.Bar, Beat: s.Beat}}
	}
	return all
}

func ghost(p *passage.Passage, a Args) error {
	for _, v := range a.Voices {
		if _, err := playing(p, v, passage.Ghost); err != nil {
			return err
		}
	}
	return eachStretch(p, a, func(_ stretch, strokes []passage.Stroke) []passage.Stroke {
		for i, s := range strokes {
			if s.Sounds() {
				strokes[i] = as(s, passage.Ghost, 0)
			}
		}
		return strokes
	})
}

// unghost gives the strokes their kind back one by one, by their places.
func unghost(p passage.Passage, a Args) []Change {
	all, err := a.stretches(p)
	l, ok := p.Line(a.Voices[0])
	if err != nil || !ok {
		return nil
	}
	back := Args{Voices: a.Voices}
	for _, s := range all {
		for _, n := range onsetsIn(l, s) {
			back.Places = append(back.Places, p.Place(n.At))
		}
	}
	if len(back.Places) == 0 || len(back.Places) > maxBack {
		return nil
	}
	return unweigh(p, back)
}

func ring(p *passage.Passage, a Args) error {
	return eachStroke(p, a, passage.Open, func(l *passage.Line, i int) error {
		s := as(l.Strokes[i], passage.Open, 0)
		s.Length = a.By
		if err := fits(*p, s.At, a.By); err != nil {
			return err
		}
		put(l, stretch{s.At, s.End()}, []passage.Stroke{s})
		if _, ok := strokeAt(*l, s.End()); !ok && l.Voice == passage.Hat && s.End().Less(p.Length()) {
			strike(l, passage.Stroke{At: s.End(), Kind: passage.Choke}) // the foot closes it
		}
		return nil
	})
}

// fits refuses a length that does not fit between a place and the end of the
// passage.
func fits(p passage.Passage, at, length meter.Rat) error {
	if left := p.Length().Sub(at); left.Less(length) || !length.Valid() {
		return refuse("write at most "+meter.FormatLength(left), "the passage ends %s after %s", lengthWords(left), p.Place(at))
	}
	return nil
}

func rung(p passage.Passage, a Args) string {
	return said(a.where(p), "the", voiceWords(a.Voices), agree(a.Voices, "rings", "ring"), "for", lengthWords(a.By))
}

func choke(p *passage.Passage, a Args) error {
	places, err := a.places(*p)
	if err != nil {
		return err
	}
	for _, v := range a.Voices {
		l, err := playing(p, v, passage.Choke)
		if err != nil {
			return err
		}
		for _, at := range places {
			if _, ok := strokeAt(*l, at); ok {
				return refuse("name a place between two strokes", "the %s has a stroke at %s", v, p.Place(at))
			}
			if !ringsAt(*p, *l, at) {
				return refuse("name a place where it rings", "the %s does not ring at %s", v, p.Place(at))
			}
			strike(l, passage.Stroke{At: at, Kind: passage.Choke})
		}
	}
	return nil
}

// ringsAt reports whether a voice still rings from an earlier stroke when it
// reaches a place. Strings and sub ring as long as they are written, muted
// strokes not at all; a cymbal rings for [ringBars] from its last stroke, the
// hat when that was open; drums do not ring.
func ringsAt(p passage.Passage, l passage.Line, at meter.Rat) bool {
	i, _ := indexAt(l, at)
	if i == 0 || !l.Strokes[i-1].Sounds() {
		return false
	}
	last := l.Strokes[i-1]
	switch l.Voice.Family() {
	case passage.Cymbals:
		bar := p.Bars[p.Place(at).Bar-1].Metre.Length().Mul(meter.Int(ringBars))
		return !bar.Less(at.Sub(last.At)) && (l.Voice != passage.Hat || last.Kind == passage.Open)
	case passage.Strings:
		muted := []passage.Kind{passage.Hit, passage.Accent, passage.Ghost}
		return at.Less(last.End()) && !slices.Contains(muted, last.Kind)
	case passage.Lows:
		return at.Less(last.End())
	}
	return false
}

func choked(p passage.Passage, a Args) string {
	return said(subject(a.Voices), agree(a.Voices, "is", "are"), "choked", a.where(p))
}
