package grade

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A NextKind is a kind of suggestion that can be started with one key.
type NextKind uint8

// The kinds of suggestion.
const (
	Again        NextKind = iota // the same once more
	Slower                       // at BPM
	Faster                       // at BPM
	LoopBars                     // only bars First to Last
	WholeStep                    // all bars again
	NextStep                     // the next step of the climb
	MeasureDelay                 // measure the delay of device and input
	VoiceAlone                   // only Voice of the part
	HearIt                       // hear the step as it is written
)

// Next is what to do next.
type Next struct {
	Kind        NextKind
	BPM         float64       // Slower and Faster
	First, Last int           // LoopBars, from 1
	Voice       passage.Voice // VoiceAlone
}

// String returns the suggestion in words, such as "Only bar 2."
func (n Next) String() string {
	switch n.Kind {
	case Slower:
		return fmt.Sprintf("Slower, at %g BPM.", n.BPM)
	case Faster:
		return fmt.Sprintf("Faster, at %g BPM.", n.BPM)
	case LoopBars:
		if n.First == n.Last {
			return fmt.Sprintf("Only bar %d.", n.First)
		}
		return fmt.Sprintf("Only bars %d to %d.", n.First, n.Last)
	case WholeStep:
		return "All bars."
	case NextStep:
		return "The next step."
	case MeasureDelay:
		return "Measure the delay of this input."
	case VoiceAlone:
		return fmt.Sprintf("Only the %s.", spokenVoice(n.Voice))
	case HearIt:
		return "Hear it as it is written, then play it."
	}
	return "The same again."
}

// When what is suggested. Our choice.
const (
	slowerBy   = 0.90 // of the tempo, after a take that did not pass
	muchBy     = 0.80 // after one with fewer hits than muchBelow
	muchBelow  = 0.75
	timesWorse = 2.0  // a voice with so many times the share of faults of the others stands in the way
	fasterBy   = 1.05 // after one that passed below the written tempo
	delayMS    = 25.0 // a lean above this and above the spread, with no delay measured, is rather the device's
)

// next returns what to do next.
func (r *report) next(found []finding) Next {
	written := r.p.Bars[0].Tempo.BPM.Float()
	section := r.g.take.Bars != [2]int{} && len(r.ByBar) < len(r.p.Bars)
	switch {
	case r.Expected == 0 || len(r.g.taps) == 0:
		return Next{Kind: Again}
	case r.delayed():
		return Next{Kind: MeasureDelay}
	case r.Passed && r.g.take.Tempo < written-0.5:
		return Next{Kind: Faster, BPM: min(written, math.Ceil(r.g.take.Tempo*fasterBy))}
	case r.Passed && section:
		return Next{Kind: WholeStep}
	case r.Passed:
		return Next{Kind: NextStep}
	case !r.Spread.OK && r.Missed == 0 && r.Extra == 0:
		return Next{Kind: Again} // only more strokes are wanting
	case r.drifts:
		return r.slower()
	case len(found) > 0 && found[0].once:
		return Next{Kind: Again} // the other passes went otherwise
	}
	if v := r.weakVoice(found); v.Valid() {
		return Next{Kind: VoiceAlone, Voice: v}
	}
	if bar := r.weakBar(found); bar > 0 && len(r.ByBar) > 1 {
		return Next{Kind: LoopBars, First: bar, Last: bar}
	}
	if r.Misreading != nil {
		return Next{Kind: HearIt}
	}
	return r.slower()
}

// delayed reports whether the lean is rather that of a device whose delay was
// not measured: it is large, and neither spread nor drift explain it.
func (r *report) delayed() bool {
	lean := math.Abs(r.Leaning.Value)
	drift := 0.0 // seconds over half the take
	if r.drift.ok {
		drift = math.Abs(r.drift.slope) * (r.drift.at - r.whole[0].at)
	}
	return r.g.take.LatencyMS == 0 && r.Leaning.sure() && lean >= delayMS &&
		r.Spread.OK && r.Spread.Value < lean && 1000*drift < lean/2
}

// weakVoice returns the voice that stands in the way of a part of several: most
// faults are its, or it is what the weightiest finding is about; NoVoice for
// none. On a single key no voice can be told from another.
func (r *report) weakVoice(found []finding) passage.Voice {
	if r.g.oneKey || len(r.ByVoice) < 2 || r.Misreading != nil {
		return passage.NoVoice
	}
	if len(found) > 0 && found[0].bar > 0 && !found[0].voice.Valid() {
		return passage.NoVoice // a bar was said, and no voice
	}
	for _, f := range r.ByVoice {
		others := share(r.Missed+r.Extra-f.Missed-f.Extra, max(r.Expected-f.Expected, 1))
		if mostly(f.Missed+f.Extra, r.Missed+r.Extra) && share(f.Missed+f.Extra, max(f.Expected, 1)) > timesWorse*others {
			return f.Voice
		}
	}
	if len(found) > 0 {
		return found[0].voice
	}
	return passage.NoVoice
}

// weakBar returns the bar that the weightiest finding is in, else that with
// most faults; 0 for none.
func (r *report) weakBar(found []finding) int {
	if len(found) > 0 && found[0].bar > 0 {
		return found[0].bar
	}
	if r.Misreading != nil || r.pass.hit(r.Verdict) {
		return 0 // nothing more to go by, or a few faults that are not what stands in the way
	}
	for _, b := range r.ByBar {
		n, all := b.Missed+b.Extra, r.Missed+r.Extra
		if mostly(n, all) && (n == all || float64(len(r.ByBar))*binomialTail(n, all, share(b.Expected, r.Expected)) < 1-confidence) {
			return b.Bar
		}
	}
	return 0
}

// bar returns the one bar that the change names with "at", such as 2 in "retime
// kick at 2.4 as 3", or else another that comes to the same; 0 for none.
func (m Misreading) bar() int {
	for _, text := range append([]string{m.Change}, m.Also...) {
		if bar := barNamed(text); bar > 0 {
			return bar
		}
	}
	return 0
}

// once reports whether it is a slip of one pass: it was played right before.
func (m Misreading) once() bool {
	word, _, _ := strings.Cut(m.Change, " ")
	return (word == "lose" || word == "double") && strings.Contains(m.Change, " in pass ")
}

// barNamed returns the one bar that a text of the catalogue names with "at"; 0
// where it names none or several.
func barNamed(text string) int {
	_, places, _ := strings.Cut(text, " at ")
	one := 0
	for _, place := range strings.Fields(strings.ReplaceAll(places, "-", " ")) {
		digits, _, _ := strings.Cut(place, ".")
		bar, err := strconv.Atoi(digits)
		if err != nil {
			break // the words after the places
		}
		if one != 0 && bar != one {
			return 0
		}
		one = bar
	}
	return one
}

// slower returns a lower tempo that every bar of the passage can have.
func (r *report) slower() Next {
	by := slowerBy
	if share(r.Matched, r.Expected) < muchBelow {
		by = muchBy
	}
	bpm := math.Floor(r.g.take.Tempo * by)
	if _, err := r.p.AtTempo(meter.Int(int64(bpm))); err != nil {
		return Next{Kind: Again}
	}
	return Next{Kind: Slower, BPM: bpm}
}
