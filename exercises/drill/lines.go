package drill

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"stampmill/exercises/passage"
)

// Keys of the header and of a step, in the order in which they are printed.
var (
	headerKeys = []string{"title", "by", "tempo", "metre", "tuning", "about", "machine"}
	stepKeys   = []string{"step", "from", "do", "tempo", "metre", "says"}
	allKeys    = append(slices.Clone(headerKeys), "step", "from", "do", "says")
)

// A section is the header or a step: its keys and voice lines as written.
type section struct {
	at     piece              // the first line; for a step its title
	keys   map[string][]piece // values; only do has several
	voices []writtenLine
	last   int             // the last line that is not empty
	meant  map[string]bool // keys and "voice": reported, so not missing
}

func newSection(at piece) *section {
	return &section{at: at, keys: map[string][]piece{}, meant: map[string]bool{}}
}

// value returns the value of a key and whether it was given.
func (s *section) value(key string) (piece, bool) {
	v := s.keys[key]
	if len(v) == 0 {
		return piece{}, false
	}
	return v[0], true
}

// A file is what its lines say, before steps are made from one another.
type file struct {
	header *section
	steps  []*section
}

// A fileReader reads a file line by line.
type fileReader struct {
	*report
	mem   *memory
	lines []string
	file
	current *section
	stray   bool // a line of a step before the first step was reported
}

func readFile(r *report, mem *memory, lines []string) file {
	fr := fileReader{report: r, mem: mem, lines: lines}
	fr.header = newSection(piece{line: 1})
	fr.current = fr.header
	for i, text := range lines {
		if v, ok := mem.line(text); ok {
			fr.current.meant["voice"] = true
			fr.written(v, i+1)
			continue
		}
		whole := piece{text: text, line: i + 1}
		if off, what := badCharacter(text); off >= 0 {
			r.unreadable(whole.from(off), "remove it; save the file as UTF-8 text", "%s", what)
		}
		if t := whole.to(len(stripComment(text))).trim(); t.text != "" && !fr.line(t) {
			break
		}
	}
	return fr.file
}

// line reads one line; false when the rest of the file is not to be read.
func (fr *fileReader) line(t piece) bool {
	i := strings.IndexAny(t.text, ":|")
	switch {
	case i < 0:
		fr.add(t, "write key: value, or voice | bar |", "neither a key with its value nor a voice line")
		fr.current.last = t.line
	case t.text[i] == '|':
		fr.voice(t.to(i).trim(), t.from(i))
	default:
		return fr.key(t.to(i).trim(), t.from(i+1).trim())
	}
	return true
}

func (fr *fileReader) key(name, value piece) bool {
	key := strings.ToLower(name.text)
	if key == "step" {
		return fr.step(name, value)
	}
	fr.current.last = name.line
	inStep := fr.current != fr.header
	switch {
	case !slices.Contains(allKeys, key):
		fr.unknownKey(name, key)
		return true
	case inStep && !slices.Contains(stepKeys, key):
		fr.add(name, "move it before the first step", "%s belongs to the whole climb", key)
	case !inStep && !slices.Contains(headerKeys, key):
		fr.strayLine(name, key)
		return true
	}
	fr.set(key, name, value)
	return true
}

func (fr *fileReader) unknownKey(name piece, key string) {
	if fr.full() {
		return
	}
	if v, ok := passage.VoiceNamed(key); ok {
		fr.current.meant["voice"] = true
		fr.add(name.end(), "write "+v.String()+" | and its bars", "a voice is followed by |, not by a colon")
		return
	}
	known := headerKeys
	if fr.current != fr.header {
		known = stepKeys
	}
	near, _ := Nearest(key, allKeys)
	fr.current.meant[near] = true
	fr.add(name, didYouMean(key, append(slices.Clone(known), allKeys...), "the keys here are "+strings.Join(known, ", ")), "%.40q is not a key", name.text)
}

// strayLine reports, once, what should stand in a step.
func (fr *fileReader) strayLine(at piece, what string) {
	if !fr.stray {
		fr.add(at, "begin the step with a line such as step: The floor", "%s before the first step", what)
	}
	fr.stray = true
}

