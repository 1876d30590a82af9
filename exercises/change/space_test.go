package change

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// barsOf says the bars of a passage: "4/4 at 120, 3/4 at 1/4=120".
func barsOf(p passage.Passage) string {
	var all []string
	for _, b := range p.Bars {
		all = append(all, fmt.Sprintf("%s at %s", b.Metre, b.Tempo))
	}
	return strings.Join(all, ", ")
}

func TestStop(t *testing.T) {
	for _, e := range []effect{
		// Cymbals that ring are choked exactly where the stop begins; strings are cut there.
		{"4/4", "china | x x x x | / snare | . . X . | / kick | x.xx .x.x .x.. x.x. | / guitar | x.xx .x.x .x.. o--- |", "stop at 1.4 for 1/4", "china | x x x ! | / snare | . . X . | / kick | x.xx .x.x .x.. .... | / guitar | x.xx .x.x .x.. .... |", "On beat 4 of bar 1 everything stops for a quarter: the china is choked."},
		{"4/4", "crash-left | X . . . | . . . . | / guitar | o - - - | - - x x |", "stop at 1.4+1/8 for 1/4", "crash-left | X . . .! | . . . . | / guitar | o - - -. | . . x x |", "An eighth after beat 4 of bar 1 everything stops for a quarter: the left crash is choked."},
		{"4/4", "hat | xx xx xo .x | / kick | x . x . |", "stop at 1.4 for 1/8", "hat | xx xx xo !x | / kick | x . x . |", "On beat 4 of bar 1 everything stops for an eighth: the hat is choked."},
		{"4/4", "hat | xx xx xx xx | / sub | o - - - |", "stop at 1.3 for 1/4", "hat | xx xx .. xx | / sub | o - . . |", "On beat 3 of bar 1 everything stops for a quarter."},
		{"7/8 (2+2+3)", "china | x x x.. | x x x.. | / kick | x. xx x.x | x. xx x.x |", "stop at 1.3+1/8 for 1/4", "china | x x x!. | x x x.. | / kick | x. xx x.. | x. xx x.x |", "An eighth after beat 3 of bar 1 everything stops for a quarter: the china is choked."},
		{"4/4", "kick | x x x x | x x x x |", "stop at 1.4 2.4 for 1/4", "kick | x x x . | x x x . |", "On beat 4 of bars 1 and 2 everything stops for a quarter."},
		{"4/4", "china | x x x x |", "stop at 1.1 for 1/4", "china | . x x x |", "On beat 1 of bar 1 everything stops for a quarter."},
		{"6/8", "ride | xxx xxx | / tom-floor | x.. x.. | / click | x x |", "stop at 1.1+1/8 for 5/8", "ride | x!. ... | / tom-floor | x.. ... | / click | x.. . |", "An eighth after beat 1 of bar 1 everything stops for five eighths: the ride is choked."},
		{"4/4", "guitar | xxx 2:ooo x |", "stop at 1.2+1/8 for 1/4", "guitar | xxx o. . x |", "An eighth after beat 2 of bar 1 everything stops for a quarter."},
	} {
		e.check(t)
	}
	refusals(t, []effect{
		{"4/4", "kick | x x x x |", "stop at 1.4 for 1/2", "", "the passage ends a quarter after 1.4; write at most 1/4"},
		{"4/4", "kick | x x x . |", "stop at 1.4 for 1/4", "", "nothing would change; choose another, or another place"},
		{"4/4", "kick | x x x . |", "stop at 2.1 for 1/4", "", "there is no bar 2; choose bar 1"},
		{"6/8", "kick | x x |", "stop at 1.3 for 1/4", "", "bar 1, in 6/8, has no beat 3; choose beats 1 to 2"},
	})
}

// A reshaping is one line of a table: a change of bars, and what they are then.
type reshaping struct {
	effect
	bars string
}

func (r reshaping) check(t *testing.T) {
	t.Helper()
	r.effect.check(t)
	c, err := Parse(r.change)
	if err != nil {
		t.Fatal(err)
	}
	after, _ := c.Apply(read(t, r.metre, r.before))
	if got := barsOf(after); got != r.bars {
		t.Errorf("%s of %s has bars %s, want %s", r.change, r.before, got, r.bars)
	}
}

