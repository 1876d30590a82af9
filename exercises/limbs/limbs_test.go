package limbs_test

import (
	"strings"
	"testing"

	"stampmill/exercises/limbs"
)

// Who plays what in parts that every drummer knows: all common practice.
func TestSticking(t *testing.T) {
	for _, c := range []struct {
		name, tempo string
		pedals      limbs.Pedals
		lines, want string
	}{
		{"single stroke roll", "120", limbs.Two,
			"snare | xxxx xxxx xxxx xxxx |",
			"snare | RLRL RLRL RLRL RLRL |"},
		{"triplets go hand to hand", "150", limbs.Two,
			"snare | xxx xxx xxx xxx |",
			"snare | RLR LRL RLR LRL |"},
		{"a run that begins after the beat keeps the leading hand on the beat", "120", limbs.Two,
			"snare | .xxx x . . |",
			"snare | .LRL R . . |"},
		{"the leading hand keeps time, the other one plays the backbeat", "120", limbs.Two,
			"hat | xx xx xx xx |\nsnare | . X . X |\nkick | x . x . |",
			"hat | RR RR RR RR |\nsnare | . L . L |\nkick | R . R . |"},
		{"sixteenths on the hat with one hand while that is easy", "96", limbs.Two,
			"hat | xxxx xxxx xxxx xxxx |",
			"hat | RRRR RRRR RRRR RRRR |"},
		{"and with both where it is not", "150", limbs.Two,
			"hat | xxxx xxxx xxxx xxxx |",
			"hat | RLRL RLRL RLRL RLRL |"},
		{"china and crash left at once", "120", limbs.Two,
			"china | x . . . |\ncrash-left | x . . . |",
			"china | R . . . |\ncrash-left | L . . . |"},
		{"a flam: the letter is of the main stroke", "120", limbs.Two,
			"snare | f . . . |",
			"snare | R . . . |"},
		{"blast: hands together, feet in turns", "240", limbs.Two,
			"ride | xx xx xx xx |\nsnare | xx xx xx xx |\nkick | xxxx xxxx xxxx xxxx |",
			"ride | RR RR RR RR |\nsnare | LL LL LL LL |\nkick | RLRL RLRL RLRL RLRL |"},
		{"blast: hands in turns, one foot with the cymbal", "240", limbs.One,
			"ride | x. x. x. x. |\nsnare | .x .x .x .x |\nkick | x. x. x. x. |",
			"ride | R. R. R. R. |\nsnare | .L .L .L .L |\nkick | R. R. R. R. |"},
		{"slow kicks are the leading foot's", "120", limbs.Two,
			"kick | xx xx xx xx |",
			"kick | RR RR RR RR |"},
		{"a pair of kicks leads into the beat", "160", limbs.Two,
			"kick | x..x x..x x . |",
			"kick | R..L R..L R . |"},
		{"gallop", "160", limbs.Two,
			"kick | x.xx x.xx x.xx x.xx |",
			"kick | R.RL R.RL R.RL R.RL |"},
		{"the hand that struck a cymbal grabs it", "120", limbs.Two,
			"china | x ! . . |\nsnare | . x . . |",
			"china | R R . . |\nsnare | . L . . |"},
		{"the left foot closes the hat", "120", limbs.Two,
			"hat | o ! . . |\nkick | x x . . |",
			"hat | R L . . |\nkick | R R . . |"},
		{"around the toms hand to hand", "180", limbs.Two,
			"tom-high | xxxx .... .... .... |\ntom-mid | .... xxxx .... .... |\ntom-floor | .... .... xxxx .... |",
			"tom-high  | RLRL .... .... .... |\ntom-mid   | .... RLRL .... .... |\ntom-floor | .... .... RLRL .... |"},
	} {
		got := lettered(t, read(t, c.tempo, strings.Split(c.lines, "\n")...), c.pedals)
		if squeezed(got) != squeezed(c.want) {
			t.Errorf("%s, at %s:\n%s\ngot\n%swant\n%s", c.name, c.tempo, c.lines, got, c.want)
		}
	}
}

func squeezed(s string) string { return strings.Join(strings.Fields(s), " ") }

