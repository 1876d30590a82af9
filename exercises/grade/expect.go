package grade

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Expected is what a player is to play in a take: the written strokes of the
// part in one pass, and each of them in each pass.
type Expected struct {
	Positions   []Position
	Onsets      []Onset   // in order of time; those at one time in order of voices
	Bars        []int     // numbers of the bars played, from 1
	BarSeconds  []float64 // start of each bar in a pass and, last, the end of the pass
	PassSeconds float64   // seconds from the start of one pass to the next
	Tempo       float64   // beats a minute

	clock clock
}

// A Position is a written stroke of one pass, or on a single key the strokes
// of several voices at one place.
type Position struct {
	Voices  VoiceSet
	At      meter.Rat     // quarter notes from the first downbeat of the whole passage
	Place   passage.Place // the same for people
	Seconds float64       // from the start of the pass, at the tempo of the take
	Kind    passage.Kind  // how it is played; of several voices Accent before others, Ghost last
	Graces  int           // grace strokes written before it: 1 of a flam, 2 of a drag
}

// An Onset is a written stroke in one pass.
type Onset struct {
	Position int     // index in Expected.Positions
	Pass     int     // from 1
	Seconds  float64 // from the first written downbeat of the take
}

// A VoiceSet is a set of voices.
type VoiceSet uint32

// SetOf returns the set of the given voices.
func SetOf(voices ...passage.Voice) VoiceSet {
	var s VoiceSet
	for _, v := range voices {
		s |= 1 << v
	}
	return s
}

// Has reports whether v is in the set.
func (s VoiceSet) Has(v passage.Voice) bool { return s&(1<<v) != 0 }

// Voices returns the voices of the set in printing order.
func (s VoiceSet) Voices() []passage.Voice {
	var all []passage.Voice
	for _, v := range passage.Voices() {
		if s.Has(v) {
			all = append(all, v)
		}
	}
	return all
}

// Expect returns what is to be played in a take of the passage p, which has
// its written tempo: the strokes that sound of the take's part, in its bars,
// tempo and passes, up to the pass in which the player stopped. Only these
// fields of the take are read, so it may be called before the first tap. With
// oneKey, strokes of several voices at one place are one.
func Expect(p passage.Passage, t Take, oneKey bool) (Expected, error) {
	part, err := partOf(p, t.Part)
	if err != nil {
		return Expected{}, err
	}
	clock, err := newClock(p, t)
	if err != nil {
		return Expected{}, err
	}
	e := Expected{Tempo: t.Tempo, PassSeconds: clock.seconds(clock.end), clock: clock}
	starts := p.Starts()
	for bar := clock.first; bar <= clock.last; bar++ {
		e.Bars = append(e.Bars, bar)
		e.BarSeconds = append(e.BarSeconds, clock.seconds(starts[bar-1]))
	}
	e.BarSeconds = append(e.BarSeconds, e.PassSeconds)
	e.Positions = positions(p, part, clock, oneKey)
	if len(e.Positions) == 0 {
		return Expected{}, fmt.Errorf("%s has no strokes in %s; choose other bars or another part", names(part), clock.bars())
	}
	passes := clock.passes(t, e.PassSeconds)
	if len(e.Positions)*passes > MaxTaps {
		return Expected{}, fmt.Errorf("%d strokes in %d passes are more than %d; play fewer passes", len(e.Positions), passes, MaxTaps)
	}
	e.Onsets = make([]Onset, 0, len(e.Positions)*passes)
	for pass := 1; pass <= passes; pass++ {
		start := float64(pass-1) * e.PassSeconds
		for i, pos := range e.Positions {
			e.Onsets = append(e.Onsets, Onset{i, pass, start + pos.Seconds})
		}
	}
	return e, nil
}

// partOf returns the voices of the part, which the passage must have.
func partOf(p passage.Passage, part []passage.Voice) ([]passage.Voice, error) {
	have := slices.DeleteFunc(p.Voices(), func(v passage.Voice) bool { return v == passage.Click })
	if len(part) == 0 {
		return have, nil
	}
	for _, v := range part {
		if _, ok := p.Line(v); !ok {
			return nil, fmt.Errorf("the step has no %s line; choose from %s", v, names(have))
		}
	}
	return part, nil
}

func names(voices []passage.Voice) string {
	var all []string
	for _, v := range voices {
		all = append(all, v.String())
	}
	return strings.Join(all, ", ")
}

