package change

import (
	"fmt"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// space are the changes of silence, bars and tempo: they hold for every voice.
func space() []Entry {
	return []Entry{
		{
			Form:     "stop at {places} for {length}",
			About:    "Every voice is silent so long: held strokes are cut at the place, ringing cymbals are choked there.",
			Example:  "stop at 1.4 for 1/4",
			effect:   stop,
			sentence: stopped,
		},
		{
			Form:     "cut bar {bar} to {metre}",
			About:    "The bar becomes shorter at its end, and later bars move up; the speed stays.",
			Example:  "cut bar 2 to 7/8 (2+2+3)",
			effect:   cutBar,
			sentence: barCut,
		},
		{
			Form:     "half-time all",
			About:    "Everything takes twice as long at the same tempo: every bar becomes two.",
			Example:  "half-time all",
			effect:   halfTimeAll,
			sentence: func(passage.Passage, Args) string { return "Everything takes twice as long: every bar becomes two." },
			inverse:  by("double-time all"),
		},
		{
			Form:    "double-time all",
			About:   "Everything takes half as long at the same tempo: two bars become one.",
			Example: "double-time all",
			effect:  doubleTimeAll,
			sentence: func(passage.Passage, Args) string {
				return "Everything takes half as long: two bars become one."
			},
			inverse: by("half-time all"),
		},
		{
			Form:     "tempo by {factor} [at {bars}]",
			About:    "Metric modulation: the tempo times a factor. By 3/2 the triplet eighth becomes the eighth, by 4/3 the dotted eighth the quarter, by 5/4 the quintuplet sixteenth the sixteenth.",
			Example:  "tempo by 3/2 at 3-4",
			effect:   tempo,
			sentence: modulated,
			inverse: func(_ passage.Passage, a Args) []Change {
				a.Factor = a.Factor.Inv()
				return []Change{with("tempo", a)}
			},
		},
	}
}

func stop(p *passage.Passage, a Args) error {
	places, err := a.places(*p)
	if err != nil {
		return err
	}
	for _, at := range places {
		if err := fits(*p, at, a.By); err != nil {
			return err
		}
		for i := range p.Lines {
			l := &p.Lines[i]
			rings := l.Voice.Family() == passage.Cymbals && ringsAt(*p, *l, at)
			silence(l, stretch{at, at.Add(a.By)})
			if rings {
				strike(l, passage.Stroke{At: at, Kind: passage.Choke})
			}
		}
	}
	return nil
}

func stopped(p passage.Passage, a Args) string {
	var held []passage.Voice
	for _, l := range p.Lines {
		for _, s := range a.Places {
			at, _, err := spotIn(p, s)
			if err == nil && l.Voice.Family() == passage.Cymbals && ringsAt(p, l, at) {
				held = append(held, l.Voice)
				break
			}
		}
	}
	stops := fmt.Sprintf("%s everything stops for %s", placesWords(p, a.Places), lengthWords(a.By))
	if len(held) == 0 {
		return said(stops)
	}
	return said(stops+": the", voiceWords(held), agree(held, "is", "are"), "choked")
}

// cutBar shortens one bar at its end. What is held over the part that is lost
// is shorter by it.
func cutBar(p *passage.Passage, a Args) error {
	at, _, err := spotIn(*p, Spot{Bar: a.Bar})
	if err != nil {
		return err
	}
	bar := &p.Bars[a.Bar-1]
	lost := stretch{at.Add(a.Metre.Length()), at.Add(bar.Metre.Length())}
	if lost.length().Sign() <= 0 {
		return refuse("choose a shorter metre", "bar %d is in %s, and %s is not shorter", a.Bar, bar.Metre, a.Metre)
	}
	for i := range p.Lines {
		p.Lines[i] = without(p.Lines[i], lost)
	}
	if counted := bar.Metre.CountedBeat(); bar.Tempo.Unit.Sign() == 0 && counted != a.Metre.CountedBeat() {
		bar.Tempo.Unit = counted // the new metre counts another beat
	}
	bar.Metre = a.Metre
	return nil
}

// oneCell makes strokes last one cell, whatever that will be.
func oneCell(strokes []passage.Stroke) {
	for i := range strokes {
		strokes[i].Length = meter.Rat{}
	}
}

// without returns a line from which a stretch of time is cut out.
func without(l passage.Line, lost stretch) passage.Line {
	out := passage.Line{Voice: l.Voice}
	for _, s := range l.Strokes {
		if !lost.holds(s.At) {
			end := lost.closed(s.End())
			s.At = lost.closed(s.At)
			s.Length = end.Sub(s.At)
			out.Strokes = append(out.Strokes, s)
		}
	}
	for _, g := range l.Groups {
		switch {
		case !g.At.Less(lost.to) || !lost.from.Less(g.End()):
			g.At = lost.closed(g.At)
			out.Groups = append(out.Groups, g)
		case !l.Voice.Sustained() && g.At.Less(lost.from):
			oneCell(strokesIn(out, stretch{g.At, lost.from}))
		}
	}
	return out
}

// closed returns where a place stands when the stretch is cut out.
func (s stretch) closed(at meter.Rat) meter.Rat {
	switch {
	case !at.Less(s.to):
		return at.Sub(s.length())
	case s.from.Less(at):
		return s.from
	}
	return at
}

func barCut(p passage.Passage, a Args) string {
	if a.Bar < 1 || a.Bar > len(p.Bars) {
		return fmt.Sprintf("Bar %d is cut to %s.", a.Bar, a.Metre)
	}
	lost := p.Bars[a.Bar-1].Metre.Length().Sub(a.Metre.Length())
	return fmt.Sprintf("Bar %d loses its last %s: it is in %s.", a.Bar, step(lost), a.Metre)
}

func halfTimeAll(p *passage.Passage, _ Args) error {
	var bars []passage.Bar
	for _, b := range p.Bars {
		bars = append(bars, b, b)
	}
	if len(bars) > passage.MaxBars {
		return refuse("make it of fewer bars first", "%d bars would become %d, and %d are the most", len(p.Bars), len(bars), passage.MaxBars)
	}
	p.Bars = bars
	rescale(p, meter.Int(2))
	return nil
}

func doubleTimeAll(p *passage.Passage, _ Args) error {
	if len(p.Bars)%2 != 0 {
		return refuse("use a passage of an even number of bars", "two bars become one, and there is a last one left of %d", len(p.Bars))
	}
	var bars []passage.Bar
	for i := 0; i < len(p.Bars); i += 2 {
		if p.Bars[i] != p.Bars[i+1] {
			return refuse("give both the same metre and tempo first", "bars %d and %d differ in metre or tempo", i+1, i+2)
		}
		bars = append(bars, p.Bars[i])
	}
	p.Bars = bars
	rescale(p, meter.R(1, 2))
	return nil
}

// rescale multiplies all places and lengths. Groups stay where they are
// tuplets; the fewest cells that hold the rest are found anew.
func rescale(p *passage.Passage, factor meter.Rat) {
	for i := range p.Lines {
		l := &p.Lines[i]
		l.Strokes = scaled(l.Strokes, meter.Rat{}, factor)
		if !l.Voice.Sustained() {
			oneCell(l.Strokes)
		}
		var groups []passage.Group
		for _, g := range l.Groups {
			g.At, g.Length = g.At.Mul(factor), g.Length.Mul(factor)
			if ratio, _ := meter.DivisionOf(g.Length, g.Cells); ratio.Irregular() {
				groups = append(groups, g)
			}
		}
		l.Groups = groups
	}
}

func tempo(p *passage.Passage, a Args) error {
	for _, i := range a.bars(*p) {
		if i >= len(p.Bars) {
			_, _, err := spotIn(*p, Spot{Bar: i + 1})
			return err
		}
		t := p.Bars[i].Tempo.By(a.Factor)
		if err := t.Check(); err != nil {
			return refuse("choose a factor nearer to 1", "bar %d would be at %.4g, outside %d to %d beats a minute", i+1, t.BPM.Float(), meter.MinBPM, meter.MaxBPM)
		}
		p.Bars[i].Tempo = t
	}
	return nil
}

// bars returns the bars of the ranges, counted from 0, each once and in order;
// every bar of p without ranges. Those that p does not have are among them.
func (a Args) bars(p passage.Passage) []int {
	named := make([]bool, passage.MaxBars)
	for _, r := range a.At {
		for b := r.From.Bar; b <= r.To.Bar && b <= len(named); b++ {
			named[max(b, 1)-1] = true
		}
	}
	var all []int
	for i, in := range named {
		if in || len(a.At) == 0 && i < len(p.Bars) {
			all = append(all, i)
		}
	}
	return all
}

// pivots are the note values by which players find a new tempo: the first is as
// long before as the second after. Common practice; any other factor is said
// as a number.
var pivots = []struct{ before, after meter.Rat }{
	{meter.R(1, 3), meter.R(1, 2)}, {meter.R(1, 2), meter.R(1, 3)}, // triplet eighth, eighth
	{meter.R(3, 4), meter.Int(1)}, {meter.Int(1), meter.R(3, 4)}, // dotted eighth, quarter
	{meter.R(1, 5), meter.R(1, 4)}, {meter.R(1, 4), meter.R(1, 5)}, // quintuplet sixteenth, sixteenth
	{meter.R(1, 2), meter.Int(1)}, {meter.Int(1), meter.R(1, 2)}, // eighth, quarter
}

func modulated(p passage.Passage, a Args) string {
	goes := fmt.Sprintf("the tempo is %s of what it was%s", a.Factor, a.there(p))
	if from, ok := a.oneTempo(p); ok {
		goes = fmt.Sprintf("the tempo goes from %s to %s%s", tempoWords(from), tempoWords(from.By(a.Factor)), a.there(p))
	}
	for _, v := range pivots {
		if meter.Modulate(meter.Int(1), v.before, v.after) == a.Factor {
			return said(goes+":", lengthWords(v.before), "becomes", lengthWords(v.after))
		}
	}
	return said(goes)
}

// tempoWords says a tempo: "120", "about 173.3" where that is not its last digit.
func tempoWords(t meter.Tempo) string {
	if strings.Contains(t.BPM.Decimal(), "/") {
		return fmt.Sprintf("about %.1f", t.BPM.Float())
	}
	return t.BPM.Decimal()
}

// oneTempo returns the tempo of the bars that are meant, if they have the same.
func (a Args) oneTempo(p passage.Passage) (meter.Tempo, bool) {
	var one meter.Tempo
	for _, i := range a.bars(p) {
		if i >= len(p.Bars) || !one.IsZero() && p.Bars[i].Tempo != one {
			return one, false
		}
		one = p.Bars[i].Tempo
	}
	return one, !one.IsZero()
}
