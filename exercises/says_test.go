package exercises

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// What a step says is true of the difference to the step it is made from. Rules:
//
//  1. Every voice that differs is named, in every bar in which it differs.
//  2. No voice is said to change in a bar in which it does not, and none to stay
//     where it changes. A family changes where one of it does, everything where
//     two voices do.
//  3. Something differs on every beat that is named, and a stroke came or went at
//     every place.
//  4. The kinds of stroke named are those that came, or went: each that has more
//     strokes in a voice than before must be named, unless it is the usual one
//     of that voice.
//  5. A tuplet that is new must be named by its number, and a number of even
//     strokes must stand there.
//  6. "Stops" is said when strokes gave way to a silence, and must be where a
//     cymbal or a string is choked for it.
//  7. New tempi and metres are named, in the bars that have them; a bar of another
//     metre is new in every voice, and they need not be named.
//
// Of the first step, every voice that plays is named and no other.
func TestWhatStepsSayIsTrue(t *testing.T) {
	for _, e := range Library() {
		for i, s := range e.Climb.Steps {
			if s.Says == "" {
				t.Errorf("%s, step %d, %s, says nothing", e.Name, i+1, s.Title)
			}
			for _, wrong := range untrue(base(e.Climb, i), s.Passage, s.Says) {
				t.Errorf("%s, step %d, %s, says %q: %s", e.Name, i+1, s.Title, s.Says, wrong)
			}
		}
	}
}

// So are the sentences of the catalogue, of every do line of the library.
func TestWhatChangesSayIsTrue(t *testing.T) {
	for _, e := range Library() {
		for i, s := range e.Climb.Steps {
			for j, text := range s.Do {
				p := *base(e.Climb, i)
				for _, earlier := range append(slices.Clone(s.Do[:j]), text) {
					c, err := change.Parse(earlier)
					if err != nil {
						t.Fatal(err)
					}
					after, err := c.Apply(p)
					if err != nil {
						t.Fatal(e.Name, s.Title, err)
					}
					if earlier == text {
						for _, wrong := range untrueOfChange(&p, after, c.Sentence(p)) {
							t.Errorf("%s, step %d, do %q says %q: %s", e.Name, i+1, text, c.Sentence(p), wrong)
						}
					}
					p = after
				}
			}
		}
	}
}

// base returns the passage that a step of a climb is made from, or the one
// before it; nil for the first.
func base(c passage.Climb, i int) *passage.Passage {
	if i == 0 {
		return nil
	}
	for j := range i {
		if c.Steps[j].Title == c.Steps[i].From {
			return &c.Steps[j].Passage
		}
	}
	return &c.Steps[i-1].Passage
}

// untrue returns what is not true of a sentence about a step; before is nil for
// a first step.
func untrue(before *passage.Passage, after passage.Passage, says string) []string {
	s := read(says, len(after.Bars))
	if before == nil {
		return firstUntrue(after, s)
	}
	d := differ(*before, after)
	var wrong []string
	for _, rule := range []func(sentence) []string{d.unnamed, d.overstated, d.beatsWrong, d.placesWrong, d.kindsWrong, d.tupletsWrong, d.stopsWrong, d.formWrong} {
		wrong = append(wrong, rule(s)...)
	}
	return wrong
}

// untrueOfChange leaves out what a sentence of the catalogue does not promise:
// to say how its outcome is divided, and that each bar of its range is touched.
func untrueOfChange(before *passage.Passage, after passage.Passage, says string) []string {
	return slices.DeleteFunc(untrue(before, after, says), func(wrong string) bool {
		return strings.HasPrefix(wrong, "a tuplet") || strings.Contains(wrong, "does not change in bar")
	})
}

