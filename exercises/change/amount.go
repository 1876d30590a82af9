package change

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// amounts returns proposals for a clause that says how much, when it is known
// who and where.
func (w view) amounts(c clause, a Args) []Args {
	var all []Args
	add := func(b Args) { all = append(all, b) }
	m := w.measured(a)
	w.wide = w.wide && !slices.ContainsFunc(a.At, func(r Range) bool { return r.From.Beat > 0 })
	switch c.param {
	case paramShift:
		for _, by := range m.shifts(w.wide) {
			add(Args{By: by})
		}
	case paramLength:
		lengths := m.steps
		if len(a.Places) > 0 {
			lengths = m.spans
		}
		for _, by := range lengths(c, w.wide) {
			add(Args{By: by})
		}
	case paramFactor:
		for _, f := range w.factors(m, a) {
			add(Args{Factor: f})
		}
	case paramCount:
		if n := m.evenly(); n > 0 {
			add(Args{Count: n})
		} else if w.wide && len(m.now) > 0 {
			add(Args{Count: len(m.now)})
		}
	case paramSemitones:
		for _, n := range m.bends() {
			add(Args{Count: n})
		}
	case paramGroups:
		for _, g := range m.groups() {
			add(Args{Groups: g})
		}
	case paramBar:
		for i := range min(len(w.a.Bars), len(w.b.Bars)) {
			if w.a.Bars[i].Metre != w.b.Bars[i].Metre {
				add(Args{Bar: i + 1})
			}
		}
	case paramMetre:
		if i := a.Bar - 1; i >= 0 && i < len(w.b.Bars) {
			add(Args{Metre: w.b.Bars[i].Metre})
		}
	case paramChoice:
		for _, word := range c.choices {
			add(Args{As: word})
		}
	case paramWord:
		add(Args{As: c.word})
	}
	return all
}

// A measured place is what stands, before and after, where a change is looked
// for.
type measured struct {
	p                  passage.Passage
	line               passage.Line // of the first voice, after
	in                 stretch
	was, now           []passage.Stroke // of the first voice, in the stretch
	added, gone        []passage.Stroke // of it, in all that differs
	begins             []meter.Rat      // the places named
	next, nowLength    meter.Rat        // from the first place: to the next stroke; of the stroke there
	lastGone, lastBeat meter.Rat        // to the end of the last stroke gone; of its beat
	kept               []passage.Stroke // that sound, of all voices named, in the stretch, after
	bent               []int
}

// measured looks at what the parameters name so far.
func (w view) measured(a Args) measured {
	m := measured{p: w.a, in: stretch{meter.Rat{}, w.a.Length()}}
	v := w.first(a)
	was, _ := w.a.Line(v)
	now, _ := w.b.Line(v)
	if all, err := a.stretches(w.a); err == nil {
		m.in = all[0]
		for _, s := range all {
			if len(strokesIn(was, s)) > 0 {
				m.in = s
				break
			}
		}
	}
	m.was, m.now, m.line = strokesIn(was, m.in), strokesIn(now, m.in), now
	for _, o := range a.Voices {
		l, _ := w.b.Line(o)
		m.kept = append(m.kept, onsetsIn(l, m.in)...)
	}
	for _, d := range w.diffs {
		if d.voice == v && d.added() {
			m.added = append(m.added, d.now)
		}
		if d.voice == v && d.removed() {
			m.gone = append(m.gone, d.was)
		}
		if b := int(d.now.Bend); b > 0 && !slices.Contains(m.bent, b) {
			m.bent = append(m.bent, b)
		}
	}
	if places, err := a.places(w.a); err == nil && len(places) > 0 {
		m.begins = places
		w.measureFrom(&m, a, places[0])
	}
	return m
}

// first returns the first voice that is named, or else that differs.
func (w view) first(a Args) passage.Voice {
	if len(a.Voices) > 0 {
		return a.Voices[0]
	}
	if len(w.voices) > 0 {
		return w.voices[0]
	}
	return passage.NoVoice
}

// measureFrom looks at what follows a place, in the voices named or in all.
func (w view) measureFrom(m *measured, a Args, at meter.Rat) {
	next := w.b.Length()
	for _, l := range w.b.Lines {
		if len(a.Voices) > 0 && !slices.Contains(a.Voices, l.Voice) {
			continue
		}
		i, begins := indexAt(l, at)
		if begins {
			if m.nowLength = l.Strokes[i].Length; !l.Voice.Sustained() {
				m.nowLength = meter.Rat{}
			}
			i++
		}
		if i < len(l.Strokes) && l.Strokes[i].At.Less(next) {
			next = l.Strokes[i].At
		}
	}
	m.next = next.Sub(at)
	for _, d := range w.diffs {
		if d.removed() && !d.at.Less(at) {
			m.lastGone = d.was.End().Sub(at)
			m.lastBeat = beatAt(w.a, d.at).to.Sub(at)
		}
	}
}