// A beat or an eighth is lost, the speed stays: where the new metre counts
// another beat, the tempo names the old one.
func TestBarIsCut(t *testing.T) {
	for _, r := range []reshaping{
		{effect{"4/4", "kick | x x x x | X . X . |", "cut bar 1 to 3/4", "kick | x x x | X . X . |", "Bar 1 loses its last quarter: it is in 3/4."}, "3/4 at 100, 4/4 at 100"},
		{effect{"4/4", "kick | xx xx xx xx | X . X . |", "cut bar 1 to 7/8 (2+2+3)", "kick | xx xx xxx | X . X . |", "Bar 1 loses its last eighth: it is in 7/8 (2+2+3)."}, "7/8 (2+2+3) at 100, 4/4 at 100"},
		{effect{"4/4", "kick | xx xx xx xx | X . X . |", "cut bar 1 to 7/8 (3+2+2)", "kick | xxx xx xx | X . X . |", "Bar 1 loses its last eighth: it is in 7/8 (3+2+2)."}, "7/8 (3+2+2) at 100, 4/4 at 100"},
		{effect{"4/4", "kick | xx xx xx xx | X . X . |", "cut bar 1 to 7/8 (2+2+2+1)", "kick | xx xx xx x | X . X . |", "Bar 1 loses its last eighth: it is in 7/8 (2+2+2+1)."}, "7/8 (2+2+2+1) at 1/4=100, 4/4 at 100"},
		{effect{"7/8 (2+2+3)", "kick | x. x. x.x | x. x. x.x |", "cut bar 2 to 5/8 (2+3)", "kick | x. x. x.x | x. x.x |", "Bar 2 loses its last quarter: it is in 5/8 (2+3)."}, "7/8 (2+2+3) at 100, 5/8 (2+3) at 100"},
		// Held over the bar line: shorter by what is lost. Held into the end: cut.
		{effect{"4/4", "guitar | x . o - | - - x x |", "cut bar 1 to 3/4", "guitar | x . o | - - x x |", "Bar 1 loses its last quarter: it is in 3/4."}, "3/4 at 100, 4/4 at 100"},
		{effect{"4/4", "guitar | x . o - | x x x x |", "cut bar 1 to 3/4", "guitar | x . o | x x x x |", "Bar 1 loses its last quarter: it is in 3/4."}, "3/4 at 100, 4/4 at 100"},
		{effect{"4/4", "kick | x 2:xxx x | xxx . xxx . |", "cut bar 1 to 2/4", "kick | x x.x | xxx . xxx . |", "Bar 1 loses its last half note: it is in 2/4."}, "2/4 at 100, 4/4 at 100"},
		{effect{"6/8", "kick | xxx xxx | x x |", "cut bar 1 to 5/8 (3+2)", "kick | xxx xx | x x |", "Bar 1 loses its last eighth: it is in 5/8 (3+2)."}, "5/8 (3+2) at 3/8=100, 6/8 at 100"},
	} {
		r.check(t)
	}
	refusals(t, []effect{
		{"3/4", "kick | x x x |", "cut bar 1 to 4/4", "", "bar 1 is in 3/4, and 4/4 is not shorter; choose a shorter metre"},
		{"3/4", "kick | x x x |", "cut bar 1 to 6/8", "", "bar 1 is in 3/4, and 6/8 is not shorter; choose a shorter metre"},
		{"3/4", "kick | x x x |", "cut bar 2 to 2/4", "", "there is no bar 2; choose bar 1"},
	})
}

