package change

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Scope is who reads something otherwise, and where: what a reading of a
// passage is about. Changes that name no voices have a scope without.
type Scope struct {
	Voices []passage.Voice
	At     []Range // nil: throughout
}

// A Reader enumerates the readings of a passage: the concrete changes that a
// player may have made of it without knowing. All of the catalogue is in it,
// with every amount that players fall into; what of it makes a difference, the
// caller sees by [Change.Sketch].
//
// The readings are shared out to scopes, so that a caller who knows where
// something happened asks for those only: [Reader.Scopes], then
// [Reader.Readings] of each that is of interest.
type Reader struct {
	p           passage.Passage
	part        []passage.Voice // that the player has taken over
	others      []passage.Voice // that strokes may have gone to
	first, last int             // bars played, from 1
	beats       []passage.Beat  // of the bars played
	starts      []meter.Rat
	how         map[string][]Args // amounts that do not depend on the scope
}

// NewReader returns the reader of a passage of which bars first to last (from
// 1) are played. The part is what the player has taken over; others are voices
// outside of it that were struck as well.
func NewReader(p passage.Passage, part, others []passage.Voice, first, last int) *Reader {
	r := &Reader{p: p, part: part, others: others, first: first, last: last, starts: p.Starts(), how: map[string][]Args{}}
	for _, b := range p.Beats() {
		if b.Bar >= first && b.Bar <= last {
			r.beats = append(r.beats, b)
		}
	}
	return r
}

// Sketch makes the change without the checks of [Change.Apply] and only of the
// lines that it names: the others are left out, and lengths may be missing. It
// is for searches: believe what they find after Apply.
func (c Change) Sketch(p passage.Passage) (passage.Passage, bool) {
	if c.Entry == nil || !c.Args.usable() {
		return p, false
	}
	return c.sketch(p)
}

// Names reports whether the change works on a voice: one that it names, or any
// if it names none.
func (c Change) Names(v passage.Voice) bool { return c.names(v) }

// Weight says how much there is to read in the change, for choosing the simpler
// of two: less for whole voices, more for numbers, parts of bars and places.
func (c Change) Weight() int { return c.weight()<<8 + c.Entry.suits(c.Args.Voices) }

// Span returns the stretches of the passage that the scope is about, in quarter
// notes, as pairs from and to.
func (s Scope) Span(p passage.Passage) [][2]meter.Rat {
	all, err := Args{At: s.At}.stretches(p)
	if err != nil {
		return nil
	}
	out := make([][2]meter.Rat, len(all))
	for i, st := range all {
		out[i] = [2]meter.Rat{st.from, st.to}
	}
	return out
}

// How far scopes reach. Our choice: a phrase.
const (
	mostBarsRead  = 4 // a run of bars that is not all of them
	mostBeatsRead = 4 // a run of beats that is no run of bars
)

// Scopes returns what readings may be about: no voice in particular, and each
// of some sets of voices, throughout, in runs of bars, in runs of beats, and on
// the same beat of every bar.
func (r *Reader) Scopes(sets [][]passage.Voice) []Scope {
	wheres := r.wheres()
	var all []Scope
	for _, voices := range append([][]passage.Voice{nil}, sets...) {
		for _, at := range wheres {
			all = append(all, Scope{voices, at})
		}
	}
	return all
}

// wheres returns the ranges of the scopes.
func (r *Reader) wheres() [][]Range {
	all := [][]Range{nil}
	bars := r.last - r.first + 1
	for n := 1; n <= min(mostBarsRead, bars); n++ {
		for b := r.first; b+n-1 <= r.last; b++ {
			if n < len(r.p.Bars) {
				all = append(all, []Range{{Spot{Bar: b}, Spot{Bar: b + n - 1}}})
			}
		}
	}
	for n := 1; n <= mostBeatsRead; n++ {
		for i := 0; i+n <= len(r.beats); i++ {
			all = r.beatRun(all, i, n)
		}
	}
	return append(all, r.sameBeats()...)
}

// beatRun adds the run of n beats from the i-th on, unless it is a run of bars.
func (r *Reader) beatRun(all [][]Range, i, n int) [][]Range {
	from, to := r.beats[i], r.beats[i+n-1]
	whole := from.Number == 1 && (i+n == len(r.beats) || r.beats[i+n].Number == 1)
	if whole && (n > 1 || len(r.p.Bars) > 1) {
		return all
	}
	return append(all, []Range{{Spot{Bar: from.Bar, Beat: from.Number}, Spot{Bar: to.Bar, Beat: to.Number}}})
}

// sameBeats returns the same beat in every bar, and in every other one.
func (r *Reader) sameBeats() [][]Range {
	var all [][]Range
	for every := 1; every <= 2; every++ {
		for first := range every {
			for number := 1; number <= meter.MaxBeats; number++ {
				var at []Range
				for _, b := range r.beats {
					if b.Number == number && (b.Bar-r.first)%every == first {
						spot := Spot{Bar: b.Bar, Beat: b.Number}
						at = append(at, Range{spot, spot})
					}
				}
				if len(at) > 1 && len(at) <= maxRuns {
					all = append(all, at)
				}
			}
		}
	}
	return all
}

