package passage

import (
	"fmt"
	"slices"

	"stampmill/exercises/meter"
)

// A Bar has a metre and a tempo; its content stands in the lines.
type Bar struct {
	Metre meter.Metre
	Tempo meter.Tempo
}

// A Passage is a few bars of strokes for several voices. Treat it as a value:
// copy with [Passage.Clone] before changing its slices.
type Passage struct {
	Bars    []Bar
	Lines   []Line // at most one a voice, in the order of the file
	Tuning  Pitch  // lowest string
	Machine bool   // programmed drums: four limbs need not be enough
}

// Clone returns a copy that shares nothing with p.
func (p Passage) Clone() Passage {
	p.Bars = slices.Clone(p.Bars)
	p.Lines = slices.Clone(p.Lines)
	for i, l := range p.Lines {
		p.Lines[i] = Line{l.Voice, slices.Clone(l.Strokes), slices.Clone(l.Groups)}
	}
	return p
}

// Line returns the line of a voice; false if the passage has none.
func (p Passage) Line(v Voice) (Line, bool) {
	for _, l := range p.Lines {
		if l.Voice == v {
			return l, true
		}
	}
	return Line{}, false
}

// Voices returns the voices of the passage, in the order of its lines.
func (p Passage) Voices() []Voice {
	var all []Voice
	for _, l := range p.Lines {
		all = append(all, l.Voice)
	}
	return all
}

// Starts returns the place of each bar line and, last, the end of the passage:
// len(Bars)+1 places in quarter notes.
func (p Passage) Starts() []meter.Rat {
	starts := make([]meter.Rat, 1, len(p.Bars)+1)
	var at meter.Rat
	for _, b := range p.Bars {
		at = at.Add(b.Metre.Length())
		starts = append(starts, at)
	}
	return starts
}

// Length returns the length of the passage in quarter notes.
func (p Passage) Length() meter.Rat {
	starts := p.Starts()
	return starts[len(starts)-1]
}

// TempoMap returns the tempo map of the passage as written.
func (p Passage) TempoMap() (meter.TempoMap, error) {
	var segs []meter.Segment
	starts := p.Starts()
	for i, b := range p.Bars {
		q := b.Tempo.Quarters(b.Metre)
		if n := len(segs); n == 0 || segs[n-1].Quarters != q {
			segs = append(segs, meter.Segment{At: starts[i], Quarters: q})
		}
	}
	return meter.NewTempoMap(segs)
}

// AtTempo returns the passage with its first bar at bpm beats a minute, counted
// in the note value it is written in; later tempi keep their ratio to it.
func (p Passage) AtTempo(bpm meter.Rat) (Passage, error) {
	if len(p.Bars) == 0 {
		return p, fmt.Errorf("the passage has no bars; write at least one")
	}
	factor := bpm.Div(p.Bars[0].Tempo.BPM)
	written := p.Bars
	p.Bars = slices.Clone(written)
	for i := range p.Bars {
		p.Bars[i].Tempo = p.Bars[i].Tempo.By(factor)
		if err := p.Bars[i].Tempo.Check(); err != nil && i > 0 && p.Bars[i].Tempo.BPM.Valid() {
			return p, fmt.Errorf("bar %d would be at %.4g, outside %d to %d beats a minute; %s", i+1, p.Bars[i].Tempo.BPM.Float(), meter.MinBPM, meter.MaxBPM, tempoHint(written))
		} else if err != nil {
			return p, err
		}
	}
	return p, nil
}

// tempoHint tells which whole tempi the first bar can have, so that no bar
// leaves the limits.
func tempoHint(bars []Bar) string {
	first := bars[0].Tempo.BPM
	low, high := meter.Int(meter.MinBPM), meter.Int(meter.MaxBPM)
	for _, b := range bars {
		ratio := b.Tempo.BPM.Div(first)
		if l := meter.Int(meter.MinBPM).Div(ratio); l.Valid() && low.Less(l) {
			low = l
		}
		if h := meter.Int(meter.MaxBPM).Div(ratio); h.Less(high) { // Invalid is not
			high = h
		}
	}
	from, to := -low.Neg().Floor(), high.Floor()
	if from >= to {
		return "keep the written " + first.Decimal()
	}
	return fmt.Sprintf("choose a tempo from %d to %d", from, to)
}

// Section returns bars first to last (counted from 1, both included) as a
// passage of its own that starts at 0. A stroke held over the first bar line
// is left out; one held over the last is cut there.
func (p Passage) Section(first, last int) (Passage, error) {
	if first < 1 || last > len(p.Bars) || first > last {
		return Passage{}, fmt.Errorf("bars %d to %d are not in a passage of %d bars; choose bars 1 to %d", first, last, len(p.Bars), len(p.Bars))
	}
	starts := p.Starts()
	from, to := starts[first-1], starts[last]
	out := p
	out.Bars = slices.Clone(p.Bars[first-1 : last])
	out.Lines = nil
	for _, l := range p.Lines {
		out.Lines = append(out.Lines, l.section(from, to))
	}
	return out, nil
}

func (l Line) section(from, to meter.Rat) Line {
	out := Line{Voice: l.Voice}
	for _, s := range strokesIn(l.Strokes, from, to) {
		if to.Less(s.End()) {
			s.Length = to.Sub(s.At)
		}
		s.At = s.At.Sub(from)
		out.Strokes = append(out.Strokes, s)
	}
	for _, g := range l.groupsIn(Group{At: from, Length: to.Sub(from)}) {
		if !to.Less(g.End()) {
			g.At = g.At.Sub(from)
			out.Groups = append(out.Groups, g)
		}
	}
	return out
}

// A Place is where something stands, as musicians say it: bar and beat from 1,
// and how far into the beat, in quarter notes.
type Place struct {
	Bar, Beat int
	Into      meter.Rat
}

// String returns "2.3", or "2.3+1/8" for a place inside the beat: a note value
// after it.
func (p Place) String() string {
	if p.Into == (meter.Rat{}) {
		return fmt.Sprintf("%d.%d", p.Bar, p.Beat)
	}
	return fmt.Sprintf("%d.%d+%s", p.Bar, p.Beat, meter.FormatLength(p.Into))
}

// Place returns where a number of quarter notes from the first downbeat falls.
// Places outside the passage are counted from its first or last beat.
func (p Passage) Place(at meter.Rat) Place {
	starts := p.Starts()
	for i := len(p.Bars) - 1; i >= 0; i-- {
		if at.Less(starts[i]) && i > 0 {
			continue
		}
		in := at.Sub(starts[i])
		beats := p.Bars[i].Metre.Starts()
		for b := len(beats) - 1; b >= 0; b-- {
			if !in.Less(beats[b]) || b == 0 {
				return Place{i + 1, b + 1, in.Sub(beats[b])}
			}
		}
	}
	return Place{1, 1, at}
}

// BarsOf returns the first and last bar, from 1, that a span touches.
func (p Passage) BarsOf(s Span) (first, last int) {
	first = p.Place(s.From).Bar
	last = first
	starts := p.Starts()
	for last < len(p.Bars) && starts[last].Less(s.To) {
		last++
	}
	return first, last
}

// A Beat is one beat of a passage.
type Beat struct {
	Bar, Number int       // from 1
	At, Length  meter.Rat // quarter notes
}

// Beats returns every beat of the passage in order.
func (p Passage) Beats() []Beat {
	var all []Beat
	starts := p.Starts()
	for i, bar := range p.Bars {
		at := starts[i]
		for b, length := range bar.Metre.Beats() {
			all = append(all, Beat{i + 1, b + 1, at, length})
			at = at.Add(length)
		}
	}
	return all
}
