package draft

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// editLines writes the current step back with lines of its passage edited by
// f, which gets each line of some voices as its own.
func (d Draft) editLines(voices []passage.Voice, name string, f func(p passage.Passage, l *passage.Line) error) (Draft, error) {
	s, err := d.current()
	if err != nil {
		return d, err
	}
	lines := slices.Clone(s.Passage.Lines)
	for _, v := range voices {
		i := rowOf(lines, v)
		if i < 0 {
			return d, refuse("add it first", "the step has no line for %s", v)
		}
		lines[i].Strokes, lines[i].Groups = slices.Clone(lines[i].Strokes), slices.Clone(lines[i].Groups)
		if err := f(s.Passage, &lines[i]); err != nil {
			return d, err
		}
	}
	if len(voices) == 0 {
		return d, refuse("add a voice", "the step has no voice lines")
	}
	s.Passage.Lines = lines
	next, err := d.rewrite(s, voices, name)
	if err == nil && next.said != "" {
		next.said = d.madeSaid(voices) + next.said
	}
	return next, err
}

// rewrite writes the current step back with some lines edited: only cells where
// that will do, else all its lines anew.
func (d Draft) rewrite(s passage.Step, voices []passage.Voice, name string) (Draft, error) {
	if text, ok := d.inPlace(s.Passage, voices); ok {
		if string(text) == d.text {
			return d, nil
		}
		next := d.begun(string(text), Caret{d.reading.Steps[d.step].Last, 1})
		if next.Current().Good && passage.Same(next.Passage(), s.Passage) {
			return d.noted(next, name), nil
		}
	}
	return d.replace(s, name)
}

// madeSaid says, once a line of a made step was written on the strip, that it
// now stands in place of what the step is made from.
func (d Draft) madeSaid(voices []passage.Voice) string {
	s, ok := d.reading.Step(d.step)
	if !ok || !isMade(s) {
		return ""
	}
	voices = slices.DeleteFunc(slices.Clone(voices), func(v passage.Voice) bool { return rowOf(s.Written, v) >= 0 })
	if len(voices) == 0 {
		return ""
	}
	return fmt.Sprintf("This step is made from an earlier one; its own %s in place of what comes from there. ", linesOf(voices))
}

// linesOf returns "kick line now stands" or "kick and guitar lines now stand".
func linesOf(voices []passage.Voice) string {
	if len(voices) == 1 {
		return voices[0].String() + " line now stands"
	}
	return names(voices) + " lines now stand"
}

// names lists voices: "china, kick and guitar".
func names(voices []passage.Voice) string {
	var all []string
	for _, v := range voices {
		all = append(all, v.String())
	}
	return list(all)
}

// few lists voices as far as they can be taken in at one look.
func few(voices []passage.Voice) string {
	if len(voices) > maxNamed {
		return plural(len(voices), "voice")
	}
	return names(voices)
}

// list joins words: "a, b and c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// Type puts a sign at the cursor, which goes on to the next cell: the letter of
// a stroke, - to hold the stroke before, or . for silence. Where more is
// selected, its strokes take the kind of the letter, or it is held or silenced
// as a whole, and the cursor stays.
func (d Draft) Type(sign rune) (Draft, error) {
	next, err := d.sign(sign)
	if err == nil && !d.Selected() {
		said := next.said
		next = next.Move(Right, false)
		next.said = said
	}
	return next, err
}

func (d Draft) sign(sign rune) (Draft, error) {
	switch sign {
	case '.':
		return d.Clear()
	case '-':
		return d.hold()
	}
	k, ok := passage.KindOf(sign)
	if !ok {
		return d, refuse("the signs are x X g f d o c ! h s S b t p r, - to hold and . for silence", "%q is not a sign", sign)
	}
	if d.Selected() {
		return d.turn(k)
	}
	c := d.Cursor()
	if !c.Voice.Plays(k) && c.Voice.Valid() {
		return d, refuse("it plays "+c.Voice.StrokesInWords(), "%s cannot play %q (%s)", c.Voice, sign, k)
	}
	return d.editLines(valid(c.Voice), d.naming(k.String()), func(_ passage.Passage, l *passage.Line) error {
		strike(l, c, k)
		return nil
	})
}

// valid returns a voice as a list, empty when it is none.
func valid(v passage.Voice) []passage.Voice {
	if !v.Valid() {
		return nil
	}
	return []passage.Voice{v}
}

