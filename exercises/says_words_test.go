package exercises

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// How the sentence of a step is read.
//
// A sentence ends at a full stop. It falls into clauses at ";", ":" and ", and".
// A clause says of some voices that they change in some bars:
//
//	voices   by label ("snare", "high tom", "left crash"), by family ("the toms",
//	         "the crash", "cymbals", "drums", "strings"), or all ("everything",
//	         "everyone", "nobody", "every voice", "the band"). A clause without
//	         voices goes on about those of the clause before
//	bars     "bar 2", "bars 1 and 3", "bars 1 to 3", "the first bar", "the last
//	         bar", in digits or words. A clause without bars is about those of the
//	         clause before, or of all bars
//	beats    "beat 4", "beats 2 and 3": something is new there. Not those a place
//	         is only named by: "before beat 2", "up to beat 3"
//	places   "an eighth after beat 3", "a sixteenth before beat 2", "the and of beat
//	         4", "the e and the a of beat 3": a stroke came or went right there
//
// Voices that are only pointed at are no claim: what follows "over", "under",
// "with", "after", "before", "answers", "joins", ... directly or with "the",
// "its", "each", "every" ("over the kick", "after its snare", "with the china").
// After "to" or "for" a voice may change or not ("moves to the floor tom").
//
// A clause with "stays" or "stay" says of its voices that they do not change.
// "Nothing else moves" is said of every sentence.
//
// The words "tempo" and a metre such as 7/8 are read as what changes, like a
// voice. Kinds of stroke, "N even strokes", tuplets by name and "stops" hold for
// the step as a whole.

// A clause is what one part of a sentence says.
type clause struct {
	stays  bool
	claims [][]passage.Voice // each a voice, or a family of which one at least is meant
	all    bool              // everything
	tempo  bool
	metre  bool
	named  []passage.Voice // after "to" or "for"
	bars   []int           // nil: all
	beats  []int
	places []offset
}

// An offset is a place by the beat it is counted from, in quarter notes after
// it.
type offset struct {
	beat int
	into meter.Rat
}

// A sentence is everything that a text says of a step.
type sentence struct {
	clauses []clause
	words   []string
	kinds   []passage.Kind
}

// numbers are the words for small numbers.
var numbers = map[string]int{
	"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
}

// number reads a number in digits or as a word.
func number(word string) (int, bool) {
	if n, ok := numbers[word]; ok {
		return n, true
	}
	n, err := strconv.Atoi(word)
	return n, err == nil
}

// families are the words that mean one or several voices.
var families = func() map[string][]passage.Voice {
	all := map[string][]passage.Voice{
		"crash":      {passage.CrashLeft, passage.CrashRight},
		"crashes":    {passage.CrashLeft, passage.CrashRight},
		"left crash": {passage.CrashLeft}, "right crash": {passage.CrashRight},
		"tom": toms, "toms": toms,
	}
	for _, v := range passage.Voices() {
		all[strings.ToLower(v.Label())] = []passage.Voice{v}
		switch v.Family() {
		case passage.Cymbals:
			all["cymbals"] = append(all["cymbals"], v)
		case passage.Drums:
			all["drums"] = append(all["drums"], v)
		case passage.Strings:
			all["strings"] = append(all["strings"], v)
		}
	}
	all["cymbal"] = all["cymbals"]
	return all
}()

var toms = []passage.Voice{passage.TomHigh, passage.TomMid, passage.TomFloor}

// kindWords are the words that name a kind of stroke.
var kindWords = map[string]passage.Kind{
	"flam": passage.Flam, "flams": passage.Flam, "drag": passage.Drag, "drags": passage.Drag,
	"ghost": passage.Ghost, "ghosts": passage.Ghost, "accent": passage.Accent, "accents": passage.Accent, "accented": passage.Accent,
	"ring": passage.Open, "rings": passage.Open, "ringing": passage.Open, "open": passage.Open, "holds": passage.Open, "held": passage.Open,
	"choke": passage.Choke, "choked": passage.Choke, "chokes": passage.Choke, "closes": passage.Choke,
	"chord": passage.Chord, "chords": passage.Chord,
	"harmonic": passage.Harmonic, "harmonics": passage.Harmonic, "scrape": passage.Scrape, "scrapes": passage.Scrape,
	"bend": passage.Bend, "bends": passage.Bend, "bent": passage.Bend, "tremolo": passage.Tremolo, "tremolos": passage.Tremolo,
	"tapped": passage.Tapped, "taps": passage.Tapped, "tap": passage.Tapped,
}

