package draft

import (
	"slices"
	"unicode/utf8"

	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A sign is what a cell of the text is to hold.
type sign struct {
	column, width int // of the cell, in characters
	text          string
}

// inPlace returns the text with some voice lines of the current step as lines
// of a passage want them, where that only takes other characters in cells that
// are there: the rest of the text stays as its writer arranged it. It returns
// false where more would have to be written anew.
func (d Draft) inPlace(p passage.Passage, voices []passage.Voice) ([]byte, bool) {
	old, starts := d.Passage(), p.Starts()
	out := []byte(d.text)
	for _, v := range voices {
		texts := d.reading.Steps[d.step].Voices
		i := slices.IndexFunc(texts, func(t drill.VoiceText) bool { return t.Voice == v })
		was, _ := old.Line(v)
		now, _ := p.Line(v)
		if i < 0 || !slices.Equal(was.Groups, now.Groups) {
			return nil, false
		}
		signs, ok := changedSigns(texts[i].Cells(), was, now, starts)
		if !ok || !overwrite(out, texts[i].Line, signs) {
			return nil, false
		}
	}
	return out, true
}

// changedSigns returns the cells of a voice line whose text changes with its
// strokes, false where cells and bars as they are cannot hold them.
func changedSigns(cells []drill.CellText, was, now passage.Line, starts []meter.Rat) ([]sign, bool) {
	var signs []sign
	bar, since := 0, 0 // the bar of the cell, and how many signs there were before the last one written out
	strokes := now.Strokes
	for _, c := range cells {
		end := c.At.Add(c.Length)
		for bar+2 < len(starts) && !c.At.Less(starts[bar+1]) {
			bar++
			if c.Mark != drill.Repeated {
				since = len(signs)
			}
		}
		if c.Mark == drill.Repeated {
			if len(signs) > since || !slices.Equal(strokesIn(was, c.At, end), strokesIn(now, c.At, end)) {
				return nil, false
			}
			continue
		}
		for len(strokes) > 0 && !c.At.Less(strokes[0].End()) {
			strokes = strokes[1:]
		}
		text, ok := cellText(strokes, c.At, end)
		if !ok {
			return nil, false
		}
		if text != textOf(c) {
			signs = append(signs, sign{c.Column, c.Width, text})
		}
	}
	return signs, true
}

// strokesIn returns the strokes of a line that begin in a stretch.
func strokesIn(l passage.Line, from, to meter.Rat) []passage.Stroke {
	return l.Strokes[strokeFrom(l, from):strokeFrom(l, to)]
}

// cellText returns what stands in a cell, given the strokes that end after it
// begins; false where a stroke begins or ends inside it.
func cellText(strokes []passage.Stroke, at, end meter.Rat) (string, bool) {
	if len(strokes) == 0 || !strokes[0].At.Less(end) {
		return ".", true
	}
	s := strokes[0]
	switch {
	case s.At != at && at.Less(s.At), s.Kind != passage.Choke && s.End().Less(end):
		return "", false
	case s.At == at:
		return s.Text(), true
	case s.Kind == passage.Choke:
		return ".", true
	}
	return "-", true
}

// textOf returns what a cell of the text says, in the short form.
func textOf(c drill.CellText) string {
	switch c.Mark {
	case drill.Held:
		return "-"
	case drill.Struck:
		return c.Stroke.Text()
	}
	return "."
}

// overwrite puts signs into a line, from 1, of a text; false where a sign does
// not fit its cell. The signs are in order.
func overwrite(text []byte, line int, signs []sign) bool {
	at, column := Caret{line, 1}.Offset(string(text)), 1
	for _, s := range signs {
		for ; column < s.column && at < len(text); column++ {
			_, size := utf8.DecodeRune(text[at:])
			at += size
		}
		if len(s.text) != s.width || at+s.width > len(text) {
			return false
		}
		copy(text[at:], s.text)
	}
	return true
}