// A clock turns places of the whole passage into seconds of a pass.
type clock struct {
	tempo       meter.TempoMap
	from        *big.Rat // seconds at the written tempo where the first bar played begins
	slower      *big.Rat // seconds of the take for one at the written tempo
	first, last int      // bars played, from 1
	start, end  meter.Rat
	all         bool // every bar of the passage is played
}

func newClock(p passage.Passage, t Take) (clock, error) {
	c := clock{first: 1, last: len(p.Bars), all: true}
	if t.Bars != [2]int{} {
		c.first, c.last, c.all = t.Bars[0], t.Bars[1], false
	}
	if c.first < 1 || c.last < c.first || c.last > len(p.Bars) {
		return c, fmt.Errorf("bars %d to %d are not in a step of %d bars; choose bars 1 to %d", c.first, c.last, len(p.Bars), len(p.Bars))
	}
	if !(t.Tempo >= MinBPM && t.Tempo <= MaxBPM) {
		return c, fmt.Errorf("a tempo of %g is outside %d to %d beats a minute; choose one inside", t.Tempo, MinBPM, MaxBPM)
	}
	if t.Passes < 1 || t.Passes > MaxPasses {
		return c, fmt.Errorf("%d passes are outside 1 to %d; choose a number inside", t.Passes, MaxPasses)
	}
	var err error
	if c.tempo, err = p.TempoMap(); err != nil {
		return c, err
	}
	starts := p.Starts()
	c.start, c.end = starts[c.first-1], starts[c.last]
	c.from = c.tempo.Exact(c.start)
	c.slower = new(big.Rat).SetFloat64(t.Tempo)
	c.slower.Quo(p.Bars[0].Tempo.BPM.Big(), c.slower)
	return c, nil
}

// seconds returns the seconds of a place from the start of the pass, exact
// until the one rounding to a float64.
func (c clock) seconds(at meter.Rat) float64 {
	s := new(big.Rat).Sub(c.tempo.Exact(at), c.from)
	f, _ := s.Mul(s, c.slower).Float64()
	return f
}

// at returns the place of seconds from the start of the pass, in quarter notes
// of the whole passage, for drawing.
func (c clock) at(seconds float64) float64 {
	slower, _ := c.slower.Float64()
	from, _ := c.from.Float64()
	return c.tempo.At(from + seconds/slower)
}

// passes returns the number of passes that began before the player stopped.
func (c clock) passes(t Take, passSeconds float64) int {
	if !t.Stopped.OK {
		return t.Passes
	}
	begun := int(min(max((t.Stopped.Value-t.LatencyMS/1000)/passSeconds, 0), MaxPasses)) + 1
	return min(t.Passes, begun)
}

func (c clock) bars() string {
	if c.all {
		return "this step"
	}
	return fmt.Sprintf("bars %d to %d", c.first, c.last)
}

// positions returns the sounding strokes of the part between the clock's bars
// in order of time, then of voices.
func positions(p passage.Passage, part []passage.Voice, c clock, oneKey bool) []Position {
	var all []Position
	for _, l := range p.Lines {
		if !slices.Contains(part, l.Voice) {
			continue
		}
		for _, s := range l.Strokes {
			if s.Sounds() && !s.At.Less(c.start) && s.At.Less(c.end) {
				all = append(all, Position{
					Voices: SetOf(l.Voice), At: s.At, Place: p.Place(s.At), Seconds: c.seconds(s.At),
					Kind: s.Kind, Graces: graceStrokes(s.Kind),
				})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Position) int {
		return cmp.Or(a.At.Cmp(b.At), cmp.Compare(a.Voices, b.Voices))
	})
	if oneKey {
		all = merged(all)
	}
	return all
}

// merged joins positions at one place.
func merged(all []Position) []Position {
	var out []Position
	for _, pos := range all {
		if n := len(out); n > 0 && out[n-1].At == pos.At {
			out[n-1].join(pos)
			continue
		}
		out = append(out, pos)
	}
	return out
}

// join adds the strokes of other voices at the same place.
func (p *Position) join(other Position) {
	p.Voices |= other.Voices
	p.Graces = max(p.Graces, other.Graces)
	if p.Kind == passage.Ghost || other.Kind == passage.Accent {
		p.Kind = other.Kind
	}
}
