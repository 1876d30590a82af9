package grade

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// EarlyOrLate returns "12 ms early", "3 ms late" or "on time", early negative.
func EarlyOrLate(ms float64) string {
	switch n := math.Round(ms); {
	case n < 0:
		return fmt.Sprintf("%.0f ms early", -n)
	case n > 0:
		return fmt.Sprintf("%.0f ms late", n)
	}
	return "on time"
}

// lasting returns "85 ms" or, from a second on, "2.7 s".
func lasting(ms float64) string {
	if ms < 999.5 {
		return fmt.Sprintf("%.0f ms", ms)
	}
	return fmt.Sprintf("%.1f s", ms/1000)
}

// over returns "±29 ms", or "a little over ±20 ms" where rounding would hide
// that a spread is above its limit.
func over(ms, limit float64) string {
	if ms > limit && math.Round(ms) <= limit {
		return fmt.Sprintf("a little over ±%g ms", limit)
	}
	return fmt.Sprintf("±%.0f ms", ms)
}

// earlier returns "12 ms earlier" or "12 ms later".
func earlier(ms float64) string {
	if ms < 0 {
		return fmt.Sprintf("%.0f ms earlier", -ms)
	}
	return fmt.Sprintf("%.0f ms later", ms)
}

// count returns "1 stroke" or "3 strokes".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// onlyOf returns "Only 7 of 32 strokes were" or "None of the 32 strokes was".
func onlyOf(n, all int) string {
	switch n {
	case 0:
		return fmt.Sprintf("None of the %s was", count(all, "stroke"))
	case 1:
		return fmt.Sprintf("Only 1 of %s was", count(all, "stroke"))
	}
	return fmt.Sprintf("Only %d of %s were", n, count(all, "stroke"))
}

// ofThem begins the place where n of all faults are: ", " when it is all of
// them, else ", 3 of them ".
func ofThem(n, all int) string {
	switch {
	case n == all && n == 1:
		return ", "
	case n == all:
		return ", all "
	}
	return fmt.Sprintf(", %d of them ", n)
}

// ratio returns "3:3:2".
func ratio(parts []int) string {
	words := make([]string, len(parts))
	for i, p := range parts {
		words[i] = strconv.Itoa(p)
	}
	return strings.Join(words, ":")
}

// String returns the names of the voices, such as "kick and guitar".
func (s VoiceSet) String() string {
	var words []string
	for _, v := range s.Voices() {
		words = append(words, spokenVoice(v))
	}
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// spokenVoice returns the name of a voice inside a sentence, such as "left
// crash".
func spokenVoice(v passage.Voice) string {
	switch v {
	case passage.CrashLeft:
		return "left crash"
	case passage.CrashRight:
		return "right crash"
	}
	return strings.ToLower(v.Label())
}

// strokesOf returns what the strokes of a voice are called, such as "kicks".
func strokesOf(v passage.Voice) string {
	if v == passage.Kick {
		return "kicks"
	}
	return spokenVoice(v) + " strokes"
}

// capital returns words with a capital letter in front.
func capital(words string) string { return strings.ToUpper(words[:1]) + words[1:] }

// spoken returns where a stroke stands, as players count: "on 2.3", "on the &
// of 2.3", or "on the 2nd of 5 in 2.3".
func (r *report) spoken(pos Position) string { return "on " + r.spokenPlace(pos) }

// spokenPlace is spoken without "on".
func (r *report) spokenPlace(pos Position) string {
	beat := fmt.Sprintf("%d.%d", pos.Place.Bar, pos.Place.Beat)
	if pos.Place.Into.Sign() == 0 {
		return beat
	}
	if r.words == nil {
		r.words = map[meter.Rat]string{}
		for _, c := range r.p.Counts() {
			r.words[c.At] = c.Word
		}
	}
	if word := r.words[pos.At]; word == "e" || word == "&" || word == "a" {
		return "the " + word + " of " + beat
	}
	return "the " + r.wordOf(pos) + " in " + beat
}

// wordOf returns where in the beat a stroke stands, as in ByPlace.
func (r *report) wordOf(pos Position) string {
	beat := beatAt(r.p, pos.Place)
	for _, f := range r.ByPlace {
		if f.Into == pos.Place.Into && f.Beat == beat {
			return f.Word
		}
	}
	return pos.Place.String()
}
