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
		all = append(all, strings.ToLower(v.Label()))
	}
	return listWords(all, "and")
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
	1: "whole note", 2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth",
	3: "triplet half", 6: "triplet quarter", 12: "triplet eighth", 24: "triplet sixteenth", 48: "triplet thirty-second",
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
		return numberWord(int(n)) + " " + plural(name)
	}
	return whole.String() + " of a whole note"
}

// plural returns several of a note value.
func plural(name string) string {
	if strings.HasSuffix(name, "half") {
		return strings.TrimSuffix(name, "f") + "ves"
	}
	return name + "s"
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

// where says the ranges or the places of a change, "throughout" without any.
func (a Args) where() string {
	switch {
	case len(a.Places) > 0:
		return placesWords(a.Places)
	case len(a.At) > 0:
		return rangesWords(a.At)
	}
	return "throughout"
}

// there says where with a space before it, for the end of a clause; "" without
// ranges or places.
func (a Args) there() string {
	if len(a.Places)+len(a.At) == 0 {
		return ""
	}
	return " " + a.where()
}

// rangesWords says ranges: "in bar 2", "in bars 1 to 3 and on beat 4 of bar 5",
// the same beats of several bars together: "on beat 4 of bars 1 and 2".
func rangesWords(all []Range) string {
	var words []string
	for i, r := range all {
		same := func(o Range) bool { return o.inOneBar() && o.moved(r.From.Bar) == r }
		if !r.inOneBar() {
			words = append(words, r.words())
		} else if slices.IndexFunc(all, same) == i {
			var bars []int
			for _, o := range all {
				if same(o) {
					bars = append(bars, o.From.Bar)
				}
			}
			words = append(words, strings.Replace(r.words(), fmt.Sprintf("bar %d", r.From.Bar), barsWords(bars), 1))
		}
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

// barsWords lists bars: "bar 2", "bars 1 and 3", "bars 1 to 4".
func barsWords(bars []int) string {
	n := len(bars)
	if n == 1 {
		return fmt.Sprintf("bar %d", bars[0])
	}
	run := n > 2
	for i := range bars {
		run = run && bars[i] == bars[0]+i
	}
	if run {
		return fmt.Sprintf("bars %d to %d", bars[0], bars[n-1])
	}
	return "bars " + listWords(numbers(bars), "and")
}

func numbers(list []int) []string {
	words := make([]string, len(list))
	for i, n := range list {
		words[i] = strconv.Itoa(n)
	}
	return words
}

// words says a range: "in bar 2", "in bars 1 to 3", "on beat 4 of bar 2",
// "on beats 2 to 4 of bar 1", "from beat 3 of bar 1 to beat 2 of bar 2".
func (r Range) words() string {
	from, to := r.From, r.To
	one := from.Bar == to.Bar
	switch {
	case from.Into.Sign() > 0 && one && from.Beat == to.Beat:
		return fmt.Sprintf("from %s to the end of the beat", after(from))
	case from.Into.Sign() > 0:
		return fmt.Sprintf("from %s to beat %d of bar %d", after(from), to.Beat, to.Bar)
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

// placesWords says places: "on beat 3 of bar 2", "an eighth after beat 3 of bar
// 2"; several of one bar, and the same of several bars, together: "on beats 2
// and 4 of bars 1 and 2".
func placesWords(all []Spot) string {
	var order []string
	bars := map[string][]int{} // by what is said of them
	for _, bar := range distinctOf(all, func(s Spot) int { return s.Bar }) {
		in := slices.DeleteFunc(slices.Clone(all), func(s Spot) bool { return s.Bar != bar })
		said := spotsWords(in)
		if bars[said] == nil {
			order = append(order, said)
		}
		bars[said] = append(bars[said], bar)
	}
	for i, said := range order {
		order[i] = said + " of " + barsWords(bars[said])
	}
	return listWords(order, "and")
}

// spotsWords says the places of one bar without its number: "on beats 1 and 3",
// "an eighth and a dotted eighth after beat 2".
func spotsWords(in []Spot) string {
	var order []string
	beats := map[string][]int{} // by what comes before them
	note := func(said string, beat int) {
		if beats[said] == nil {
			order = append(order, said)
		}
		beats[said] = append(beats[said], beat)
	}
	for _, s := range in {
		if s.Into.Sign() == 0 {
			note("on", s.Beat)
		}
	}
	for _, beat := range distinctOf(in, func(s Spot) int { return s.Beat }) {
		if into := intoWords(in, beat); into != "" {
			note(into+" after", beat)
		}
	}
	for i, said := range order {
		order[i] = said + " " + beatsWords(beats[said])
	}
	return listWords(order, "and")
}

// intoWords lists how far into a beat some places lie, without its start.
func intoWords(in []Spot, beat int) string {
	var into []string
	for _, s := range in {
		if s.Beat == beat && s.Into.Sign() > 0 {
			into = append(into, lengthWords(s.Into))
		}
	}
	return listWords(into, "and")
}

// beatsWords lists beats: "beat 2", "beats 1, 3 and 4".
func beatsWords(beats []int) string {
	if len(beats) == 1 {
		return fmt.Sprintf("beat %d", beats[0])
	}
	return "beats " + listWords(numbers(beats), "and")
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

// after says a place inside a beat: "an eighth after beat 3 of bar 2".
func after(s Spot) string {
	return fmt.Sprintf("%s after beat %d of bar %d", lengthWords(s.Into), s.Beat, s.Bar)
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
		return plural(name)
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
	case factor.Den() == 1:
		return numberWord(int(factor.Num())) + " times"
	}
	return factor.String() + " times"
}
