package passage

import (
	"fmt"
	"sort"
	"strings"

	"stampmill/exercises/meter"
)

// Limits of a passage. They hold after parsing and after every change.
const (
	MaxBars  = 64
	MaxCells = 32 // cells a beat
	MaxLines = 16 // voices
)

// A Problem is one thing outside the limits: where, what, and what to do.
type Problem struct {
	Voice Voice     // NoVoice where it concerns no single voice
	At    meter.Rat // quarter notes
	Place Place
	What  string
	Do    string
}

// Error returns "snare at 2.3: what; what to do".
func (p Problem) Error() string {
	where := p.Place.String()
	if p.Voice.Valid() {
		where = p.Voice.String() + " at " + where
	}
	return fmt.Sprintf("%s: %s; %s", where, p.What, p.Do)
}

// Problems is a list of problems as one error.
type Problems []Problem

// Error returns one problem a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// Check returns everything in the passage that is outside the limits, in order
// of bars, then lines, then time; nil when all is well.
func Check(p Passage) Problems {
	c := &checker{p: p}
	c.bars()
	if len(c.found) > 0 {
		return c.found // places mean nothing without bars
	}
	seen := map[Voice]bool{}
	if len(p.Lines) > MaxLines {
		c.add(NoVoice, meter.Rat{}, fmt.Sprintf("%d voices", len(p.Lines)), fmt.Sprintf("use at most %d", MaxLines))
	}
	for _, l := range p.Lines {
		if !l.Voice.Valid() || seen[l.Voice] {
			c.add(l.Voice, meter.Rat{}, "the voice is unknown or stands twice", "give each voice one line")
			continue
		}
		seen[l.Voice] = true
		c.line(l)
	}
	return c.found
}

type checker struct {
	p     Passage
	found Problems
	beats []Beat // of p, once asked for
}

func (c *checker) add(v Voice, at meter.Rat, what, do string) {
	c.found = append(c.found, Problem{v, at, c.p.Place(at), what, do})
}

func (c *checker) bars() {
	if n := len(c.p.Bars); n < 1 || n > MaxBars {
		c.add(NoVoice, meter.Rat{}, fmt.Sprintf("%d bars", n), fmt.Sprintf("write 1 to %d", MaxBars))
		return
	}
	starts := c.p.Starts()
	for i, b := range c.p.Bars {
		if b.Metre.IsZero() {
			c.add(NoVoice, starts[i], fmt.Sprintf("bar %d has no metre", i+1), "give it one")
		}
		if err := b.Tempo.Check(); err != nil {
			what, do, _ := strings.Cut(err.Error(), "; ")
			c.add(NoVoice, starts[i], what, do)
		} else if !b.Tempo.Quarters(b.Metre).Valid() {
			c.add(NoVoice, starts[i], "the tempo leaves the range of exact numbers", "use a simpler number")
		}
	}
}

func (c *checker) line(l Line) {
	end := c.p.Length()
	last := meter.R(-1, 1)
	var lastEnd meter.Rat
	for _, s := range l.Strokes {
		switch {
		case !s.At.Valid() || !s.Length.Valid() || !s.End().Valid():
			c.add(l.Voice, meter.Rat{}, "a stroke has no exact place", "use simpler divisions")
		case s.At.Sign() < 0 || !s.At.Less(end) || end.Less(s.End()):
			c.add(l.Voice, s.At, "a stroke leaves the passage", "keep it within the bars")
		case s.Length.Sign() <= 0:
			c.add(l.Voice, s.At, "a stroke has no length", "give it at least one cell")
		case s.At == last:
			c.add(l.Voice, s.At, "two strokes of one voice at one place", "leave one out")
		case s.At.Less(lastEnd):
			c.add(l.Voice, s.At, "a stroke begins before the one before it ends", "shorten the one before, or sort by time")
		}
		c.kind(l.Voice, s)
		last, lastEnd = s.At, s.End()
	}
	c.groups(l)
}

func (c *checker) kind(v Voice, s Stroke) {
	switch {
	case !v.Plays(s.Kind):
		c.add(v, s.At, fmt.Sprintf("%s cannot play %q (%s)", v, s.Kind.Letter(), s.Kind), "it plays "+v.StrokesInWords())
	case v.Family() != Strings && (s.Fret != 0 || s.Bend != 0):
		c.add(v, s.At, "details in parentheses on a voice without frets", "leave them out")
	case s.Fret > MaxFret:
		c.add(v, s.At, fmt.Sprintf("fret %d", s.Fret), fmt.Sprintf("use 0 to %d", MaxFret))
	case (s.Kind == Bend) != (s.Bend > 0) || s.Bend > MaxBend:
		c.add(v, s.At, fmt.Sprintf("a bend of %d semitones on %s", s.Bend, s.Kind), fmt.Sprintf("bend strokes go up 1 to %d semitones, others none", MaxBend))
	}
}

// StrokesInWords lists the letters that a voice plays with their names, for
// hints and help: "x hit, X accent".
func (v Voice) StrokesInWords() string {
	var words []string
	for _, k := range v.Kinds() {
		words = append(words, string(k.Letter())+" "+k.String())
	}
	return strings.Join(words, ", ")
}

func (c *checker) groups(l Line) {
	end := c.p.Length()
	for _, g := range l.Groups {
		if !g.At.Valid() || !g.End().Valid() || g.At.Sign() < 0 || g.Length.Sign() <= 0 || end.Less(g.End()) {
			c.add(l.Voice, meter.Rat{}, "a group of cells leaves the passage", "keep it within the bars")
			continue
		}
		if g.Cells < 1 || g.Cells > MaxCells*c.beatsIn(g) || !g.Cell().Valid() {
			c.add(l.Voice, g.At, fmt.Sprintf("%d cells in a group", g.Cells), fmt.Sprintf("write 1 to %d cells a beat", MaxCells))
		}
	}
}

// beatsIn returns how many beats begin within a group, at least 1.
func (c *checker) beatsIn(g Group) int {
	if c.beats == nil {
		c.beats = c.p.Beats()
	}
	from := sort.Search(len(c.beats), func(i int) bool { return !c.beats[i].At.Less(g.At) })
	to := sort.Search(len(c.beats), func(i int) bool { return !c.beats[i].At.Less(g.End()) })
	return max(to-from, 1)
}
