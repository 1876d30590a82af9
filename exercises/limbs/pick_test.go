package limbs_test

import (
	"testing"

	"stampmill/exercises/limbs"
	"stampmill/exercises/passage"
)

// Down and up strokes of what guitarists practise: common practice.
func TestPicking(t *testing.T) {
	for _, c := range []struct{ name, tempo, line, want string }{
		{"eighths go down", "160", "guitar | xx xx xx xx |", "guitar | DD DD DD DD |"},
		{"faster ones alternate", "240", "guitar | xx xx xx xx |", "guitar | DU DU DU DU |"},
		{"sixteenths alternate", "120", "guitar | xxxx xxxx xxxx xxxx |", "guitar | DUDU DUDU DUDU DUDU |"},
		{"rests and held notes do not turn the hand", "120", "guitar | x-.x .x.x ..xx xx.. |", "guitar | D-.U .U.U ..DU DU.. |"},
		{"gallop", "160", "guitar | x-xx x-xx x . |", "guitar | D-DU D-DU D . |"},
		{"reverse gallop", "160", "guitar | xxx- xxx- x . |", "guitar | DUD- DUD- D . |"},
		{"triplets with time to return", "120", "guitar | xxx xxx x . |", "guitar | DUD DUD D . |"},
		{"fast triplets go on", "180", "guitar | xxx xxx xxx xxx |", "guitar | DUD UDU DUD UDU |"},
		{"fives go on, and return to the grid after a rest", "100", "guitar | xxxxx xxxxx ..... xx... |", "guitar | DUDUD UDUDU ..... DU... |"},
		{"long cells go down", "100", "guitar | 2:xxx 2:xxx |", "guitar | 2:DDD 2:DDD |"},
		{"brackets", "70", "guitar | x[xx]xx x . . |", "guitar | D[DU]DU D . . |"},
		{"taps and scrapes are not picked", "120", "lead | p(5)p(7)p(12) x s--- xx |", "lead | T(5)T(7)T(12) D S--- DD |"},
		{"chokes are not, harmonics and tremolos are", "120", "bass | x!x. h(5)- t- xx |", "bass | D!D. D(5)- D- DD |"},
	} {
		got := lettered(t, read(t, c.tempo, c.line), limbs.Two)
		if squeezed(got) != squeezed(c.want) {
			t.Errorf("%s, at %s:\n%s\ngot  %swant %s", c.name, c.tempo, c.line, got, c.want)
		}
	}
}

// The picking hand sustains 8 to 10 strokes a second (common practice), and
// plays short bursts faster (our choice).
func TestPickingLimit(t *testing.T) {
	long := "guitar | xxxx xxxx xxxx xxxx |"
	for _, c := range []struct{ name, tempo, line, want string }{
		{"ten a second", "150", long, ""},
		{"more, on and on", "160", long,
			"1.4: the guitar would be picked 13 times within 1125 ms; slow down, leave some out, or write a tremolo"},
		{"twelve strokes as a burst", "200", "guitar | xxxx xxxx xxxx . |", ""},
		{"gallops", "200", "guitar | x-xx x-xx x-xx x-xx |", ""},
		{"too fast for a pair", "220", "guitar | . ..xx . . |",
			"1.2+3/16: the guitar would be picked twice within 68 ms; slow down or leave one out"},
		{"taps are not picked", "200", "lead | pppp pppp pppp pppp |", ""},
		{"a tremolo is one stroke", "200", "guitar | 4:t |", ""},
	} {
		p := read(t, c.tempo, c.line)
		_, clash := limbs.Picks(p, p.Lines[0].Voice)
		got := ""
		if clash != nil {
			got = clash.Error()
		}
		if got != c.want {
			t.Errorf("%s, at %s: %s\ngot  %s\nwant %s", c.name, c.tempo, c.line, got, c.want)
		}
	}
}

func TestPicksOfOtherVoices(t *testing.T) {
	p := read(t, "120", "snare | x x x x |", "sub | o - - - |")
	for _, v := range []passage.Voice{passage.Snare, passage.Sub, passage.Guitar} {
		if picks, clash := limbs.Picks(p, v); picks != nil || clash != nil {
			t.Errorf("%s: picks %v, clash %v; want none", v, picks, clash)
		}
	}
}

// Without groups, as a change may leave a line, strokes alternate where they
// are fast and go down where they are not.
func TestPickingWithoutGroups(t *testing.T) {
	p := read(t, "120", "guitar | x xxxx xx x |")
	p.Lines[0].Groups = nil
	picks, _ := limbs.Picks(p, passage.Guitar)
	var got string
	for _, k := range picks {
		got += k.Motion.Letter()
	}
	if want := "DDUDUDDD"; got != want {
		t.Errorf("picked %s, want %s", got, want)
	}
}
