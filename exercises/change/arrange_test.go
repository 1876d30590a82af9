package change

import (
	"slices"
	"strings"
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

func TestMove(t *testing.T) {
	for _, e := range []effect{
		{"4/4", "kick | x.x. x x xxxx |", "move kick to tom-floor at 1.4", "kick | x.x. x x .... | / tom-floor | . . . xxxx |", "The kick moves to the floor tom on beat 4 of bar 1."},
		{"4/4", "china | x x x x | / snare | . . X . |", "move china to ride", "ride | x x x x | / snare | . . X . |", "The china moves to the ride."},
		{"4/4", "hat | o x o x | / china | x . . . |", "move hat to china at 1.2-1.3", "hat | o . . x | / china | x x x . |", "The hat moves to the china on beats 2 and 3 of bar 1."},
		{"4/4", "guitar | x x o(3)- - | x . . . | / lead | o(12) - - - | - - - - |", "move guitar to lead at 1.3-1.4", "guitar | x x .. . | x . . . | / lead | o(12) - o(3) - | . . . . |", "The guitar moves to the lead on beats 3 and 4 of bar 1."},
		{"7/8 (2+2+3)", "snare | . . x.x | / tom-mid | . x .x. |", "move snare to tom-mid at 1.3", "tom-mid | . x xxx |", "The snare moves to the mid tom on beat 3 of bar 1."},
		{"4/4", "kick | xxx . . . |", "move kick to snare at 1.1+1/12", "snare | .xx . . . | / kick | x.. . . . |", "The kick moves to the snare in the last two thirds of beat 1 of bar 1."},
	} {
		e.check(t)
	}
	refusals(t, []effect{
		{"4/4", "kick | x x x x | / snare | . . X . |", "move kick to snare", "", "the snare has a stroke at 1.3 already; choose a part where it is free"},
		{"4/4", "kick | x x . . |", "move kick to snare at 1.3", "", "the kick has no strokes on beat 3 of bar 1; name another voice or place"},
		{"4/4", "kick | x x x x |", "move snare to kick", "", "the passage has no snare; name one of kick"},
		{"4/4", "kick | x x x x |", "move kick to kick", "", "kick stands there twice; name two different voices"},
		{"4/4", "kick | x x x x |", "move kick to guitar", "", "kick and guitar are different instruments; name two drums or cymbals, or two of guitar, bass and lead"},
		{"4/4", "china | x . ! . |", "move china to snare", "", "the china is choked at 1.3, and the snare cannot be; choose a part without it"},
	})
	for _, u := range []undoing{
		{"4/4", "kick | x.x. x x xxx |", "move kick to tom-floor at 1.4", "move tom-floor to kick at 1.4"},
		{"4/4", "kick | x.x. x x x | / tom-floor | .x.x . . . |", "move kick to tom-floor at 1.1", ""},
		{"4/4", "hat | o x o x |", "move hat to ride at 1.1", ""},
	} {
		u.check(t)
	}
}

// Sixteenths, six to a compound beat; a third for each tom, the rest to the
// floor; the hands leave the other voices, the feet stay.
func TestFillToms(t *testing.T) {
	for _, e := range []effect{
		{"4/4", "china | x x x x | / snare | . . X xx | / kick | x.x. .x . ..x. | / guitar | x . . x |", "fill toms at 1.4", "china | x x x . | / snare | . . X .. | / kick | x.x. .x . ..x. | / tom-high | . . . x... | / tom-mid | . . . .x.. | / tom-floor | . . . ..xx | / guitar | x . . x |", "The toms run down from high to floor in sixteenths on beat 4 of bar 1: the china and snare stay out."},
		{"4/4", "china | x x x ! | / kick | x x x x |", "fill toms at 1.3-1.4", "china | x x . . | / kick | x x x x | / tom-high | . . xx.. .... | / tom-mid | . . ..xx .... | / tom-floor | . . .... xxxx |", "The toms run down from high to floor in sixteenths on beats 3 and 4 of bar 1: the china stays out."},
		{"4/4", "kick | x . . . | x . . . |", "fill toms at 1", "kick | x . . . | x . . . | / tom-high | xxxx x... .... .... | . . . . | / tom-mid | .... .xxx xx.. .... | . . . . | / tom-floor | .... .... ..xx xxxx | . . . . |", "The toms run down from high to floor in sixteenths in bar 1."},
		{"6/8", "ride | xxx xxx | / kick | x x |", "fill toms at 1.2", "ride | xxx ... | / kick | x x | / tom-high | . xx.... | / tom-mid | . ..xx.. | / tom-floor | . ....xx |", "The toms run down from high to floor in sixteenths on beat 2 of bar 1: the ride stays out."},
		{"7/8 (2+2+3)", "china | x x x | / tom-floor | x . x.x |", "fill toms at 1.3", "china | x x . | / tom-high | . . xx.... | / tom-mid | . . ..xx.. | / tom-floor | x . ....xx |", "The toms run down from high to floor in sixteenths on beat 3 of bar 1: the china stays out."},
		{"5/4", "kick | x x x x x |", "fill toms at 1.5+1/16", "kick | x x x x x | / tom-high | . . . . .x.. | / tom-mid | . . . . .x | / tom-floor | . . . . ...x |", "The toms run down from high to floor in sixteenths in the last three quarters of beat 5 of bar 1."},
		{"4/4", "snare | . xxx . xxx |", "fill toms at 1.2 1.4", "snare | . ... . ... | / tom-high | . x... . x... | / tom-mid | . .x.. . .x.. | / tom-floor | . ..xx . ..xx |", "The toms run down from high to floor in sixteenths on beat 2 of bar 1 and on beat 4 of bar 1: the snare stays out."},
		{"4/4", "crash-left | X - - - | X . . . |", "fill toms at 1.4", "crash-left | X - - - | X . . . | / tom-high | . . . x... | . . . . | / tom-mid | . . . .x.. | . . . . | / tom-floor | . . . ..xx | . . . . |", "The toms run down from high to floor in sixteenths on beat 4 of bar 1."},
	} {
		e.check(t)
	}
	refusals(t, []effect{
		{"4/4", "kick | x x x x |", "fill toms at 1.4+1/8", "", "an eighth from 1.4+1/8 is too short for a run over the toms; choose a longer part"},
		{"4/4", "kick | x x x x |", "fill toms at 2", "", "there is no bar 2; choose bar 1"},
		{"4/4", "tom-high | x... . . . | / tom-mid | .x.. . . . | / tom-floor | ..xx . . . |", "fill toms at 1.1", "", "nothing would change; choose another, or another place"},
	})
}

func TestSub(t *testing.T) {
	for _, e := range []effect{
		{"4/4", "kick | x . . . | x . . . |", "sub at 2.1", "kick | x . . . | x . . . | / sub | . . . . | o - - - |", "The sub drops on beat 1 of bar 2 and sounds to the end of the bar."},
		{"4/4", "kick | x . . . | x . . . |", "sub at 1.3+1/8 for 3/4", "kick | x . . . | x . . . | / sub | . . .o - | - -. . . |", "The sub drops an eighth after beat 3 of bar 1 and sounds for a dotted half note."},
		{"4/4", "sub | o - - - | x . . x |", "sub at 1.3 for 3/4", "sub | o - o - | - . . x |", "The sub drops on beat 3 of bar 1 and sounds for a dotted half note."},
		{"7/8 (2+2+3)", "guitar | x x x.. | / sub | . . . |", "sub at 1.3", "guitar | x x x.. | / sub | . . o |", "The sub drops on beat 3 of bar 1 and sounds to the end of the bar."},
		{"4/4", "kick | x . . . | x . . . |", "sub at 1.1 2.1 for 1/2", "kick | x . . . | x . . . | / sub | o - . . | o - . . |", "The sub drops on beat 1 of bars 1 and 2 and sounds for a half note."},
		{"4/4", "kick | x . . . | / click | x x x x |", "sub at 1.4", "kick | x . . . | / sub | . . . o | / click | x x x x |", "The sub drops on beat 4 of bar 1 and sounds to the end of the bar."},
	} {
		e.check(t)
	}
	refusals(t, []effect{
		{"4/4", "kick | x . . . |", "sub at 1.4 for 1/2", "", "the passage ends a quarter after 1.4; write at most 1/4"},
		{"4/4", "sub | o - - - |", "sub at 1.1", "", "nothing would change; choose another, or another place"},
		{"6/8", "kick | x . |", "sub at 1.3", "", "bar 1, in 6/8, has no beat 3; choose beats 1 to 2"},
	})
	for _, u := range []undoing{
		{"4/4", "kick | x . . . | x . . . |", "sub at 1.1 2.1 for 1/2", "drop sub at 1.1 2.1"},
		{"4/4", "sub | o - - - |", "sub at 1.3", ""},
	} {
		u.check(t)
	}
}

func TestLead(t *testing.T) {
	for _, e := range []effect{
		{"4/4", "guitar | x x x x | x x x x |", "lead at 2 as held", "guitar | x x x x | x x x x | / lead | . . . . | o(7) - - - |", "The lead holds a long note in bar 2."},
		{"4/4", "guitar | x x x x | x x x x |", "lead as held", "guitar | x x x x | x x x x | / lead | o(7) - - - | o(8) - - - |", "The lead holds long notes."},
		{"4/4", "guitar | x x x x |", "lead at 1.2-1.4 as tremolo", "guitar | x x x x | / lead | . t(12) t(13) - |", "The lead plays tremolo on beats 2 to 4 of bar 1."},
		{"4/4", "guitar | x x x x |", "lead at 1.3-1.4 as tapped", "guitar | x x x x | / lead | . . p(15)p(12)p(7) p(13)p(8)p(5) |", "The lead taps falling triplets on beats 3 and 4 of bar 1."},
		{"6/8", "guitar | xxx xxx |", "lead as tapped", "guitar | xxx xxx | / lead | p(15)p(12)p(7)p(13)p(8)p(5) p(15)p(12)p(8)p(12)p(7)p(3) |", "The lead taps falling threes."},
		{"7/8 (2+2+3)", "guitar | x x x | x x x |", "lead at 1 as tremolo", "guitar | x x x | x x x | / lead | t(12) - t(13) | . . . |", "The lead plays tremolo in bar 1."},
		{"4/4", "lead | o(7) - - - | o(8) - - - |", "lead at 1.3+1/8 as tapped", "lead | o(7) - ---.p(15)- . | o(8) - - - |", "The lead taps falling triplets in the second half of beat 3 of bar 1."},
		{"4/4", "lead | o(7) - - - | - - - x |", "lead at 1.3-1.4 as tremolo", "lead | o(7) - t(12) - | . . . x |", "The lead plays tremolo on beats 3 and 4 of bar 1."},
	} {
		e.check(t)
	}
	for _, u := range []undoing{
		{"4/4", "guitar | x x x x | / lead | . . . . |", "lead at 1.3-1.4 as tapped", "drop lead at 1.3 1.3+1/12 1.3+1/6 1.4 1.4+1/12 1.4+1/6"},
		{"4/4", "guitar | x x x x | / lead | x . x . |", "lead at 1.3-1.4 as tapped", ""},
		{"4/4", "kick |" + strings.Repeat(" x . . . |", 20), "lead as tremolo", ""},
	} {
		u.check(t)
	}
	refusals(t, []effect{
		{"4/4", "guitar | x x x x |", "lead at 3 as held", "", "there is no bar 3; choose bar 1"},
		{"4/4", "lead | o(7) - - - |", "lead as held", "", "nothing would change; choose another, or another place"},
	})
}

// The scale of the lead lines: minor with a flat second, which is common
// practice in the style, over the lowest string.
func TestLeadLinesAreInTheirScale(t *testing.T) {
	scale := []uint8{0, 1, 3, 5, 7, 8, 10}
	for name, line := range map[string][]uint8{"tapped": leadTapped, "tremolo": leadTremolo, "held": leadHeld} {
		for _, fret := range line {
			if !slices.Contains(scale, fret%12) || fret > passage.MaxFret {
				t.Errorf("%s: fret %d is not in the scale", name, fret)
			}
		}
	}
	for i := 0; i < len(leadTapped); i += 3 {
		if three := leadTapped[i : i+3]; three[0] <= three[1] || three[1] <= three[2] {
			t.Errorf("%v does not fall", three)
		}
	}
}

// Every number of cells is shared out whole, a third each and the rest to the
// floor tom.
func TestShare(t *testing.T) {
	for n := len(toms); n < 40; n++ {
		cells := make([]meter.Rat, n)
		high, mid, floor := len(share(cells, 0)), len(share(cells, 1)), len(share(cells, 2))
		if high != n/3 || mid != n/3 || high+mid+floor != n {
			t.Errorf("%d cells: %d, %d and %d", n, high, mid, floor)
		}
	}
}
