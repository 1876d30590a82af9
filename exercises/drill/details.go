package drill

import (
	"fmt"
	"strconv"
	"strings"

	"stampmill/exercises/passage"
)

// details reads "(fret)", "(fret+bend)" or "(+bend)" behind a stroke.
func (r *cellReader) details(c *cell) {
	at := r.src.from(r.next)
	end := strings.IndexByte(at.text, ')')
	if end < 0 {
		r.giveUp(at, "close them with ), without spaces", "details without their closing )")
		r.missing = ')'
		return
	}
	r.next += end + 1
	if r.voice.Family() != passage.Strings {
		r.fail(at, "leave them out", "details in parentheses on %s, which has no frets", r.voice)
		return
	}
	fret, bend, bent := strings.Cut(at.text[1:end], "+")
	n, ok := smallNumber(fret)
	if !ok && !(bent && fret == "") {
		r.fail(at, "write x(3) for the third fret", "%.12q is not the number of a fret", fret)
	} else if n > passage.MaxFret {
		r.fail(at, fmt.Sprintf("use 0 to %d", passage.MaxFret), "fret %d", n)
	}
	c.fret = uint8(n)
	if bent {
		r.bend(at, c, bend)
	}
}

func (r *cellReader) bend(at piece, c *cell, semitones string) {
	n, ok := smallNumber(semitones)
	switch {
	case c.kind != passage.Bend:
		r.fail(at, "write b for a bend, or leave the + out", "only a bend has a + in its details")
	case !ok || n < 1 || n > passage.MaxBend:
		r.fail(at, fmt.Sprintf("write 1 to %d semitones behind the +, as in b(8+2)", passage.MaxBend), "a bend by %.12q", semitones)
	}
	c.bend = uint8(n)
}

// smallNumber reads one or two digits.
func smallNumber(s string) (int, bool) {
	if !isNumber(s) || len(s) > 2 {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil
}

func isNumber(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}
