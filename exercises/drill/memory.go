package drill

import (
	"reflect"
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A memory keeps what voice lines say and what changes made, from one reading
// to the next. What a reading does not use is forgotten at its end.
type memory struct {
	cat   Catalogue
	lines map[string]*voiceLine // by the whole line as it stands in the file
	made  map[string][]*madePassage

	oldLines map[string]*voiceLine // of the reading before
	oldMade  map[string][]*madePassage
}

// A placement is what a voice line says under the metres of its bars.
type placement struct {
	metres []meter.Metre
	line   passage.Line
	ok     bool // nothing was reported
	report

	checked bool
	limits  passage.Problems // what passage.Check says of the line, once checked
}

// A madePassage is what a step's changes made of the step it is made from,
// without a problem, before its own voice lines.
type madePassage struct {
	base   passage.Passage
	tempo  []meter.Tempo
	metre  []meter.Metre
	cost   int // strokes and groups copied
	out    passage.Passage
	limits []passage.Problems // by line of out
}

// begin starts a reading.
func (mem *memory) begin(cat Catalogue) {
	mem.oldLines, mem.oldMade = mem.lines, mem.made
	if !same(mem.cat, cat) {
		mem.oldMade = nil
	}
	mem.cat = cat
	mem.lines, mem.made = map[string]*voiceLine{}, map[string][]*madePassage{}
}

// end forgets what the reading did not use.
func (mem *memory) end() {
	mem.oldLines, mem.oldMade = nil, nil
	for _, v := range mem.lines {
		v.before = nil
	}
}

// same tells whether two catalogues are one; those that cannot be compared
// never are.
func same(a, b Catalogue) bool {
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	return reflect.TypeOf(a) == reflect.TypeOf(b) && reflect.ValueOf(a).Comparable() && a == b
}

// line returns a voice line that was read before.
func (mem *memory) line(text string) (*voiceLine, bool) {
	if v, ok := mem.lines[text]; ok {
		return v, true
	}
	v, ok := mem.oldLines[text]
	if ok {
		v.before, v.placed = v.placed, nil
		mem.lines[v.text] = v
	}
	return v, ok
}

// keep remembers a voice line, unless more was wrong with it than is listed.
func (mem *memory) keep(v *voiceLine) {
	if v.more == 0 {
		mem.lines[v.text] = v
	}
}

// placement returns what a voice line was found to say under some metres.
func (v *voiceLine) placement(metres []meter.Metre) *placement {
	for _, p := range v.placed {
		if slices.Equal(p.metres, metres) {
			return p
		}
	}
	for _, p := range v.before {
		if slices.Equal(p.metres, metres) {
			v.placed = append(v.placed, p)
			return p
		}
	}
	return nil
}

// remembered returns what the changes of a step made before, nil when they were
// not made from the same.
func (mem *memory) remembered(step *passage.Step, base passage.Passage) *madePassage {
	key := strings.Join(step.Do, "\n")
	fits := func(m *madePassage) bool {
		return slices.Equal(m.tempo, step.Tempo) && slices.Equal(m.metre, step.Metre) && equalPassage(m.base, base)
	}
	if i := slices.IndexFunc(mem.made[key], fits); i >= 0 {
		return mem.made[key][i]
	}
	i := slices.IndexFunc(mem.oldMade[key], fits)
	if i < 0 {
		return nil
	}
	made := mem.oldMade[key][i]
	made.base = base // equal, and shared with the step it is made from
	mem.keepMade(step, made)
	return made
}

func (mem *memory) keepMade(step *passage.Step, made *madePassage) {
	key := strings.Clone(strings.Join(step.Do, "\n"))
	mem.made[key] = append(mem.made[key], made)
}

// equalPassage tells whether two passages are equal to the last group.
func equalPassage(a, b passage.Passage) bool {
	return a.Tuning == b.Tuning && a.Machine == b.Machine && slices.Equal(a.Bars, b.Bars) && slices.EqualFunc(a.Lines, b.Lines, equalLine)
}

func equalLine(a, b passage.Line) bool {
	return a.Voice == b.Voice && equalSlice(a.Strokes, b.Strokes) && equalSlice(a.Groups, b.Groups)
}

// equalSlice is slices.Equal, at once for slices that share their items.
func equalSlice[T comparable](a, b []T) bool {
	if len(a) != len(b) || len(a) == 0 {
		return len(a) == len(b)
	}
	return &a[0] == &b[0] || slices.Equal(a, b)
}