func firstUntrue(p passage.Passage, s sentence) []string {
	var wrong []string
	named := map[passage.Voice]bool{}
	for _, w := range []int{1, 2} { // words of one name
		for i := range len(s.words) - w + 1 {
			for _, v := range families[strings.Join(s.words[i:i+w], " ")] {
				named[v] = true
			}
		}
	}
	for _, l := range p.Lines {
		if len(l.Strokes) > 0 && !named[l.Voice] {
			wrong = append(wrong, fmt.Sprintf("%s plays and is not named", l.Voice))
		}
		delete(named, l.Voice)
	}
	for v := range named {
		if w := families[strings.ToLower(v.Label())]; len(w) == 1 && slices.Contains(s.words, strings.ToLower(v.Label())) {
			wrong = append(wrong, fmt.Sprintf("%s does not play", v))
		}
	}
	for _, k := range s.kinds {
		if !slices.ContainsFunc(p.Lines, func(l passage.Line) bool {
			return slices.ContainsFunc(l.Strokes, func(s passage.Stroke) bool { return s.Kind == k })
		}) {
			wrong = append(wrong, fmt.Sprintf("there is no %s", k))
		}
	}
	return wrong
}

// A spot is a bar or a beat (0: the bar as a whole), from 1.
type spot struct{ bar, beat int }

// A difference is how one passage differs from another, in places of the latter.
type difference struct {
	before, after passage.Passage
	voices        map[passage.Voice]map[spot]bool
	tempo, metre  map[spot]bool
	came, went    map[passage.Voice][]passage.Stroke // places counted from the bar line of their bar
}

func differ(before, after passage.Passage) difference {
	d := difference{before: before, after: after, voices: map[passage.Voice]map[spot]bool{}, tempo: map[spot]bool{}, metre: map[spot]bool{}}
	for _, span := range passage.Diff(before, after) {
		for _, b := range after.Beats() {
			if b.At.Less(span.From) || !b.At.Less(span.To) {
				continue
			}
			for _, v := range span.Voices {
				if d.voices[v] == nil {
					d.voices[v] = map[spot]bool{}
				}
				d.voices[v][spot{b.Bar, b.Number}] = true
				d.voices[v][spot{b.Bar, 0}] = true
			}
		}
	}
	for i := range min(len(before.Bars), len(after.Bars)) {
		old, now := before.Bars[i], after.Bars[i]
		if old.Tempo.Quarters(old.Metre) != now.Tempo.Quarters(now.Metre) {
			d.tempo[spot{i + 1, 0}] = true
		}
		if old.Metre != now.Metre {
			d.metre[spot{i + 1, 0}] = true
		}
	}
	d.came, d.went = missing(after, before), missing(before, after)
	return d
}

// missing returns the strokes of p that q does not have at the same place.
func missing(p, q passage.Passage) map[passage.Voice][]passage.Stroke {
	out := map[passage.Voice][]passage.Stroke{}
	for _, l := range p.Lines {
		other, _ := q.Line(l.Voice)
		has := map[string]bool{}
		for _, s := range other.Strokes {
			has[where(q, l.Voice, s)] = true
		}
		for _, s := range l.Strokes {
			if !has[where(p, l.Voice, s)] {
				out[l.Voice] = append(out[l.Voice], s)
			}
		}
	}
	return out
}

// where is a stroke as it sounds at its bar and place.
func where(p passage.Passage, v passage.Voice, s passage.Stroke) string {
	length := meter.Rat{}
	if v.Sustained() {
		length = s.Length
	}
	return fmt.Sprint(p.Place(s.At), s.Kind, s.Fret, s.Bend, length)
}

// in returns the bars a clause is about.
func (d difference) in(c clause) []int {
	if c.bars != nil {
		return c.bars
	}
	all := make([]int, len(d.after.Bars))
	for i := range all {
		all[i] = i + 1
	}
	return all
}

