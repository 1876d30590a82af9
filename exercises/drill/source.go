package drill

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// A piece is a stretch of one line of the file that knows where it stands.
type piece struct {
	text string
	line int // from 1
	off  int // bytes into the line
}

// from returns the piece without its first i bytes.
func (t piece) from(i int) piece { return piece{t.text[i:], t.line, t.off + i} }

// to returns the first i bytes of the piece.
func (t piece) to(i int) piece { return piece{t.text[:i], t.line, t.off} }

// end returns the empty piece behind the last byte.
func (t piece) end() piece { return t.from(len(t.text)) }

// trim drops white space at both ends.
func (t piece) trim() piece {
	left := strings.TrimLeftFunc(t.text, unicode.IsSpace)
	t = t.from(len(t.text) - len(left))
	return t.to(len(strings.TrimRightFunc(t.text, unicode.IsSpace)))
}

// split cuts the piece at bar signs and returns the first most parts.
func (t piece) split(most int) []piece {
	var all []piece
	for len(all) < most {
		i := strings.IndexByte(t.text, '|')
		if i < 0 {
			return append(all, t)
		}
		all = append(all, t.to(i))
		t = t.from(i + 1)
	}
	return all
}

// fields returns the words of the piece, separated by spaces and tabs, the
// first most of them.
func (t piece) fields(most int) []piece {
	var all []piece
	for len(all) < most {
		i := strings.IndexFunc(t.text, notBlank)
		if i < 0 {
			return all
		}
		t = t.from(i)
		j := strings.IndexAny(t.text, " \t")
		if j < 0 {
			return append(all, t)
		}
		all = append(all, t.to(j))
		t = t.from(j)
	}
	return all
}

func notBlank(c rune) bool { return c != ' ' && c != '\t' }

// textLines is a file as lines, so that it can be put together again.
type textLines struct {
	mark  string   // the byte order mark, or nothing
	lines []string // without their endings
	ends  []string // "\n", "\r\n" or, for the last, nothing or a lone "\r"
}

func splitText(src []byte) textLines {
	var t textLines
	text := string(src)
	if rest, ok := strings.CutPrefix(text, "\ufeff"); ok {
		t.mark, text = "\ufeff", rest
	}
	n := strings.Count(text, "\n") + 1
	t.lines, t.ends = make([]string, 0, n), make([]string, 0, n)
	for range n {
		i := strings.IndexByte(text, '\n')
		whole := text[:i+1]
		if i < 0 {
			whole = text
		}
		line := strings.TrimSuffix(strings.TrimSuffix(whole, "\n"), "\r")
		t.lines, t.ends = append(t.lines, line), append(t.ends, whole[len(line):])
		text = text[len(whole):]
	}
	return t
}

// badCharacter returns the byte offset of the first character that no exercise
// text may hold and its name, or -1.
func badCharacter(line string) (int, string) {
	for i, c := range line {
		switch {
		case c == utf8.RuneError && brokenAt(line[i:]):
			return i, "a byte that is not UTF-8"
		case c != '\t' && unicode.IsControl(c), c == '\u2028', c == '\u2029':
			return i, "a control character"
		}
	}
	return -1, ""
}

// brokenAt tells broken UTF-8 from a replacement character that is written out.
func brokenAt(s string) bool {
	_, size := utf8.DecodeRuneInString(s)
	return size == 1
}

// stripComment cuts a comment off: from a # at the start of the line or after
// white space. A # inside a word, as in F#1, is part of it.
func stripComment(line string) string {
	before := ' '
	for i, c := range line {
		if c == '#' && unicode.IsSpace(before) {
			return line[:i]
		}
		before = c
	}
	return line
}
