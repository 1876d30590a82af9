package grade

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/passage"
)

// leastCostGraced tries every alignment of onsets from i on with taps from j
// on, in which the taps just before an onset's may be its grace strokes; the
// onset's own is one that pairs without them.
func leastCostGraced(g target, taps []float64, i, j int) float64 {
	if i == len(g.at) {
		return float64(len(taps) - j)
	}
	best := 1 + leastCostGraced(g, taps, i+1, j)
	for k := j; k < len(taps); k++ {
		e := (taps[k] - g.at[i]) / g.window[i]
		for n := 0; e*e < 2 && n <= g.graces[i].strokes && k-n >= j && taps[k]-taps[k-n] <= g.graces[i].reach; n++ {
			best = min(best, float64(k-n-j)+e*e+leastCostGraced(g, taps, i+1, k+1))
		}
	}
	return best
}

// TestGraceMatchIsTheLeastOfAll: with grace strokes too the alignment is the
// exact optimum, in order, and no tap is used twice.
func TestGraceMatchIsTheLeastOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		onsets := slices.Compact(drawTimes(t, "onsets", 5))
		taps := drawTimes(t, "taps", 7)
		g := target{at: onsets, window: windows(onsets)}
		last := math.Inf(-1)
		for _, at := range onsets {
			g.graces = append(g.graces, newGraced(rapid.IntRange(0, 2).Draw(t, "graces"), at-last))
			last = at
		}
		of, graces := g.match(taps)
		free, got := 0, float64(len(taps)+len(onsets))
		for i, tap := range of {
			if tap < 0 {
				continue
			}
			n := int(graces[i])
			if tap-n < free || n > g.graces[i].strokes || taps[tap]-taps[tap-n] > g.graces[i].reach {
				t.Fatalf("%v with %v before them", of, graces)
			}
			free = tap + 1
			e := (taps[tap] - onsets[i]) / g.window[i]
			got += e*e - 2 - float64(n)
		}
		if want := leastCostGraced(g, taps, 0, 0); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%v with %v before them costs %g, the least is %g", of, graces, got, want)
		}
	})
}

// flams is a bar of snare strokes at 120, beats 500 ms apart: a flam on 2 and a
// drag on 4, and a kick with the flam.
const flams = "title: Flams\ntempo: 120\nmetre: 4/4\n\nstep: One\nsays: A flam and a drag.\nsnare | x f x d |\nkick | . x . . |\n"

// TestGraces: which taps are grace strokes, on the voice's own key and on one
// key for both voices.
func TestGraces(t *testing.T) {
	p := step(t, flams)
	tests := []struct {
		name         string
		taps         []float64 // ms
		extra        int
		flam, drag   float64 // ms of the first grace stroke; 0 for none
		noFlam, half int     // grace strokes of the flam, of the drag, missing
	}{
		{"as written", []float64{0, 470, 500, 1000, 1425, 1460, 1500}, 0, 30, 75, 0, 0},
		{"without grace strokes: hits", []float64{0, 500, 1000, 1500}, 0, 0, 0, 1, 1},
		{"a drag with one of its two", []float64{0, 470, 500, 1000, 1460, 1500}, 0, 30, 40, 0, 1},
		{"20 ms late the grace stroke is nearer to what is written", []float64{20, 490, 520, 1020, 1445, 1480, 1520}, 0, 30, 75, 0, 0},
		{"both at one time: as near as can be", []float64{0, 500, 500, 1000, 1425, 1460, 1500}, 0, 0.0001, 75, 0, 0},
		{"a flam too wide is a tap too many", []float64{0, 390, 500, 1000, 1425, 1460, 1500}, 1, 0, 75, 1, 0},
		{"a tap after the main stroke is one too", []float64{0, 470, 500, 560, 1000, 1425, 1460, 1500}, 1, 30, 75, 0, 0},
		{"two grace strokes before a flam: one too many", []float64{0, 450, 480, 500, 1000, 1425, 1460, 1500}, 1, 20, 75, 0, 0},
		{"none is taken before a plain stroke", []float64{0, 470, 500, 970, 1000, 1425, 1460, 1500}, 1, 30, 75, 0, 0},
		{"the main stroke missed: its grace stroke stands for it", []float64{0, 470, 1000, 1425, 1460, 1500}, 0, 0, 75, 1, 0},
	}
	for _, tt := range tests {
		for _, oneKey := range []bool{false, true} {
			tk := Take{Tempo: 120, Passes: 1, Part: []passage.Voice{passage.Snare}}
			if oneKey {
				tk.Part = append(tk.Part, passage.Kick)
			}
			for _, ms := range tt.taps {
				tap := Tap{Seconds: ms / 1000}
				if !oneKey {
					tap.Voice = passage.Snare
				}
				tk.Taps = append(tk.Taps, tap)
			}
			g := graded(t, p, tk)
			v := g.verdict(p, Options{})
			if v.Extra != tt.extra || v.Matched != 4 || v.Missed != 0 {
				t.Errorf("%s: %+v", tt.name, v.Counts)
			}
			if f := v.Graces; len(f) != 2 || f[0].Missing != tt.noFlam || f[1].Missing != tt.half ||
				f[0].Kind != passage.Flam || f[1].Kind != passage.Drag || f[0].Voice != passage.Snare || f[0].N != 1 {
				t.Errorf("%s: %+v", tt.name, f)
			}
			var got []float64
			for i, on := range []int{1, 3} {
				first := g.graceOf[on]
				if first.strokes == 0 {
					got = append(got, 0)
					continue
				}
				before := 1000 * (g.taps[g.tapOf[on]] - g.taps[first.first])
				if i == 0 && before == 0 {
					before = .0001
				}
				got = append(got, before)
			}
			if math.Abs(got[0]-tt.flam)+math.Abs(got[1]-tt.drag) > 1e-3 {
				t.Errorf("%s: %v ms before, want %g and %g", tt.name, got, tt.flam, tt.drag)
			}
		}
	}
}

