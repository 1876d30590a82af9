package main

import (
	"flag"
	"fmt"
	"strings"

	"stampmill/exercises/limbs"
	"stampmill/exercises/passage"
)

// A pedals flag says how many pedals strike the kick.
type pedals struct{ count countFlag }

func pedalsFlag() pedals { return pedals{countFlag{2, 1, 2}} }

func (p *pedals) register(flags *flag.FlagSet) {
	flags.Var(&p.count, "pedals", "N|pedals that strike the kick, 1 or 2")
}

func (p *pedals) limbs() limbs.Pedals {
	if p.count.value == 1 {
		return limbs.One
	}
	return limbs.Two
}

// judge tells where four limbs and picking hands are not enough.
func (p *pedals) judge(step passage.Passage) passage.Problems {
	return limbs.Problems(step, p.limbs())
}

// sticking returns the letters under each voice that has any. Nobody plays
// programmed drums, so they have none.
func sticking(p passage.Passage, pedals limbs.Pedals) map[passage.Voice][]limbs.Mark {
	under := map[passage.Voice][]limbs.Mark{}
	for _, row := range limbs.Rows(p, pedals) {
		if !p.Machine || row.Voice.Family() == passage.Strings {
			under[row.Voice] = row.Marks
		}
	}
	return under
}

// letters names the letters of sticking that a passage uses.
func letters(under map[passage.Voice][]limbs.Mark) string {
	used := map[string]bool{}
	for _, marks := range under {
		for _, m := range marks {
			used[m.Letter] = true
		}
	}
	var words []string
	for _, word := range []string{"R right", "L left", "D down", "U up", "S scraped", "T tapped"} {
		if used[word[:1]] {
			words = append(words, word)
		}
	}
	return strings.Join(words, ", ")
}

// unplayable tells where a passage cannot be played, one problem a line.
func unplayable(problems passage.Problems) string {
	var b strings.Builder
	for _, p := range problems {
		fmt.Fprintf(&b, "not playable at %s: %s; %s\n", p.Place, p.What, p.Do)
	}
	return b.String()
}
