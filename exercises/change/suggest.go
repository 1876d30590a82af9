package change

import (
	"fmt"
	"slices"
	"strconv"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A suggester finds parameters in what is selected.
type suggester struct {
	p   passage.Passage
	sel Selection // within the passage, and not without length
}

// within returns a selection that lies in the passage.
func within(p passage.Passage, sel Selection) Selection {
	beats := p.Beats()
	if last := beats[len(beats)-1]; !sel.From.Valid() || !sel.From.Less(last.At.Add(last.Length)) {
		sel.From = last.At
	}
	if sel.From.Sign() < 0 {
		sel.From = meter.Rat{}
	}
	if end := p.Length(); !sel.To.Valid() || end.Less(sel.To) {
		sel.To = end
	}
	if !sel.From.Less(sel.To) {
		beat := beatAt(p, sel.From)
		sel.From, sel.To = beat.from, beat.to
	}
	var voices []passage.Voice
	for _, v := range sel.Voices {
		if v.Valid() && !slices.Contains(voices, v) {
			voices = append(voices, v)
		}
	}
	sel.Voices = voices
	return sel
}

// offers returns the ways to write each offer of one entry: one offer for each
// choice of the parameters that say how much, and in it a way for each choice
// of voices and places.
func (s suggester) offers(e *Entry) [][]Change {
	hows := []Args{{}}
	wheres := []Args{{}}
	for _, c := range e.clauses {
		if how := s.how(e, c); how != nil {
			hows = product(hows, how)
		} else {
			wheres = product(wheres, s.where(e, c))
		}
	}
	var all [][]Change
	for _, how := range hows {
		var ways []Change
		for _, where := range product([]Args{how}, wheres) {
			ways = append(ways, Change{e, where})
		}
		if len(ways) > 0 {
			all = append(all, ways)
		}
	}
	return all
}

// What is offered where the catalogue leaves the amount open. All our choice:
// what the style uses most, the usual first.
var (
	offeredShifts  = quarters(1, 4, -1, 4, 1, 2, -1, 2, 1, 3, -1, 3, 1, 1, -1, 1)
	offeredLengths = quarters(1, 4, 1, 2, 1, 1, 1, 3, 2, 1)
	offeredSpaces  = quarters(1, 1, 1, 2, 2, 1, 1, 4)
	offeredCounts  = []int{3, 5, 6, 4, 7, 2, 9}
	offeredGroups  = [][]int{{3}, {3, 3, 2}, {5, 5, 6}, {3, 3, 3, 3, 4}, {5}, {7}, {3, 2}}
	offeredFactors = quarters(2, 1, 3, 2, 4, 3)
	offeredTempi   = quarters(3, 2, 4, 3, 5, 4, 2, 3, 3, 4, 4, 5)
	offeredBends   = []int{2, 1}
)

func quarters(parts ...int64) []meter.Rat {
	var all []meter.Rat
	for i := 0; i+1 < len(parts); i += 2 {
		all = append(all, meter.R(parts[i], parts[i+1]))
	}
	return all
}

// how returns the choices of a parameter that says how much or how; nil for
// one that says who and where.
func (s suggester) how(e *Entry, c clause) []Args {
	switch c.param {
	case paramShift:
		return choose(offeredShifts, func(a *Args, by meter.Rat) { a.By = by })
	case paramLength:
		switch {
		case c.optional:
			return []Args{{}}
		case c.word == "for":
			return choose(offeredSpaces, func(a *Args, by meter.Rat) { a.By = by })
		}
		return choose(offeredLengths, func(a *Args, by meter.Rat) { a.By = by })
	case paramFactor:
		factors := offeredFactors
		if slices.ContainsFunc(e.clauses, func(c clause) bool { return c.param == paramBars }) {
			factors = offeredTempi
		}
		return choose(factors, func(a *Args, f meter.Rat) { a.Factor = f })
	case paramCount:
		return choose(offeredCounts, func(a *Args, n int) { a.Count = n })
	case paramSemitones:
		return choose(offeredBends, func(a *Args, n int) { a.Count = n })
	case paramGroups:
		return choose(offeredGroups, func(a *Args, g []int) { a.Groups = g })
	case paramMetre:
		return choose(s.shorter(), func(a *Args, m meter.Metre) { a.Metre = m })
	case paramChoice:
		return choose(c.choices, func(a *Args, word string) { a.As = word })
	case paramWord:
		return []Args{{}, {As: c.word}}
	case paramTwo:
		return choose(s.pairs(), func(a *Args, pair []passage.Voice) { a.Voices = pair })
	case paramVoice:
		if c.word == "to" {
			return choose(s.targets(e), func(a *Args, v passage.Voice) { a.To = v })
		}
	case paramPlaces, paramPlace:
		if !onStrokes(e) {
			return choose(s.free(e), func(a *Args, at Spot) { a.Places = []Spot{at} })
		}
	}
	return nil
}

// choose returns parameters with one field set, for each of its choices; an
// empty list where there are none.
func choose[T any](choices []T, set func(*Args, T)) []Args {
	all := make([]Args, len(choices))
	for i, x := range choices {
		set(&all[i], x)
	}
	return all
}

// onStrokes reports whether the places of an entry are those of strokes; other
// entries put something where there may be none.
func onStrokes(e *Entry) bool {
	return !slices.Contains([]string{"add", "choke", "offbeat snare", "stop", "sub"}, e.Name)
}

// where returns the choices of a parameter that says who or where.
func (s suggester) where(e *Entry, c clause) []Args {
	switch c.param {
	case paramVoices:
		return s.voices()
	case paramVoice:
		return s.single()
	case paramRanges, paramRange:
		return s.ranges(c)
	case paramBars:
		first, last := s.bars()
		return []Args{{At: []Range{{Spot{Bar: first}, Spot{Bar: last}}}}}
	case paramPlaces, paramPlace:
		return s.places()
	case paramBar:
		first, _ := s.bars()
		return []Args{{Bar: first}}
	}
	return []Args{{}}
}

// voices are the selected ones together, then each alone.
func (s suggester) voices() []Args {
	if len(s.sel.Voices) == 0 {
		return nil
	}
	all := []Args{{Voices: slices.Clone(s.sel.Voices)}}
	if len(s.sel.Voices) > 1 {
		all = append(all, s.single()...)
	}
	return all
}

func (s suggester) single() []Args {
	var all []Args
	for _, v := range s.sel.Voices {
		all = append(all, Args{Voices: []passage.Voice{v}})
	}
	return all
}

// pairs are the first two selected voices, or the selected one with each other
// of its instrument.
func (s suggester) pairs() [][]passage.Voice {
	if len(s.sel.Voices) >= 2 {
		return [][]passage.Voice{slices.Clone(s.sel.Voices[:2])}
	}
	all := [][]passage.Voice{}
	for _, v := range s.p.Voices() {
		if len(s.sel.Voices) == 1 && exchangeable(s.sel.Voices[0], v) == nil {
			all = append(all, []passage.Voice{s.sel.Voices[0], v})
		}
	}
	return all
}

// offeredMoves are the voices that something is moved to, those that are most
// like it first. Our choice.
var offeredMoves = map[string][]passage.Voice{
	"cymbal": {passage.Ride, passage.China, passage.CrashLeft, passage.Hat},
	"snare":  {passage.TomHigh, passage.TomFloor, passage.Kick},
	"riff":   {passage.TomFloor, passage.TomMid, passage.TomHigh, passage.Snare, passage.Bass, passage.Guitar, passage.Lead},
	"tom":    {passage.Snare, passage.Kick, passage.TomFloor, passage.TomHigh},
}

// offeredModels are the voices that others are locked to first. Our choice.
var offeredModels = []passage.Voice{passage.Kick, passage.Guitar, passage.Snare}

// maxTargets is how many voices are offered to move or to lock to. Our choice.
const maxTargets = 4

// targets are the voices that something is moved or locked to.
func (s suggester) targets(e *Entry) []passage.Voice {
	targets := append(slices.Clone(offeredModels), s.p.Voices()...)
	if e.Name == "move" {
		targets = nil
		for _, v := range s.sel.Voices {
			targets = append(targets, offeredMoves[role(v)]...)
		}
	}
	all := []passage.Voice{}
	for _, v := range targets {
		_, stands := s.p.Line(v)
		fits := e.Name != "move" && stands || e.Name == "move" && slices.ContainsFunc(s.sel.Voices, func(o passage.Voice) bool { return exchangeable(o, v) == nil })
		if fits && len(all) < maxTargets && !slices.Contains(all, v) && !slices.Contains(s.sel.Voices, v) {
			all = append(all, v)
		}
	}
	return all
}

// bars returns the first and last bar that the selection touches.
func (s suggester) bars() (first, last int) { return s.p.BarsOf(s.sel) }

// ranges is the selection as a range, in whole bars where it is, and nothing
// where it is the whole passage and nothing need be said.
func (s suggester) ranges(c clause) []Args {
	first, last := s.bars()
	starts := s.p.Starts()
	whole := starts[first-1] == s.sel.From && starts[last] == s.sel.To
	switch {
	case whole && first == 1 && last == len(s.p.Bars) && c.optional:
		return []Args{{}}
	case whole:
		return []Args{{At: []Range{{Spot{Bar: first}, Spot{Bar: last}}}}}
	}
	from := s.p.Place(s.sel.From)
	to := from
	for _, b := range s.p.Beats() {
		if b.At.Less(s.sel.To) {
			to = Spot{Bar: b.Bar, Beat: b.Number}
		}
	}
	return []Args{{At: []Range{{from, Spot{Bar: to.Bar, Beat: to.Beat}}}}}
}

// offeredPlaces is the most places that are named one by one; our choice.
const offeredPlaces = 8

// places are the strokes that are selected, or those of them that stand on
// beats where there are many; then the first, and the last.
func (s suggester) places() []Args {
	var onsets []meter.Rat
	for _, l := range s.p.Lines {
		if !slices.Contains(s.sel.Voices, l.Voice) {
			continue
		}
		for _, st := range strokesIn(l, stretch{s.sel.From, s.sel.To}) {
			if !slices.Contains(onsets, st.At) && len(onsets) < maxOnsets {
				onsets = append(onsets, st.At)
			}
		}
	}
	if len(onsets) == 0 {
		return []Args{{Places: s.spots(s.sel.From)}}
	}
	slices.SortFunc(onsets, meter.Rat.Cmp)
	onBeat := slices.DeleteFunc(slices.Clone(onsets), func(at meter.Rat) bool { return beatAt(s.p, at).from != at })
	var all []Args
	for _, set := range [][]meter.Rat{onsets, onBeat, onsets[:1], onsets[len(onsets)-1:]} {
		twice := slices.ContainsFunc(all, func(a Args) bool { return slices.Equal(a.Places, s.spots(set...)) })
		if n := len(set); n > 0 && n <= offeredPlaces && !twice {
			all = append(all, Args{Places: s.spots(set...)})
		}
	}
	return all
}

// maxOnsets is how many selected strokes are looked at to name places. Our
// choice: a few bars.
const maxOnsets = 64

func (s suggester) spots(places ...meter.Rat) []Spot {
	all := make([]Spot, len(places))
	for i, at := range places {
		all[i] = s.p.Place(at)
	}
	return all
}

// free are places where something may be put: where the selection begins, and
// its last beat; for single strokes also an eighth after each, and a sixteenth
// before the end. Our choice: what is added in the style is added around the
// beat, what stops stops on it.
func (s suggester) free(e *Entry) []Spot {
	last := beatAt(s.p, s.sel.To.Sub(shortest)).from
	eighth := meter.R(1, 2)
	places := []meter.Rat{s.sel.From, last}
	if len(e.clauses) > 0 && e.clauses[0].param == paramVoices {
		places = append(places, s.sel.From.Add(eighth), last.Add(eighth), s.sel.To.Sub(sixteenth))
	}
	var in []meter.Rat
	for _, at := range places {
		if (stretch{s.sel.From, s.sel.To}).holds(at) && !slices.Contains(in, at) {
			in = append(in, at)
		}
	}
	return s.spots(in...)
}

// shorter are metres of the first selected bar with its last eighth, or its
// last beat, gone.
func (s suggester) shorter() []meter.Metre {
	first, _ := s.bars()
	return s.shorterBar(first)
}

// shorterBar is shorter for a bar.
func (s suggester) shorterBar(bar int) []meter.Metre {
	beats := s.p.Bars[bar-1].Metre.Beats()
	var all []meter.Metre
	for _, text := range shortened(beats) {
		if m, err := meter.ParseMetre(text); err == nil {
			all = append(all, m)
		}
	}
	return all
}

// shortened writes a bar of some beats without its last eighth, and without its
// last beat, as metres.
func shortened(beats []meter.Rat) []string {
	var texts []string
	less := slices.Clone(beats)
	if n := len(less) - 1; meter.R(1, 2).Less(less[n]) {
		less[n] = less[n].Sub(meter.R(1, 2))
		texts = append(texts, metreText(less))
	}
	if len(beats) > 1 {
		texts = append(texts, metreText(beats[:len(beats)-1]))
	}
	return texts
}

// metreText writes beats as a metre: over 4 where each is a quarter, else over
// 8 with its brackets, a last eighth joined to the beat before it.
func metreText(beats []meter.Rat) string {
	quarter := func(b meter.Rat) bool { return b == meter.Int(1) }
	if !slices.ContainsFunc(beats, func(b meter.Rat) bool { return !quarter(b) }) {
		return fmt.Sprintf("%d/4", len(beats))
	}
	var sum int64
	var counts []int64
	for _, b := range beats {
		eighths := b.Mul(meter.Int(2)).Floor()
		sum += eighths
		if n := len(counts); eighths == 1 && n > 0 {
			counts[n-1]++
			continue
		}
		counts = append(counts, eighths)
	}
	text := ""
	for i, n := range counts {
		if i > 0 {
			text += "+"
		}
		text += strconv.FormatInt(n, 10)
	}
	return fmt.Sprintf("%d/8 (%s)", sum, text)
}
