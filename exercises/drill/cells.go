package drill

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"stampmill/exercises/passage"
)

// A group is the cells of one beat, or of several taken together.
type group struct {
	src   piece
	beats int
	cells []cell
}

// A cell is a rest, a hold, a stroke, or a bracket of smaller cells.
type cell struct {
	off, size  int // bytes into the line, and how many
	mark       mark
	kind       passage.Kind
	fret, bend uint8
	inner      []cell
}

type mark uint8

const (
	rest mark = iota
	hold
	stroke
	bracket
)

// A cellReader reads the cells of one group from left to right.
type cellReader struct {
	*report
	src     piece
	next    int // bytes read
	voice   passage.Voice
	broken  bool // something was reported
	lost    bool // the rest could not be read
	missing byte // the closing bracket that was missing, or 0
}

// group reads the whole group.
func (r *cellReader) group() group {
	g := group{src: r.src, beats: 1}
	if n, _, ok := strings.Cut(r.src.text, ":"); ok && isNumber(n) {
		g.beats, _ = strconv.Atoi(n)
		r.next = len(n) + 1
		if g.beats < 1 || len(n) > 2 {
			r.giveUp(r.src, "write a number of beats of this bar, as in 2:xxx", "a group cannot span %.12s beats", n)
			return g
		}
	}
	g.cells = r.cells(passage.MaxCells*g.beats, 0)
	if !r.broken && len(g.cells) == 0 {
		r.fail(r.src, "write them, . for silence", "a group without cells")
	}
	return g
}

func (r *cellReader) fail(at piece, do, what string, args ...any) {
	r.add(at, do, what, args...)
	r.broken = true
}

// giveUp reports what makes the rest of the group unreadable.
func (r *cellReader) giveUp(at piece, do, what string, args ...any) {
	r.fail(at, do, what, args...)
	r.next = len(r.src.text)
	r.lost = true
}

// cells reads up to the end of the group or of the bracket it is in.
func (r *cellReader) cells(most, depth int) []cell {
	var all []cell
	for r.next < len(r.src.text) {
		at := r.src.from(r.next)
		if at.text[0] == ']' && depth > 0 {
			return all
		}
		c, ok := r.cell(at, depth)
		if !ok {
			continue
		}
		if len(all) == most {
			r.fail(at, fmt.Sprintf("write at most %d here", most), "more than %d cells", most)
			r.next = len(r.src.text)
			return all
		}
		all = append(all, c)
	}
	return all
}

// cell reads one cell; false when there is none to be had.
func (r *cellReader) cell(at piece, depth int) (cell, bool) {
	letter, size := utf8.DecodeRuneInString(at.text)
	r.next += size
	c := cell{off: at.off, size: size}
	switch letter {
	case '.':
		return c, true
	case '-':
		c.mark = hold
		return c, true
	case '[':
		c.mark = bracket
		c.inner = r.bracket(at, depth)
		return c, true
	case ']':
		r.giveUp(at, "open it with [ or leave it out", "a ] without its [")
		return c, false
	case '(':
		r.giveUp(at, "write the stroke first, as in x(3)", "details without a stroke before them")
		return c, false
	}
	return r.stroke(at, letter)
}

func (r *cellReader) bracket(at piece, depth int) []cell {
	if depth == passage.MaxDepth {
		r.giveUp(at, "use simpler divisions", "brackets nest deeper than %d", passage.MaxDepth)
		return nil
	}
	inner := r.cells(passage.MaxCells, depth+1)
	switch {
	case r.next == len(r.src.text) && !r.broken:
		r.giveUp(at, "close it with ] before the next space", "a [ without its ]")
		r.missing = ']'
	case r.next < len(r.src.text):
		r.next++ // the ]
		if len(inner) < 2 {
			r.fail(at, "write two or more, or no bracket", "a bracket with fewer than two cells")
		}
	}
	return inner
}

func (r *cellReader) stroke(at piece, letter rune) (cell, bool) {
	c := cell{off: at.off, mark: stroke}
	kind, ok := passage.KindOf(letter)
	c.kind = kind
	if !ok {
		r.fail(at, strokeHint(letter, r.voice), "%q is not a stroke", letter)
	} else if !r.voice.Plays(kind) {
		r.fail(at, "it plays "+r.voice.StrokesInWords(), "%s cannot play %q (%s)", r.voice, letter, kind)
	}
	if kind == passage.Bend {
		c.bend = passage.DefaultBend
	}
	if strings.HasPrefix(r.src.text[r.next:], "(") {
		r.details(&c)
	}
	c.size = r.next - (at.off - r.src.off)
	return c, true
}

// lookalikes are characters that keyboards put in place of those of a cell.
var lookalikes = map[rune]string{
	'—': "write -- for two cells still sounding", '–': "write - for a cell still sounding", '−': "write - for a cell still sounding",
	'…': "write ... for three silent cells", '·': "write . for a silent cell", ',': "write . for a silent cell", '_': "write - for a cell still sounding",
	'×': "write x for a hit", '%': "a bar of its own that repeats the one before is written | % |",
	':': "a number of beats before it makes a group over several, as in 2:xxx",
	')': "details begin with ( behind a stroke, as in x(3)",
}

// strokeHint says what to write in place of a letter that is no stroke.
func strokeHint(letter rune, voice passage.Voice) string {
	if hint, ok := lookalikes[letter]; ok {
		return hint
	}
	other := strings.ToLower(string(letter))
	if k, ok := passage.KindOf([]rune(other)[0]); ok && voice.Plays(k) {
		return fmt.Sprintf("did you mean %s (%s)?", other, k)
	}
	return fmt.Sprintf("%s plays %s", voice, voice.StrokesInWords())
}