// unnamed is rule 1.
func (d difference) unnamed(s sentence) []string {
	named := map[passage.Voice]map[int]bool{}
	for _, c := range s.clauses {
		if c.stays {
			continue
		}
		for v := range d.voices {
			if c.all || slices.Contains(c.named, v) || slices.ContainsFunc(c.claims, func(f []passage.Voice) bool { return slices.Contains(f, v) }) {
				if named[v] == nil {
					named[v] = map[int]bool{}
				}
				for _, b := range d.in(c) {
					named[v][b] = true
				}
			}
		}
	}
	var wrong []string
	for _, v := range slices.Sorted(maps.Keys(d.voices)) {
		for b := range d.after.Bars {
			if d.voices[v][spot{b + 1, 0}] && !named[v][b+1] && !d.metre[spot{b + 1, 0}] {
				wrong = append(wrong, fmt.Sprintf("%s changes in bar %d and is not named there", v, b+1))
			}
		}
	}
	return wrong
}

// overstated is rule 2.
func (d difference) overstated(s sentence) []string {
	var wrong []string
	for _, c := range s.clauses {
		for _, b := range d.in(c) {
			for _, f := range c.claims {
				if n := d.changing(f, spot{b, 0}); n == 0 && !c.stays {
					wrong = append(wrong, fmt.Sprintf("%s does not change in bar %d", f[0], b))
				} else if n > 0 && c.stays {
					wrong = append(wrong, fmt.Sprintf("%s does not stay in bar %d", f[0], b))
				}
			}
			if c.all && d.changing(passage.Voices(), spot{b, 0}) < 2 {
				wrong = append(wrong, fmt.Sprintf("not everything changes in bar %d", b))
			}
		}
	}
	return wrong
}

// changing counts the voices that differ at a place.
func (d difference) changing(voices []passage.Voice, at spot) int {
	n := 0
	for _, v := range voices {
		if d.voices[v][at] {
			n++
		}
	}
	return n
}

// beatsWrong is rule 3.
func (d difference) beatsWrong(s sentence) []string {
	var wrong []string
	for _, c := range s.clauses {
		voices := slices.Concat(c.claims...)
		if len(voices) == 0 {
			voices = passage.Voices()
		}
		for _, beat := range c.beats {
			if !c.stays && !slices.ContainsFunc(d.in(c), func(b int) bool { return d.changing(voices, spot{b, beat}) > 0 }) {
				wrong = append(wrong, fmt.Sprintf("nothing is new on beat %d of bars %v", beat, d.in(c)))
			}
		}
	}
	return wrong
}

// placesWrong is the other half of rule 3.
func (d difference) placesWrong(s sentence) []string {
	var wrong []string
	for _, c := range s.clauses {
		for _, o := range c.places {
			if !slices.ContainsFunc(d.in(c), func(b int) bool { return d.touched(b, o) }) {
				wrong = append(wrong, fmt.Sprintf("no stroke came or went %s quarters from beat %d of bars %v", o.into, o.beat, d.in(c)))
			}
		}
	}
	return wrong
}

// touched reports whether a stroke came or went at a place of a bar.
func (d difference) touched(bar int, o offset) bool {
	for _, side := range []struct {
		p   passage.Passage
		all map[passage.Voice][]passage.Stroke
	}{{d.after, d.came}, {d.before, d.went}} {
		for _, b := range side.p.Beats() {
			for _, strokes := range side.all {
				if b.Bar == bar && b.Number == o.beat && slices.ContainsFunc(strokes, func(s passage.Stroke) bool { return s.At == b.At.Add(o.into) }) {
					return true
				}
			}
		}
	}
	return false
}

// kindsWrong is rule 4.
func (d difference) kindsWrong(s sentence) []string {
	var wrong []string
	moved := map[passage.Kind]bool{}
	for _, all := range []map[passage.Voice][]passage.Stroke{d.came, d.went} {
		for _, strokes := range all {
			for _, s := range strokes {
				moved[s.Kind] = true
			}
		}
	}
	for _, k := range s.kinds {
		if !moved[k] {
			wrong = append(wrong, fmt.Sprintf("no %s is new", k))
		}
	}
	groups := slices.Contains(s.words, "groups")
	for _, l := range d.after.Lines {
		old, _ := d.before.Line(l.Voice)
		for _, k := range passage.Kinds() {
			more := count(l.Strokes, k) > count(old.Strokes, k) && total(d.after, k) > total(d.before, k)
			if more && k != usual(old, l) && k != passage.Hit && !(groups && k == passage.Accent) && !slices.Contains(s.kinds, k) {
				wrong = append(wrong, fmt.Sprintf("a new %s of %s is not named", k, l.Voice))
			}
		}
	}
	return wrong
}