// Words before what is only pointed at.
var (
	pointing = words("over under around against with without after before between along than where as answer answers answering join joins joining follow follows following meet meets leave leaves opposite")
	naming   = words("to for onto")
	definite = words("the its their each every that same of")
	everyone = words("everything everyone everybody nobody band")
)

func words(s string) []string { return strings.Fields(s) }

// tokens cuts a text into lower-case words, metres and punctuation.
func tokens(text string) []string {
	var all []string
	for _, w := range strings.Fields(strings.ToLower(text)) {
		end := len(strings.TrimRightFunc(w, unicode.IsPunct))
		all = append(all, w[:end])
		for _, mark := range w[end:] {
			all = append(all, string(mark))
		}
	}
	return all
}

// read reads what is said of a step whose passage has some number of bars.
func read(text string, bars int) sentence {
	s := sentence{words: tokens(text)}
	for _, whole := range split(s.words, ".") {
		var last clause
		for _, part := range split(whole, ";", ":", ", and") {
			c := s.clause(part, bars)
			if c.bars == nil {
				c.bars = last.bars
			}
			if !c.stays && c.about() == 0 {
				c.claims, c.all, c.tempo, c.metre = last.claims, last.all, last.tempo, last.metre
			}
			s.clauses = append(s.clauses, c)
			if !c.stays {
				last = c
			}
		}
	}
	return s
}

// about counts what a clause is about.
func (c clause) about() int {
	n := len(c.claims)
	for _, b := range []bool{c.all, c.tempo, c.metre} {
		if b {
			n++
		}
	}
	return n
}

// split cuts words at punctuation; ", and" is a comma with "and" after it.
func split(all []string, at ...string) [][]string {
	var out [][]string
	var part []string
	for i := 0; i < len(all); i++ {
		comma := slices.Contains(at, ", and") && all[i] == "," && i+1 < len(all) && all[i+1] == "and"
		if comma {
			i++
		}
		if comma || slices.Contains(at, all[i]) {
			out, part = append(out, part), nil
			continue
		}
		part = append(part, all[i])
	}
	out = append(out, part)
	return slices.DeleteFunc(out, func(p []string) bool { return len(p) == 0 })
}

// clause reads one clause, and notes the kinds of stroke in it.
func (s *sentence) clause(all []string, bars int) clause {
	c := clause{stays: stays(all)}
	for i := 0; i < len(all); {
		switch n := pointed(all[i:]); {
		case n > 0:
			i += n
		case slices.Contains(naming, all[i]):
			n, voices := named(all[i+1:])
			c.named = append(c.named, voices...)
			i += 1 + n
		default:
			i += s.word(&c, all[i:], i > 0 && slices.Contains(words("before until to"), all[i-1]), bars)
		}
	}
	return c
}

// stays reports whether a clause says that something does not change.
func stays(all []string) bool {
	for i, w := range all {
		next := strings.Join(all[i+1:], " ")
		out := strings.HasPrefix(next, "out") || strings.HasPrefix(next, "silent") || strings.HasPrefix(next, "away")
		if (w == "stay" || w == "stays") && !out || w == "nothing" && strings.HasPrefix(next, "else") {
			return true
		}
	}
	return false
}

// word reads what begins at the first word, and returns how many words it took.
func (s *sentence) word(c *clause, all []string, limit bool, bars int) int {
	first := all[0]
	if n, voices := voicesAt(all); n > 0 {
		c.claims = append(c.claims, voices)
		return n
	}
	if k, ok := kindWords[first]; ok {
		s.kinds = append(s.kinds, k)
	}
	c.places = append(c.places, placesAt(all)...)
	switch {
	case slices.Contains(everyone, first), first == "every" && len(all) > 1 && all[1] == "voice":
		c.all = true
	case first == "tempo":
		c.tempo = true
	case isMetre(first):
		c.metre = true
	case first == "bar" || first == "bars":
		n, list := list(all[1:])
		c.bars = append(c.bars, list...)
		return 1 + n
	case len(all) > 1 && all[1] == "bar" && first == "last":
		c.bars = append(c.bars, bars)
	case len(all) > 1 && first == "first" && (all[1] == "bar" || all[1] == "downbeat"):
		c.bars = append(c.bars, 1)
	case first == "beat" || first == "beats":
		n, list := list(all[1:])
		if !limit {
			c.beats = append(c.beats, list...)
		}
		return 1 + n
	}
	return 1
}