// naming returns a name such as "ghost on kick at 2.3" for the selection.
func (d Draft) naming(what string) string {
	s := d.Selection()
	return fmt.Sprintf("%s on %s at %s", what, few(s.Voices), d.Passage().Place(s.From))
}

// turn gives the strokes of the selection another kind.
func (d Draft) turn(k passage.Kind) (Draft, error) {
	s := d.Selection()
	turned := 0
	next, err := d.editLines(s.Voices, d.naming(k.String()), func(p passage.Passage, l *passage.Line) error {
		for i := strokeFrom(*l, s.From); i < len(l.Strokes) && l.Strokes[i].At.Less(s.To); i++ {
			if !l.Voice.Plays(k) {
				return refuse("it plays "+l.Voice.StrokesInWords(), "%s cannot play %q (%s)", l.Voice, k.Letter(), k)
			}
			c, _ := p.CellAt(l.Voice, l.Strokes[i].At)
			l.Strokes[i] = as(l.Strokes[i], k, c)
			turned++
		}
		return nil
	})
	if err == nil && turned == 0 {
		return d, refuse("choose a single cell to put one there", "no stroke is selected")
	}
	return next, err
}

// Clear silences the cell of the cursor, or all that is selected: strokes that
// begin there are left out, and what is held into it ends there.
func (d Draft) Clear() (Draft, error) {
	s := d.Selection()
	return d.editLines(s.Voices, d.naming("silence"), func(_ passage.Passage, l *passage.Line) error {
		silence(l, s.From, s.To)
		return nil
	})
}

// hold lengthens the stroke before the selection through it.
func (d Draft) hold() (Draft, error) {
	s := d.Selection()
	since := d.barOf(s.From)
	return d.editLines(s.Voices, d.naming("hold"), func(_ passage.Passage, l *passage.Line) error {
		return hold(l, s.From, s.To, since)
	})
}

// barOf returns where the bar begins in which a place lies.
func (d Draft) barOf(at meter.Rat) meter.Rat {
	p := d.Passage()
	return p.Starts()[p.Place(at).Bar-1]
}

// Details returns fret and semitones of the stroke at the cursor; false where
// there is none on a voice with frets.
func (d Draft) Details() (fret, bend int, ok bool) {
	s, ok := d.stroke()
	if !ok || s.Kind == passage.Choke || d.cursor.voice.Family() != passage.Strings {
		return 0, 0, false
	}
	return int(s.Fret), int(s.Bend), true
}

// stroke returns the stroke that begins in the cell of the cursor.
func (d Draft) stroke() (passage.Stroke, bool) {
	c := d.Cursor()
	l, _ := d.Passage().Line(c.Voice)
	i := strokeFrom(l, c.At)
	if i < len(l.Strokes) && l.Strokes[i].At.Less(c.End()) {
		return l.Strokes[i], true
	}
	return passage.Stroke{}, false
}

// SetDetails gives the stroke at the cursor its fret, 0 to [passage.MaxFret],
// and, where it is a bend, its semitones, 1 to [passage.MaxBend]; bend is 0 for
// other strokes.
func (d Draft) SetDetails(fret, bend int) (Draft, error) {
	s, ok := d.stroke()
	_, _, has := d.Details()
	switch {
	case !ok:
		return d, refuse("put a stroke there first", "there is no stroke at the cursor")
	case !has:
		return d, refuse("frets belong to strokes of guitar, bass and lead", "this stroke has no fret")
	case fret < 0 || fret > passage.MaxFret:
		return d, refuse(fmt.Sprintf("use 0 to %d", passage.MaxFret), "fret %d", fret)
	case s.Kind == passage.Bend && (bend < 1 || bend > passage.MaxBend):
		return d, refuse(fmt.Sprintf("use 1 to %d", passage.MaxBend), "a bend of %d semitones", bend)
	case s.Kind != passage.Bend && bend != 0:
		return d, refuse("type b first", "the stroke is no bend")
	}
	v := d.cursor.voice
	name := fmt.Sprintf("fret %d on %s at %s", fret, v, d.Passage().Place(s.At))
	return d.editLines(valid(v), name, func(_ passage.Passage, l *passage.Line) error {
		i := strokeFrom(*l, s.At)
		l.Strokes[i].Fret, l.Strokes[i].Bend = uint8(fret), uint8(bend)
		return nil
	})
}