// distances collects lengths, each once, none of them 0.
type distances []meter.Rat

func (d *distances) add(all ...meter.Rat) {
	for _, x := range all {
		if x.Valid() && x.Sign() != 0 && !slices.Contains(*d, x) {
			*d = append(*d, x)
		}
	}
}

// maxMatched is how many strokes of a line are matched with the first one of
// another to find how far it moved, and maxShifts how many of the distances
// found that way are proposed. Our choice: two bars of eighths, and few.
const (
	maxMatched = 16
	maxShifts  = 4
)

// shifts returns how far strokes may have moved: from one of those there were
// to the first, or from the first to one, so that the others are met as well;
// the shift that meets most comes first.
func (m measured) shifts(wide bool) []meter.Rat {
	if len(m.was) == 0 {
		return nil
	}
	var all distances
	for _, pair := range [][2][]passage.Stroke{{m.gone, m.added}, {m.was, m.now}} {
		if was, now := pair[0], pair[1]; len(was) > 0 && len(now) > 0 {
			all.add(now[0].At.Sub(was[0].At), now[len(now)-1].At.Sub(was[len(was)-1].At))
		}
	}
	if len(m.now) > 0 {
		for _, s := range m.was[:min(len(m.was), maxMatched)] {
			by := m.now[0].At.Sub(s.At)
			all.add(by)
			if round := by.Add(m.in.length()); round.Less(by.Neg()) {
				all.add(round)
			}
		}
		for _, s := range m.now[:min(len(m.now), maxMatched)] {
			all.add(s.At.Sub(m.was[0].At))
		}
	}
	all = m.meeting(all, wide)
	if wide {
		all.add(offeredShifts...)
	}
	return all
}

// meeting keeps the few shifts that miss least, and only those that miss
// nothing unless all may be of use.
func (m measured) meeting(all []meter.Rat, wide bool) []meter.Rat {
	missed := map[meter.Rat]int{}
	for _, by := range all {
		missed[by] = m.missed(by)
	}
	all = slices.DeleteFunc(all, func(by meter.Rat) bool { return !wide && missed[by] > 0 })
	slices.SortStableFunc(all, func(a, b meter.Rat) int { return missed[a] - missed[b] })
	return all[:min(len(all), maxShifts)]
}

// missed counts the strokes of the stretch that, moved, meet none of those
// there are now. One that leaves the stretch is left out, or comes in again at
// its other end.
func (m measured) missed(by meter.Rat) int {
	n := 0
	for _, s := range m.was {
		at := s.At.Add(by)
		if _, ok := strokeAt(m.line, at); !ok && m.in.holds(at) {
			n++
		}
	}
	return n
}

// steps returns lengths of which strokes may be multiples from the bar line:
// those that came in, those that stayed, or those between them.
func (m measured) steps(c clause, wide bool) []meter.Rat {
	var all distances
	if c.word == "of" { // a cell
		all.add(m.cell())
		if len(m.now) > 0 {
			all.add(m.now[0].Length)
		}
		return all
	}
	if len(m.gone) == 0 || wide {
		m.multiplesOf(&all, m.added)
		for i := 1; i < len(m.now) && len(all) < maxMatched; i++ {
			all.add(m.now[i].At.Sub(m.now[i-1].At))
		}
	}
	if len(m.added) == 0 || wide {
		m.multiplesOf(&all, m.kept)
	}
	if wide {
		all.add(offeredLengths...)
	}
	return all
}

// multiplesOf adds the greatest length of which strokes are multiples from
// their bar lines, and some parts of it.
func (m measured) multiplesOf(all *distances, strokes []passage.Stroke) {
	if len(strokes) == 0 {
		return
	}
	starts := m.p.Starts()
	var step meter.Rat
	for _, s := range strokes {
		step = common(step, s.At.Sub(starts[m.p.Place(s.At).Bar-1]))
	}
	if step.Sign() == 0 { // on bar lines only: as far apart as they are
		all.add(m.p.Bars[0].Metre.Length(), m.p.Length())
		return
	}
	for n := int64(1); n <= 4; n++ {
		all.add(step.Div(meter.Int(n)))
	}
}