// total counts the strokes of a kind in all voices: one that goes to another
// voice is not new.
func total(p passage.Passage, k passage.Kind) int {
	n := 0
	for _, l := range p.Lines {
		n += count(l.Strokes, k)
	}
	return n
}

func count(strokes []passage.Stroke, k passage.Kind) int {
	n := 0
	for _, s := range strokes {
		if s.Kind == k {
			n++
		}
	}
	return n
}

// usual returns the kind of stroke that a voice mostly plays; that of a new
// voice goes without saying when it is an accent or rings.
func usual(old, now passage.Line) passage.Kind {
	all := old.Strokes
	if len(all) == 0 {
		all = now.Strokes
	}
	k := slices.MaxFunc(passage.Kinds(), func(a, b passage.Kind) int { return count(all, a) - count(all, b) })
	if len(old.Strokes) == 0 && k != passage.Accent && (k != passage.Open || now.Voice != passage.Sub) {
		return passage.Hit
	}
	return k
}

// tupletNames are the names of tuplets by their number of strokes.
var tupletNames = map[int][]string{
	2: words("duplet duplets"), 3: words("triplet triplets"), 4: words("quadruplet quadruplets"),
	5: words("quintuplet quintuplets fifth fifths"), 6: words("sextuplet sextuplets"), 7: words("septuplet septuplets"),
}

// tupletsWrong is rule 5.
func (d difference) tupletsWrong(s sentence) []string {
	var wrong []string
	for _, n := range d.newTuplets() {
		if !slices.ContainsFunc(s.words, func(w string) bool {
			m, ok := number(w)
			return ok && m == n || slices.Contains(tupletNames[n], w)
		}) {
			wrong = append(wrong, fmt.Sprintf("a tuplet of %d is new and not named", n))
		}
	}
	for i, w := range s.words[:len(s.words)-1] {
		next := s.words[i+1]
		if n, ok := number(w); ok && next == "even" && d.longestRun() < n {
			wrong = append(wrong, fmt.Sprintf("there are no %d new even strokes", n))
		}
		for n, names := range tupletNames {
			unit := slices.Contains(words("eighth eighths quarter quarters sixteenth sixteenths"), next) // a length
			if slices.Contains(names, w) && !unit && !d.hasTuplet(n) {
				wrong = append(wrong, fmt.Sprintf("no tuplet of %d changes", n))
			}
		}
	}
	return wrong
}

// newTuplets returns the numbers of cells of tuplets that stood in no voice.
func (d difference) newTuplets() []int {
	old := map[string]bool{}
	for _, t := range d.before.Tuplets() {
		old[fmt.Sprint(d.before.Place(t.At), t.Length, t.Cells)] = true
	}
	var all []int
	for _, t := range d.after.Tuplets() {
		if !old[fmt.Sprint(d.after.Place(t.At), t.Length, t.Cells)] {
			all = append(all, t.Cells)
		}
	}
	return all
}

// hasTuplet reports whether a tuplet of n cells stands, or stood, where its
// voice differs.
func (d difference) hasTuplet(n int) bool {
	for _, p := range []passage.Passage{d.before, d.after} {
		for _, t := range p.Tuplets() {
			at := p.Place(t.At)
			if t.Cells%n == 0 && d.changing(t.Voices, spot{at.Bar, 0}) > 0 {
				return true
			}
		}
	}
	return false
}

// longestRun returns the most strokes at even distances in a voice, one of them
// new.
func (d difference) longestRun() int {
	most := 0
	for v, came := range d.came {
		l, _ := d.after.Line(v)
		for i := range l.Strokes {
			n := 1
			fresh := slices.Contains(came, l.Strokes[i])
			for j := i + 1; j < len(l.Strokes) && l.Strokes[j].At.Sub(l.Strokes[j-1].At) == l.Strokes[min(i+1, j)].At.Sub(l.Strokes[i].At); j++ {
				n++
				fresh = fresh || slices.Contains(came, l.Strokes[j])
			}
			if fresh {
				most = max(most, n)
			}
		}
	}
	return most
}

