package change

import (
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// String returns the canonical text of the change, with its clauses in the
// order of the form. [Parse] reads it back.
func (c Change) String() string {
	if c.Entry == nil {
		return ""
	}
	words := []string{c.Entry.Name}
	for _, cl := range c.Entry.clauses {
		text := cl.text(c.Args)
		switch {
		case text == "":
		case cl.word == "" || cl.param == paramWord:
			words = append(words, text)
		default:
			words = append(words, cl.word, text)
		}
	}
	return strings.Join(words, " ")
}

// text returns what a clause holds, "" for a clause that is not there.
func (c clause) text(a Args) string {
	switch c.param {
	case paramVoices, paramTwo:
		return joined(a.Voices, passage.Voice.String)
	case paramVoice:
		if c.word == "to" {
			return a.To.String()
		}
		return joined(a.Voices, passage.Voice.String)
	case paramRanges, paramRange, paramBars:
		return joined(a.At, Range.String)
	case paramPlaces, paramPlace:
		return joined(a.Places, Spot.String)
	case paramGroups:
		return joined(a.Groups, strconv.Itoa)
	case paramCount, paramSemitones:
		return written(a.Count)
	case paramBar:
		return written(a.Bar)
	case paramMetre:
		return a.Metre.String()
	case paramWord:
		if a.As != c.word {
			return ""
		}
	}
	return c.number(a)
}

// number returns what a clause of one number or word holds.
func (c clause) number(a Args) string {
	switch c.param {
	case paramShift, paramLength:
		switch a.By.Sign() {
		case -1:
			return "-" + meter.FormatLength(a.By.Neg())
		case 0:
			return ""
		}
		return meter.FormatLength(a.By)
	case paramFactor:
		return a.Factor.String()
	}
	return a.As
}

func written(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func joined[T any](list []T, text func(T) string) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = text(x)
	}
	return strings.Join(words, " ")
}
