package change

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Bounds of numbers in the text of a change. Our choice, above what can be
// written in cells.
const (
	maxCount  = 64 // even strokes
	maxGroup  = 32 // cells of one group
	maxGroups = 32 // groups of one pattern
	maxFactor = 16 // a factor lies between 1/maxFactor and maxFactor
)

// Parse reads the text of a change. An error says what is wrong and what to
// do: "what; what to do".
func Parse(text string) (Change, error) {
	if utf8.RuneCountInString(text) > MaxText {
		return Change{}, refuse("make two changes of it", "the change has more than %d characters", MaxText)
	}
	words := strings.Fields(strings.ToLower(text))
	if len(words) == 0 {
		return Change{}, refuse("write one such as half-time china", "there is no change")
	}
	e, rest := called(words)
	if e == nil {
		return Change{}, unknownName(words)
	}
	r := reader{entry: e, out: Change{Entry: e}}
	if err := r.read(rest); err != nil {
		return Change{}, err
	}
	return r.out, nil
}

// called returns the entry with the longest name at the start of some words,
// and the words after it.
func called(words []string) (*Entry, []string) {
	var best *Entry
	size := 0
	all := entries()
	for i := range all {
		name := strings.Fields(all[i].Name)
		if len(name) > size && len(name) <= len(words) && slices.Equal(name, words[:len(name)]) {
			best, size = &all[i], len(name)
		}
	}
	return best, words[size:]
}

func unknownName(words []string) error {
	hint := "see the list of changes, or write the voice lines out"
	for n := min(len(words), 2); n > 0; n-- {
		if near, ok := drill.Nearest(strings.Join(words[:n], " "), names()); ok {
			hint = "did you mean " + near + "?"
			break
		}
	}
	for _, name := range names() { // the first word of a longer name
		if strings.HasPrefix(name, words[0]+" ") {
			e, _ := Named(name)
			hint = "write " + e.usage()
		}
	}
	return refuse(hint, "no change is called %.40q", words[0])
}

// usage returns the form of an entry with its example, for hints.
func (e *Entry) usage() string { return fmt.Sprintf("%s, such as %s", e.Form, e.Example) }

// A reader fills the parameters of a change from the words after its name.
type reader struct {
	entry *Entry
	out   Change
	seen  []string // words of the clauses read so far
}

func (r *reader) read(words []string) error {
	word := ""
	for {
		n := slices.IndexFunc(words, r.begins)
		if n < 0 {
			n = len(words)
		}
		if err := r.clause(word, words[:n]); err != nil {
			return err
		}
		if n == len(words) {
			return r.complete()
		}
		word, words = words[n], words[n+1:]
	}
}

// begins reports whether a word begins a clause.
func (r *reader) begins(word string) bool {
	_, own := r.entry.takes(word)
	return own || slices.Contains(clauseWords, word)
}

// clause reads the words of one clause.
func (r *reader) clause(word string, words []string) error {
	c, ok := r.entry.takes(word)
	switch {
	case !ok && word == "" && len(words) == 0:
		return nil
	case !ok && word == "":
		return refuse("write "+r.entry.usage(), "%.40q is not expected after %s", words[0], r.entry.Name)
	case !ok:
		return refuse("write "+r.entry.usage(), "%s takes no %q", r.entry.Name, word)
	case slices.Contains(r.seen, word):
		return refuse("write it once", "%q stands there twice", word)
	case len(words) == 0 && c.param != paramWord:
		if word == "" {
			return refuse("write "+r.entry.usage(), "%s names no %s", r.entry.Name, c.name)
		}
		return refuse("write "+r.entry.usage(), "nothing follows %q", word)
	}
	r.seen = append(r.seen, word)
	return c.fill(&r.out.Args, words)
}

// complete reports a clause that must be there and is not.
func (r *reader) complete() error {
	for _, c := range r.entry.clauses {
		if !c.optional && !slices.Contains(r.seen, c.word) {
			return refuse("write "+r.entry.usage(), "%s lacks %q", r.entry.Name, strings.TrimSpace(c.word+" {"+c.name+"}"))
		}
	}
	return nil
}

