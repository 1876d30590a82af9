package draft

import (
	"fmt"
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// AddVoice adds a silent line for a voice, in the order in which voices are
// printed. The cursor goes to it.
func (d Draft) AddVoice(v passage.Voice) (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	lines := s.Passage.Lines
	switch {
	case !v.Valid():
		return d, refuse("choose one of the list", "this is no voice")
	case rowOf(lines, v) >= 0:
		return d, refuse("choose another", "the step has a line for %s", v)
	case len(lines) >= passage.MaxLines:
		return d, refuse("leave one out first", "the step has %d voices, and no more fit", len(lines))
	}
	i := slices.IndexFunc(lines, func(l passage.Line) bool { return l.Voice > v })
	if i < 0 {
		i = len(lines)
	}
	s.Passage.Lines = slices.Insert(slices.Clone(lines), i, passage.Line{Voice: v})
	next, err := d.replace(s, "a line for "+v.String())
	if err != nil {
		return d, err
	}
	return next.Put(v, d.cursor.at, false), nil
}

// RemoveVoice leaves the line of a voice out. In a made step only a line that
// the step itself adds can go.
func (d Draft) RemoveVoice(v passage.Voice) (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	i := rowOf(s.Passage.Lines, v)
	switch {
	case i < 0:
		return d, refuse("choose another", "the step has no line for %s", v)
	case len(s.Passage.Lines) == 1:
		return d, refuse("add another voice first", "%s is the only voice of the step", v)
	}
	s.Passage.Lines = slices.Delete(slices.Clone(s.Passage.Lines), i, i+1)
	return d.replace(s, "no line for "+v.String())
}

// AddBars adds silent bars in every voice: behind the bar of the cursor, or at
// the end. They have the metre and tempo of the bar before them. A stroke that
// sounds over that bar line ends there.
func (d Draft) AddBars(n int, here bool) (Draft, error) {
	s, err := d.ownBars()
	if err != nil {
		return d, err
	}
	p := s.Passage
	if n < 1 || len(p.Bars)+n > passage.MaxBars {
		return d, refuse(fmt.Sprintf("a step has at most %d", passage.MaxBars), "%d bars more than %d", n, len(p.Bars))
	}
	after := len(p.Bars)
	if here {
		after = p.Place(d.cursor.at).Bar
	}
	like := p.Bars[after-1]
	at, room := p.Starts()[after], like.Metre.Length().Mul(meter.Int(int64(n)))
	p = p.Clone()
	p.Bars = slices.Insert(p.Bars, after, slices.Repeat([]passage.Bar{like}, n)...)
	for i := range p.Lines {
		cut(&p.Lines[i], at)
		moveLater(&p.Lines[i], at, room)
	}
	s.Passage = p
	return d.replace(s, fmt.Sprintf("%s after bar %d", plural(n, "bar"), after))
}

// RemoveBars leaves bars first to last (from 1) out in every voice. What sounds
// into them ends there.
func (d Draft) RemoveBars(first, last int) (Draft, error) {
	s, err := d.ownBars()
	if err != nil {
		return d, err
	}
	p := s.Passage
	switch {
	case first < 1 || last > len(p.Bars) || first > last:
		return d, refuse(fmt.Sprintf("choose bars 1 to %d", len(p.Bars)), "bars %d to %d are not in the step", first, last)
	case last-first+1 == len(p.Bars):
		return d, refuse("keep one, or delete the step", "these are all bars of the step")
	}
	from, to := p.Starts()[first-1], p.Starts()[last]
	p = p.Clone()
	p.Bars = slices.Delete(p.Bars, first-1, last)
	for i := range p.Lines {
		l := &p.Lines[i]
		silence(l, from, to)
		l.Groups = slices.DeleteFunc(l.Groups, func(g passage.Group) bool { return !g.At.Less(from) && g.At.Less(to) })
		moveLater(l, to, from.Sub(to))
	}
	s.Passage = p
	name := fmt.Sprintf("no bar %d", first)
	if last > first {
		name = fmt.Sprintf("no bars %d to %d", first, last)
	}
	return d.replace(s, name)
}

// ownBars returns the current step where it is written out; the bars of a made
// step come from the one it is made from.
func (d Draft) ownBars() (passage.Step, error) {
	s, err := d.current()
	if err == nil && isMade(s) {
		return s, refuse("write the step out first, or change the bars there", "the bars of this step come from the step it is made from")
	}
	return s, err
}

func isMade(s passage.Step) bool { return s.From != "" || len(s.Do) > 0 }

// moveLater moves what begins at a place or after it; sooner where by is below
// 0.
func moveLater(l *passage.Line, at, by meter.Rat) {
	for i := strokeFrom(*l, at); i < len(l.Strokes); i++ {
		l.Strokes[i].At = l.Strokes[i].At.Add(by)
	}
	for i := range l.Groups {
		if !l.Groups[i].At.Less(at) {
			l.Groups[i].At = l.Groups[i].At.Add(by)
		}
	}
}

// WriteOut writes a made step out in voice lines: it sounds as it did and no
// longer depends on another.
func (d Draft) WriteOut() (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	if !isMade(s) {
		return d, refuse("change it as you like", "the step is written out")
	}
	s.From, s.Do = "", nil
	return d.replace(s, "the step written out")
}

// plural returns "1 bar" or "3 bars".
func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