// common returns the greatest length that divides two.
func common(a, b meter.Rat) meter.Rat {
	for b.Sign() > 0 && b.Valid() && a.Valid() {
		q := a.Div(b)
		if !q.Valid() {
			return meter.Invalid
		}
		a, b = b, a.Sub(b.Mul(meter.Int(q.Floor())))
	}
	return a
}

// cell returns the greatest length of which the strokes are multiples from the
// start of the stretch.
func (m measured) cell() meter.Rat {
	var step meter.Rat
	for _, s := range m.now {
		step = common(step, s.At.Sub(m.in.from))
	}
	return step
}

// spans returns how long something may last from a place.
func (m measured) spans(_ clause, wide bool) []meter.Rat {
	var all distances
	all.add(m.nowLength, m.next, m.lastBeat, m.lastGone)
	if wide {
		all.add(offeredSpaces...)
	}
	return slices.DeleteFunc(all, func(l meter.Rat) bool { return l.Sign() < 0 })
}

// factors returns by how much distances from the start of the stretch may have
// grown or shrunk, as a factor above 1; or the ratio of the tempi.
func (w view) factors(m measured, a Args) []meter.Rat {
	var all distances
	for _, i := range a.bars(w.a) {
		if i < len(w.a.Bars) && i < len(w.b.Bars) && len(a.Voices) == 0 {
			all.add(w.b.Bars[i].Tempo.BPM.Div(w.a.Bars[i].Tempo.BPM))
		}
	}
	if len(a.Voices) == 0 {
		return all
	}
	was, now := m.off(m.was), m.off(m.now)
	if len(was) > 0 && len(now) > 0 {
		f := now[0].Div(was[0])
		if f.Less(meter.Int(1)) {
			f = f.Inv()
		}
		all.add(f)
	}
	if w.wide {
		all.add(offeredFactors...)
	}
	return all
}

// off returns how far strokes are from the start of the stretch, without one
// that stands on it.
func (m measured) off(strokes []passage.Stroke) []meter.Rat {
	var all []meter.Rat
	for _, s := range strokes {
		if m.in.from.Less(s.At) {
			all = append(all, s.At.Sub(m.in.from))
		}
	}
	return all
}

// evenly returns how many even strokes fill the stretch; 0 when they are not.
func (m measured) evenly() int {
	n := len(m.now)
	if n == 0 || m.now[0].At != m.in.from {
		return 0
	}
	cell := m.in.length().Div(meter.Int(int64(n)))
	for i := 1; i < n; i++ {
		if m.now[i].At.Sub(m.now[i-1].At) != cell {
			return 0
		}
	}
	return n
}

// bends returns how far strokes are bent that were not, or otherwise.
func (m measured) bends() []int { return m.bent }

// groups returns the groups, in sixteenths or in the greatest cell there is,
// that lie between accents; the shortest pattern that goes round.
func (m measured) groups() [][]int {
	if len(m.now) == 0 || m.now[0].At != m.in.from || m.now[0].Kind != passage.Accent {
		return nil
	}
	var all [][]int
	for _, cell := range []meter.Rat{defaultCell, m.cell(), m.now[0].Length} {
		if g := m.pattern(cell); len(g) > 0 && !slices.ContainsFunc(all, func(o []int) bool { return slices.Equal(o, g) }) {
			all = append(all, g)
		}
	}
	return all
}

// pattern returns the cells from accent to accent, as far as they do not
// repeat.
func (m measured) pattern(cell meter.Rat) []int {
	var groups []int
	last := m.in.from
	ends := append(slices.Clone(m.now[1:]), passage.Stroke{At: m.in.to, Kind: passage.Accent})
	for _, s := range ends {
		if s.Kind != passage.Accent {
			continue
		}
		n := s.At.Sub(last).Div(cell)
		if n.Den() != 1 && s.At != m.in.to {
			return nil
		}
		groups, last = append(groups, int(-n.Neg().Floor())), s.At // the last one may be cut short
	}
	for size := 1; size < len(groups); size++ {
		if goesRound(groups, size) {
			return groups[:size]
		}
	}
	return groups
}

// goesRound reports whether groups repeat the first ones; the last may be cut
// short.
func goesRound(groups []int, size int) bool {
	for i := size; i < len(groups); i++ {
		if last := i == len(groups)-1; groups[i] != groups[i-size] && !(last && groups[i] < groups[i-size]) {
			return false
		}
	}
	return true
}
