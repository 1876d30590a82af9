package drill

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A voiceLine is a voice line as written, before metres say what it means.
type voiceLine struct {
	name  piece
	voice passage.Voice
	bars  []bar
	end   piece // behind the last bar sign
}

// A bar of a voice line.
type bar struct {
	src    piece
	repeat bool // %
	groups []group
	broken bool // something in it was reported
	lost   bool // so badly that its beats cannot be counted
}

// A group is the cells of one beat, or of several taken together.
type group struct {
	src   piece
	beats int
	cells []cell
}

// A cell is a rest, a hold, a stroke, or a bracket of smaller cells.
type cell struct {
	off        int // bytes into the line
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

// readVoice reads a voice line; rest begins with its first bar sign.
func (r *report) readVoice(name, rest piece, voice passage.Voice) voiceLine {
	v := voiceLine{name: name, voice: voice}
	parts := rest.from(1).split('|')
	last := parts[len(parts)-1]
	v.end = last
	if len(last.trim().text) == 0 {
		parts = parts[:len(parts)-1]
	} else {
		v.end = last.trim().end()
		r.add(v.end, "end the line with |", "the last bar has no bar sign behind it")
	}
	if len(parts) == 0 {
		r.add(v.end, "write its bars between | signs", "%s has no bars", voice)
	}
	if len(parts) > passage.MaxBars {
		r.add(parts[passage.MaxBars].trim(), fmt.Sprintf("write at most %d", passage.MaxBars), "%s has %d bars", voice, len(parts))
		parts = parts[:passage.MaxBars]
	}
	for i, part := range parts {
		v.bars = append(v.bars, r.readBar(part, i, voice))
	}
	return v
}

func (r *report) readBar(src piece, index int, voice passage.Voice) bar {
	b := bar{src: src}
	words := src.fields(meter.MaxBeats + 1)
	if len(words) > 0 {
		b.src = words[0]
	}
	switch {
	case len(words) == 0:
		r.add(src, "write one group of cells for each beat, . for a silent one", "bar %d is empty", index+1)
		b.broken = true
	case words[0].text == "%" && len(words) == 1:
		b.repeat = true
		if index == 0 {
			r.add(b.src, "write the first bar out", "%% repeats the bar before, and there is none")
			b.broken = true
		}
	case len(words) > meter.MaxBeats:
		r.add(words[meter.MaxBeats], "write several bars", "more than %d beats in a bar", meter.MaxBeats)
		b.broken, b.lost = true, true
	default:
		r.readGroups(&b, words, voice)
	}
	return b
}

func (r *report) readGroups(b *bar, words []piece, voice passage.Voice) {
	for i := 0; i < len(words); i++ {
		cr := cellReader{report: r, src: words[i], voice: voice}
		b.groups = append(b.groups, cr.group())
		b.broken = b.broken || cr.broken
		b.lost = b.lost || cr.lost
		if cr.missing != 0 {
			i = skipTo(words, i, cr.missing)
		}
	}
}

// skipTo returns the index of the next word that holds the bracket missing
// from word i, so that one stray space is one problem. Where no word does, the
// rest of the bar is skipped.
func skipTo(words []piece, i int, missing byte) int {
	for i++; i < len(words); i++ {
		if strings.IndexByte(words[i].text, missing) >= 0 {
			break
		}
	}
	return i
}

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
	c := cell{off: at.off}
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
