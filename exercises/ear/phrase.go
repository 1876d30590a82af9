package ear

import (
	"errors"
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A phrase is what one voice plays in a few bars of the source, to be kept in
// mind.
type phrase struct {
	voice passage.Voice
	bars  [2]int  // first and last, from 1
	size  float64 // strokes to keep in mind, see toKeep
}

// The scale of the tasks in which a phrase is given back. What goes on evenly
// is kept in mind as one thing (common practice: players say "and so on"), so
// only strokes that stand otherwise count. The ends are our choice: two are the
// least that has a distance, sixteen the most that two to four bars of heavy
// riffs hold.
var strokesToKeep = Scale{
	Unit: "strokes", Means: "strokes to keep in mind; those that only go on in an even run do not count",
	Low: 2, High: 16, Log: true,
}

const startKept = 4

// How long a phrase is. Our choice: one or two bars, up to four where bars are
// short or where there is much to keep.
const (
	phraseBars = 2
	longPhrase = 8 // strokes to keep, from which a phrase may be longer
)

// phrase draws a phrase of the source with about as many strokes as asked; of
// those that can be answered.
func (m *maker) phrase(fits func(window, voice []meter.Rat, p passage.Passage) bool) (phrase, passage.Passage, error) {
	p := m.source.Passage
	if !sounds(p) {
		return phrase{}, p, noStrokes()
	}
	all := phrases(p, fits)
	if len(all) == 0 {
		return phrase{}, p, errors.New("no voice plays a phrase that can be given back, of two strokes or more within two bars; take another step")
	}
	ph := pickPhrase(all, m.d, m.rng.Float64())
	w, err := p.Section(ph.bars[0], ph.bars[1])
	if err != nil {
		return ph, p, err
	}
	w, problems := w.Regroup()
	if len(problems) > 0 {
		return ph, p, errors.New("the strokes stand in no cells; take a step with simpler divisions")
	}
	m.bars = ph.bars
	return ph, w, nil
}

// phrases returns the phrases of a passage that can be answered. A test gets
// the bar lines and the onsets, from the start of the passage.
func phrases(p passage.Passage, fits func(window, voice []meter.Rat, p passage.Passage) bool) []phrase {
	var all []phrase
	starts := p.Starts()
	for _, l := range p.Lines {
		if !asked(l.Voice) {
			continue
		}
		at := onsetsOf(l)
		for first := range p.Bars {
			beats := 0
			for last := first; last < len(p.Bars) && last-first < mostBars; last++ {
				beats += len(p.Bars[last].Metre.Beats())
				in := between(at, starts[first], starts[last+1])
				size := toKeep(in)
				long := last-first >= phraseBars
				if long && beats > phraseBars*phraseBeats && size < longPhrase {
					continue
				}
				if size >= int(strokesToKeep.Low) && fits(starts[first:last+2], in, p) {
					all = append(all, phrase{l.Voice, [2]int{first + 1, last + 1}, float64(size)})
				}
			}
		}
	}
	return all
}

// onsetsOf returns where a line strikes, in order.
func onsetsOf(l passage.Line) []meter.Rat {
	var all []meter.Rat
	for _, s := range l.Strokes {
		if s.Sounds() {
			all = append(all, s.At)
		}
	}
	return all
}

// between returns the places from one place to before another.
func between(at []meter.Rat, from, to meter.Rat) []meter.Rat {
	i := sort.Search(len(at), func(i int) bool { return !at[i].Less(from) })
	j := sort.Search(len(at), func(i int) bool { return !at[i].Less(to) })
	return at[i:j]
}

// toKeep counts the strokes that do not only go on at the distance before them.
func toKeep(at []meter.Rat) int {
	n := 0
	for i := range at {
		if i < 2 || at[i].Sub(at[i-1]) != at[i-1].Sub(at[i-2]) {
			n++
		}
	}
	return n
}

// pickPhrase takes a phrase of size d or somewhat less; of the smallest where
// all are longer. More is never answered with less: the bounds of what is taken
// rise with d, and so does the share u, 0 to 1, of what lies between.
func pickPhrase(all []phrase, d, u float64) phrase {
	sort.SliceStable(all, func(i, j int) bool { return all[i].size < all[j].size })
	high := all[0].size
	for _, p := range all {
		if p.size <= d {
			high = p.size
		}
	}
	from := sort.Search(len(all), func(i int) bool { return all[i].size*bandRatio > high })
	to := sort.Search(len(all), func(i int) bool { return all[i].size > high })
	return all[from+int(u*float64(to-from))]
}

// frame returns the voices that a phrase of a voice is heard with: cymbals and
// snare, by which one knows where one is, but for those that strike where it
// does, which would give it away.
func frame(p passage.Passage, v passage.Voice) []passage.Voice {
	own, _ := p.Line(v)
	var all []passage.Voice
	for _, w := range voicesOf(p) {
		l, _ := p.Line(w)
		if w != v && (w.Family() == passage.Cymbals || w == passage.Snare) && !locked(own, l) {
			all = append(all, w)
		}
	}
	return all
}

// locked reports whether half of what one line strikes is struck with another.
func locked(l, with passage.Line) bool {
	at := map[meter.Rat]bool{}
	for _, place := range onsetsOf(with) {
		at[place] = true
	}
	own := onsetsOf(l)
	n := 0
	for _, place := range own {
		if at[place] {
			n++
		}
	}
	return 2*n >= len(own)
}

// only returns a passage with the lines of some voices.
func only(p passage.Passage, voices []passage.Voice) passage.Passage {
	p = p.Clone()
	kept := p.Lines[:0]
	for _, l := range p.Lines {
		for _, v := range voices {
			if l.Voice == v {
				kept = append(kept, l)
			}
		}
	}
	p.Lines = kept
	return p
}

// phraseSound returns how a phrase sounds: with its frame, a bar counted in and
// a click on every beat.
func phraseSound(p passage.Passage) Sound {
	return Sound{Passage: p, Strip: p, CountIn: 1, Passes: 1, Click: ClickBeats}
}