// stopsWrong is rule 6.
func (d difference) stopsWrong(s sentence) []string {
	said := slices.ContainsFunc(s.words, func(w string) bool { return w == "stop" || w == "stops" })
	there, choked := d.stop()
	switch {
	case said && !there:
		return []string{"nothing stops"}
	case choked && !said:
		return []string{"everything stops and it is not said"}
	}
	return nil
}

// breath is the shortest silence that is heard as a stop: an eighth.
var breath = meter.R(1, 2)

// stop reports whether strokes of two voices gave way to a silence, and whether
// one begins where something is choked anew.
func (d difference) stop() (there, choked bool) {
	for _, gap := range silences(d.after) {
		left := 0
		for v, went := range d.went {
			if slices.ContainsFunc(went, func(s passage.Stroke) bool {
				return v != passage.Click && s.Sounds() && !s.At.Less(gap.From) && s.At.Less(gap.To)
			}) {
				left++
			}
		}
		if left < 2 {
			continue
		}
		there = true
		for _, came := range d.came {
			choked = choked || slices.ContainsFunc(came, func(s passage.Stroke) bool {
				return s.Kind == passage.Choke && !s.At.Less(gap.From) && s.At.Less(gap.To)
			})
		}
	}
	return there, choked
}

// silences returns the stretches of an eighth or more in which no voice strikes
// and no string sounds.
func silences(p passage.Passage) []passage.Span {
	var sounds []passage.Span
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if !s.Sounds() {
				continue
			}
			end := s.At
			if l.Voice.Sustained() {
				end = s.End()
			}
			sounds = append(sounds, passage.Span{From: s.At, To: end})
		}
	}
	slices.SortFunc(sounds, func(a, b passage.Span) int { return a.From.Cmp(b.From) })
	var all []passage.Span
	at := meter.Rat{}
	for _, s := range append(sounds, passage.Span{From: p.Length(), To: p.Length()}) {
		if !s.From.Sub(at).Less(breath) {
			all = append(all, passage.Span{From: at, To: s.From})
		}
		if at.Less(s.To) {
			at = s.To
		}
	}
	return all
}

// formWrong is rule 7.
func (d difference) formWrong(s sentence) []string {
	var wrong []string
	for _, form := range []struct {
		name  string
		bars  map[spot]bool
		named func(clause) bool
	}{
		{"tempo", d.tempo, func(c clause) bool { return c.tempo }},
		{"metre", d.metre, func(c clause) bool { return c.metre }},
	} {
		said := map[spot]bool{}
		for _, c := range s.clauses {
			if form.named(c) {
				for _, b := range d.in(c) {
					said[spot{b, 0}] = true
				}
			}
		}
		if !maps.Equal(said, form.bars) {
			wrong = append(wrong, fmt.Sprintf("the %s changes in %v, said of %v", form.name, slices.Collect(maps.Keys(form.bars)), slices.Collect(maps.Keys(said))))
		}
	}
	if len(d.before.Bars) != len(d.after.Bars) && !slices.ContainsFunc(s.clauses, func(c clause) bool { return c.all }) {
		wrong = append(wrong, "the number of bars changes, and everything with it")
	}
	return wrong
}

// floor is what the sentences of the next test are about.
const floor = `title: Floor
metre: 4/4
tempo: 120
step: First
china  | x  x  x  x  | x  x  x  x  |
snare  | .  .  X  .  | .  .  X  .  |
kick   | xx x. .x x. | xx x. .x x. |
guitar | xx x. .x x. | xx x. .x x. |
step: Next
`