// placesAt reads "eighth after beat 3", "sixteenth just before beat 2", "the and
// of beat 4" and "the e and the a of beat 3".
func placesAt(all []string) []offset {
	lengths := map[string]meter.Rat{"eighth": meter.R(1, 2), "sixteenth": meter.R(1, 4)}
	counts := map[string]meter.Rat{"e": meter.R(1, 4), "and": meter.R(1, 2), "a": meter.R(3, 4)}
	text := strings.Join(all[:min(len(all), 9)], " ")
	var w, v, side string
	var beat int
	for _, form := range []struct {
		text string
		into []any
	}{
		{"a %s just %s beat %d", []any{&w, &side, &beat}},
		{"a %s %s beat %d", []any{&w, &side, &beat}},
		{"an %s %s beat %d", []any{&w, &side, &beat}},
		{"the %s of beat %d", []any{&w, &beat}},
		{"the %s and the %s of beat %d", []any{&w, &v, &beat}},
	} {
		w, v, side = "", "", ""
		if n, _ := fmt.Sscanf(text, form.text, form.into...); n < len(form.into) {
			continue
		}
		length, isLength := lengths[w]
		switch {
		case isLength && side == "after":
			return []offset{{beat, length}}
		case isLength && side == "before":
			return []offset{{beat, length.Neg()}}
		case side == "" && counts[w] != meter.Rat{} && counts[v] != meter.Rat{}:
			return []offset{{beat, counts[w]}, {beat, counts[v]}}
		case side == "" && counts[w] != meter.Rat{}:
			return []offset{{beat, counts[w]}}
		}
	}
	return nil
}

// isMetre reports whether a word is a metre; 4/3 is a factor.
func isMetre(word string) bool {
	_, unit, ok := strings.Cut(word, "/")
	return ok && slices.Contains(words("4 8 16"), unit)
}

// voicesAt returns the voices that the first word, or the first two, mean.
func voicesAt(all []string) (int, []passage.Voice) {
	if len(all) > 1 {
		if v, ok := families[all[0]+" "+all[1]]; ok {
			return 2, v
		}
	}
	if v, ok := families[all[0]]; ok {
		return 1, v
	}
	return 0, nil
}

// list reads "2", "1 and 3", "1, 2 and 4" and "1 to 3".
func list(all []string) (int, []int) {
	var out []int
	took := 0
	for i := 0; i < len(all); i++ {
		n, ok := number(all[i])
		switch {
		case ok && i > 0 && all[i-1] == "to" && len(out) > 0:
			for b := out[len(out)-1] + 1; b <= n; b++ {
				out = append(out, b)
			}
			took = i + 1
		case ok:
			out = append(out, n)
			took = i + 1
		case all[i] != "and" && all[i] != "," && all[i] != "to":
			return took, out
		}
	}
	return took, out
}

// pointed returns how many words only point at voices or strokes.
func pointed(all []string) int {
	if !slices.Contains(pointing, all[0]) {
		return 0
	}
	if n, _ := named(all[1:]); n > 0 {
		return 1 + n
	}
	return 0
}

// named returns how many words name voices and kinds of stroke, after "the" and
// the like, and those voices.
func named(all []string) (int, []passage.Voice) {
	var voices []passage.Voice
	took := 0
	for i := 0; i < len(all); {
		n, v := voicesAt(all[i:])
		_, kind := kindWords[all[i]]
		switch {
		case n > 0:
			voices = append(voices, v...)
			i += n
			took = i
		case kind && i > 0:
			i++
			took = i
		case slices.Contains(definite, all[i]) || took > 0 && (all[i] == "and" || all[i] == ","):
			i++
		default:
			return took, voices
		}
	}
	return took, voices
}
