package change

import (
	"strings"
	"testing"
)

// refusals checks that changes of some lines of text are refused in words.
func refusals(t *testing.T, cases []effect) {
	t.Helper()
	for _, e := range cases {
		c, err := Parse(e.change)
		if err != nil {
			t.Errorf("%s: %v", e.change, err)
			continue
		}
		if _, err = c.Apply(read(t, e.metre, e.before)); err == nil || err.Error() != e.sentence {
			t.Errorf("%s\n of   %s\n is   %v\n want %s", e.change, e.before, err, e.sentence)
		}
	}
}

// An undoing is one line of a table: what undoes a change of some lines, ""
// where nothing does.
type undoing struct{ metre, before, change, back string }

func (u undoing) check(t *testing.T) {
	t.Helper()
	c, err := Parse(u.change)
	if err != nil {
		t.Errorf("%s: %v", u.change, err)
		return
	}
	p := read(t, u.metre, u.before)
	if _, err := c.Apply(p); err != nil {
		t.Errorf("%s of %s: %v", u.change, u.before, err)
	}
	if back, _ := c.Inverse(p); back.String() != u.back {
		t.Errorf("%s of %s is undone by %q, want %q", u.change, u.before, back, u.back)
	}
}

func TestSnare(t *testing.T) {
	for _, e := range []effect{
		// The accent leaves the beat for the place half-way to the next: in a
		// compound beat that is a dotted eighth, as a duplet has it.
		{"4/4", "snare | . . X . |", "offbeat snare at 1.3", "snare | . . .X . |", "The snare moves half a beat later on beat 3 of bar 1."},
		{"4/4", "snare | . . xg.g . |", "offbeat snare at 1.3", "snare | . . .gXg . |", "The snare moves half a beat later on beat 3 of bar 1 and is accented."},
		{"4/4", "snare | . x . x | . x . x |", "offbeat snare at 1.2 2.4", "snare | . .X . x | . x . .X |", "The snare moves half a beat later on beat 2 of bar 1 and on beat 4 of bar 2 and is accented."},
		{"4/4", "snare | . . . . |", "offbeat snare at 1.4", "snare | . . . .X |", "The snare adds an accent an eighth after beat 4 of bar 1."},
		{"4/4", "snare | . . xxx . |", "offbeat snare at 1.3+1/12", "snare | . . x...xX . |", "The snare moves half a beat later a triplet eighth after beat 3 of bar 1 and is accented."},
		{"6/8", "snare | . X | . X |", "offbeat snare at 1.2", "snare | . .X | . X |", "The snare moves half a beat later on beat 2 of bar 1."},
		{"7/8 (2+2+3)", "snare | . . X.. |", "offbeat snare at 1.3", "snare | . . .X |", "The snare moves half a beat later on beat 3 of bar 1."},
		{"4/4", "snare | . . X x |", "offbeat snare at 1.3 1.4", "snare | . . .X .X |", "The snare moves half a beat later on beats 3 and 4 of bar 1 and is accented."},

		// The strokes move and keep their kind; a drum makes room for the next.
		{"4/4", "snare | . . X . |", "shift snare at 1.3 by 1/8", "snare | . . .X . |", "The snare moves an eighth later on beat 3 of bar 1."},
		{"4/4", "snare | . . X x |", "shift snare at 1.3 by 1/16", "snare | . . .X.. x |", "The snare moves a sixteenth later on beat 3 of bar 1."},
		{"4/4", "snare | . . X . | . . X . |", "shift snare at 2.3 by -1/8", "snare | . . X . | . .X . . |", "The snare moves an eighth sooner on beat 3 of bar 2."},
		{"4/4", "snare | . . . X | . . X . |", "shift snare at 1.4 by 1/4", "snare | . . . . | X . X . |", "The snare moves a quarter later on beat 4 of bar 1, into bar 2."},
		{"4/4", "kick | x . x x.xx |", "shift kick by 1/16 at 1.1-1.3", "kick | .x.. . .x.. x.xx |", "The kick moves a sixteenth later on beats 1 to 3 of bar 1."},
		{"4/4", "guitar | . o- - x | x . . . |", "shift guitar at 1.2 by 1/8", "guitar | . .o - x | x . . . |", "The guitar moves an eighth later on beat 2 of bar 1."},
		{"4/4", "kick | xxx . . . |", "shift kick at 1.1 by 1/12", "kick | .xx x . . |", "The kick moves a triplet eighth later on beat 1 of bar 1."},
		{"5/4", "snare | . . . . X |", "shift snare by -1/24", "snare | . . . .....X . |", "The snare moves a triplet sixteenth sooner."},
		{"7/8 (2+2+3)", "snare | . . X.. | . . X.. |", "shift snare at 2.3 by 1/8", "snare | . . X.. | . . .X. |", "The snare moves an eighth later on beat 3 of bar 2."},
		{"4/4", "kick | x . . x | / snare | . . X . |", "shift kick snare at 1.3-1.4 by -1/16", "kick | x . ...x . | / snare | . ...X . . |", "Kick and snare move a sixteenth sooner on beats 3 and 4 of bar 1."},

		{"4/4", "kick | x . x. . | / snare | . . .x X |", "swap kick snare at 1.3-1.4", "kick | x . .x X | / snare | . . x. . |", "Kick and snare change places on beats 3 and 4 of bar 1."},
		{"4/4", "hat | o x o x | / snare | . X . X |", "swap hat snare at 1.1-1.2", "hat | . X o x | / snare | x x . X |", "Hat and snare change places on beats 1 and 2 of bar 1."},
		{"4/4", "snare | . X . f |", "swap snare tom-floor at 1.4", "snare | . X . . | / tom-floor | . . . f |", "Snare and floor tom change places on beat 4 of bar 1."},
		{"4/4", "guitar | x o(3) - - | / bass | x . x . |", "swap guitar bass at 1.2", "guitar | x . . . | / bass | x o(3) x . |", "Guitar and bass change places on beat 2 of bar 1."},
	} {
		e.check(t)
	}
}

