package ear

import (
	"fmt"
	"strconv"
	"strings"

	"stampmill/exercises/change"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// choiceWords is the one table of what changes are called in choices: short
// words for what is heard, whoever and wherever it is. Two changes that are
// heard as the same thing have the same words, and are never both offered.
// Changes with "" are not asked for.
var choiceWords = map[string]func(a change.Args, who string) string{
	"half-time":     whoThen("%s in half time"),
	"double-time":   whoThen("%s in double time"),
	"dotted":        whoThen("%s in dotted time"),
	"displace":      moved,
	"shift":         moved,
	"rotate":        moved,
	"lock":          func(a change.Args, who string) string { return who + " locked to the " + a.To.Spoken() },
	"add":           whoThen("%s: one more"),
	"fill":          func(a change.Args, who string) string { return who + " filled in" },
	"thin":          whoThen("%s thinned out"),
	"drop":          whoThen("%s: one left out"),
	"retime":        func(a change.Args, who string) string { return fmt.Sprintf("%s: %s", who, evenStrokes(a.Count)) },
	"even":          whoThen("%s made straight"),
	"swing":         whoThen("%s swung"),
	"squeeze":       whoThen("%s squeezed together"),
	"stretch":       whoThen("%s pulled apart"),
	"group":         grouped,
	"reverse":       whoThen("%s backwards"),
	"offbeat snare": func(change.Args, string) string { return "Snare off the beat" },
	"swap":          whoThen("%s swapped"),
	"accent":        whoThen("Accent on the %s"),
	"ghost":         whoThen("%s as ghost notes"),
	"ring":          whoThen("%s left to ring"),
	"choke":         whoThen("%s choked"),
	"bend":          bent,
	"flam":          whoThen("Flam on the %s"),
	"drag":          whoThen("Drag on the %s"),
	"chord":         whoThen("Chord on the %s"),
	"noise": func(a change.Args, who string) string {
		return capital(strings.ReplaceAll(a.As, "-", " ")) + " on the " + strings.ToLower(who)
	},
	"stop":          func(change.Args, string) string { return "A stop cut in" },
	"cut bar":       func(change.Args, string) string { return "A bar cut short" },
	"half-time all": func(change.Args, string) string { return "All in half time" },
	"double-time all": func(change.Args, string) string {
		return "All in double time"
	},
	"tempo":     func(a change.Args, _ string) string { return fasterSlower(a.Factor) },
	"move":      func(a change.Args, who string) string { return who + " moved to the " + a.To.Spoken() },
	"fill toms": func(change.Args, string) string { return "A fill on the toms" },
	"sub":       func(change.Args, string) string { return "" }, // small speakers have none
	"lead":      func(a change.Args, _ string) string { return "A lead comes in, " + a.As },
}

// nothingChanged is the choice that A and B are the same.
const nothingChanged = "Nothing changed"

// wordsOf returns what a change is called in a choice; false where it is not
// asked for. A change that the table lacks is called by its name.
func wordsOf(c change.Change) (string, bool) {
	who := capital(voiceWords(c.Args.Voices))
	words, ok := choiceWords[c.Entry.Name]
	if !ok {
		return capital(c.Entry.Name), true
	}
	said := capital(words(c.Args, who))
	return said, said != ""
}

// whoThen returns words with the voices in them.
func whoThen(form string) func(change.Args, string) string {
	return func(_ change.Args, who string) string {
		if !strings.HasPrefix(form, "%s") {
			who = strings.ToLower(who)
		}
		return fmt.Sprintf(form, who)
	}
}

func moved(a change.Args, who string) string {
	by, way := a.By, "later"
	if by.Sign() < 0 {
		by, way = by.Neg(), "sooner"
	}
	return fmt.Sprintf("%s %s %s", who, lengthWords(by), way)
}

func grouped(a change.Args, who string) string {
	parts := make([]string, len(a.Groups))
	for i, g := range a.Groups {
		parts[i] = fmt.Sprint(g)
	}
	return who + " in groups of " + strings.Join(parts, " ")
}

func bent(a change.Args, who string) string {
	if a.Count == 1 {
		return who + " bent by a semitone"
	}
	return fmt.Sprintf("%s bent by %s semitones", who, number(a.Count))
}

func fasterSlower(factor meter.Rat) string {
	if factor.Less(meter.Int(1)) {
		return "A slower tempo"
	}
	return "A faster tempo"
}

// evenStrokes says a number of even strokes: three are a triplet, common
// practice.
func evenStrokes(n int) string {
	switch n {
	case 1:
		return "a single stroke"
	case 3:
		return "an even three"
	}
	return number(n) + " even strokes"
}

var numbers = []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}

// number writes small numbers out.
func number(n int) string {
	if n >= 0 && n < len(numbers) {
		return numbers[n]
	}
	return fmt.Sprint(n)
}

// lengths names the usual note values.
var lengths = map[meter.Rat]string{
	meter.Int(4): "a bar of four", meter.Int(2): "a half note", meter.Int(1): "a quarter", meter.R(1, 2): "an eighth",
	meter.R(1, 4): "a sixteenth", meter.R(1, 8): "a thirty-second", meter.R(1, 3): "a triplet eighth", meter.R(1, 6): "a triplet sixteenth",
	meter.R(2, 3): "a triplet quarter", meter.R(3, 2): "a dotted quarter", meter.R(3, 4): "a dotted eighth",
}

func lengthWords(quarters meter.Rat) string {
	if name, ok := lengths[quarters]; ok {
		return name
	}
	return meter.FormatLength(quarters)
}

// voiceWords lists voices: "kick and guitar".
func voiceWords(voices []passage.Voice) string {
	var all []string
	for _, v := range voices {
		all = append(all, v.Spoken())
	}
	return list(all)
}

// list joins words: "a", "a and b", "a, b and c".
func list(words []string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
}

func capital(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// placeWords says the beat of a place: "beat 3 of bar 2".
func placeWords(p passage.Place) string { return fmt.Sprintf("beat %d of bar %d", p.Beat, p.Bar) }

// yesNoWords are the two answers of the yes/no tasks, yes first.
var yesNoWords = map[string][2]string{
	"same":  {"Changed", "The same"},
	"ahead": {"Ahead", "Behind"},
	"tempo": {"Faster", "Slower"},
}

// countedPlace says where in a bar a place stands, as players count: "2",
// "& of 2", "2nd of 3 in 2".
func countedPlace(p passage.Passage, at meter.Rat) string {
	place := p.Place(at)
	beat := strconv.Itoa(place.Beat)
	if place.Into.Sign() == 0 {
		return beat
	}
	word := grade.CountWord(place.Into, lengthOfBeat(p, place))
	if len(word) == 1 {
		return word + " of " + beat
	}
	return word + " in " + beat
}

// countedIn is countedPlace with the bar: "& of 2 in bar 1".
func countedIn(p passage.Passage, at meter.Rat) string {
	return fmt.Sprintf("%s in bar %d", countedPlace(p, at), p.Place(at).Bar)
}

func lengthOfBeat(p passage.Passage, place passage.Place) meter.Rat {
	return p.Bars[place.Bar-1].Metre.Beats()[place.Beat-1]
}

// strokeWords returns "1 stroke" or "3 strokes".
func strokeWords(n int) string {
	if n == 1 {
		return "1 stroke"
	}
	return fmt.Sprintf("%d strokes", n)
}

// trim writes a number without needless digits, at most two after the point.
func trim(x float64) string {
	s := strings.TrimRight(fmt.Sprintf("%.2f", x), "0")
	return strings.TrimSuffix(s, ".")
}
