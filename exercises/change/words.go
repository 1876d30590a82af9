package change

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// voiceWords lists voices as people name them: "snare", "kick and guitar".
func voiceWords(voices []passage.Voice) string {
	var all []string
	for _, v := range voices {
		all = append(all, v.Spoken())
	}
	return listWords(all, "and")
}

// said makes a sentence of some words; empty ones are left out.
func said(words ...string) string {
	words = slices.DeleteFunc(words, func(w string) bool { return w == "" })
	return capital(strings.Join(words, " ")) + "."
}

// subject begins a sentence with voices: "The snare", "Kick and guitar".
func subject(voices []passage.Voice) string {
	if len(voices) == 1 {
		return "The " + voiceWords(voices)
	}
	return capital(voiceWords(voices))
}

// agree returns the verb for one voice or for several.
func agree(voices []passage.Voice, one, several string) string {
	if len(voices) == 1 {
		return one
	}
	return several
}

// listWords joins words: "a", "a and b", "a, b and c".
func listWords(words []string, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " " + last + " " + words[n-1]
}

// countWords returns "1 stroke" or "3 strokes".
func countWords(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// smallNumbers are written out in sentences.
var smallNumbers = []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// numberWord writes small numbers out.
func numberWord(n int) string {
	if n >= 0 && n < len(smallNumbers) {
		return smallNumbers[n]
	}
	return fmt.Sprint(n)
}

// values names the note values by how many of them fill a whole note.
var values = map[int64]string{
	1: "whole note", 2: "half note", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth",
	3: "triplet half note", 6: "triplet quarter", 12: "triplet eighth", 24: "triplet sixteenth", 48: "triplet thirty-second",
	5: "quintuplet quarter", 10: "quintuplet eighth", 20: "quintuplet sixteenth", 40: "quintuplet thirty-second",
	7: "septuplet quarter", 14: "septuplet eighth", 28: "septuplet sixteenth", 56: "septuplet thirty-second",
}

// lengthWords says a length as a note value: "an eighth", "a dotted quarter",
// "a triplet eighth", "five sixteenths". Lengths are taken without a sign.
func lengthWords(quarters meter.Rat) string {
	if quarters.Sign() < 0 {
		quarters = quarters.Neg()
	}
	whole := quarters.Div(meter.Int(4))
	n, d := whole.Num(), whole.Den()
	switch name, ok := values[d]; {
	case n == 1 && ok:
		return article(name)
	case n == 3 && d > 1 && d&(d-1) == 0 && ok:
		return "a dotted " + values[d/2]
	case ok:
		return numberWord(int(n)) + " " + name + "s"
	}
	return whole.String() + " of a whole note"
}

// article puts "a" or "an" before a word.
func article(word string) string {
	if strings.ContainsRune("aeio", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// later says a shift: "an eighth later", "a sixteenth sooner".
func later(by meter.Rat) string {
	if by.Sign() < 0 {
		return lengthWords(by) + " sooner"
	}
	return lengthWords(by) + " later"
}

// where says the ranges or the places of a change of p; "" without any, when
// it holds throughout.
func (a Args) where(p passage.Passage) string {
	if len(a.Places) > 0 {
		return placesWords(p, a.Places)
	}
	return rangesWords(p, a.At)
}

// there says where with a space before it, for the end of a clause; "" without
// ranges or places.
func (a Args) there(p passage.Passage) string {
	if len(a.Places)+len(a.At) == 0 {
		return ""
	}
	return " " + a.where(p)
}

// rangesWords says ranges: "in bar 2", "in bars 1 to 3 and 5 and on beat 4 of
// bar 6", the same beats of several bars together: "on beat 4 of bars 1 and 2".
func rangesWords(p passage.Passage, all []Range) string {
	var words []string
	var whole []int
	for i, r := range all {
		same := func(o Range) bool { return o.inOneBar() && o.moved(r.From.Bar) == r }
		switch {
		case r.From.Beat == 0:
			for b := r.From.Bar; b <= r.To.Bar; b++ {
				whole = append(whole, b)
			}
		case !r.inOneBar():
			words = append(words, r.words(p))
		case slices.IndexFunc(all, same) == i:
			var bars []int
			for _, o := range all {
				if same(o) {
					bars = append(bars, o.From.Bar)
				}
			}
			words = append(words, strings.Replace(r.words(p), fmt.Sprintf("bar %d", r.From.Bar), barsWords(bars), 1))
		}
	}
	if len(whole) > 0 {
		words = slices.Insert(words, 0, "in "+barsWords(whole))
	}
	return listWords(words, "and")
}

// inOneBar reports whether a range is beats of one bar.
func (r Range) inOneBar() bool { return r.From.Beat > 0 && r.From.Bar == r.To.Bar }

// moved returns a range of one bar in another.
func (r Range) moved(bar int) Range {
	r.From.Bar, r.To.Bar = bar, bar
	return r
}

// barsWords lists bars: "bar 2", "bars 1 and 3", "bars 1 to 4 and 6".
func barsWords(bars []int) string { return counted("bar", bars) }

// beatsWords lists beats: "beat 2", "beats 1, 3 and 4".
func beatsWords(beats []int) string { return counted("beat", beats) }

// counted lists things by number, three and more in a row from one to another.
func counted(noun string, numbers []int) string {
	if len(numbers) == 1 {
		return fmt.Sprintf("%s %d", noun, numbers[0])
	}
	var words []string
	for i := 0; i < len(numbers); {
		run := 1
		for i+run < len(numbers) && numbers[i+run] == numbers[i]+run {
			run++
		}
		if run < 3 {
			run = 1
			words = append(words, strconv.Itoa(numbers[i]))
		} else {
			words = append(words, fmt.Sprintf("%d to %d", numbers[i], numbers[i+run-1]))
		}
		i += run
	}
	return noun + "s " + listWords(words, "and")
}

// words says a range: "in bar 2", "in bars 1 to 3", "on beat 4 of bar 2",
// "on beats 2 to 4 of bar 1", "in the second half of beat 4 of bar 2",
// "from beat 3 of bar 1 to beat 2 of bar 2".
func (r Range) words(p passage.Passage) string {
	from, to := r.From, r.To
	one := from.Bar == to.Bar
	switch {
	case from.Into.Sign() > 0 && one && from.Beat == to.Beat:
		return restWords(p, from)
	case from.Into.Sign() > 0:
		return fmt.Sprintf("from %s to the end of beat %d of bar %d", placesWords(p, []Spot{from}), to.Beat, to.Bar)
	case from.Beat == 0 && one:
		return fmt.Sprintf("in bar %d", from.Bar)
	case from.Beat == 0 && from.Bar+1 == to.Bar:
		return fmt.Sprintf("in bars %d and %d", from.Bar, to.Bar)
	case from.Beat == 0:
		return fmt.Sprintf("in bars %d to %d", from.Bar, to.Bar)
	case one && from.Beat == to.Beat:
		return fmt.Sprintf("on beat %d of bar %d", from.Beat, from.Bar)
	case one && from.Beat+1 == to.Beat:
		return fmt.Sprintf("on beats %d and %d of bar %d", from.Beat, to.Beat, from.Bar)
	case one:
		return fmt.Sprintf("on beats %d to %d of bar %d", from.Beat, to.Beat, from.Bar)
	}
	return fmt.Sprintf("from beat %d of bar %d to beat %d of bar %d", from.Beat, from.Bar, to.Beat, to.Bar)
}

// shares names what is left of a beat, as a share of it.
var shares = map[meter.Rat]string{
	meter.R(1, 2): "second half", meter.R(1, 3): "last third", meter.R(2, 3): "last two thirds",
	meter.R(1, 4): "last quarter", meter.R(3, 4): "last three quarters",
}

// restWords says the rest of a beat from a place in it: "in the second half of
// beat 4 of bar 2".
func restWords(p passage.Passage, from Spot) string {
	if _, beat, err := spotIn(p, Spot{Bar: from.Bar, Beat: from.Beat}); err == nil {
		if share, ok := shares[beat.Sub(from.Into).Div(beat)]; ok {
			return fmt.Sprintf("in the %s of beat %d of bar %d", share, from.Beat, from.Bar)
		}
	}
	return fmt.Sprintf("from %s after beat %d of bar %d to the end of the beat", lengthWords(from.Into), from.Beat, from.Bar)
}

// placesWords says places: "on beat 3 of bar 2", "an eighth after beat 3 of bar
// 2"; several of one bar, and the same of several bars, together: "on beats 2
// and 4 of bars 1 and 2".
func placesWords(p passage.Passage, all []Spot) string {
	var said sayings
	for _, bar := range distinctOf(all, func(s Spot) int { return s.Bar }) {
		in := slices.DeleteFunc(slices.Clone(all), func(s Spot) bool { return s.Bar != bar })
		said.note(spotsWords(p, in), bar)
	}
	words := make([]string, len(said))
	for i, of := range said {
		words[i] = of.words + " of " + barsWords(of.numbers)
	}
	if slices.ContainsFunc(said, func(s saying) bool { return strings.Contains(s.words, " and ") }) {
		return strings.Join(words, ", and ")
	}
	return listWords(words, "and")
}

// A saying is words that hold for some numbers of bars or beats; sayings keep
// the order in which they came.
type saying struct {
	words   string
	numbers []int
}

type sayings []saying

// note adds a number to the saying of some words.
func (all *sayings) note(words string, number int) {
	i := slices.IndexFunc(*all, func(s saying) bool { return s.words == words })
	if i < 0 {
		i = len(*all)
		*all = append(*all, saying{words: words})
	}
	if of := &(*all)[i]; !slices.Contains(of.numbers, number) {
		of.numbers = append(of.numbers, number)
	}
}

// spotsWords says the places of one bar without its number: "on beats 1 and 3",
// "an eighth after beat 2 and a sixteenth before beat 3".
func spotsWords(p passage.Passage, in []Spot) string {
	var said sayings
	for _, s := range in {
		if s.Into.Sign() == 0 {
			said.note("on", s.Beat)
		}
	}
	for _, beat := range distinctOf(in, func(s Spot) int { return s.Beat }) {
		after, before := around(p, in, beat)
		if len(after) > 0 {
			said.note(listWords(after, "and")+" after", beat)
		}
		if len(before) == 0 {
			continue
		}
		next := beat + 1
		if beat == len(p.Bars[in[0].Bar-1].Metre.Beats()) {
			next = theEnd
		}
		said.note(listWords(before, "and")+" before", next)
	}
	var words []string
	for _, of := range said {
		words = append(words, of.beats()...)
	}
	return listWords(words, "and")
}

// around says how far after a beat some places lie, and how far before the next
// those that are nearer to it.
func around(p passage.Passage, in []Spot, beat int) (after, before []string) {
	for _, s := range in {
		rest, near := nearNext(p, s)
		switch {
		case s.Beat != beat || s.Into.Sign() == 0:
		case near:
			before = append(before, lengthWords(rest))
		default:
			after = append(after, lengthWords(s.Into))
		}
	}
	return after, before
}

// theEnd stands for the end of a bar among the numbers of its beats.
const theEnd = -1

// beats says the words with their beats, and with the end of the bar.
func (s saying) beats() []string {
	var words []string
	beats := slices.DeleteFunc(slices.Clone(s.numbers), func(n int) bool { return n == theEnd })
	if len(beats) > 0 {
		words = append(words, s.words+" "+beatsWords(beats))
	}
	if len(beats) < len(s.numbers) {
		words = append(words, s.words+" the end")
	}
	return words
}

// nearNext returns how far it is from a place to the end of its beat, and
// whether that is less than from its start.
func nearNext(p passage.Passage, s Spot) (meter.Rat, bool) {
	_, beat, err := spotIn(p, Spot{Bar: s.Bar, Beat: s.Beat})
	if err != nil || s.Beat == 0 {
		return meter.Rat{}, false
	}
	rest := beat.Sub(s.Into)
	return rest, rest.Sign() > 0 && rest.Less(s.Into)
}

// distinctOf returns the numbers that places have, each once, in their order.
func distinctOf(all []Spot, number func(Spot) int) []int {
	var out []int
	for _, s := range all {
		if n := number(s); !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// step names a length without its article: "eighth", "dotted quarter".
func step(quarters meter.Rat) string {
	words := lengthWords(quarters)
	for _, article := range []string{"a ", "an "} {
		if name, ok := strings.CutPrefix(words, article); ok {
			return name
		}
	}
	return words
}

// steps names cells of a length: "eighths", "cells of five sixteenths".
func steps(quarters meter.Rat) string {
	words := lengthWords(quarters)
	if name := step(quarters); name != words {
		return name + "s"
	}
	return "cells of " + words
}

// timesWords says a factor: "twice", "one and a half times", "4/3 times".
func timesWords(factor meter.Rat) string {
	switch {
	case factor == meter.Int(2):
		return "twice"
	case factor == meter.R(3, 2):
		return "one and a half times"
	case factor == meter.R(4, 3):
		return "one and a third times"
	case factor.Den() == 1:
		return numberWord(int(factor.Num())) + " times"
	}
	return factor.String() + " times"
}