// The test of sentences tells true ones from false ones.
func TestFalseSentencesAreFound(t *testing.T) {
	for _, c := range []struct {
		do, says, wrong string // wrong is a part of what is found, "" for nothing
	}{
		{"half-time china", "The china plays in half time; nothing else moves.", ""},
		{"half-time china", "The snare plays in half time.", "china changes in bar 1 and is not named"},
		{"half-time china", "The snare plays in half time.", "snare does not change in bar 1"},
		{"half-time china", "The cymbal plays in half time; kick and guitar stay.", ""},
		{"half-time china", "The china plays in half time in bar 2.", "china changes in bar 1 and is not named"},
		{"half-time china", "The china plays in half time under the flam of the snare.", ""},
		{"half-time china", "The china stays, and the snare plays in half time.", "china does not stay in bar 1"},
		{"half-time china", "The china plays in half time over the kick.", ""},
		{"half-time china", "The china plays in half time, and the kick with it.", "kick does not change"},
		{"half-time china at 2", "The china plays in half time in bar two.", ""},
		{"half-time china at 2", "The china plays in half time.", "china does not change in bar 1"},
		{"half-time china at 2", "The china plays in half time in bar 1.", "china changes in bar 2 and is not named"},
		{"drop kick guitar at 2.4", "Kick and guitar leave out beat 4 of bar 2.", ""},
		{"drop kick guitar at 2.4", "Kick and guitar leave out beat 3 of bar 2.", "nothing is new on beat 3"},
		{"drop kick guitar at 2.4", "The kick leaves out beat 4 of bar 2.", "guitar changes in bar 2"},
		{"drop kick guitar at 2.4", "Kick, guitar and snare leave out beat 4 of bar 2.", "snare does not change in bar 2"},
		{"add kick guitar at 1.1+3/16", "Kick and guitar add a sixteenth just before beat 2 of bar 1.", ""},
		{"add kick guitar at 1.1+3/16", "Kick and guitar add the a of beat 1 in bar 1.", ""},
		{"add kick guitar at 1.1+3/16", "Kick and guitar add a stroke a sixteenth after beat 1 of bar 1.", "no stroke came or went 1/4 quarters from beat 1"},
		{"add kick guitar at 1.1+3/16 1.1+1/16", "Kick and guitar add the e and the a of beat 1 in bar 1.", ""},
		{"add kick guitar at 1.1+3/16", "Kick and guitar add the e and the a of beat 1 in bar 1.", "no stroke came or went 1/4 quarters from beat 1"},
		{"retime kick guitar at 1.4 as 3", "Kick and guitar play three even strokes on beat 4 of bar 1; snare and china stay.", ""},
		{"retime kick guitar at 1.4 as 3", "Beat 4 of bar 1 becomes a triplet of kick and guitar.", ""},
		{"retime kick guitar at 1.4 as 3", "Kick and guitar strike more often on beat 4 of bar 1.", "a tuplet of 3 is new"},
		{"retime kick guitar at 1.4 as 3", "Kick and guitar play five even strokes and a triplet on beat 4 of bar 1.", "no 5 new even strokes"},
		{"retime kick guitar at 1.4 as 4", "Kick and guitar play a triplet on beat 4 of bar 1.", "no tuplet of 3"},
		{"drop china at 2.3\ndo: flam snare at 2.3", "The snare of bar 2 becomes a flam: the china stays out.", ""},
		{"drop china at 2.3\ndo: flam snare at 2.3", "The snare of bar 2 becomes a drag: the china stays out.", "no drag is new"},
		{"drop china at 2.3\ndo: flam snare at 2.3", "Snare and china change in bar 2.", "a new flam of snare is not named"},
		{"shift snare at 2.3 by 1/8", "The snare accent of bar 2 moves an eighth later.", ""},
		{"shift snare at 2.3 by 1/8", "The snare of bar 2 moves an eighth later, and becomes a ghost.", "no ghost is new"},
		{"ring guitar at 1.1 for 1/4", "The guitar rings on beat 1 of bar 1.", ""},
		{"ring guitar at 1.1 for 1/4", "The guitar bends on beat 1 of bar 1.", "a new open of guitar is not named"},
		{"noise guitar at 1.1 as harmonic", "The first guitar stroke of bar 1 becomes a scrape.", "no scrape is new"},
		{"stop at 2.4 for 1/4", "Bar 2 stops on beat 4: the china is choked, and kick and guitar are silent.", ""},
		{"stop at 2.4 for 1/4", "Everything stops on beat 4 of bar 2.", "a new choke of china is not named"},
		{"stop at 2.4 for 1/4", "China, kick and guitar are choked on beat 4 of bar 2.", "everything stops and it is not said"},
		{"half-time china", "The china stops.", "nothing stops"},
		{"half-time china", "Everything plays in half time.", "not everything changes in bar 1"},
		{"fill toms at 2.4", "The toms run down on beat 4 of bar 2: the china stays out.", ""},
		{"fill toms at 2.4", "The floor tom runs on beat 4 of bar 2: the china stays out.", "tom-high changes in bar 2"},
		{"swap snare kick at 2.3", "Snare and kick change places on beat 3 of bar 2.", ""},
		{"move snare to tom-floor", "The snare moves to the floor tom.", ""},
		{"move snare to tom-floor", "The snare goes away.", "tom-floor changes in bar 1"},
		{"tempo by 3/2 at 2", "The tempo goes from 120 to 180 in bar 2: a triplet eighth becomes an eighth.", ""},
		{"tempo by 3/2 at 2", "The tempo goes from 120 to 180.", "the tempo changes in"},
		{"tempo by 3/2 at 2", "The kick is faster in bar 2.", "the tempo changes in"},
		{"cut bar 2 to 7/8 (2+2+3)", "Everything loses an eighth at the end of bar 2, which is then in 7/8.", ""},
		{"cut bar 2 to 7/8 (2+2+3)", "Everything loses an eighth at the end of bar 2.", "the metre changes in"},
		{"cut bar 2 to 7/8 (2+2+3)", "Bar 2 loses its last eighth: it is in 7/8.", ""},
		{"cut bar 2 to 7/8 (2+2+3)", "Bar 1 loses its last eighth: it is in 7/8.", "the metre changes in"},
		{"half-time all", "Everything takes twice as long: every bar becomes two.", ""},
		{"half-time all", "China, snare, kick and guitar play in half time.", "the number of bars changes"},
		{"group kick guitar in 3 3 2 of 1/8 at 1", "Kick and guitar play in groups of 3 3 2 eighths in bar 1.", ""},
		{"drop snare at 1.3 2.3", "The snare leaves beat 3 of every bar.", ""},
		{"drop snare at 1.3 2.3", "The kick leaves beat 3 of every bar.", "snare changes in bar 1"},
	} {
		climb, problems := drill.Parse("floor", []byte(floor+"do: "+c.do+"\n"), catalogue)
		if err := problems.Err(); err != nil {
			t.Fatal(c.do, err)
		}
		wrong := strings.Join(untrue(&climb.Steps[0].Passage, climb.Steps[1].Passage, c.says), "; ")
		if !strings.Contains(wrong, c.wrong) || c.wrong == "" && wrong != "" {
			t.Errorf("%s\nsays  %s\nfound %q\nwant  %q", c.do, c.says, wrong, c.wrong)
		}
	}
}

// A first step names what plays, and nothing else.
func TestFalseFirstSentencesAreFound(t *testing.T) {
	climb, problems := drill.Parse("floor", []byte(floor+"from: First\ndo: half-time china\n"), catalogue)
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	for says, want := range map[string]string{
		"Kick and guitar strike together, the china counts, and the snare takes three with an accent.": "",
		"Kick and guitar strike together, and the china counts.":                                       "snare plays and is not named",
		"Kick, bass and guitar strike together; the china counts, and the snare takes three.":          "bass does not play",
		"Kick and guitar strike together; the china counts, and the snare takes three with a flam.":    "there is no flam",
	} {
		if wrong := strings.Join(untrue(nil, climb.Steps[0].Passage, says), "; "); wrong != want {
			t.Errorf("%q: found %q, want %q", says, wrong, want)
		}
	}
}
