package app

import (
	"fmt"
	"math"
	"strings"

	"stampmill/app/strip"
	"stampmill/exercises/grade"
)

// weakest returns the bars that a take went worst in: those of the
// suggestion, else the bar with most missed and extra strokes and then the
// largest lean. Before a take it is what the step changed.
func (s State) weakest() Range {
	v := s.Verdict
	if v == nil {
		return s.newBars()
	}
	if v.Next.Kind == grade.LoopBars {
		return Range{v.Next.First, v.Next.Last}
	}
	var worst Range
	most := -1.0
	for _, b := range v.ByBar {
		if bad := badness(b); bad > most {
			most, worst = bad, Range{b.Bar, b.Bar}
		}
	}
	return worst
}

// badness orders bars: a missed or extra stroke weighs as much as half a
// second of lean, so that it comes first. Our choice.
func badness(b grade.BarFigures) float64 {
	bad := 500 * float64(b.Missed+b.Extra)
	if b.Leaning.OK {
		bad += math.Abs(b.Leaning.Value) + b.Spread.Value
	}
	return bad
}

// unknown stands where a number would, when there is none.
const unknown = "not known"

// A figure is one of the four numbers of a verdict.
type figure struct {
	label, value, unit, sub string
	class                   string // judgement that colours it, or ""
	split                   *grade.TupletFigures
}

// figures are hits, leaning, spread, and the split of a tuplet or the drift.
func (v *Verdict) figures() []figure {
	return []figure{v.hitsFigure(), v.leanFigure(), v.spreadFigure(), v.lastFigure()}
}

func (v *Verdict) hitsFigure() figure {
	return figure{label: "Hits", value: fmt.Sprintf("%d of %d", v.Matched, v.Expected), sub: v.faults()}
}

// faults says how many strokes were missed and extra, and where when it is one
// bar.
func (v *Verdict) faults() string {
	var parts []string
	if v.Missed > 0 {
		parts = append(parts, fmt.Sprintf("%d missed", v.Missed))
	}
	if v.Extra > 0 {
		parts = append(parts, fmt.Sprintf("%d extra", v.Extra))
	}
	if len(parts) == 0 {
		return "none missed"
	}
	words := strings.Join(parts, ", ")
	bad := 0
	bar := 0
	for _, b := range v.ByBar {
		if b.Missed+b.Extra > 0 {
			bad, bar = bad+1, b.Bar
		}
	}
	if bad == 1 {
		words += fmt.Sprintf(", bar %d", bar)
	}
	return words
}

func (v *Verdict) leanFigure() figure {
	f := figure{label: "Leaning"}
	switch {
	case !v.Take.Known:
		f.value, f.sub = unknown, "delay not measured"
	case !v.Leaning.OK:
		f.value, f.sub = unknown, "too few hits"
	default:
		f.value, f.unit = leanWords(v.Leaning.Value)
		f.sub = "give or take " + number((v.Leaning.High-v.Leaning.Low)/2)
		f.class = strip.Judge(v.Leaning.Value).String()
	}
	return f
}

// leanWords returns a lean as a number and its unit with the direction.
func leanWords(ms float64) (value, unit string) {
	n := math.Round(math.Abs(ms))
	switch {
	case n == 0:
		return "0", "ms"
	case ms < 0:
		return number(n), "ms early"
	}
	return number(n), "ms late"
}

func (v *Verdict) spreadFigure() figure {
	f := figure{label: "Spread", value: unknown, sub: "too few hits"}
	if v.Spread.OK {
		f.value, f.unit, f.sub = "±"+number(v.Spread.Value), "ms", "from hit to hit"
		if v.Last > 0 {
			f.sub = "last take ±" + number(v.Last)
		}
	}
	return f
}

// lastFigure is the split of the tuplet that came out worst, or the drift.
func (v *Verdict) lastFigure() figure {
	var worst *grade.TupletFigures
	for i, t := range v.Tuplets {
		if t.N > 0 && t.Written.Irregular() && (worst == nil || t.AwayMS > worst.AwayMS) {
			worst = &v.Tuplets[i]
		}
	}
	if worst != nil {
		return figure{label: "Split of " + worst.Written.String(), sub: splitWords(*worst), split: worst}
	}
	if !v.Drift.OK {
		return figure{label: "Drift", value: unknown, sub: "too few hits"}
	}
	f := figure{label: "Drift", value: fmt.Sprintf("%.1f", math.Abs(v.Drift.Value)), unit: "BPM", sub: "the tempo held"}
	switch {
	case v.Drift.Low > 0:
		f.unit, f.sub = "BPM faster", "over the take"
	case v.Drift.High < 0:
		f.unit, f.sub = "BPM slower", "over the take"
	}
	return f
}