// graded is a take as it is matched.
func graded(t testing.TB, p passage.Passage, tk Take) *grader {
	t.Helper()
	e, err := Expect(p, tk, tk.OneKey())
	if err != nil {
		t.Fatal(err)
	}
	g := newGrader(e, tk)
	g.shareOut()
	for k := range g.byLane {
		g.matchLane(&g.byLane[k])
	}
	if g.graceOf == nil {
		g.graceOf = make([]played, len(e.Onsets))
	}
	return g
}

// TestGraceFigures: distances over the passes, and of all flams together; what
// is played as written leaves no tap over and keeps both F-measures at 1.
func TestGraceFigures(t *testing.T) {
	p := step(t, flams)
	rng := rand.New(rand.NewPCG(1, 1))
	tk := Take{Tempo: 120, Passes: 6, Part: []passage.Voice{passage.Snare}}
	tk = takeOf(t, p, tk, func(int, Onset, Position) float64 { return 4 * rng.NormFloat64() })
	var graces []Tap
	for i, tap := range tk.Taps {
		switch {
		case i%4 == 1 && i > 4: // no grace stroke in the first pass
			graces = append(graces, Tap{Voice: tap.Voice, Seconds: tap.Seconds - .035})
		case i%4 == 3:
			graces = append(graces, Tap{Voice: tap.Voice, Seconds: tap.Seconds - .080}, Tap{Voice: tap.Voice, Seconds: tap.Seconds - .040})
		}
	}
	tk.Taps = append(tk.Taps, graces...)
	v := mustGrade(t, p, tk)
	if v.Extra != 0 || v.F25 != 1 || v.F50 != 1 {
		t.Errorf("extra %d, F %g and %g", v.Extra, v.F25, v.F50)
	}
	want := []GraceFigures{{N: 6, Missing: 1}, {N: 6}}
	for i, f := range v.Graces {
		if f.N != want[i].N || f.Missing != want[i].Missing {
			t.Errorf("%s: %d without all, of %d", f.Kind, f.Missing, f.N)
		}
	}
	if math.Abs(v.Flam.Value-35) > 1e-6 || v.Flam.N != 5 || math.Abs(v.Drag.Value-80) > 1e-6 || v.Drag.N != 6 || v.Graces[0].GraceMS != v.Flam {
		t.Errorf("flams %+v, drags %+v", v.Flam, v.Drag)
	}
}

// TestUsualGraces: the usual distances lie inside what is taken for a grace
// stroke at all.
func TestUsualGraces(t *testing.T) {
	for k, reach := range map[passage.Kind]float64{passage.Flam: flamReach, passage.Drag: dragReach} {
		if least, most := UsualGraceMS(k); !(0 < least && least < most && most < 1000*reach) {
			t.Errorf("%s: %g to %g", k, least, most)
		}
	}
	if diff := cmp.Diff([]int{0, 1, 2}, []int{graceStrokes(passage.Hit), graceStrokes(passage.Flam), graceStrokes(passage.Drag)}); diff != "" {
		t.Error(diff)
	}
}