// Half-time doubles the time from backbeat to backbeat, double-time halves it,
// while the written tempo stays (common practice): snare on 2 and 4 of every
// bar comes on 3 of every bar.
func TestAllInHalfAndDoubleTime(t *testing.T) {
	for _, r := range []reshaping{
		{effect{"4/4", "china | x x x x | / snare | . X . X | / kick | x.x. . .x .. |", "half-time all", "china | x . x . | x . x . | / snare | . . X . | . . X . | / kick | x x . . | . x . . |", "Everything takes twice as long: every bar becomes two."}, "4/4 at 100, 4/4 at 100"},
		{effect{"4/4", "guitar | xxx o--- - xxxxx |", "half-time all", "guitar | 2:xxx o - | - - 2:xxxxx |", "Everything takes twice as long: every bar becomes two."}, "4/4 at 100, 4/4 at 100"},
		{effect{"6/8", "kick | xxx x.x |", "half-time all", "kick | x.x .x. | x .x. |", "Everything takes twice as long: every bar becomes two."}, "6/8 at 100, 6/8 at 100"},
		{effect{"7/8 (2+2+3)", "kick | x x x.. |", "half-time all", "kick | x . x | .x . . |", "Everything takes twice as long: every bar becomes two."}, "7/8 (2+2+3) at 100, 7/8 (2+2+3) at 100"},
		{effect{"4/4 | 3/4", "kick | x . x . | x x x |", "half-time all", "kick | x . . . | x . . . | x . x | . x . |", "Everything takes twice as long: every bar becomes two."}, "4/4 at 100, 4/4 at 100, 3/4 at 100, 3/4 at 100"},
		{effect{"4/4", "snare | . . X . | . . X . | / guitar | o - - - | - - xx x |", "double-time all", "snare | . X . X | / guitar | o - - xxx- |", "Everything takes half as long: two bars become one."}, "4/4 at 100"},
		{effect{"4/4", "kick | 2:xxx x . | xxx . xxx . |", "double-time all", "kick | xxx x xxx... xxx... |", "Everything takes half as long: two bars become one."}, "4/4 at 100"},
	} {
		r.check(t)
	}
	refusals(t, []effect{
		{"4/4", "kick | x . . . |", "double-time all", "", "two bars become one, and there is a last one left of 1; use a passage of an even number of bars"},
		{"4/4 | 3/4", "kick | x . . . | x . . |", "double-time all", "", "bars 1 and 2 differ in metre or tempo; give both the same metre and tempo first"},
		{"4/4", "kick |" + strings.Repeat(" x . . . |", 33), "half-time all", "", "33 bars would become 66, and 64 are the most; make it of fewer bars first"},
	})
	for _, u := range []undoing{
		{"7/8 (2+2+3)", "snare | . X .x. | / guitar | o - x-x |", "half-time all", "double-time all"},
		{"4/4", "snare | . X . xxx | . . . . | / guitar | o - - - | - . xx x |", "double-time all", "half-time all"},
	} {
		u.check(t)
	}
}

// backbeats returns the distances between the accents of the snare.
func backbeats(p passage.Passage) []meter.Rat {
	var all []meter.Rat
	l, _ := p.Line(passage.Snare)
	for i := 1; i < len(l.Strokes); i++ {
		all = append(all, l.Strokes[i].At.Sub(l.Strokes[i-1].At))
	}
	return all
}

// The definition itself: the backbeat spacing doubles, or halves, in seconds
// (common practice).
func TestBackbeatSpacingOfAll(t *testing.T) {
	p := read(t, "4/4", "snare | . X . X | . X . X |")
	for change, want := range map[string]meter.Rat{"half-time all": meter.Int(4), "double-time all": meter.Int(1)} {
		c, _ := Parse(change)
		after, err := c.Apply(p)
		if err != nil || after.Bars[0].Tempo != p.Bars[0].Tempo {
			t.Fatalf("%s: %v, %s", change, err, barsOf(after))
		}
		for _, d := range backbeats(after) {
			if d != want {
				t.Errorf("%s: the backbeats are %s quarters apart, want %s", change, d, want)
			}
		}
	}
}

