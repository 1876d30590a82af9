package grade

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// What is worth a sentence. Our choice; 5 ms is about the least displacement
// of one tone in a fast run that listeners notice (6 ms; Friberg and Sundberg
// 1995, J. Acoust. Soc. Am. 98, 2524-2531).
const (
	maxSentences = 3
	leastMS      = 5.0  // a lean or a difference below this is not said
	leastDriftMS = 20.0 // nor a drift that amounts to less over the take
	elsewhere    = 0.5  // with fewer hits than this share the taps do not line up
)

// Findings of this size weigh 1, which makes them comparable. Our choice; 10
// ms is the band that is drawn as tight.
const (
	weighShare = 0.05 // of the written strokes, missed or extra
	weighMS    = 10.0 // leaning, a difference, a tuplet
	weighDrift = 20.0 // ms over the take
)

// A finding is something to say, with its weight.
type finding struct {
	weight   float64
	text     string
	anyDelay string         // what of it holds whatever the delay of the input: not how early or late; "" for nothing
	bar      int            // where it is; 0 for no one bar
	voice    passage.Voice  // of a part of several the one that it is about, or NoVoice
	tuplet   *TupletFigures // the tuplet that it is about, or nil
	once     bool           // it happened in one pass
	base     bool           // it was taken off the samples, so that what rests on them is only true beside it
	rests    bool           // it rests on the samples
}

// A report looks for what is worth saying in a verdict whose figures are done.
type report struct {
	*Verdict
	g      *grader
	p      passage.Passage
	drift  line
	whole  []sample // what leaning, spread and drift rest on
	course course   // that took the strokes from their places, if any
	pedals limbs.Pedals
	pass   Passing

	samples  []sample             // to look for causes in: without what another finding explains
	drifts   bool                 // drift is a finding
	leanSaid bool                 // another finding says how all hits lean
	parts    []group              // see groups
	words    map[meter.Rat]string // counting words by place, see spokenPlace
}

// With returns the verdict of a take that m was found to explain better than
// the part as written: it is said first, and what follows from it not at all.
// With nil it is the verdict as written.
func (v Verdict) With(m *Misreading) Verdict {
	v.Misreading = m
	if v.report == nil { // nothing to look in
		return v
	}
	r := *v.report
	r.Verdict, r.samples = &v, r.whole
	found := r.findings()
	v.Passed = r.pass.passed(&v) && !otherwise(found)
	v.Sentences, v.AnyDelay = r.sentences(found)
	v.Next = r.next(found)
	return v
}

// findings returns what is worth saying, the weightiest first.
func (r *report) findings() []finding {
	if f, ok := r.silence(); ok {
		return []finding{f}
	}
	if r.Misreading != nil {
		return r.misread()
	}
	all := r.courses()
	if f, ok := r.astray(); ok && !r.offCourse() { // else that says why strokes are missed
		return []finding{f}
	}
	tuplets := r.tupletFindings()
	r.samples = r.apartFrom(tuplets)
	all = append(all, r.together(tuplets)...)
	if !r.offCourse() {
		all = r.look(all, r.missed, r.extra)
	}
	all = append(all, r.look(nil, r.unsteady, r.timekeeping)...)
	all = append(append(all, r.differences()...), r.look(nil, r.lean)...)
	return heaviest(append(all, r.manners()...))
}

// look adds what the rules find.
func (r *report) look(all []finding, rules ...func() (finding, bool)) []finding {
	for _, rule := range rules {
		if f, ok := rule(); ok {
			all = append(all, f)
		}
	}
	return all
}

func heaviest(all []finding) []finding {
	sort.SliceStable(all, func(i, j int) bool { return all[i].weight > all[j].weight })
	return all
}

