package chart

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// who names the voice where others stand at its place: "kick ".
func (p places) who(w weakness) string {
	for _, s := range p.spots {
		if s.At == w.At && s.Voices != w.Voices {
			return strings.ReplaceAll(w.Voices, "+", " and ") + " "
		}
	}
	return ""
}

// fault writes what is weak: "17 early", "missed 4 of 12".
func fault(w weakness) string {
	if w.weight > 0 && (w.Hits == 0 || !finite(w.MS) || strip.ScaleMS*w.missedShare() >= w.weight) {
		return missedOften(w.Spot)
	}
	return whole(math.Abs(w.MS)) + " " + strip.Judge(w.MS).String()
}

// where says a place as players count: "on 3", "on the e of 3", "on the 2nd of
// 5 in beat 3", "after 3".
func (p places) where(at meter.Rat) string {
	beat, start := 1, p.from
	var length meter.Rat
	for i, l := range p.passage.Bars[p.bar-1].Metre.Beats() {
		beat, length = i+1, l
		if at.Less(start.Add(l)) {
			break
		}
		start = start.Add(l)
	}
	of := strconv.Itoa(beat)
	into := at.Sub(start)
	if into.Sign() == 0 {
		return "on " + of
	}
	if words := p.counted(start, start.Add(length)); len(words) > 0 {
		if i := slices.IndexFunc(words, func(c passage.Count) bool { return c.At == at }); i >= 0 {
			return nth(words, i) + of
		}
	}
	if part := into.Div(length); part.Valid() && part.Den() <= mostSplit {
		return "on the " + passage.Ordinal(part.Num()+1) + " of " + strconv.FormatInt(part.Den(), 10) + " in beat " + of
	}
	return "after " + of
}

// counted returns the counting words of a beat.
func (p places) counted(from, to meter.Rat) []passage.Count {
	all := p.passage.Excerpt(p.bar, p.bar).CountsIn(p.bar, p.bar)
	return slices.DeleteFunc(all, func(c passage.Count) bool { return c.At.Less(from) || !c.At.Less(to) })
}

// nth says word i of a beat: by the word where the beat has it once, else by its
// number.
func nth(words []passage.Count, i int) string {
	word, times := words[i].Word, 0
	for _, c := range words {
		if c.Word == word {
			times++
		}
	}
	if times == 1 && (word == "e" || word == "&" || word == "a") {
		return "on the " + word + " of "
	}
	return "on the " + passage.Ordinal(int64(i+1)) + " of " + strconv.Itoa(len(words)) + " in beat "
}
