package progress

import (
	"math"
	"strconv"
	"time"

	"stampmill/app/strip"
	"stampmill/exercises/grade"
)

// Sentences say what a picture means for the next practice: the fact, then one
// thing to do differently, if there is one.

// stillDays is how long a tempo stands before that is said; our choice.
const stillDays = 14

// Says is what the tempo of a climb means; "" with too few takes for a line.
func (t Tempo) Says(now time.Time) string {
	switch {
	case t.Played < minTakes:
		return ""
	case t.Owned == 0 && t.Highest > 0:
		return "Passed once, at " + number(t.Highest) + ": once more there and it is owned."
	case t.Owned == 0:
		return "Not passed at any tempo yet" + t.next() + "."
	case t.Goal == 0:
		return ""
	case t.Owned >= t.Goal && t.Step < t.Of:
		return "The goal is reached: step " + strconv.Itoa(t.Step+1) + " is next."
	case t.Owned >= t.Goal:
		return "The goal is reached."
	}
	fact := number(math.Ceil(t.Goal-t.Owned)) + " under the goal"
	switch {
	case t.Highest > t.Owned:
		return fact + ". Passed once at " + number(t.Highest) + ": once more there and it is owned."
	case t.Last >= minTakes && now.Sub(t.Since) > stillDays*24*time.Hour:
		return fact + ", the same since " + date(t.Since, now) + ": try its hardest bar alone."
	}
	return fact + t.next() + "."
}

// next is ": next at 112" where it is known.
func (t Tempo) next() string {
	if t.Next == 0 {
		return ""
	}
	if t.Next < t.Owned { // the last take was not passed
		return ": next a little slower, at " + number(t.Next)
	}
	return ": next at " + number(t.Next)
}

// LeaningSays is what leaning and spread mean.
func (r Report) LeaningSays() string {
	now := r.Lately
	switch {
	case now.Takes == 0 && r.Unknown > 0:
		return "Early and late are not known: the delay was not measured. That takes half a minute."
	case now.Takes == 0:
		return ""
	}
	return r.leanFact() + leanAct(now)
}

func (r Report) leanFact() string {
	now, was := r.Lately, r.First
	fact := lean(now.MS)
	if now.OK && now.High-now.Low >= 1 { // under half a ms either way there is nothing to add
		fact += ", give or take " + number((now.High-now.Low)/2)
	}
	if was.Week != now.Week && was.OK && now.OK && (was.High < now.Low || was.Low > now.High) {
		fact = "From " + lean(was.MS) + " to " + fact
	}
	return capital(fact) + ". "
}

// leanAct is what to do: spread first, for a mean of hits far apart says little.
func leanAct(now Leaning) string {
	switch judged := strip.Judge(now.MS); {
	case now.SpreadMS > grade.DefaultPassing.SpreadMS:
		return "The hits lie far apart, ±" + number(now.SpreadMS) + ": slower, until they stand together."
	case judged == strip.Early:
		return "Wait a little longer before each stroke."
	case judged == strip.Late:
		return "Begin each stroke a little sooner."
	}
	return "That is tight: nothing to change."
}

// evenWithin is how far a stroke may stand from its even place to be called
// even, as a share of the span: 10 ms, the tight band, of a beat at 120. Our
// choice.
const evenWithin = 0.02

// Says is what the split of the newest week means.
func (s Split) Says() string {
	if len(s.Lately) == 0 {
		return ""
	}
	fact := "Lately " + percents(s.Lately) + " %, even is " + percents(s.Written) + ". "
	stroke, off, at, even := 0, 0.0, 0.0, 0.0
	for i := range len(s.Lately) - 1 {
		at, even = at+s.Lately[i], even+s.Written[i]
		if math.Abs(at-even) > math.Abs(off) {
			stroke, off = i+2, at-even
		}
	}
	switch {
	case math.Abs(off) <= evenWithin:
		return fact + "That is even: nothing to change."
	case off < 0:
		return fact + "The " + ordinal(stroke) + " comes early: hold it back."
	}
	return fact + "The " + ordinal(stroke) + " comes late: bring it forward."
}

// Words say how much was practised this week.
func (w Week) Words() string {
	if w.Days == 0 {
		return "this week none yet"
	}
	return "this week " + number(math.Max(w.Minutes, 1)) + " min on " + count(w.Days, "day")
}

// lean is "7 ms early", "0 ms".
func lean(ms float64) string {
	words := number(math.Abs(ms)) + " ms"
	switch {
	case math.Round(ms) < 0:
		return words + " early"
	case math.Round(ms) > 0:
		return words + " late"
	}
	return words
}

func percents(shares []float64) string {
	words := ""
	for i, x := range shares {
		if i > 0 {
			words += "·"
		}
		words += number(100 * x)
	}
	return words
}

// date is "19 Oct", with its year where that is not the one of now.
func date(t, now time.Time) string {
	t = t.In(now.Location())
	if t.Year() != now.Year() {
		return t.Format("2 Jan 2006")
	}
	return t.Format("2 Jan")
}

func number(x float64) string { return strconv.FormatFloat(math.Round(x), 'f', 0, 64) }

var (
	counts   = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven"}
	ordinals = [...]string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh"}
)

func count(n int, noun string) string {
	words := strconv.Itoa(n)
	if n < len(counts) {
		words = counts[n]
	}
	if n != 1 {
		noun += "s"
	}
	return words + " " + noun
}

func ordinal(n int) string {
	if n > len(ordinals) {
		return strconv.Itoa(n) + "th"
	}
	return ordinals[n-1]
}

func capital(words string) string {
	if words != "" && words[0] >= 'a' && words[0] <= 'z' {
		return string(words[0]-'a'+'A') + words[1:]
	}
	return words
}
