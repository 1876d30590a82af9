package limbs

import (
	"fmt"
	"strconv"
	"strings"

	"stampmill/exercises/passage"
)

// maxListed is the most strokes that are named one by one. Our choice.
const maxListed = 6

// words say what a clash is and what to do about it.
func (s *solver) words(cause []task) (what, do string) {
	first, last := &cause[0], &cause[len(cause)-1]
	if first.time == last.time {
		return s.atOnce(cause)
	}
	who, do := s.who(cause)
	within := (last.time - first.time + ms/2) / ms
	return fmt.Sprintf("%s would strike %s within %d ms", who, struck(cause), within), do
}

// who names the limbs that are too slow, and what would help them.
func (s *solver) who(cause []task) (who, do string) {
	voices := voicesOf(cause)
	switch {
	case s.limbs[0] == RightHand && len(voices) > 1:
		return "two hands", "slow down, leave one out, or move one to a nearer drum"
	case s.limbs[0] == RightHand:
		return "two hands", "slow down or leave one out"
	case len(voices) > 1:
		return "two feet", "slow down or leave one out"
	case voices[0] == passage.Hat:
		return LeftFoot.the(), "slow down or leave one out"
	case s.alone(&cause[0], 1) < 0:
		return RightFoot.the(), "use a second pedal, slow down, or leave one out"
	}
	return "two feet", "slow down or leave one out"
}

func (l Limb) the() string { return "the " + l.String() }

// atOnce words a clash at one time.
func (s *solver) atOnce(cause []task) (what, do string) {
	limbs, takes := "hands", limbsFor(cause)
	if s.limbs[0] == RightFoot {
		limbs = "feet"
	}
	if takes <= len(s.limbs) {
		return fmt.Sprintf("%s needs %s %s", struck(cause), number(takes), limbs), "use a second pedal, or write a hit"
	}
	do = "leave one out, or move it to another place"
	if spare := takes - len(s.limbs); spare > 1 {
		do = "leave " + number(spare) + " out, or move them to another place"
	}
	for i := range cause {
		if cause[i].graced() {
			do = fmt.Sprintf("write the %s as a hit, or leave another stroke out", cause[i].kind)
		}
	}
	return fmt.Sprintf("%s %s: %s", number(takes), limbs, strings.Join(names(cause), ", ")), do
}

// struck lists strokes: "snare and china", "the snare twice".
func struck(ts []task) string {
	all := names(ts)
	same := true
	for _, n := range all {
		same = same && n == all[0]
	}
	switch n := len(all); {
	case n == 1:
		return all[0]
	case same:
		return "the " + all[0] + " " + times(n)
	case n > maxListed:
		return number(n) + " strokes"
	}
	return strings.Join(all[:len(all)-1], ", ") + " and " + all[len(all)-1]
}

// names are the voices of tasks, with what makes a stroke take more.
func names(ts []task) []string {
	var all []string
	for i := range ts {
		name := ts[i].voice.String()
		switch {
		case ts[i].graced():
			name += fmt.Sprintf(" (a %s takes two)", ts[i].kind)
		case ts[i].kind == passage.Choke:
			name += " (choke)"
		}
		all = append(all, name)
	}
	return all
}

func times(n int) string {
	if n == 2 {
		return "twice"
	}
	return number(n) + " times"
}

// number writes small numbers as words.
func number(n int) string {
	words := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	if n < len(words) {
		return words[n]
	}
	return strconv.Itoa(n)
}
