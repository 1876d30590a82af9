package grade

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"stampmill/exercises/passage"
)

// What is worth a sentence. Our choice; 5 ms is about the least displacement
// of one tone in a fast run that listeners notice (6 ms; Friberg and Sundberg
// 1995, J. Acoust. Soc. Am. 98, 2524-2531).
const (
	maxSentences = 3
	leastMS      = 5.0  // a lean or a difference below this is not said
	leastDriftMS = 10.0 // nor a drift that amounts to less over the take
	elsewhere    = 0.5  // with fewer hits than this share the taps do not line up
	mostlyInOne  = 0.6  // share of the faults that makes one place stand out
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
	weight float64
	text   string
	bar    int            // where it is; 0 for no one bar
	tuplet *TupletFigures // the tuplet that it is about, or nil
	leans  bool           // it says how early or late the hits are: untrue where the delay of the input is wrong
}

// A report looks for what is worth saying in a verdict whose figures are done.
type report struct {
	*Verdict
	g       *grader
	p       passage.Passage
	drift   line
	samples []sample // to look for causes in: without what another finding explains
	whole   []sample // what leaning, spread and drift rest on
	runs    bool     // drift is a finding
	course  course   // that took the strokes from their places, if any
	pass    Passing
}

// findings returns what is worth saying, the weightiest first.
func (r *report) findings() []finding {
	if f, ok := r.silence(); ok {
		return []finding{f}
	}
	var all []finding
	if f, ok := r.running(); ok {
		all, r.runs = append(all, f), true
		r.samples = r.drift.off(r.samples)
	}
	tuplets := r.tupletFindings()
	r.samples = r.apartFrom(tuplets)
	all = append(all, tuplets...)
	var looks []func() (finding, bool)
	if !r.offCourse() { // else that says why strokes are missed
		looks = append(looks, r.astray, r.missed, r.extra)
	}
	looks = append(looks, r.voiceDifference, r.barDifference, r.lean, r.unsteady)
	for _, find := range looks {
		if f, ok := find(); ok {
			all = append(all, f)
		}
	}
	slices.SortStableFunc(all, func(a, b finding) int { return cmp.Compare(b.weight, a.weight) })
	return all
}

// offCourse reports whether a drift or a lean is a finding that took strokes
// from their places.
func (r report) offCourse() bool {
	_, leans := r.lean()
	return r.course.rate != 0 && r.runs || r.course.late != 0 && leans
}

// sentences returns the first findings as text, or the bare facts, and those of
// them that hold whatever the delay of the input.
func (r report) sentences(found []finding) (all, anyDelay []string) {
	if len(found) == 0 {
		found = []finding{{text: r.facts(), leans: true}}
	}
	for _, f := range found[:min(len(found), maxSentences)] {
		all = append(all, f.text)
		if !f.leans {
			anyDelay = append(anyDelay, f.text)
		}
	}
	return all, anyDelay
}

// facts is what is said when nothing stands out.
func (r report) facts() string {
	hit := fmt.Sprintf("%d of %d strokes hit", r.Matched, r.Expected)
	if r.Missed == 0 {
		hit = fmt.Sprintf("All %d strokes hit", r.Expected)
	}
	return fmt.Sprintf("%s, %s, spread ±%.0f ms.", hit, early(r.Leaning.Value), r.Spread.Value)
}

// silence says that there is nothing to grade.
func (r report) silence() (finding, bool) {
	switch {
	case r.Expected == 0:
		return finding{text: "The take stopped before its first stroke."}, true
	case len(r.g.taps) == 0:
		return finding{text: "No hit was heard in this take."}, true
	}
	return finding{}, false
}

// linesUp reports whether the taps are those of this part at all.
func (r report) linesUp() bool {
	return r.Extra == 0 || float64(r.Matched) >= elsewhere*float64(r.Expected)
}

// astray says that the taps do not line up with what is written.
func (r report) astray() (finding, bool) {
	return finding{
		weight: share(r.Missed+r.Extra, r.Expected) / weighShare,
		text:   fmt.Sprintf("%s hit; %s fell elsewhere.", onlyOf(r.Matched, r.Expected), count(r.Extra, "hit")),
	}, !r.linesUp()
}

func share(n, of int) float64 { return float64(n) / float64(of) }

