package grade

import (
	"encoding/binary"
	"fmt"
	"slices"
	"sort"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A group is written strokes that players speak of together: a voice, a bar, a
// place in the beat, the kicks after the snare. Groups are what one part of a
// take is held against the rest by.
type group struct {
	name  string        // begins a sentence: "The kick", "Kicks after the snare"
	many  bool          // the name is plural
	where string        // ends one: "on the kick", "kicks after the snare"
	rest  string        // name of all that is not in it, where that has one: "the snare"
	of    []int         // indices of its positions, in order
	pass  int           // from 1; 0: every pass
	bar   int           // the one bar that all of it is in, or 0
	voice passage.Voice // the one voice that it is, or NoVoice
	kind  groupKind
	block bool // its strokes follow each other, so that a wavering tempo moves all of them
}

// A groupKind is what a group is made by.
type groupKind uint8

const (
	byWords groupKind = iota // anything that takes words: "kicks after the snare"
	ofVoice
	ofLimb
	ofBar
	ofPass
	ofCell   // a bar of one pass
	ofStroke // one written stroke
)

// large reports whether a group is a voice, limb, bar or pass.
func (g group) large() bool { return g.kind >= ofVoice && g.kind <= ofPass }

// A grouping makes the groups of a part.
type grouping struct {
	*report
	voices []passage.Voice // of the part
	all    []group
	seen   map[string]bool
}

// groups returns the groups of the part with some strokes in them and some not,
// the name that says most first; of two with the same strokes only the first.
func (r *report) groups() []group {
	if r.parts == nil {
		r.parts = r.makeGroups()
	}
	return r.parts
}

func (r *report) makeGroups() []group {
	m := grouping{report: r, seen: map[string]bool{}}
	var part VoiceSet
	for _, pos := range r.Positions {
		part |= pos.Voices
	}
	m.voices = part.Voices()
	m.byVoice()
	m.byLimb()
	m.byBar()
	m.byPass()
	m.byNeighbour()
	m.byStroke()
	m.afterRest()
	m.byPlace()
	m.byPosition()
	return m.all
}

// add adds a group of the positions that are chosen, if it is a new one.
func (m *grouping) add(g group, chosen func(i int) bool) { m.addOf(g, m.pick(chosen)) }

// several is add for a group that is worth a name only where it has more than
// one written stroke.
func (m *grouping) several(g group, chosen func(i int) bool) {
	if of := m.pick(chosen); len(of) > 1 {
		m.addOf(g, of)
	}
}

func (m *grouping) pick(chosen func(i int) bool) []int {
	var of []int
	for i := range m.Positions {
		if chosen(i) {
			of = append(of, i)
		}
	}
	return of
}

func (m *grouping) addOf(g group, of []int) {
	if len(of) == 0 || len(of) == len(m.Positions) && g.pass == 0 {
		return
	}
	key := []byte{byte(g.pass)}
	for _, i := range of {
		key = binary.AppendUvarint(key, uint64(i))
	}
	if m.seen[string(key)] {
		return
	}
	m.seen[string(key)] = true
	first, last := m.Positions[of[0]].Place.Bar, m.Positions[of[len(of)-1]].Place.Bar
	if first == last && len(m.ByBar) > 1 {
		g.bar = first
	}
	g.of = of
	m.all = append(m.all, g)
}

func (m *grouping) byVoice() {
	for i, v := range m.voices {
		g := group{name: "The " + spokenVoice(v), where: "on the " + spokenVoice(v), voice: v, kind: ofVoice}
		if len(m.voices) == 2 && !m.g.oneKey {
			g.rest = "the " + spokenVoice(m.voices[1-i])
		}
		m.add(g, func(i int) bool { return m.has(i, v) })
	}
}

// byLimb groups by limb where the taps tell which voice was struck: whoever
// plays two voices on one key does not play them with these limbs.
func (m *grouping) byLimb() {
	if m.g.oneKey && len(m.voices) > 1 {
		return
	}
	of := m.g.limbsOf(m.p, m.pedals)
	for i, f := range m.ByLimb {
		g := group{name: "The " + f.Limb.String(), where: "with the " + f.Limb.String(), kind: ofLimb}
		if len(m.ByLimb) == 2 && !m.g.oneKey {
			g.rest = "the " + m.ByLimb[1-i].Limb.String()
		}
		m.add(g, func(i int) bool { return slices.Contains(of[i], int(f.Limb)) })
	}
}

func (m *grouping) byBar() {
	for i, b := range m.ByBar {
		g := group{name: fmt.Sprintf("Bar %d", b.Bar), where: fmt.Sprintf("in bar %d", b.Bar), block: true, kind: ofBar}
		if len(m.ByBar) == 2 {
			g.rest = fmt.Sprintf("bar %d", m.ByBar[1-i].Bar)
		}
		m.add(g, func(i int) bool { return m.Positions[i].Place.Bar == b.Bar })
	}
}

func (m *grouping) byPass() {
	passes := m.g.passes()
	if passes == 1 || passes > mostPasses {
		return
	}
	for pass := 1; pass <= passes; pass++ {
		g := group{name: fmt.Sprintf("Pass %d", pass), where: fmt.Sprintf("in pass %d", pass), pass: pass, block: true, kind: ofPass}
		if passes == 2 {
			g.rest = fmt.Sprintf("pass %d", 3-pass)
		}
		m.add(g, func(int) bool { return true })
	}
}

// mostPasses is up to how many passes each is held against the others: with
// more, no player remembers which it was. Our choice.
const mostPasses = 16

// passes returns how many passes were begun.
func (g *grader) passes() int { return len(g.expected.Onsets) / len(g.expected.Positions) }

// byNeighbour makes the groups of a voice's strokes after and with another's.
// After is at most a beat after, with neither of the two between.
func (m *grouping) byNeighbour() {
	for _, v := range m.voices {
		for _, l := range m.p.Lines {
			w := l.Voice
			if w == v || w == passage.Click {
				continue
			}
			if w.Family() == passage.Drums {
				after := m.follows(v, l)
				m.several(m.strokes(v, "after the "+spokenVoice(w)), func(i int) bool { return m.has(i, v) && after[m.Positions[i].At] })
			}
			if m.g.oneKey && slices.Contains(m.voices, w) {
				continue // one stroke for both
			}
			m.several(m.strokes(v, "with the "+spokenVoice(w)), func(i int) bool { return m.has(i, v) && soundsAt(l, m.Positions[i].At) })
		}
	}
}

// strokes is a group of some strokes of a voice, named by where they are.
func (m *grouping) strokes(v passage.Voice, where string) group {
	noun := "strokes"
	if v.Valid() {
		noun = strokesOf(v)
	}
	return group{name: capital(noun) + " " + where, where: noun + " " + where, many: true}
}

// follows returns the places of the strokes of v that follow one of line l.
func (m *grouping) follows(v passage.Voice, l passage.Line) map[meter.Rat]bool {
	own, _ := m.p.Line(v)
	beats := m.p.Beats()
	after := map[meter.Rat]bool{}
	for _, s := range own.Strokes {
		w, ok := lastBefore(l, s.At)
		if !s.Sounds() || !ok {
			continue
		}
		b := beats[sort.Search(len(beats), func(i int) bool { return s.At.Less(beats[i].At) })-1]
		if last, ok := lastBefore(own, s.At); (!ok || last.Less(w)) && !b.Length.Less(s.At.Sub(w)) {
			after[s.At] = true
		}
	}
	return after
}

// lastBefore returns where the last sounding stroke of a line before at is.
func lastBefore(l passage.Line, at meter.Rat) (meter.Rat, bool) {
	for i := firstNotBefore(l, at) - 1; i >= 0; i-- {
		if l.Strokes[i].Sounds() {
			return l.Strokes[i].At, true
		}
	}
	return meter.Rat{}, false
}

func firstNotBefore(l passage.Line, at meter.Rat) int {
	return sort.Search(len(l.Strokes), func(i int) bool { return !l.Strokes[i].At.Less(at) })
}

func soundsAt(l passage.Line, at meter.Rat) bool {
	i := firstNotBefore(l, at)
	return i < len(l.Strokes) && l.Strokes[i].At == at && l.Strokes[i].Sounds()
}

// manners are the kinds of stroke that make a group, in the plural.
var manners = []struct {
	kind  passage.Kind
	words string
}{
	{passage.Accent, "accents"}, {passage.Ghost, "ghosts"}, {passage.Flam, "flams"}, {passage.Drag, "drags"},
	{passage.Rim, "rim clicks"},
}

func (m *grouping) byStroke() {
	for _, k := range manners {
		g := group{name: capital(k.words), where: k.words, many: true}
		m.several(g, func(i int) bool {
			pos := m.Positions[i]
			return slices.ContainsFunc(pos.Voices.Voices(), func(v passage.Voice) bool { return kindAt(m.p, v, pos.At) == k.kind })
		})
	}
}

// kindAt returns how a voice is written to be struck at a place.
func kindAt(p passage.Passage, v passage.Voice, at meter.Rat) passage.Kind {
	l, _ := p.Line(v)
	if i := firstNotBefore(l, at); i < len(l.Strokes) && l.Strokes[i].At == at {
		return l.Strokes[i].Kind
	}
	return passage.NoKind
}

// afterRest groups the strokes before which the part rests for a beat or more.
func (m *grouping) afterRest() {
	rested := map[meter.Rat]bool{}
	for i := 1; i < len(m.Positions); i++ {
		before, pos := m.Positions[i-1], m.Positions[i]
		if length := beatAt(m.p, pos.Place); pos.At != before.At && length.Less(pos.At.Sub(before.At)) {
			rested[pos.At] = true
		}
	}
	m.several(m.strokes(m.only(), "after a rest"), func(i int) bool { return rested[m.Positions[i].At] })
}

// only returns the voice of a part of one voice, else NoVoice.
func (m *grouping) only() passage.Voice {
	if len(m.voices) == 1 {
		return m.voices[0]
	}
	return passage.NoVoice
}

// byPlace groups by the place in the beat, over all voices and of each.
func (m *grouping) byPlace() {
	words := make([]string, len(m.Positions))
	for i, pos := range m.Positions {
		words[i] = m.wordOf(pos.Position)
	}
	var places []string
	for _, f := range m.ByPlace {
		if !slices.Contains(places, f.Word) {
			places = append(places, f.Word)
		}
	}
	for _, v := range append([]passage.Voice{m.only()}, m.voices...) {
		for _, word := range places {
			where := "on the " + strings.TrimPrefix(word, "on the ")
			m.several(m.strokes(v, where), func(i int) bool { return words[i] == word && (!v.Valid() || m.has(i, v)) })
		}
	}
}

func beatAt(p passage.Passage, at passage.Place) meter.Rat {
	return p.Bars[at.Bar-1].Metre.Beats()[at.Beat-1]
}

func (m *grouping) has(i int, v passage.Voice) bool { return m.Positions[i].Voices.Has(v) }

func (m *grouping) byPosition() {
	for i, pos := range m.Positions {
		name := "the " + pos.Voices.String() + " " + m.spoken(pos.Position)
		g := group{name: capital(name), where: name, many: len(pos.Voices.Voices()) > 1, kind: ofStroke}
		m.addOf(g, []int{i})
	}
}