// fill reads the words of a clause into the field of its parameter. There is
// at least one word, except for a clause that is only its own word.
func (c clause) fill(a *Args, words []string) error {
	switch c.param {
	case paramVoices, paramTwo, paramRanges, paramBars, paramPlaces, paramGroups:
		return c.fillMany(a, words)
	case paramMetre:
		m, err := meter.ParseMetre(strings.Join(words, " "))
		a.Metre = m
		return err
	case paramWord:
		a.As = c.word
		if len(words) > 0 {
			return refuse("leave it out", "%.40q is not expected after %q", words[0], c.word)
		}
		return nil
	}
	if len(words) > 1 {
		return refuse("leave the rest out", "%.40q is one too many: there is one %s", words[1], c.name)
	}
	return c.fillOne(a, words[0])
}

func (c clause) fillMany(a *Args, words []string) error {
	var err error
	switch c.param {
	case paramVoices, paramTwo:
		a.Voices, err = parseVoices(words)
		if err == nil && c.param == paramTwo && len(words) != 2 {
			err = refuse("name two", "%s named where two belong", countWords(len(words), "voice"))
		}
	case paramPlaces:
		a.Places, err = each(words, parseSpot)
	case paramGroups:
		if len(words) > maxGroups {
			return refuse("write a shorter pattern", "the pattern has more than %d groups", maxGroups)
		}
		a.Groups, err = each(words, func(s string) (int, error) { return parseNumber(s, "group of cells", maxGroup) })
	default:
		a.At, err = each(words, parseRange)
		for _, r := range a.At {
			if c.param == paramBars && r.From.Beat > 0 {
				return refuse("write bars, as 2 or 1-3", "%s is not a whole bar", r)
			}
		}
	}
	return err
}

func (c clause) fillOne(a *Args, word string) (err error) {
	switch c.param {
	case paramVoice:
		v, err := parseVoice(word)
		if c.word == "to" {
			a.To = v
		} else {
			a.Voices = []passage.Voice{v}
		}
		return err
	case paramRange:
		r, err := parseRange(word)
		a.At = []Range{r}
		return err
	case paramPlace:
		s, err := parseSpot(word)
		a.Places = []Spot{s}
		return err
	case paramShift:
		a.By, err = parseShift(word)
	case paramLength:
		a.By, err = meter.ParseLength(word)
	case paramFactor:
		a.Factor, err = parseFactor(word)
	case paramCount:
		a.Count, err = parseNumber(word, "number of strokes", maxCount)
	case paramSemitones:
		a.Count, err = parseNumber(word, "number of semitones", passage.MaxBend)
	case paramBar:
		a.Bar, err = parseNumber(word, "bar", passage.MaxBars)
	case paramChoice:
		a.As = word
		if !slices.Contains(c.choices, word) {
			return refuse("write "+listWords(c.choices, "or"), "%.40q is not one of the choices", word)
		}
	}
	return err
}

// each reads every word.
func each[T any](words []string, read func(string) (T, error)) ([]T, error) {
	all := make([]T, len(words))
	for i, w := range words {
		var err error
		if all[i], err = read(w); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// parseVoices reads names of voices, each once.
func parseVoices(words []string) ([]passage.Voice, error) {
	all, err := each(words, parseVoice)
	for i, v := range all {
		if slices.Contains(all[:i], v) {
			return nil, refuse("name each voice once", "%s stands there twice", v)
		}
	}
	return all, err
}

func parseVoice(name string) (passage.Voice, error) {
	if v, ok := passage.VoiceNamed(name); ok {
		return v, nil
	}
	var all []string
	for _, v := range passage.Voices() {
		all = append(all, v.String())
	}
	hint := "the voices are " + strings.Join(all, ", ")
	if near, ok := drill.Nearest(name, all); ok {
		hint = "did you mean " + near + "?"
	}
	return passage.NoVoice, refuse(hint, "%.40q is not a voice", name)
}

// parseShift reads a note value, with - before it for sooner.
func parseShift(s string) (meter.Rat, error) {
	if sooner, ok := strings.CutPrefix(s, "-"); ok {
		d, err := meter.ParseLength(sooner)
		return d.Neg(), err
	}
	return meter.ParseLength(strings.TrimPrefix(s, "+"))
}

// parseFactor reads a number above 0 within the bounds of factors.
func parseFactor(s string) (meter.Rat, error) {
	f, err := meter.ParseRat(s)
	if err != nil {
		return f, refuse("write it like 2, 3/2 or 1.5", "%.40q is not a factor", s)
	}
	if f.Less(meter.R(1, maxFactor)) || meter.Int(maxFactor).Less(f) {
		return f, refuse(fmt.Sprintf("choose one from 1/%d to %d", maxFactor, maxFactor), "the factor %s is out of bounds", f)
	}
	return f, nil
}
