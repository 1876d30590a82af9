package change

import (
	"strings"
	"testing"

	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// read returns the passage of voice lines, joined by /, in a metre, at 100.
func read(t testing.TB, metre, lines string) passage.Passage {
	t.Helper()
	text := "title: T\ntempo: 100\nmetre: " + metre + "\nstep: S\n" + strings.ReplaceAll(lines, " / ", "\n")
	climb, ps := drill.Parse("t.drill", []byte(text), nil)
	if err := ps.Err(); err != nil {
		t.Fatal(err)
	}
	return climb.Steps[0].Passage
}

// text returns the voice lines of a passage, joined by /.
func text(t testing.TB, p passage.Passage) string {
	t.Helper()
	c := passage.Climb{Title: "T", Tempo: []meter.Tempo{p.Bars[0].Tempo}, Metre: []meter.Metre{p.Bars[0].Metre}, Tuning: p.Tuning, Machine: p.Machine}
	s := passage.Step{Title: "S", Written: p.Lines, Passage: p}
	for _, b := range p.Bars {
		s.Tempo, s.Metre = append(s.Tempo, b.Tempo), append(s.Metre, b.Metre)
	}
	c.Steps = []passage.Step{s}
	src, err := drill.Print(c)
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for _, line := range strings.Split(string(src), "\n") {
		if name, rest, ok := strings.Cut(line, "|"); ok && !strings.Contains(name, ":") {
			lines = append(lines, strings.Join(strings.Fields(name+"|"+rest), " "))
		}
	}
	return strings.Join(lines, " / ")
}

// An effect is one line of the table: a change of some lines of text.
type effect struct{ metre, before, change, after, sentence string }

// check makes the change of the line, and compares text and sentence.
func (e effect) check(t *testing.T) {
	t.Helper()
	p := read(t, e.metre, e.before)
	c, err := Parse(e.change)
	if err != nil {
		t.Errorf("%s: %v", e.change, err)
		return
	}
	after, err := c.Apply(p)
	if err != nil {
		t.Errorf("%s: %v", e.change, err)
		return
	}
	if got := text(t, after); got != e.after {
		t.Errorf("%s\n of   %s\n is   %s\n want %s", e.change, e.before, got, e.after)
	}
	if got := c.Sentence(p); got != e.sentence {
		t.Errorf("%s says %q, want %q", e.change, got, e.sentence)
	}
}

func TestEffects(t *testing.T) {
	for _, e := range []effect{
		{"4/4", "china | x x x x | x x x x |", "half-time china at 2", "china | x x x x | x . x . |", "The china plays in half time in bar 2."},
		{"4/4", "guitar | x.x. o--- x o- |", "half-time guitar", "guitar | x-.. x-.. o -- |", "The guitar plays in half time."},
		{"4/4", "hat | x . x . | x x x x |", "double-time hat at 1", "hat | x x x x | x x x x |", "The hat plays in double time in bar 1: its part there comes twice."},
		{"4/4", "china | x x x x | x x x x |", "dotted china", "china | x .x . x | .x . x .x |", "The china strokes stand one and a half times as far apart."},
		{"4/4", "china | x x x x |", "displace china by 1/16", "china | .x.. .x.. .x.. .x.. |", "The china is pushed a sixteenth later."},
		{"4/4", "china | x x x x |", "displace china by -1/8", "china | .x .x .x . |", "The china is pushed an eighth sooner."},
		{"4/4", "kick | x.x. .x . ..x. | x . . x |", "displace kick by 1/4 at 1.1-1.2", "kick | .... xx . ..x. | x . . x |", "The kick is pushed a quarter later on beats 1 and 2 of bar 1."},

		{"4/4", "kick | x.x. .x . ..x. | / guitar | o--- x x x |", "lock guitar to kick", "kick | x.x. .x . ..x. | / guitar | o-x. .x . .x |", "The guitar strikes exactly with the kick."},
		{"4/4", "kick | x.xx . x . |", "lock guitar to kick at 1.1-1.2", "kick | x.xx . x . | / guitar | x.xx . . . |", "The guitar strikes exactly with the kick on beats 1 and 2 of bar 1."},
		{"4/4", "kick | x . x . | / guitar | o - - - |", "add kick guitar at 1.2+1/8", "kick | x .x x . | / guitar | o -x . . |", "Kick and guitar add a stroke an eighth after beat 2 of bar 1."},
		{"4/4", "snare | . . X . |", "add kick at 1.1 1.4", "snare | . . X . | / kick | x . . x |", "The kick adds strokes on beats 1 and 4 of bar 1."},
		{"4/4", "kick | x . X . | x . . . |", "fill kick by 1/8 at 1", "kick | xx xx Xx xx | x . . . |", "The kick fills the gaps with eighths in bar 1."},
		{"7/8 (2+2+3)", "kick | x . x.. | x . x.. |", "fill kick by 1/4", "kick | x x x.x | x x x.x |", "The kick fills the gaps with quarters."},
		{"4/4", "kick | x.xx .xxx x.x. xxxx |", "thin kick to 1/8", "kick | x.x. ..x. x.x. x.x. |", "The kick keeps only the eighths."},
		{"4/4", "kick | x x x x | x x x x |", "drop kick at 1.4 2.2", "kick | x x x . | x . x x |", "The kick leaves out its strokes on beat 4 of bar 1 and on beat 2 of bar 2."},

		{"4/4", "kick | x . . ..x. | / guitar | o - - ..h. |", "retime guitar kick at 1.4 as 3", "kick | x . . xxx | / guitar | o - - hxx |", "Guitar and kick play three even strokes on beat 4 of bar 1."},
		{"4/4", "kick | x x x.x. x.x. |", "retime kick at 1.3-1.4 as 3", "kick | x x 2:xxx |", "The kick plays three even strokes on beats 3 and 4 of bar 1."},
		{"4/4", "kick | x x x xx |", "retime kick at 1.4+1/8 as 3", "kick | x x x x[xxx] |", "The kick plays three even strokes in the second half of beat 4 of bar 1."},
		{"4/4", "guitar | xxx xxxxx o-- x |", "even guitar", "guitar | xx-x x-xx-xx- o-- x |", "The guitar plays straight."},
		{"6/8", "kick | xxxxx xx |", "even kick", "kick | xxx.xx xx |", "The kick plays straight."},
		{"4/4", "kick | xx xx .x x. |", "swing kick at 1.2-1.3", "kick | xx x.x ..x x. |", "The kick swings on beats 2 and 3 of bar 1: the second stroke of each pair comes late, as in a triplet."},
		{"4/4", "hat | xxxx .x.x xx xxx |", "swing hat", "hat | x.xx.x ..x..x x.x xxx |", "The hat swings: the second stroke of each pair comes late, as in a triplet."},
		{"6/8", "kick | xx..x. x.x |", "swing kick", "kick | x.x...x.. x.x |", "The kick swings: the second stroke of each pair comes late, as in a triplet."},
		{"4/4", "kick | x x x x | x x x x |", "squeeze kick at 2 by 2", "kick | x x x x | xx xx . . |", "The kick plays bar 2 in half the time: the rest is left empty."},
		{"4/4", "guitar | x x x x | o o o o |", "stretch guitar at 2 by 3/2", "guitar | x x x x | o -o - o |", "The guitar strokes in bar 2 stand one and a half times as far apart."},

		{"4/4", "kick | . . . . |", "group kick in 3 3 2", "kick | X..X .X X..X .X |", "The kick marks groups of 3, 3 and 2 sixteenths."},
		{"4/4", "kick | . . . . | . . . . |", "group kick in 3 filled", "kick | Xx.X x.Xx .Xx. Xx.X | x.Xx .Xx. Xx.X x.Xx |", "The kick marks groups of 3 sixteenths with hits between."},
		{"4/4", "kick | . . . . |", "group kick in 2 3 of 1/8 at 1.2-1.4", "kick | . X X .X |", "The kick marks groups of 2 and 3 eighths on beats 2 to 4 of bar 1."},
		{"4/4", "kick | x . x .x |", "rotate kick by 1/8", "kick | xx . .x .. |", "The kick rotates an eighth later."},
		{"4/4", "kick | x . x .x | x x x x |", "rotate kick by -1/4 at 1", "kick | . x .x x. | x x x x |", "The kick rotates a quarter sooner in bar 1."},
		{"4/4", "kick | x... .x xxx . | / guitar | x. .o -- x |", "reverse kick guitar at 1.1-1.2", "kick | x. ...x xxx . | / guitar | o. ...x .. x |", "Kick and guitar play backwards on beats 1 and 2 of bar 1."},
		{"4/4", "kick | x.x. .x . ..x. | / guitar | o - x . |", "reverse kick guitar", "kick | .x.. . x. .x.x | / guitar | . x . ...o |", "Kick and guitar play backwards."},
	} {
		e.check(t)
	}
}

// What a change loses, nothing brings back; where it loses nothing, an inverse
// is found that one would not think of first.
func TestInverseOfWhatIsLost(t *testing.T) {
	for _, c := range []struct{ lines, change, back string }{
		{"china | x x . . | . . . . |", "half-time china", "squeeze china at 1-2 by 2"},
		{"china | x x x . | x . . . |", "half-time china", ""},
		{"china | x x x x | x x x x |", "dotted china at 2", ""},
		{"china | x x x x |", "displace china by 1/4", ""}, // the last stroke is lost
		{"kick | x . X . |", "drop kick at 1.3", ""},       // the accent is lost
		{"kick | x x . x |", "retime kick at 1.1-1.2 as 3", "retime kick at 1.1-1.2 as 2"},
		{"guitar | o - x b(3) |", "rotate guitar by -1/2", "rotate guitar by 1/2"},
		{"guitar | x - o - |", "rotate guitar by 1/4", ""}, // the sound over the end is cut
		{"kick | x.xx .x . ..x. | / guitar | o.oo .o x . |", "reverse kick guitar at 1.1-1.2", "reverse kick guitar at 1.1-1.2"},
		{"kick | x.x. .x . ..x. | / guitar | o - x . |", "reverse kick guitar", ""}, // the guitar is held less long
		{"guitar | o - x . |", "reverse guitar", "reverse guitar"},
		{"kick | x . x . |", "group kick in 3 3 2", ""},
		{"kick | x . x . | / guitar | o - - x |", "lock guitar to kick", ""},
	} {
		change, err := Parse(c.change)
		if err != nil {
			t.Fatal(err)
		}
		if back, ok := change.Inverse(read(t, "4/4", c.lines)); ok != (c.back != "") || back.String() != c.back {
			t.Errorf("%s of %s is undone by %q, want %q", c.change, c.lines, back, c.back)
		}
	}
}