// step begins a step; false when there are too many.
func (fr *fileReader) step(name, value piece) bool {
	if len(fr.steps) == MaxSteps {
		fr.add(name, "make two climbs of it", "more than %d steps", MaxSteps)
		return false
	}
	s := newSection(value)
	s.last = value.line
	fr.current = s
	fr.steps = append(fr.steps, s)
	fr.set("step", name, value)
	return true
}

// set notes the value of a key of the current section.
func (fr *fileReader) set(key string, name, value piece) {
	keys := fr.current.keys
	if old := keys[key]; len(old) > 0 && key != "do" {
		fr.add(name, "leave one of them out", "%s is already given in line %d", key, old[0].line)
		return
	}
	keys[key] = append(keys[key], value)
	if n := len(keys[key]); n > maxDo {
		if !fr.current.meant[key] {
			fr.add(name, "make several steps of it", "more than %d changes in one step", maxDo)
		}
		fr.current.meant[key] = true
		keys[key] = keys[key][:n-1]
		return
	}
	fr.checkValue(key, value)
}

func (fr *fileReader) checkValue(key string, value piece) {
	most := limitOf(key)
	switch n := utf8.RuneCountInString(value.text); {
	case n == 0:
		fr.add(value, "write it behind the colon, or leave the line out", "%s has no value", key)
	case value.text[0] == '#':
		fr.add(value, "put a word before it", "%s begins with #, which begins a comment", key)
	case most > 0 && n > most:
		fr.add(value, fmt.Sprintf("keep it within %d", most), "%s has %d characters", key, n)
	}
}

// limitOf returns the most characters of a value, 0 for no limit of its own.
func limitOf(key string) int {
	switch key {
	case "title", "by", "step", "from":
		return maxTitle
	case "about", "says":
		return maxText
	case "do":
		return maxChange
	}
	return 0
}

// voice reads a voice line; rest begins with the first bar sign.
func (fr *fileReader) voice(name, rest piece) {
	fr.current.meant["voice"] = true
	v, ok := passage.VoiceNamed(strings.ToLower(name.text))
	if !ok {
		fr.unknownVoice(name)
		fr.current.last = name.line
		return
	}
	line := fr.readAside(name, rest, v)
	if !fr.mute[name.line] {
		fr.mem.keep(line)
	}
	fr.written(line, name.line)
}

// readAside reads a voice line so that it can stand in any line.
func (fr *fileReader) readAside(name, rest piece, v passage.Voice) *voiceLine {
	text := strings.Clone(fr.lines[name.line-1])
	own := func(p piece) piece { return piece{text[p.off : p.off+len(p.text)], 1, p.off} }
	aside := fr.aside(name.line)
	line := aside.readVoice(own(name), own(rest), v)
	line.text, line.report = text, aside
	return &line
}

// written takes a voice line into the current step.
func (fr *fileReader) written(v *voiceLine, line int) {
	fr.take(v.report, line)
	fr.current.last = line
	w := writtenLine{v, line}
	if fr.current == fr.header {
		fr.strayLine(w.at(v.name), "a voice line")
		return
	}
	for _, other := range fr.current.voices {
		if other.voice == v.voice {
			fr.add(w.at(v.name), "write one line for each voice of a step", "%s already stands in line %d", v.voice, other.line)
			return
		}
	}
	fr.current.voices = append(fr.current.voices, w)
}

func (fr *fileReader) unknownVoice(name piece) {
	if fr.full() {
		return
	}
	first := name
	if words := name.fields(1); len(words) > 0 {
		first = words[0]
	}
	if v, ok := passage.VoiceNamed(strings.ToLower(first.text)); ok {
		fr.add(first.end(), "write "+v.String()+" | and then its first bar", "the first bar has no bar sign before it")
		return
	}
	var known []string
	for _, v := range passage.Voices() {
		known = append(known, v.String())
	}
	if name.text == "" {
		fr.add(name, "write its name before the first |", "a line of bars without a voice")
		return
	}
	fr.add(name, didYouMean(name.text, known, "the voices are "+strings.Join(known, ", ")), "%.40q is not a voice", name.text)
}