// misread says what was played instead and, where that was one bar and the
// others went well, what comes early or late in these. What was missed, extra
// or uneven is its doing.
func (r *report) misread() []finding {
	bar := r.Misreading.bar()
	uneven := r.tupletFindings()
	first, tuplets := r.misreading(bar, uneven)
	all := []finding{first}
	if bar > 0 && r.wellOutside(bar) {
		r.samples = r.outsideBar(bar)
		r.samples = r.apartFrom(uneven)
		others := r.samples
		all = append(append(all, tuplets...), r.differences()...)
		all = r.look(all, func() (finding, bool) { return r.leanElsewhere(others) })
	}
	return heaviest(append(all, r.manners()...))
}

// misreading says what was played instead: of a tuplet by its ratio, together
// with others like it, of strokes left out by how many they are, else as the
// search says it. The other tuplets that came out otherwise are returned too.
func (r *report) misreading(bar int, uneven []finding) (f finding, tuplets []finding) {
	f = finding{text: r.Misreading.Sentence, anyDelay: r.Misreading.Sentence}
	tuplets = r.together(uneven)
	if k := slices.IndexFunc(uneven, func(t finding) bool { return t.bar == bar }); k >= 0 {
		of := r.outcome(*uneven[k].tuplet, uneven)
		k = slices.IndexFunc(tuplets, func(t finding) bool { return r.outcome(*t.tuplet, uneven) == of })
		ratio := tuplets[k].bar == 0 || !strings.Contains(f.text, " came out ") // else it is said
		if ratio && !strings.HasPrefix(r.Misreading.Change, "step ") {
			f = tuplets[k]
		}
		tuplets = slices.Delete(tuplets, k, k+1)
	}
	if m, ok := r.missed(); ok && r.Extra == 0 && strings.HasPrefix(r.Misreading.Change, "drop ") {
		f = m
	}
	f.weight, f.bar, f.once = math.Inf(1), bar, r.Misreading.once()
	return f, tuplets
}

// wellOutside reports whether few strokes were missed in the other bars.
func (r *report) wellOutside(bar int) bool {
	var c Counts
	for _, b := range r.ByBar {
		if b.Bar != bar {
			c.Expected, c.Missed = c.Expected+b.Expected, c.Missed+b.Missed
		}
	}
	return c.Expected > 0 && share(c.Missed, c.Expected) <= elseShare
}

// leanElsewhere says how early or late the hits outside a misreading are.
func (r *report) leanElsewhere(hits []sample) (finding, bool) {
	where := "the other bars"
	if len(r.ByBar) == 2 && len(hits) > 0 {
		where = fmt.Sprintf("bar %d", r.Positions[r.g.expected.Onsets[hits[0].onset].Position].Place.Bar)
	}
	lean := leaning(errs(hits))
	f := finding{weight: math.Abs(lean.Value) / weighMS, text: fmt.Sprintf("You lean %s in %s.", EarlyOrLate(lean.Value), where), rests: true}
	return f, !r.leanSaid && lean.sure() && leaning(errs(r.samples)).sure()
}

// outsideBar returns the hits in the other bars, where they are written.
func (r *report) outsideBar(bar int) []sample {
	var all []sample
	for _, s := range r.g.samples(r.g.tapOf) {
		if r.Positions[r.g.expected.Onsets[s.onset].Position].Place.Bar != bar {
			all = append(all, s)
		}
	}
	return all
}

// courses says that the tempo drifts, and takes that off the samples.
func (r *report) courses() []finding {
	f, ok := r.running()
	if !ok {
		return nil
	}
	r.drifts, f.base = true, true
	r.samples = r.drift.off(r.samples)
	return []finding{f}
}

// offCourse reports whether a drift or a lean is a finding that took strokes
// from their places.
func (r *report) offCourse() bool {
	_, leans := r.lean()
	return r.course.rate != 0 && r.drifts || r.course.late != 0 && leans
}

// sentences returns the first findings as text, or the bare facts, and what of
// them holds whatever the delay of the input.
func (r *report) sentences(found []finding) (all, anyDelay []string) {
	if len(found) == 0 {
		found = []finding{r.facts()}
	}
	for _, f := range most(found) {
		all = append(all, f.text)
		if f.anyDelay != "" {
			anyDelay = append(anyDelay, f.anyDelay)
		}
	}
	if len(anyDelay) == 0 && r.Spread.OK {
		anyDelay = []string{r.facts().anyDelay}
	}
	return all, anyDelay
}

