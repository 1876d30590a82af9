package drill

import (
	"fmt"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A voiceLine is a voice line as written, before metres say what it means. Its
// pieces are those of a first line: it does not know where it stands, so that it
// can be remembered.
type voiceLine struct {
	text  string // the whole line
	name  piece
	voice passage.Voice
	bars  []bar
	end   piece // behind the last bar sign
	report

	placed []*placement // what it says under metres, as asked for in this reading
	before []*placement // as asked for in the reading before
}

// A writtenLine is a voice line that stands in a line of the file.
type writtenLine struct {
	*voiceLine
	line int
}

// at returns a piece of the voice line where it stands.
func (w writtenLine) at(p piece) piece {
	p.line = w.line
	return p
}

// A bar of a voice line.
type bar struct {
	src    piece
	repeat bool // %
	groups []group
	broken bool // something in it was reported
	lost   bool // so badly that its beats cannot be counted
}

// readVoice reads a voice line; rest begins with its first bar sign.
func (r *report) readVoice(name, rest piece, voice passage.Voice) voiceLine {
	v := voiceLine{name: name, voice: voice, end: rest.end()}
	parts := rest.from(1).split(passage.MaxBars + 1)
	last := len(parts) - 1
	more := parts[last].end() != v.end
	switch {
	case more || last == passage.MaxBars && parts[last].trim().text != "":
		r.add(parts[last].trim(), fmt.Sprintf("write at most %d", passage.MaxBars), "%s has more than %d bars", voice, passage.MaxBars)
		parts = parts[:last]
	case parts[last].trim().text == "":
		parts = parts[:last]
	default:
		r.add(v.end, "end the line with |", "the last bar has no bar sign behind it")
	}
	if len(parts) == 0 {
		r.add(v.end, "write its bars between | signs", "%s has no bars", voice)
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
