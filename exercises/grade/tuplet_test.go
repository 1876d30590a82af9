package grade

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// TestTuplets: each text is one bar; the tuplet at its second beat is played
// with the given strokes, as shares of its span. The written ratios are those
// of MusicXML's time-modification: actual-notes in the time of normal-notes.
func TestTuplets(t *testing.T) {
	third := []float64{0, 1. / 3, 2. / 3}
	tests := []struct {
		name, kick string
		metre      string
		play       []float64 // of the span
		written    string
		split      []int
		nearest    []int
		awayMS     float64 // of a span of 500 ms
	}{
		{"even triplet", "x xxx x .", "4/4", third, "3:2", []int{1, 1, 1}, []int{1, 1, 1}, 0},
		// 3/8 and 6/8 of the beat for 1/3 and 2/3: 1/24 and 2/24 of 500 ms away.
		{"triplet as 3:3:2", "x xxx x .", "4/4", []float64{0, 3. / 8, 6. / 8}, "3:2", []int{1, 1, 1}, []int{3, 3, 2}, 500 * math.Sqrt(5./2) / 24},
		{"triplet as 2:1:1", "x xxx x .", "4/4", []float64{0, .5, .75}, "3:2", []int{1, 1, 1}, []int{2, 1, 1}, 500 * math.Sqrt((4+1)/2.) / 12},
		{"triplet as 1:1:2", "x xxx x .", "4/4", []float64{0, .25, .5}, "3:2", []int{1, 1, 1}, []int{1, 1, 2}, 500 * math.Sqrt((1+4)/2.) / 12},
		{"triplet with nothing after it", "x xxx . .", "4/4", []float64{0, 3. / 8, 6. / 8}, "3:2", []int{1, 1, 1}, []int{3, 3, 2}, 500 * math.Sqrt(5./2) / 24},
		{"triplet with the next stroke half a beat after it", "x xxx .x .", "4/4", []float64{0, 3. / 8, 6. / 8}, "3:2", []int{1, 1, 1}, []int{3, 3, 2}, 500 * math.Sqrt(5./2) / 24},
		{"shuffle", "x x.x x .", "4/4", []float64{0, 2. / 3}, "3:2", []int{2, 1}, []int{2, 1}, 0},
		{"shuffle played straight", "x x.x x .", "4/4", []float64{0, .5}, "3:2", []int{2, 1}, []int{1, 1}, 500. / 6},
		{"shuffle played dotted", "x x.x x .", "4/4", []float64{0, .75}, "3:2", []int{2, 1}, []int{3, 1}, 500. / 12},
		{"quintuplet", "x xxxxx x .", "4/4", []float64{0, .2, .4, .6, .8}, "5:4", []int{1, 1, 1, 1, 1}, []int{1, 1, 1, 1, 1}, 0},
		{"quintuplet as eighths of the beat", "x xxxxx x .", "4/4", []float64{0, .25, .5, .75, .875}, "5:4", []int{1, 1, 1, 1, 1}, []int{2, 2, 2, 1, 1}, 500 * math.Sqrt((.05*.05+.1*.1+.15*.15+.075*.075)/4)},
		{"quintuplet with gaps", "x x.x.x x .", "4/4", []float64{0, .4, .8}, "5:4", []int{2, 2, 1}, []int{2, 2, 1}, 0},
		{"septuplet", "x xxxxxxx x .", "4/4", []float64{0, 1. / 7, 2. / 7, 3. / 7, 4. / 7, 5. / 7, 6. / 7}, "7:4", []int{1, 1, 1, 1, 1, 1, 1}, []int{1, 1, 1, 1, 1, 1, 1}, 0},
		{"a triplet's middle cut in two", "x x[xx]x x .", "4/4", []float64{0, 1. / 3, .5, 2. / 3}, "3:2", []int{2, 1, 1, 2}, []int{2, 1, 1, 2}, 0},
		{"duplet", "xxx xx", "6/8", []float64{0, .5}, "2:3", []int{1, 1}, []int{1, 1}, 0},
		{"duplet as 2:1", "xxx xx", "6/8", []float64{0, 2. / 3}, "2:3", []int{1, 1}, []int{2, 1}, 500. / 6},
	}
	for _, tt := range tests {
		p := step(t, fmt.Sprintf("title: T\ntempo: 120\nmetre: %s\n\nstep: S\nsays: One.\nkick | %s |\n", tt.metre, tt.kick))
		beat := p.Beats()[1]
		const span = 60. / 120 // a beat, in 6/8 the dotted quarter
		tk := takeOf(t, p, kickTake(3), func(_ int, _ Onset, pos Position) float64 {
			for k, at := range tupletPlaces(p, beat) {
				if pos.At == at {
					written := at.Sub(beat.At).Div(beat.Length).Float()
					return 1000 * span * (tt.play[k] - written)
				}
			}
			return 0
		})
		v := mustGrade(t, p, tk)
		if len(v.Tuplets) != 1 {
			t.Fatalf("%s: %d tuplets", tt.name, len(v.Tuplets))
		}
		got := v.Tuplets[0]
		if diff := cmp.Diff([]any{tt.written, tt.split, tt.nearest, 3}, []any{got.Written.String(), got.Split, got.Nearest, got.N}); diff != "" {
			t.Errorf("%s, played %v (-want +got):\n%s", tt.name, got.Played, diff)
		}
		if math.Abs(got.AwayMS-tt.awayMS) > .01 {
			t.Errorf("%s: %.3f ms away, want %.3f", tt.name, got.AwayMS, tt.awayMS)
		}
	}
}

