package change

import (
	"fmt"
	"slices"
	"strconv"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Selection is what somebody points at: voices, and a stretch of time.
type Selection = passage.Span

// An Offer is a change for what is selected: one that fits, with what comes
// of it, or one that does not, with the reason.
type Offer struct {
	Change Change
	Reason string // "what; what to do"; "" when the change fits
	After  passage.Passage
}

// Offers returns the changes of the whole catalogue that may be made of what
// is selected, each as a list of ways to write it: [Try] takes the first way
// that fits. Nothing is tried yet, so this is cheap.
func Offers(p passage.Passage, sel Selection) [][]Change {
	if len(p.Bars) == 0 {
		return nil
	}
	s := suggester{p, sel}
	var all [][]Change
	for i := range entries() {
		all = append(all, s.offers(&entries()[i])...)
	}
	return all
}

// Try makes the first of some changes that fits; where none does, the offer
// says why the first does not.
func Try(p passage.Passage, ways []Change) Offer {
	var first Offer
	for i, c := range ways {
		after, err := c.Apply(p)
		if err == nil {
			return Offer{Change: c, After: after}
		}
		if i == 0 {
			first = Offer{Change: c, Reason: err.Error()}
		}
	}
	return first
}

// A suggester finds parameters in what is selected.
type suggester struct {
	p   passage.Passage
	sel Selection
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

// product joins each of some parameters with each of others. Fields of the
// latter that are set win.
func product(a, b []Args) []Args {
	var all []Args
	for _, x := range a {
		for _, y := range b {
			all = append(all, x.joined(y))
		}
	}
	return all
}

func (a Args) joined(b Args) Args {
	if b.Voices != nil {
		a.Voices = b.Voices
	}
	if b.To != passage.NoVoice {
		a.To = b.To
	}
	if b.At != nil {
		a.At = b.At
	}
	if b.Places != nil {
		a.Places = b.Places
	}
	if b.By.Sign() != 0 {
		a.By = b.By
	}
	if b.Count != 0 {
		a.Count = b.Count
	}
	if b.Groups != nil {
		a.Groups = b.Groups
	}
	if b.Factor.Sign() != 0 {
		a.Factor = b.Factor
	}
	if b.Bar != 0 {
		a.Bar = b.Bar
	}
	if !b.Metre.IsZero() {
		a.Metre = b.Metre
	}
	if b.As != "" {
		a.As = b.As
	}
	return a
}

// What is offered where the catalogue leaves the amount open. All our choice:
// what the style uses most, the usual first.
var (
	offeredShifts   = quarters(1, 4, -1, 4, 1, 2, -1, 2, 1, 3, -1, 3, 1, 1, -1, 1)
	offeredLengths  = quarters(1, 4, 1, 2, 1, 1, 1, 3, 2, 1)
	offeredSpaces   = quarters(1, 1, 1, 2, 2, 1, 1, 4)
	offeredCounts   = []int{3, 5, 6, 4, 7, 2, 9}
	offeredGroups   = [][]int{{3}, {3, 3, 2}, {5, 5, 6}, {3, 3, 3, 3, 4}, {5}, {7}, {3, 2}}
	offeredFactors  = quarters(2, 1, 3, 2, 4, 3)
	offeredTempi    = quarters(3, 2, 4, 3, 5, 4, 2, 3, 3, 4, 4, 5)
	offeredBends    = []int{2, 1}
	offeredTomTrips = []passage.Voice{passage.TomFloor, passage.TomMid, passage.TomHigh, passage.Snare, passage.Kick}
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
	var all []Args
	switch c.param {
	case paramShift:
		for _, by := range offeredShifts {
			all = append(all, Args{By: by})
		}
	case paramLength:
		if c.optional {
			return []Args{{}}
		}
		lengths := offeredLengths
		if c.word == "for" {
			lengths = offeredSpaces
		}
		for _, by := range lengths {
			all = append(all, Args{By: by})
		}
	case paramFactor:
		factors := offeredFactors
		if e.Name == "tempo" {
			factors = offeredTempi
		}
		for _, f := range factors {
			all = append(all, Args{Factor: f})
		}
	case paramCount:
		for _, n := range offeredCounts {
			all = append(all, Args{Count: n})
		}
	case paramSemitones:
		for _, n := range offeredBends {
			all = append(all, Args{Count: n})
		}
	case paramGroups:
		for _, g := range offeredGroups {
			all = append(all, Args{Groups: g})
		}
	case paramMetre:
		for _, m := range s.shorter() {
			all = append(all, Args{Metre: m})
		}
	case paramChoice:
		for _, word := range c.choices {
			all = append(all, Args{As: word})
		}
	case paramWord:
		all = []Args{{}, {As: c.word}}
	default:
		return nil
	}
	return all
}

// where returns the choices of a parameter that says who or where.
func (s suggester) where(e *Entry, c clause) []Args {
	switch c.param {
	case paramVoices:
		return s.voices()
	case paramTwo:
		return s.pairs()
	case paramVoice:
		if c.word == "to" {
			return s.targets(e)
		}
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

// pairs are the first two selected voices, or the selected one with each other.
func (s suggester) pairs() []Args {
	if len(s.sel.Voices) >= 2 {
		return []Args{{Voices: slices.Clone(s.sel.Voices[:2])}}
	}
	var all []Args
	for _, v := range s.p.Voices() {
		if len(s.sel.Voices) == 1 && v != s.sel.Voices[0] {
			all = append(all, Args{Voices: []passage.Voice{s.sel.Voices[0], v}})
		}
	}
	return all
}

// targets are the voices that something is moved or locked to.
func (s suggester) targets(e *Entry) []Args {
	targets := s.p.Voices()
	if e.Name == "move" {
		targets = offeredTomTrips
	}
	var all []Args
	for _, v := range targets {
		if !slices.Contains(s.sel.Voices, v) {
			all = append(all, Args{To: v})
		}
	}
	return all
}

// bars returns the first and last bar that the selection touches.
func (s suggester) bars() (first, last int) {
	first = s.p.Place(s.sel.From).Bar
	last = first
	starts := s.p.Starts()
	for last < len(s.p.Bars) && starts[last].Less(s.sel.To) {
		last++
	}
	return first, last
}

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

// offeredPlaces is the most strokes that are named one by one; our choice.
const offeredPlaces = 8

// places are the strokes that are selected, then where the selection begins.
func (s suggester) places() []Args {
	var onsets []Spot
	for _, l := range s.p.Lines {
		if !slices.Contains(s.sel.Voices, l.Voice) {
			continue
		}
		for _, st := range l.Strokes {
			if spot := s.p.Place(st.At); !st.At.Less(s.sel.From) && st.At.Less(s.sel.To) && !slices.Contains(onsets, spot) {
				onsets = append(onsets, spot)
			}
		}
	}
	var all []Args
	if n := len(onsets); n >= 1 && n <= offeredPlaces {
		all = append(all, Args{Places: onsets})
	}
	from := s.p.Place(s.sel.From)
	if len(onsets) != 1 || onsets[0] != from {
		all = append(all, Args{Places: []Spot{from}})
	}
	return all
}

// shorter are metres of the first selected bar with its last eighth, or its
// last beat, gone.
func (s suggester) shorter() []meter.Metre {
	first, _ := s.bars()
	beats := s.p.Bars[first-1].Metre.Beats()
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