// splitWords is "you 36·36·28, even 33·33·33 %".
func splitWords(t grade.TupletFigures) string {
	return "you " + shares(t.Played) + ", even " + shares(t.WrittenShares()) + " %"
}

func shares(of []float64) string {
	var words []string
	for _, x := range of {
		words = append(words, number(100*x))
	}
	return strings.Join(words, "·")
}

// mostBlind is how many sentences stand beside that one; three in all.
const mostBlind = 2

// sentences are what the verdict says. Where the delay is not known, nothing
// that is early or late can be said.
func (v *Verdict) sentences() []string {
	if v.Take.Known {
		return v.Sentences
	}
	out := []string{"How early or late you are is not known yet."}
	if n := min(len(v.AnyDelay), mostBlind); n > 0 {
		return append(out, v.AnyDelay[:n]...)
	}
	return append(out, "Spread and splits count already; the strip shows each hit from your middle.")
}

// An action is one thing to do next.
type action struct {
	act, arg, label, key string
}

// actions are what can be done after a take, the suggestion first.
func (s State) actions() []action {
	v := s.Verdict
	all := []action{
		{"again", "", "Again", "R"},
		s.slowerAction(),
		s.nextAction(),
	}
	if loop := s.weakest(); loop != (Range{}) && loop != v.Loop {
		all = append([]action{{"loop", loop.arg(), "Loop " + loop.String(), "L"}}, all...)
	} else if v.Loop != (Range{}) {
		all = append([]action{{"whole-go", "", "Whole step", "W"}}, all...)
	}
	if s.alone() {
		all = append([]action{{"together", "", "Together again", "V"}}, all...)
	}
	first := s.suggestion()
	out := []action{first}
	for _, a := range all {
		if a.act != "" && a.act != first.act && a.key != first.key {
			out = append(out, a)
		}
	}
	return out
}

// suggestion is the one thing to do next.
func (s State) suggestion() action {
	v := s.Verdict
	if !v.Take.Known {
		return action{"measure-go", "", "Measure, 30 seconds", "M"}
	}
	if v.Passed && s.alone() {
		return action{"together", "", "Together again", "V"}
	}
	next := s.suggested()
	switch next.Kind {
	case grade.Slower:
		return action{"faster", number(next.BPM), "Slower: " + number(next.BPM), "S"}
	case grade.Faster:
		return action{"faster", number(next.BPM), "Faster: " + number(next.BPM), "F"}
	case grade.LoopBars:
		loop := Range{next.First, next.Last}
		return action{"loop", loop.arg(), "Loop " + loop.String(), "L"}
	case grade.VoiceAlone:
		return action{"alone", next.Voice.String(), "Only the " + strings.ToLower(next.Voice.Label()), "V"}
	case grade.HearIt:
		return action{"hear", "", "Hear it", "H"}
	case grade.WholeStep:
		return action{"whole-go", "", "Whole step", "W"}
	case grade.NextStep:
		if next := s.nextAction(); next.act != "" {
			return next
		}
	case grade.MeasureDelay:
		return action{"measure-go", "", "Measure, 30 seconds", "M"}
	}
	return action{"again", "", "Again", "R"}
}

// suggested is what grading suggests, with the tempo that is suggested here.
func (s State) suggested() grade.Next {
	if next, ok := s.paced(); ok {
		return next
	}
	return s.Verdict.Next
}

// nextAction is the next step, or the next climb after the last.
func (s State) nextAction() action {
	switch {
	case s.Step+1 < len(s.entry().Climb.Steps):
		return action{"next", "", "Next step", "N"}
	case s.Climb+1 < len(s.Library):
		return action{"next", "", "Next climb", "N"}
	}
	return action{}
}

// String returns "bar 4" or "bars 3–4".
func (r Range) String() string {
	if r.First == r.Last {
		return fmt.Sprintf("bar %d", r.First)
	}
	return fmt.Sprintf("bars %d–%d", r.First, r.Last)
}

// arg is the range as the loop act reads it.
func (r Range) arg() string { return fmt.Sprintf("%d-%d", r.First, r.Last) }

// barWords says how a bar went, with its judgement: "", "early", "tight" or
// "late".
func (v *Verdict) barWords(bar int) (words, judgement string) {
	for _, b := range v.ByBar {
		if b.Bar != bar {
			continue
		}
		switch {
		case b.Expected == 0: // not reached, or the part rests
			return "", ""
		case b.Matched == 0:
			return "missed", ""
		case !v.Take.Known && b.Spread.OK:
			return "±" + number(b.Spread.Value), ""
		case !v.Take.Known || !b.Leaning.OK:
			return fmt.Sprintf("%d of %d", b.Matched, b.Expected), ""
		}
		j := strip.Judge(b.Leaning.Value).String()
		if j == "tight" {
			return j, j
		}
		return number(math.Abs(b.Leaning.Value)) + " " + j, j
	}
	return "", ""
}
