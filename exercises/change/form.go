package change

import (
	"slices"
	"strconv"
	"strings"

	"stampmill/exercises/passage"
)

// A param is what a clause holds.
type param uint8

// The parameters, by the name they have in a form, and the field of Args that
// they fill.
const (
	paramWord      param = iota // the word of the clause itself: As
	paramVoices                 // one or more voices: Voices
	paramTwo                    // exactly two voices: Voices
	paramVoice                  // one voice: Voices, or To after "to"
	paramRanges                 // one or more ranges: At
	paramRange                  // one range: At
	paramBars                   // one or more ranges of whole bars: At
	paramPlaces                 // one or more places: Places
	paramPlace                  // one place: Places
	paramShift                  // a signed note value: By
	paramLength                 // a note value: By
	paramFactor                 // a number above 0: Factor
	paramCount                  // a whole number, 1 to maxCount: Count
	paramSemitones              // 1 to passage.MaxBend: Count
	paramGroups                 // one or more whole numbers: Groups
	paramBar                    // the number of a bar: Bar
	paramMetre                  // a metre: Metre
	paramChoice                 // one of some words: As
)

var params = map[string]param{
	"voices": paramVoices, "two voices": paramTwo, "voice": paramVoice,
	"ranges": paramRanges, "range": paramRange, "bars": paramBars,
	"places": paramPlaces, "place": paramPlace,
	"shift": paramShift, "length": paramLength, "factor": paramFactor,
	"count": paramCount, "semitones": paramSemitones, "groups": paramGroups,
	"bar": paramBar, "metre": paramMetre,
}

// A Parameter is what stands in { } in forms, and how it is written.
type Parameter struct{ Name, How string }

// parameters is the one table of them for people, in the order of the manual.
var parameters = []Parameter{
	{"voices", "names of voices, such as kick guitar"},
	{"voice", "the name of one voice"},
	{"two voices", "the names of two voices"},
	{"ranges", "one or more of: 2 (a bar), 1-3 (bars, the last one included), 2.4 (bar and beat), 1.3-2.2 (beats, the last one included), 2.4+1/8 (the rest of the beat from an eighth on); left out, the whole passage"},
	{"range", "one range: 2 (a bar), 2.4 (bar and beat), 1.3-2.2 (beats, the last one included), 2.4+1/8 (the rest of the beat from an eighth on)"},
	{"bars", "one or more of: 2 (a bar), 1-3 (bars, the last one included); left out, the whole passage"},
	{"places", "one or more of: 2.4 (bar and beat), 2.4+1/8 (an eighth after it)"},
	{"length", "a note value: 1/8 (an eighth), 1/4. (a dotted quarter), 1/12 (a triplet eighth)"},
	{"shift", "a note value later, or with - before it sooner: 1/16, -1/8"},
	{"count", "a whole number of strokes, 1 to " + strconv.Itoa(maxCount)},
	{"factor", "a number above 0: 2, 3/2, 1.5"},
	{"groups", "whole numbers of cells: 3, or 3 3 2"},
	{"semitones", "1 to " + strconv.Itoa(passage.MaxBend)},
	{"bar", "the number of a bar, from 1"},
	{"metre", "a metre: 3/4, or 7/8 (2+2+3)"},
}

// Parameters tells how the parameters of an entry are written, in the order of
// its form.
func (e Entry) Parameters() []Parameter {
	var all []Parameter
	for _, c := range e.clauses {
		if i := slices.IndexFunc(parameters, func(p Parameter) bool { return p.Name == c.name }); i >= 0 {
			all = append(all, parameters[i])
		}
	}
	return all
}

// Parameters tells how all parameters are written, in the order of the manual.
func Parameters() []Parameter { return slices.Clone(parameters) }

// A clause is one part of a form after the name.
type clause struct {
	word     string // "at"; "" for what follows the name at once
	param    param
	name     string   // what stands in { }, for messages
	choices  []string // of paramChoice
	optional bool
}

// clauseWords begin a clause in some form; none of them is a voice.
var clauseWords = []string{"at", "by", "to", "as", "for", "in", "of"}

// readForm reads a form into its name and clauses. Forms are written in this
// package and tested, so there is nothing to refuse.
func readForm(form string) (string, []clause) {
	tokens := formTokens(form)
	var name []string
	for len(tokens) > 0 && !strings.ContainsAny(tokens[0], "{[") && !slices.Contains(clauseWords, tokens[0]) {
		name, tokens = append(name, tokens[0]), tokens[1:]
	}
	var all []clause
	for len(tokens) > 0 {
		c := clause{optional: strings.HasPrefix(tokens[0], "[")}
		if first := strings.Trim(tokens[0], "[]"); !strings.HasPrefix(first, "{") {
			c.word = first
			if c.optional && strings.HasSuffix(tokens[0], "]") {
				all, tokens = append(all, c), tokens[1:]
				continue
			}
			tokens = tokens[1:]
		}
		c.name = strings.Trim(tokens[0], "{}[]")
		c.param = params[c.name]
		if strings.Contains(c.name, "|") {
			c.param, c.choices = paramChoice, strings.Split(c.name, "|")
		}
		all, tokens = append(all, c), tokens[1:]
	}
	return strings.Join(name, " "), all
}

// formTokens splits a form at spaces outside of braces.
func formTokens(form string) []string {
	braces := false
	return strings.FieldsFunc(form, func(r rune) bool {
		if r == '{' || r == '}' {
			braces = r == '{'
		}
		return r == ' ' && !braces
	})
}

// takes returns the clause of an entry that begins with a word.
func (e *Entry) takes(word string) (clause, bool) {
	for _, c := range e.clauses {
		if c.word == word {
			return c, true
		}
	}
	return clause{}, false
}