func TestSnareRefuses(t *testing.T) {
	refusals(t, []effect{
		{"4/4", "kick | x x x x |", "offbeat snare at 1.3", "", "the passage has no snare; name one of kick"},
		{"4/4", "snare | . . .X . |", "offbeat snare at 1.3", "", "the snare has its accent at 1.3+1/8 already; name another place"},
		{"4/4", "snare | . . . .X |", "offbeat snare at 1.4+1/8", "", "the passage ends before half a beat after 1.4+1/8; name an earlier place"},
		{"4/4", "snare | . . X X |", "shift snare at 1.3 by 1/4", "", "the snare has a stroke at 1.4 already; move it elsewhere, or drop the other one first"},
		{"4/4", "snare | . . . X |", "shift snare at 1.4 by 1/4", "", "a stroke of the snare would leave the passage; move it less far"},
		{"4/4", "snare | X . . . |", "shift snare by -1/16", "", "a stroke of the snare would leave the passage; move it less far"},
		{"4/4", "guitar | o - - x |", "shift guitar at 1.4 by -1/8", "", "the guitar still holds a stroke at 1.3+1/8; move it elsewhere"},
		{"4/4", "snare | X . . . |", "shift snare at 1.3 by 1/8", "", "the snare has no strokes on beat 3 of bar 1; name another voice or place"},
		{"4/4", "snare | X . . . | / guitar | x . . . |", "swap snare guitar", "", "snare and guitar are different instruments; name two drums or cymbals, or two of guitar, bass and lead"},
		{"4/4", "hat | o ! . . | / snare | . . X . |", "swap hat snare", "", "the hat is choked at 1.2, and the snare cannot be; choose a part without it"},
		{"4/4", "kick | x . . . | / snare | x . . . |", "swap kick snare", "", "nothing would change; choose another, or another place"},
		{"4/4", "kick | x . . . |", "swap sub click", "", "sub and click are different instruments; name two drums or cymbals, or two of guitar, bass and lead"},
	})
}

func TestSnareUndone(t *testing.T) {
	for _, u := range []undoing{
		{"4/4", "snare | . . X . |", "offbeat snare at 1.3", "shift snare at 1.3+1/8 by -1/8"},
		{"4/4", "snare | . . x . |", "offbeat snare at 1.3", ""},
		{"4/4", "snare | . . . . |", "offbeat snare at 1.3", "drop snare at 1.3+1/8"},
		{"4/4", "snare | . . X . |", "shift snare at 1.3 by 1/8", "shift snare at 1.3+1/8 by -1/8"},
		{"4/4", "snare | . . X . |", "shift snare by 1/8", "shift snare by -1/8"},
		{"4/4", "snare | . . X x | . . x . |", "shift snare at 1.4 by 1/4", "shift snare at 2.1 by -1/4"},
		{"4/4", "kick | x . x. . | / snare | . . .x X |", "swap kick snare at 1.3-1.4", "swap kick snare at 1.3-1.4"},
	} {
		u.check(t)
	}
}

// Half a beat of every beat of the metres of the style (common practice: an
// eighth in a quarter, a dotted eighth in a dotted quarter).
func TestHalfBeat(t *testing.T) {
	for metre, want := range map[string]string{"4/4": "1/2 1/2 1/2 1/2", "6/8": "3/4 3/4", "7/8 (2+2+3)": "1/2 1/2 3/4", "2/2": "1 1"} {
		p := read(t, metre, "snare | "+strings.Repeat(". ", len(strings.Fields(want)))+"|")
		var got []string
		for _, b := range p.Beats() {
			got = append(got, halfBeat(p, b.At).String())
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%s: %s, want %s", metre, s, want)
		}
	}
}