// mostLocked is the most voices that strike alike of which every choice is a
// scope. Our choice: kick, guitar and bass.
const mostLocked = 3

// Together returns the sets of voices of the part that may be read together:
// each alone, all, those of one instrument, and those that strike alike.
func (r *Reader) Together() [][]passage.Voice {
	var all [][]passage.Voice
	add := func(set []passage.Voice) {
		twice := slices.ContainsFunc(all, func(o []passage.Voice) bool { return slices.Equal(o, set) })
		if len(set) > 0 && !twice {
			all = append(all, set)
		}
	}
	those := func(in func(passage.Voice) bool) {
		add(slices.DeleteFunc(slices.Clone(r.part), func(v passage.Voice) bool { return !in(v) }))
	}
	those(func(passage.Voice) bool { return true })
	for _, v := range r.part {
		add([]passage.Voice{v})
	}
	those(func(v passage.Voice) bool { return side(v) == "kit" })
	those(func(v passage.Voice) bool { return side(v) == "strings" })
	those(func(v passage.Voice) bool { return v.Family() != passage.Cymbals })
	those(func(v passage.Voice) bool { return v.Family() == passage.Cymbals })
	for _, v := range r.part {
		locked := slices.DeleteFunc(slices.Clone(r.part), func(w passage.Voice) bool { return v != w && !r.alike(v, w) })
		add(locked)
		if len(locked) == mostLocked {
			for out := range locked {
				add(slices.Delete(slices.Clone(locked), out, out+1))
			}
		}
	}
	return all
}

// alike reports whether two voices strike together more often than apart.
func (r *Reader) alike(v, w passage.Voice) bool {
	a, _ := r.p.Line(v)
	b, _ := r.p.Line(w)
	both := 0
	for _, s := range a.Strokes {
		if _, ok := strokeAt(b, s.At); ok {
			both++
		}
	}
	return 3*both > len(a.Strokes)+len(b.Strokes) // more than half of all places
}

// Readings returns the readings of a scope, in the order of the catalogue:
// those of all its voices together, and those of each with another one. Those
// that a change of places makes are in the scopes of single beats, and of one
// beat of every bar.
func (r *Reader) Readings(s Scope) []Change {
	var all []Change
	for i := range entries() {
		e := &entries()[i]
		switch {
		case e.plain(), e.named() != (len(s.Voices) > 0), len(e.clauses) == 0 && s.At != nil:
		case e.Single():
			for _, v := range s.Voices {
				all = append(all, r.readings(e, Scope{[]passage.Voice{v}, s.At})...)
			}
		default:
			all = append(all, r.readings(e, s)...)
		}
	}
	return all
}

// Single reports whether an entry is about one voice, or about two of which
// each has its own place.
func (e *Entry) Single() bool {
	return slices.ContainsFunc(e.clauses, func(c clause) bool {
		return c.param == paramTwo || c.param == paramVoice && c.word == ""
	})
}

// readings returns those of one entry.
func (r *Reader) readings(e *Entry, s Scope) []Change {
	found := []Args{{}}
	for _, c := range whoFirst(e.clauses) {
		var more []Args
		for _, a := range found {
			for _, b := range r.choices(e, c, s, a) {
				more = append(more, a.joined(b))
			}
		}
		found = more
	}
	all := make([]Change, len(found))
	for i, a := range found {
		all[i] = Change{e, a}
	}
	return all
}

// OfBars reports whether the change is about whole bars: their number, metre or
// tempo.
func (c Change) OfBars() bool { return c.Entry != nil && c.Entry.form() }

// Each reports whether the change does the same to each voice that it names,
// whatever others it names.
func (c Change) Each() bool {
	return c.Entry != nil && !c.Entry.Single() && c.Entry.named() && c.Entry.Name != "reverse"
}

// plain reports whether an entry makes no onset other than it was.
func (e *Entry) plain() bool {
	return slices.Contains([]string{"accent", "ghost", "choke", "bend", "flam", "drag", "chord", "noise"}, e.Name)
}

// named reports whether an entry names voices.
func (e *Entry) named() bool {
	return slices.ContainsFunc(e.clauses, func(c clause) bool {
		return c.param == paramVoices || c.param == paramTwo || c.param == paramVoice
	})
}

