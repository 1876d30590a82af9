package change

import (
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// proposals returns changes of an entry that may explain what a view shows,
// with parameters of the types in its form, found in what differs. Where bars
// differ in metre, only changes of bars are proposed: they move all the rest.
func (w view) proposals(e *Entry) []Change {
	if !e.form() && !sameForm(w.a, w.b) {
		return nil
	}
	return w.propose(e)
}

// simplestFirst sorts changes by their weight, and of equal ones by what one
// thinks of first for their voices.
func simplestFirst(all []Change) []Change {
	weights := make([]weighted, len(all))
	for i, c := range all {
		weights[i] = weighted{c, c.weight()<<8 + c.Entry.suits(c.Args.Voices)}
	}
	slices.SortStableFunc(weights, func(a, b weighted) int { return a.weight - b.weight })
	for i, w := range weights {
		all[i] = w.Change
	}
	return all
}

// A weighted change has its place in an order.
type weighted struct {
	Change
	weight int
}

// form reports whether an entry is about whole bars: it names neither voices
// nor places.
func (e *Entry) form() bool {
	return !slices.ContainsFunc(e.clauses, func(c clause) bool {
		return c.param != paramBar && c.param != paramMetre && c.param != paramBars && c.param != paramFactor
	})
}

// weight says how much there is to read in a change, for choosing the simpler
// one: nothing for a whole voice, one for each number, part or place, and more
// for parts that begin or end inside a bar or a beat. Our choice.
func (c Change) weight() int {
	n := 0
	for _, r := range c.Args.At {
		n += 2
		if r.From.Beat > 0 && r.From != r.To {
			n++
		}
		if r.From.Into.Sign() > 0 {
			n++
		}
	}
	n += 2*len(c.Args.Places) + len(c.Args.Groups)
	for _, given := range []bool{c.Args.Count > 0, c.Args.Factor.Sign() > 0, c.Args.As != "", c.Args.To.Valid(), c.Args.Bar > 0} {
		if given {
			n++
		}
	}
	if c.Args.By.Sign() != 0 {
		n += 1 + min(int(c.Args.By.Den())/8, 3)
	}
	return n
}

// propose returns changes of one entry.
func (w view) propose(e *Entry) []Change {
	if about := e.about(); about != nil && !slices.ContainsFunc(w.voices, func(v passage.Voice) bool { return slices.Contains(about, v) }) {
		return nil
	}
	found := []Args{{}}
	for _, c := range whoFirst(e.clauses) {
		var more []Args
		for _, a := range found {
			more = append(more, w.fill(c, a)...)
		}
		found = more
	}
	var all []Change
	for _, a := range found {
		if a.usable() && w.covered(e, a) {
			all = append(all, Change{e, a})
		}
	}
	return all
}

// about returns the voices that stand in the name of an entry; nil for none.
func (e *Entry) about() []passage.Voice {
	var all []passage.Voice
	for _, word := range strings.Fields(e.Name) {
		if v, ok := passage.VoiceNamed(word); ok {
			all = append(all, v)
		}
		if word == "toms" {
			all = append(all, toms...)
		}
	}
	return all
}

// whoFirst puts the clauses that say who before those that say where, and
// these before those that say how much, which depends on them.
func whoFirst(clauses []clause) []clause {
	order := func(c clause) int {
		switch c.param {
		case paramVoices, paramTwo, paramVoice:
			return 0
		case paramRanges, paramRange, paramBars, paramPlaces, paramPlace, paramBar:
			return 1
		}
		return 2
	}
	all := slices.Clone(clauses)
	slices.SortStableFunc(all, func(a, b clause) int { return order(a) - order(b) })
	return all
}

// covered reports whether a change that names voices names all that differ.
func (w view) covered(e *Entry, a Args) bool {
	if len(a.Voices) == 0 {
		return true
	}
	for _, v := range w.voices {
		if !slices.Contains(a.Voices, v) && v != a.To {
			return false
		}
	}
	return true
}

// fill returns the parameters with each proposal for one more clause.
func (w view) fill(c clause, a Args) []Args {
	var all []Args
	if c.optional {
		all = append(all, a)
	}
	join := func(b Args) { all = append(all, a.joined(b)) }
	switch c.param {
	case paramVoices:
		join(Args{Voices: w.voices})
	case paramTwo:
		if len(w.voices) == 2 {
			join(Args{Voices: w.voices})
		}
	case paramVoice:
		for _, b := range w.voice(c, a) {
			join(b)
		}
	case paramRanges, paramRange:
		for _, at := range w.ranges(c) {
			join(Args{At: at})
		}
	case paramBars:
		for _, at := range w.bars() {
			join(Args{At: at})
		}
	case paramPlaces, paramPlace:
		for _, places := range w.places() {
			join(Args{Places: places})
		}
	default:
		for _, b := range w.amounts(c, a) {
			join(b)
		}
	}
	return all
}

func (w view) voice(c clause, a Args) []Args {
	var all []Args
	if c.word != "to" {
		for _, v := range w.voices {
			all = append(all, Args{Voices: []passage.Voice{v}})
		}
		return all
	}
	for v := passage.China; v <= passage.Click; v++ {
		_, stands := w.a.Line(v)
		if !slices.Contains(a.Voices, v) && (stands || slices.Contains(w.voices, v)) {
			all = append(all, Args{To: v})
		}
	}
	return all
}

// far is how many bars before and after what differs a range is thought to
// begin and end. Our choice: a phrase.
const far = 4

// ranges returns ranges over all that differs, and over what is gone: what was
// shifted stood there. The range of a change may begin before the first place
// that differs, and end after the last.
func (w view) ranges(c clause) [][]Range {
	var all [][]Range
	if !c.optional {
		all = append(all, []Range{{Spot{Bar: 1}, Spot{Bar: len(w.a.Bars)}}})
	}
	if len(w.diffs) == 0 {
		return all
	}
	gone := w.only(func(d difference) bool { return !d.added() })
	for _, part := range []view{w, gone} {
		if n := len(part.diffs); n > 0 {
			all = append(all, w.around(part.diffs[0].at, part.diffs[n-1].at)...)
		}
	}
	if c.param == paramRanges {
		all = append(all, w.several()...)
	}
	return slices.CompactFunc(all, func(a, b []Range) bool { return slices.Equal(a, b) })
}

// around returns the ranges that hold two places.
func (w view) around(first, last meter.Rat) [][]Range {
	beats := w.a.Beats()
	at := func(place meter.Rat) int {
		i := slices.IndexFunc(beats, func(b passage.Beat) bool { return place.Less(b.At) })
		if i < 0 {
			i = len(beats)
		}
		return max(i-1, 0)
	}
	i, j := at(first), at(last)
	var all [][]Range
	for _, to := range w.ends(beats, j) {
		for _, from := range w.begins(beats, i, first) {
			all = append(all, []Range{rangeFromTo(beats, from, to)})
		}
	}
	return all
}

// begins returns where a range may begin: on a beat of the bar, a bar line
// before it, or where the first difference is.
func (w view) begins(beats []passage.Beat, i int, first meter.Rat) []Spot {
	var all []Spot
	for k, bars := i, 0; k >= 0 && bars < w.reach; k-- {
		if b := beats[k]; b.Bar == beats[i].Bar || b.Number == 1 {
			all = append(all, Spot{Bar: b.Bar, Beat: b.Number})
		}
		if beats[k].Number == 1 {
			bars++
		}
	}
	if into := first.Sub(beats[i].At); into.Sign() > 0 && into.Less(beats[i].Length) {
		all = append(all, Spot{Bar: beats[i].Bar, Beat: beats[i].Number, Into: into})
	}
	return all
}

// ends returns where a range may end: with a beat of the bar, or a later bar.
func (w view) ends(beats []passage.Beat, j int) []Spot {
	var all []Spot
	for k, bars := j, 0; k < len(beats) && bars < w.reach; k++ {
		b := beats[k]
		last := k+1 == len(beats) || beats[k+1].Number == 1
		if b.Bar == beats[j].Bar || last {
			all = append(all, Spot{Bar: b.Bar, Beat: b.Number})
		}
		if last {
			bars++
		}
	}
	return all
}

// rangeFromTo writes a range in whole bars where it is.
func rangeFromTo(beats []passage.Beat, from, to Spot) Range {
	last := !slices.Contains(spotsOf(beats), Spot{Bar: to.Bar, Beat: to.Beat + 1})
	if from.Beat == 1 && from.Into.Sign() == 0 && last {
		from.Beat, to.Beat = 0, 0
	}
	return Range{from, to}
}

func spotsOf(beats []passage.Beat) []Spot {
	all := make([]Spot, len(beats))
	for i, b := range beats {
		all[i] = Spot{Bar: b.Bar, Beat: b.Number}
	}
	return all
}

// several returns the bars, and the beats, in which something differs, where
// they do not hang together.
func (w view) several() [][]Range {
	var all [][]Range
	beats := w.a.Beats()
	for _, bars := range []bool{true, false} {
		var ranges, exact []Range
		for _, s := range w.runs(bars) {
			from, to := w.a.Place(s.from), w.a.Place(s.from)
			for _, b := range beats {
				if s.holds(b.At) {
					to = Spot{Bar: b.Bar, Beat: b.Number}
				}
			}
			ranges = append(ranges, rangeFromTo(beats, from, to))
			first := slices.IndexFunc(w.diffs, func(d difference) bool { return s.holds(d.at) })
			exact = append(exact, rangeFromTo(beats, w.a.Place(w.diffs[first].at), to))
		}
		if n := len(ranges); n > 1 && n <= maxRuns {
			all = append(all, ranges, exact)
		}
	}
	return all
}

// maxRuns is the most ranges, or places, that are proposed in one change. Our
// choice: more do not fit the text of a change.
const maxRuns = 24

// bars returns the bars whose tempo differs.
func (w view) bars() [][]Range {
	var all []Range
	for i, b := range w.a.Bars {
		if i >= len(w.b.Bars) || b.Tempo == w.b.Bars[i].Tempo {
			continue
		}
		if n := len(all); n > 0 && all[n-1].To.Bar == i {
			all[n-1].To.Bar = i + 1
		} else {
			all = append(all, Range{Spot{Bar: i + 1}, Spot{Bar: i + 1}})
		}
	}
	out := [][]Range{}
	if len(all) > 0 {
		out = append(out, all)
	}
	for _, r := range all {
		out = append(out, []Range{r})
	}
	return out
}

// places returns sets of places: where strokes came in or went, where they are
// now of some kind, half a beat before those that came in, and single ones
// where something began, or was made shorter.
func (w view) places() [][]Spot {
	p := w.a
	var all [][]meter.Rat
	where := func(keep func(difference) (meter.Rat, bool)) {
		var set []meter.Rat
		for _, d := range w.diffs {
			if at, ok := keep(d); ok && !slices.Contains(set, at) {
				set = append(set, at)
			}
		}
		all = append(all, set)
	}
	if len(w.diffs) > 0 {
		first := w.diffs[0].at
		all = append(all, []meter.Rat{first}, []meter.Rat{beatAt(p, first).from})
	}
	where(func(d difference) (meter.Rat, bool) { return d.at, d.added() })
	where(func(d difference) (meter.Rat, bool) { return d.at, d.removed() })
	where(func(d difference) (meter.Rat, bool) { return d.at, d.cut() })
	where(func(d difference) (meter.Rat, bool) { return d.now.At, d.cut() }) // a stroke made shorter by name
	for _, k := range passage.Kinds() {
		where(func(d difference) (meter.Rat, bool) { return d.now.At, d.now.Kind == k && !d.cut() })
		where(func(d difference) (meter.Rat, bool) { return d.now.At, d.now.Kind == k && !d.cut() && !d.added() })
	}
	where(func(d difference) (meter.Rat, bool) { return d.at.Sub(halfBeat(p, d.at)), d.now.Kind == passage.Accent })
	where(func(d difference) (meter.Rat, bool) {
		before := beatAt(p, d.at.Sub(meter.R(1, meter.MaxDen)))
		return d.at.Sub(before.length().Div(meter.Int(2))), d.now.Kind == passage.Accent
	})
	return w.spots(all)
}

// spots writes sets of places, each set once.
func (w view) spots(sets [][]meter.Rat) [][]Spot {
	var all [][]Spot
	for _, set := range sets {
		slices.SortFunc(set, meter.Rat.Cmp)
		var spots []Spot
		for _, at := range set {
			if at.Sign() >= 0 && at.Less(w.a.Length()) {
				spots = append(spots, w.a.Place(at))
			}
		}
		new := !slices.ContainsFunc(all, func(o []Spot) bool { return slices.Equal(o, spots) })
		if n := len(spots); n > 0 && n <= maxRuns && new {
			all = append(all, spots)
		}
	}
	return all
}