// What people cannot play, where, and what is said of it. The tempi and parts
// are common practice, the words ours.
func TestClash(t *testing.T) {
	for _, c := range []struct {
		name, tempo string
		pedals      limbs.Pedals
		lines, want string // "" where it can be played
	}{
		{"three cymbals and drums at once", "100", limbs.Two, "china | x . x . |\ncrash-left | . . x . |\nsnare | . . x . |",
			"1.3: three hands: china, crash-left, snare; leave one out, or move it to another place"},
		{"four", "100", limbs.Two, "china | . . x . |\ncrash-left | . . x . |\nhat | . . x . |\nsnare | . . x . |",
			"1.3: four hands: china, crash-left, hat, snare; leave two out, or move them to another place"},
		{"a flam takes both hands", "100", limbs.Two, "china | x x x x |\nsnare | . . . f |",
			"1.4: three hands: china, snare (a flam takes two); write the flam as a hit, or leave another stroke out"},
		{"so does a drag", "100", limbs.Two, "hat | x x x x |\ntom-high | . d . . |",
			"1.2: three hands: hat, tom-high (a drag takes two); write the drag as a hit, or leave another stroke out"},
		{"a choke needs a hand", "100", limbs.Two, "china | x ! . . |\nsnare | . x . . |\ncrash-left | . x . . |",
			"1.2: three hands: china (choke), crash-left, snare; leave one out, or move it to another place"},
		{"a choke of the hat does not", "100", limbs.Two, "hat | o ! . . |\nsnare | . x . . |\nchina | . x . . |", ""},
		{"sixteenths on one pedal", "220", limbs.One, "kick | xxxx xxxx xxxx xxxx |",
			"1.1+1/16: the right foot would strike the kick twice within 68 ms; use a second pedal, slow down, or leave one out"},
		{"on two", "220", limbs.Two, "kick | xxxx xxxx xxxx xxxx |", ""},
		{"eighths on one pedal", "220", limbs.One, "kick | xx xx xx xx |", ""},
		{"two quick kicks with one foot", "200", limbs.One, "kick | x..x x..x x..x x |", ""},
		{"three quick kicks with one foot", "200", limbs.One, "kick | xxx. . . . |",
			"1.1+1/8: the right foot would strike the kick three times within 150 ms; use a second pedal, slow down, or leave one out"},
		{"too quick", "230", limbs.One, "kick | x..x x . . |",
			"1.2: the right foot would strike the kick twice within 65 ms; use a second pedal, slow down, or leave one out"},
		{"thirty-seconds with two feet", "160", limbs.Two, "kick | xxxxxxxx . . . |",
			"1.1+1/8: two feet would strike the kick five times within 188 ms; slow down or leave one out"},
		{"a flam of the kick on one pedal", "100", limbs.One, "kick | . f . . |",
			"1.2: kick (a flam takes two) needs two feet; use a second pedal, or write a hit"},
		{"on two", "100", limbs.Two, "kick | . f . . |", ""},
		{"kick and the pedal of the hat", "120", limbs.Two, "hat | o . !. . |\nkick | . . xxxx xxxx |", ""},
		{"kicks of both feet under the closing hat", "160", limbs.Two, "hat | o .!.. . . |\nkick | xxxxxx xxxxxx x . |",
			"1.2+1/16: two feet would strike kick, kick and hat (choke) within 94 ms; slow down or leave one out"},
		{"thirty-seconds with two hands", "140", limbs.Two, "snare | xxxxxxxx x . . |", ""},
		{"too fast", "200", limbs.Two, "snare | xxxxxxxx x . . |",
			"1.1+1/8: two hands would strike the snare five times within 150 ms; slow down or leave one out"},
		{"one hand from the snare to the china while the other keeps the hat", "150", limbs.Two, "hat | xx xx xx xx |\nsnare | .x . . . |\nchina | . x . . |",
			""},
		{"a fill down the toms, one each", "170", limbs.Two, "snare | . . . x... |\ntom-high | . . . .x.. |\ntom-mid | . . . ..x. |\ntom-floor | . . . ...x |", ""},
		{"out of a run on the floor tom to china and snare", "130", limbs.Two, "china | . x . . |\nsnare | . X . . |\ntom-floor | xxxx . . . |", ""},
		{"faster than arms", "290", limbs.Two, "snare | . . . x... |\ntom-high | . . . .x.. |\ntom-mid | . . . ..x. |\ntom-floor | . . . ...x |",
			"1.4+1/8: two hands would strike snare, tom-high and tom-mid within 103 ms; slow down, leave one out, or move one to a nearer drum"},
	} {
		_, clash := limbs.Play(read(t, c.tempo, strings.Split(c.lines, "\n")...), c.pedals)
		got := ""
		if clash != nil {
			got = clash.Error()
		}
		if got != c.want {
			t.Errorf("%s, at %s:\n%s\ngot  %s\nwant %s", c.name, c.tempo, c.lines, got, c.want)
		}
	}
}
