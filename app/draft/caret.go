package draft

import (
	"strings"
	"unicode/utf8"
)

// A Caret is a place in the text as problems name it: line and column from 1,
// the column in characters. A broken byte counts as one character.
type Caret struct{ Line, Column int }

// CaretAt returns the caret before the byte at an offset; offsets outside the
// text are those of its ends.
func CaretAt(text string, offset int) Caret {
	offset = min(max(offset, 0), len(text))
	before := text[:offset]
	start := strings.LastIndexByte(before, '\n') + 1
	return Caret{1 + strings.Count(before, "\n"), 1 + utf8.RuneCountInString(before[start:])}
}

// Offset returns the bytes before a caret. A caret behind the end of its line
// stands at that end, one behind the last line at the end of the text.
func (c Caret) Offset(text string) int {
	at := 0
	for range c.Line - 1 {
		i := strings.IndexByte(text[at:], '\n')
		if i < 0 {
			return len(text)
		}
		at += i + 1
	}
	for range c.Column - 1 {
		if at == len(text) || text[at] == '\n' {
			return at
		}
		_, size := utf8.DecodeRuneInString(text[at:])
		at += size
	}
	return at
}

// Units returns the place of a caret as the text fields of browsers count it:
// UTF-16 code units from the start of the text.
func (c Caret) Units(text string) int {
	n := 0
	for _, r := range text[:c.Offset(text)] {
		n += units(r)
	}
	return n
}

// CaretOfUnits returns the caret after a number of UTF-16 code units.
func CaretOfUnits(text string, n int) Caret {
	for i, r := range text {
		if n -= units(r); n < 0 {
			return CaretAt(text, i)
		}
	}
	return CaretAt(text, len(text))
}

// units returns how many UTF-16 code units a character takes.
func units(r rune) int {
	if r > 0xffff {
		return 2
	}
	return 1
}