// Triplet eighth becomes eighth, dotted eighth becomes quarter, quintuplet
// sixteenth becomes sixteenth (REFERENCE 1.1, derived from the definition of a
// metric modulation).
func TestTempo(t *testing.T) {
	for _, c := range []struct{ bpm, factor, want, says string }{
		{"120", "3/2", "180", "a triplet eighth becomes an eighth"},
		{"120", "4/3", "160", "a dotted eighth becomes a quarter"},
		{"100", "5/4", "125", "a quintuplet sixteenth becomes a sixteenth"},
		{"180", "2/3", "120", "an eighth becomes a triplet eighth"},
		{"160", "3/4", "120", "a quarter becomes a dotted eighth"},
		{"100", "1.3", "130", ""},
	} {
		modulation(t, c.bpm, c.factor, c.want, c.says)
	}
	for _, r := range []reshaping{
		{effect{"4/4", "kick | x x x x | x x x x | x x x x |", "tempo by 3/2 at 2-3", "kick | x x x x | x x x x | x x x x |", "The tempo goes from 100 to 150 in bars 2 and 3: a triplet eighth becomes an eighth."}, "4/4 at 100, 4/4 at 150, 4/4 at 150"},
		{effect{"4/4", "kick | x x x x |", "tempo by 2/3", "kick | x x x x |", "The tempo goes from 100 to about 66.7: an eighth becomes a triplet eighth."}, "4/4 at 200/3"},
		{effect{"4/4 | 3/4", "kick | x x x x | x x x |", "tempo by 13/7", "kick | x x x x | x x x |", "The tempo goes from 100 to about 185.7."}, "4/4 at 1300/7, 3/4 at 1300/7"},
		{effect{"7/8 (2+2+3)", "kick | x x x.. | x x x.. |", "tempo by 1/2", "kick | x x x.. | x x x.. |", "The tempo goes from 100 to 50: a quarter becomes an eighth."}, "7/8 (2+2+3) at 50, 7/8 (2+2+3) at 50"},
	} {
		r.check(t)
	}
	refusals(t, []effect{
		{"4/4", "kick | x x x x |", "tempo by 5", "", "bar 1 would be at 500, outside 20 to 400 beats a minute; choose a factor nearer to 1"},
		{"4/4", "kick | x x x x |", "tempo by 1", "", "nothing would change; choose another, or another place"},
		{"4/4", "kick | x x x x |", "tempo by 2 at 2", "", "there is no bar 2; choose bar 1"},
	})
	undoing{"4/4", "kick | x x x x | x x x x |", "tempo by 4/3 at 2", "tempo by 3/4 at 2"}.check(t)
}

func modulation(t *testing.T, bpm, factor, want, says string) {
	t.Helper()
	p := read(t, "4/4", "kick | x x x x |")
	p.Bars[0].Tempo, _ = meter.ParseTempo(bpm)
	c, err := Parse("tempo by " + factor)
	if err != nil {
		t.Fatal(err)
	}
	after, err := c.Apply(p)
	if err != nil || after.Bars[0].Tempo.String() != want {
		t.Errorf("%s by %s is %s, %v, want %s", bpm, factor, barsOf(after), err, want)
	}
	if got := c.Sentence(p); !strings.HasPrefix(got, "The tempo goes from "+bpm+" to "+want) || !strings.Contains(got, says) {
		t.Errorf("%s by %s says %q", bpm, factor, got)
	}
}

// The pivot keeps its duration: what lasts so long before the bar line lasts as
// long after it as the value it becomes (the definition of a metric
// modulation, REFERENCE 1.1).
func TestPivotsKeepTheirDuration(t *testing.T) {
	for _, v := range pivots {
		p := read(t, "4/4", "kick | x x x x | x x x x |")
		c := with("tempo", Args{Factor: v.after.Div(v.before), At: []Range{{Spot{Bar: 2}, Spot{Bar: 2}}}})
		after, err := c.Apply(p)
		if err != nil {
			t.Fatal(err)
		}
		tempi, err := after.TempoMap()
		if err != nil {
			t.Fatal(err)
		}
		line := meter.Int(4)
		before := new(big.Rat).Sub(tempi.Exact(line), tempi.Exact(line.Sub(v.before)))
		then := new(big.Rat).Sub(tempi.Exact(line.Add(v.after)), tempi.Exact(line))
		if before.Cmp(then) != 0 {
			t.Errorf("%s: %s lasts %s s, %s after it %s s", c, lengthWords(v.before), before, lengthWords(v.after), then)
		}
	}
}