// missed says how many strokes were left out, and where most of them.
func (r report) missed() (finding, bool) {
	f := finding{weight: share(r.Missed, r.Expected) / weighShare}
	where := ""
	most := slices.MaxFunc(r.Positions, func(a, b PositionFigures) int { return cmp.Compare(a.missed(), b.missed()) })
	bar := slices.MaxFunc(r.ByBar, func(a, b BarFigures) int { return cmp.Compare(a.Missed, b.Missed) })
	switch {
	case r.Missed == 1 || mostly(most.missed(), r.Missed):
		where = ofThem(most.missed(), r.Missed) + "the " + most.Voices.String() + " " + spoken(r.p, most.Position)
		f.bar = most.Place.Bar
	case len(r.ByBar) > 1 && mostly(bar.Missed, r.Missed):
		where = ofThem(bar.Missed, r.Missed) + fmt.Sprintf("in bar %d", bar.Bar)
		f.bar = bar.Bar
	}
	f.text = fmt.Sprintf("You missed %d of %s%s.", r.Missed, count(r.Expected, "stroke"), where)
	return f, r.Missed > 0 && r.linesUp()
}

func (p PositionFigures) missed() int { return p.Passes - len(p.Hits) }

// mostly reports whether n of all makes one place stand out.
func mostly(n, all int) bool { return n >= 2 && float64(n) >= mostlyInOne*float64(all) }

// extra says how many taps were too many, and where most of them.
func (r report) extra() (finding, bool) {
	f := finding{weight: share(r.Extra, r.Expected) / weighShare}
	where := ""
	bar := slices.MaxFunc(r.ByBar, func(a, b BarFigures) int { return cmp.Compare(a.Extra, b.Extra) })
	if len(r.ByBar) > 1 && (r.Extra == 1 || mostly(bar.Extra, r.Extra)) {
		where = ofThem(bar.Extra, r.Extra) + fmt.Sprintf("in bar %d", bar.Bar)
		f.bar = bar.Bar
	}
	f.text = count(r.Extra, "hit") + " too many" + where + "."
	return f, r.Extra > 0 && r.linesUp()
}

// lean says how early or late all hits are. It is not said of a tempo that
// drifts: then it only says how long the take was.
func (r report) lean() (finding, bool) {
	text := "You lean " + early(r.Leaning.Value)
	if len(r.ByVoice) == 1 {
		text += " on the " + r.ByVoice[0].Voice.String()
	}
	f := finding{weight: math.Abs(r.Leaning.Value) / weighMS, text: text + ".", leans: true}
	if r.course.late != 0 {
		f = r.offPlace(f)
	}
	return f, !r.runs && r.Leaning.sure() && leaning(errs(r.samples)).sure()
}

// sure reports whether a figure in ms is large enough to be said and its
// interval excludes zero.
func (f Figure) sure() bool {
	return f.OK && math.Abs(f.Value) >= leastMS && (f.Low > 0 || f.High < 0)
}

// unsteady says that the spread is too wide to pass, or not known.
func (r report) unsteady() (finding, bool) {
	if !r.Spread.OK {
		return finding{
			weight: 1,
			text:   fmt.Sprintf("The spread is not known: %s, and it takes %d.", count(r.Spread.N, "stroke"), minSpread),
		}, r.linesUp()
	}
	return finding{
		weight: r.Spread.Value / r.pass.SpreadMS,
		text:   fmt.Sprintf("Your hits spread by %s; passing takes ±%g.", over(r.Spread.Value, r.pass.SpreadMS), r.pass.SpreadMS),
	}, r.Spread.Value > r.pass.SpreadMS+spreadSlackMS
}

// running says that the tempo drifts.
func (r report) running() (finding, bool) {
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
	return f, ms >= leastDriftMS
}

// offPlace adds to what a finding says how many strokes it took from their
// places.
func (r report) offPlace(f finding) finding {
	f.weight += share(r.Missed+r.Extra, r.Expected) / weighShare
	miss := "miss their place"
	if r.Missed == 1 {
		miss = "misses its place"
	}
	f.text = fmt.Sprintf("%s, and %d of %s %s.", strings.TrimSuffix(f.text, "."), r.Missed, count(r.Expected, "stroke"), miss)
	return f
}