func tupletPlaces(p passage.Passage, beat passage.Beat) []meter.Rat {
	var all []meter.Rat
	line, _ := p.Line(passage.Kick)
	for _, s := range line.Strokes {
		if !s.At.Less(beat.At) && s.At.Less(beat.At.Add(beat.Length)) {
			all = append(all, s.At)
		}
	}
	return all
}

// TestNestedTuplet: three in one cell of a triplet is 3:2 again, and both are
// told.
func TestNestedTuplet(t *testing.T) {
	p := step(t, "title: T\ntempo: 60\nmetre: 4/4\n\nstep: S\nsays: One.\nkick | x xx[xxx] x . |\n")
	tk := takeOf(t, p, kickTake(1), func(int, Onset, Position) float64 { return 0 })
	var got []string
	for _, f := range mustGrade(t, p, tk).Tuplets {
		got = append(got, fmt.Sprint(f.Place, " ", f.Written, " ", ratio(f.Nearest)))
	}
	if diff := cmp.Diff([]string{"1.2 3:2 3:3:1:1:1", "1.2+1/6 3:2 1:1:1"}, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// TestMissedTupletIsNotMeasured: a pass counts only with all its strokes.
func TestMissedTupletIsNotMeasured(t *testing.T) {
	p := step(t, crusher)
	tk := takeOf(t, p, kickTake(3), func(_ int, o Onset, pos Position) float64 {
		if o.Pass == 2 && pos.Place.String() == "2.4+1/12" {
			return math.NaN()
		}
		return float64(o.Pass)
	})
	if got := mustGrade(t, p, tk).Tuplets[0]; got.N != 2 {
		t.Errorf("%d passes measured, want 2", got.N)
	}
}

// TestOneKeyTuplet: kick and guitar share their triplet, so it is told once.
func TestOneKeyTuplet(t *testing.T) {
	p := step(t, crusher)
	tk := kickTake(1)
	tk.Part = []passage.Voice{passage.Kick, passage.Guitar}
	named := mustGrade(t, p, takeOf(t, p, tk, func(int, Onset, Position) float64 { return 0 }))
	tk = takeOf(t, p, tk, func(int, Onset, Position) float64 { return 0 })
	for i := range tk.Taps {
		tk.Taps[i].Voice = passage.NoVoice
	}
	oneKey := mustGrade(t, p, tk)
	if len(named.Tuplets) != 2 || len(oneKey.Tuplets) != 1 {
		t.Errorf("%d tuplets with named taps, %d on one key; want 2 and 1", len(named.Tuplets), len(oneKey.Tuplets))
	}
}

// TestLongRatioIsNotSpoken: seven strokes on the grid of eight are not read out
// as 2:1:1:1:1:1:1, which nobody counts.
func TestLongRatioIsNotSpoken(t *testing.T) {
	p := step(t, "title: T\ntempo: 60\nmetre: 4/4\n\nstep: S\nkick | x xxxxxxx x . |\n")
	tk := takeOf(t, p, kickTake(4), func(_ int, _ Onset, pos Position) float64 {
		if pos.Place.Beat != 2 || pos.Place.Into.Sign() == 0 {
			return 0
		}
		return 1000 * (1 - pos.Place.Into.Float()) / 8 * 60 / 120 // from k/7 to (k+1)/8 of the beat
	})
	v := mustGrade(t, p, tk)
	if got := v.Sentences[0]; got != "The septuplet at 1.2 came out uneven, its strokes about 35 ms off." { // 500/8 ms times the root mean square of 6/7, 5/7, ... 1/7
		t.Errorf("%q: %+v", got, v.Tuplets)
	}
}

// TestSplit: whole numbers in the ratio of the lengths, without a common
// divisor.
func TestSplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := reduced(rapid.SliceOfN(rapid.IntRange(1, 12), 1, 8).Draw(t, "parts"))
		unit := meter.R(rapid.Int64Range(1, 9).Draw(t, "n"), rapid.Int64Range(1, 60).Draw(t, "d"))
		var lengths []meter.Rat
		for _, n := range parts {
			lengths = append(lengths, unit.Mul(meter.Int(int64(n))))
		}
		if diff := cmp.Diff(parts, split(lengths)); diff != "" {
			t.Fatalf("-want +got:\n%s", diff)
		}
	})
}