// most returns the heaviest findings, as many as are said. Those that rest on
// samples of which something was taken off are left out where that is not said.
func most(found []finding) []finding {
	n := min(len(found), maxSentences)
	if !slices.ContainsFunc(found[n:], func(f finding) bool { return f.base }) {
		return found[:n]
	}
	last := -1 // the lightest that rests on samples
	for i, f := range found[:n] {
		if f.rests {
			last = i
		}
	}
	if last < 0 {
		return found[:n]
	}
	return most(slices.Delete(slices.Clone(found), last, last+1))
}

// facts is what is said when nothing stands out.
func (r *report) facts() finding {
	hit := fmt.Sprintf("%d of %d strokes hit", r.Matched, r.Expected)
	if r.Missed == 0 {
		hit = fmt.Sprintf("All %d strokes hit", r.Expected)
	}
	return finding{
		text:     fmt.Sprintf("%s, %s, spread ±%.0f ms.", hit, EarlyOrLate(r.Leaning.Value), r.Spread.Value),
		anyDelay: fmt.Sprintf("%s, spread ±%.0f ms.", hit, r.Spread.Value),
	}
}

// silence says that there is nothing to grade.
func (r *report) silence() (finding, bool) {
	text := ""
	switch {
	case r.Expected == 0:
		text = "The take stopped before its first stroke."
	case len(r.g.taps) == 0:
		text = "No hit was heard in this take."
	}
	return finding{text: text, anyDelay: text}, text != ""
}

// lean says how early or late all hits are. It is not said of a tempo that
// drifts: then it only says how long the take was.
func (r *report) lean() (finding, bool) {
	text := "You lean " + EarlyOrLate(r.Leaning.Value)
	if len(r.ByVoice) == 1 {
		text += " on the " + spokenVoice(r.ByVoice[0].Voice)
	}
	f := finding{weight: math.Abs(r.Leaning.Value) / weighMS, text: text + "."}
	if r.course.late != 0 {
		f = r.offPlace(f)
	}
	return f, !r.drifts && !r.leanSaid && r.Leaning.sure() && leaning(errs(r.samples)).sure()
}

// sure reports whether a figure in ms is large enough to be said and its
// interval excludes zero.
func (f Figure) sure() bool {
	return f.OK && math.Abs(f.Value) >= leastMS && (f.Low > 0 || f.High < 0)
}

// running says that the tempo drifts.
func (r *report) running() (finding, bool) {
	d := r.Drift
	if !d.OK || d.Low <= 0 && d.High >= 0 {
		return finding{}, false
	}
	long := r.whole[len(r.whole)-1].at - r.whole[0].at
	ms := 1000 * long * math.Abs(d.Value) / (r.g.take.Tempo + d.Value)
	text := fmt.Sprintf("You run %.2g BPM fast: %s gained by the end.", d.Value, lasting(ms))
	if d.Value < 0 {
		text = fmt.Sprintf("You run %.2g BPM slow: %s lost by the end.", -d.Value, lasting(ms))
	}
	f := finding{weight: ms / weighDrift, text: text}
	if r.course.rate != 0 {
		f = r.offPlace(f)
	}
	f.anyDelay = f.text
	return f, ms >= leastDriftMS
}

// offPlace adds to what a finding says how many strokes it took from their
// places.
func (r *report) offPlace(f finding) finding {
	if r.Missed == 0 {
		return f
	}
	f.weight += share(r.Missed+r.Extra, r.Expected) / weighShare
	miss := "miss their place"
	if r.Missed == 1 {
		miss = "misses its place"
	}
	f.text = fmt.Sprintf("%s, and %d of %s %s.", strings.TrimSuffix(f.text, "."), r.Missed, count(r.Expected, "stroke"), miss)
	return f
}