// choices returns what a clause may hold in a scope, with what is chosen so
// far; none where the entry makes no sense there.
func (r *Reader) choices(e *Entry, c clause, s Scope, a Args) []Args {
	switch c.param {
	case paramVoices:
		return []Args{{Voices: s.Voices}}
	case paramTwo:
		return choose(r.partners(s), func(a *Args, pair []passage.Voice) { a.Voices = pair })
	case paramVoice:
		if c.word == "to" {
			return choose(r.targets(e, s), func(a *Args, v passage.Voice) { a.To = v })
		}
		if len(s.Voices) == 1 {
			return []Args{{Voices: s.Voices}}
		}
	case paramRanges, paramRange, paramBars:
		return r.where(c, s)
	case paramPlaces, paramPlace:
		return choose(r.places(e, s), func(a *Args, at []Spot) { a.Places = at })
	case paramBar:
		if n := len(s.At); n == 1 && s.At[0].From.Beat == 0 && s.At[0].From == s.At[0].To {
			return []Args{{Bar: s.At[0].From.Bar}}
		}
	case paramMetre:
		return choose(suggester{p: r.p}.shorterBar(a.Bar), func(a *Args, m meter.Metre) { a.Metre = m })
	default:
		return r.amounts(e, c, s)
	}
	return nil
}

// where returns the ranges of a scope as a clause takes them.
func (r *Reader) where(c clause, s Scope) []Args {
	switch {
	case s.At == nil && c.optional:
		return []Args{{}}
	case s.At == nil:
		return []Args{{At: []Range{{Spot{Bar: r.first}, Spot{Bar: r.last}}}}}
	case c.param == paramRange && len(s.At) > 1, c.param == paramBars && s.At[0].From.Beat > 0:
		return nil
	}
	return []Args{{At: s.At}}
}

// partners are the pairs of one voice with each other of the part that it may
// change places with, each pair once.
func (r *Reader) partners(s Scope) [][]passage.Voice {
	var all [][]passage.Voice
	if len(s.Voices) != 1 {
		return nil
	}
	for _, v := range append(slices.Clone(r.part), r.others...) {
		if exchangeable(s.Voices[0], v) == nil && (s.Voices[0] < v || !slices.Contains(r.part, v)) {
			all = append(all, []passage.Voice{s.Voices[0], v})
		}
	}
	return all
}

// targets are the voices that strokes may have gone to, or been locked to.
func (r *Reader) targets(e *Entry, s Scope) []passage.Voice {
	var all []passage.Voice
	candidates := r.p.Voices()
	if e.Name == "move" {
		candidates = append(slices.Clone(r.part), r.others...)
	}
	for _, v := range candidates {
		fits := e.Name != "move" || exchangeable(s.Voices[0], v) == nil
		itself := len(s.Voices) == 1 && v == s.Voices[0]
		if fits && v != passage.Click && !itself {
			all = append(all, v)
		}
	}
	return all
}

// places returns the sets of places that one reading names: in a scope of
// single beats, one place in each, as far into it.
func (r *Reader) places(e *Entry, s Scope) [][]Spot {
	for _, at := range s.At {
		if at.From.Beat == 0 || at.From != at.To {
			return nil
		}
	}
	var all [][]Spot
	for _, into := range r.offsets(e, s) {
		var set []Spot
		for _, at := range s.At {
			set = append(set, Spot{Bar: at.From.Bar, Beat: at.From.Beat, Into: into})
		}
		all = append(all, set)
	}
	return all
}

// offsets returns how far into the first beat of a scope a place may be: where
// a stroke begins or, of what puts something where there may be none, where a
// cell does.
func (r *Reader) offsets(e *Entry, s Scope) []meter.Rat {
	if len(s.At) == 0 {
		return nil
	}
	var all []meter.Rat
	add := func(into meter.Rat) {
		if !slices.Contains(all, into) {
			all = append(all, into)
		}
	}
	at, length, err := spotIn(r.p, s.At[0].From)
	if err != nil {
		return nil
	}
	if onStrokes(e) {
		for _, v := range s.Voices {
			l, _ := r.p.Line(v)
			for _, stroke := range onsetsIn(l, stretch{at, at.Add(length)}) {
				add(stroke.At.Sub(at))
			}
		}
		return all
	}
	for _, cell := range append(r.cells(s), length.Div(meter.Int(2)), length.Div(meter.Int(4))) {
		for into := (meter.Rat{}); cell.Sign() > 0 && into.Less(length); into = into.Add(cell) {
			add(into)
		}
	}
	return all
}

// cells returns the lengths of the cells in which the scope's voices are
// written where it is, longest first; of all voices where it names none.
func (r *Reader) cells(s Scope) []meter.Rat {
	var all distances
	spans, err := Args{At: s.At}.stretches(r.p)
	if err != nil {
		return nil
	}
	for _, l := range r.p.Lines {
		if len(s.Voices) > 0 && !slices.Contains(s.Voices, l.Voice) {
			continue
		}
		for _, g := range l.Groups {
			in := slices.ContainsFunc(spans, func(s stretch) bool { return g.At.Less(s.to) && s.from.Less(g.End()) })
			if cell := g.Cell(); in && !cell.Less(shortest) {
				all.add(cell)
			}
		}
	}
	slices.SortFunc(all, func(a, b meter.Rat) int { return b.Cmp(a) })
	return all
}