// TestNearestIsExact: a ratio of the straight grids is nearest to itself.
func TestNearestIsExact(t *testing.T) {
	for _, parts := range [][]int{{3, 3, 2}, {3, 2, 3}, {2, 3, 3}, {2, 1, 1}, {1, 2, 1}, {1, 1, 2}, {3, 1}, {5, 3}, {2, 1, 2, 1, 2}, {1, 1, 1, 1, 2}} {
		total := 0
		for _, n := range parts {
			total += n
		}
		played := make([]float64, len(parts))
		even := make([]int, len(parts))
		for i, n := range parts {
			played[i], even[i] = float64(n)/float64(total), 1
		}
		if diff := cmp.Diff(parts, nearest(played, even)); diff != "" {
			t.Errorf("-want +got:\n%s", diff)
		}
	}
}

// TestTupletSaid: at a spread of 15 ms a triplet played 3:3:2 over six passes
// is said, and not passed, in at least 95 of 100 takes; of even ones nothing in
// 99, nor where two voices have only one pass.
func TestTupletSaid(t *testing.T) {
	p := step(t, crusher)
	const takes = 200
	six, one := kickTake(6), kickTake(1)
	one.Part = []passage.Voice{passage.Kick, passage.Guitar}
	said := func(tk Take, uneven float64) (n int) {
		for seed := range uint64(takes) {
			rng := rand.New(rand.NewPCG(seed, 2))
			v := mustGrade(t, p, takeOf(t, p, tk, func(_ int, _ Onset, pos Position) float64 {
				at := map[string]float64{"2.4+1/12": 500. / 24, "2.4+1/6": 500. / 12}[pos.Place.String()] // 3/8 and 6/8 of 500 ms
				return uneven*at + 15*rng.NormFloat64()
			}))
			if strings.Contains(strings.Join(v.Sentences, " "), "The triplet at 2.4 came out") && !v.Passed {
				n++
			}
		}
		return n
	}
	if n := said(six, 1); n < takes*95/100 {
		t.Errorf("said of %d of %d uneven takes", n, takes)
	}
	for _, tk := range []Take{six, one} {
		if n := said(tk, 0); n > takes/100 {
			t.Errorf("%d passes: said of %d of %d even takes", tk.Passes, n, takes)
		}
	}
}
