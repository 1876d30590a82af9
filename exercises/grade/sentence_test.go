package grade

import (
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"stampmill/exercises/passage"
)

// wobble is a spread of about 6 ms whose mean is 0 over four passes of each
// stroke.
func wobble(o Onset) float64 { return []float64{-6, 6, 5, -5}[(o.Pass+o.Position)%4] }

// TestDifferencesAreRare: of takes in which no bar differs, at most one in
// twenty is told that one does, however many bars there are (a 95 % interval
// for all of them together), and one in twenty, give or take three standard
// errors, that the tempo drifts.
func TestDifferencesAreRare(t *testing.T) {
	p := step(t, "title: T\ntempo: 120\nmetre: 4/4\n\nstep: S\nkick |"+strings.Repeat(" x x x x |", 16)+"\n")
	const takes = 400
	said, drifts := 0, 0
	for seed := range uint64(takes) {
		rng := rand.New(rand.NewPCG(seed, 3))
		v := mustGrade(t, p, takeOf(t, p, Take{Tempo: 120, Passes: 1}, func(int, Onset, Position) float64 { return 15 * rng.NormFloat64() }))
		if text := strings.Join(v.Sentences, " "); strings.Contains(text, "comes") {
			said++
		} else if strings.Contains(text, "You run") {
			drifts++
		}
	}
	if said > takes/20 || float64(drifts) > takes*(.05+3*math.Sqrt(.05*.95/takes)) {
		t.Errorf("a bar said in %d, a drift in %d of %d", said, drifts, takes)
	}
}

// untold matches what cannot be said where the delay is not known. That one
// stroke comes earlier than another can.
var untold = regexp.MustCompile(`ms (early|late)\b|on time`)

// TestSentences is the table of what is said: test and manual at once. Each
// case plays crusher (see grade_test.go) with errors in ms, NaN for a stroke
// left out.
func TestSentences(t *testing.T) {
	p := step(t, crusher)
	gone := math.NaN()
	kick := []passage.Voice{passage.Kick}
	both := []passage.Voice{passage.Kick, passage.Snare}
	tests := []struct {
		name   string
		part   []passage.Voice
		tempo  float64
		passes int
		play   func(_ int, o Onset, pos Position) float64
		extra  []float64 // taps too many, in seconds
		want   []string
		next   string
	}{
		{
			"nothing stands out", kick, 120, 4,
			func(_ int, o Onset, _ Position) float64 { return 2 + wobble(o) }, nil,
			[]string{"All 32 strokes hit, 2 ms late, spread ±6 ms."}, "The next step.",
		}, {
			"passed below the written tempo", kick, 100, 4,
			func(_ int, o Onset, _ Position) float64 { return wobble(o) }, nil,
			[]string{"All 32 strokes hit, on time, spread ±6 ms."}, "Faster, at 105 BPM.",
		}, {
			"early throughout", kick, 120, 4,
			func(_ int, o Onset, _ Position) float64 { return -12 + wobble(o) }, nil,
			[]string{"You lean 12 ms early on the kick."}, "The next step.",
		}, {
			"a lean under 5 ms is not said", kick, 120, 40,
			func(_ int, o Onset, _ Position) float64 { return -4.5 + wobble(o) }, nil,
			[]string{"All 320 strokes hit, 5 ms early, spread ±6 ms."}, "The next step.",
		}, {
			"one voice earlier than the other", both, 120, 8,
			func(_ int, o Onset, pos Position) float64 {
				if pos.Voices.Has(passage.Snare) {
					return 6 + wobble(o)
				}
				return -8 + wobble(o)
			}, nil,
			[]string{"The kick comes 14 ms earlier than the snare.", "You lean 5 ms early."}, "The next step.",
		}, {
			"one bar later than the other", kick, 120, 8,
			func(_ int, o Onset, pos Position) float64 { return float64(pos.Place.Bar*15-15) + wobble(o) }, nil,
			[]string{"Bar 2 comes 15 ms later than bar 1.", "You lean 9 ms late on the kick."}, "The next step.",
		}, {
			"one stroke left out each time", kick, 120, 4,
			func(_ int, o Onset, pos Position) float64 {
				if pos.Place.String() == "1.3+1/8" {
					return gone
				}
				return wobble(o)
			}, nil,
			[]string{"You missed 4 of 32 strokes, all the kick on the & of 1.3."}, "Only bar 1.",
		}, {
			"a bar left out", kick, 120, 4,
			func(_ int, o Onset, pos Position) float64 {
				if o.Pass == 2 && pos.Place.Bar == 2 {
					return gone
				}
				return wobble(o)
			}, nil,
			[]string{"You missed 5 of 32 strokes, all in bar 2."}, "Only bar 2.",
		}, {
			"hits too many", kick, 120, 4,
			func(_ int, o Onset, _ Position) float64 { return wobble(o) }, []float64{1, 5, 7.25},
			[]string{"3 hits too many, 2 of them in bar 1."}, "Only bar 1.",
		}, {
			"a triplet as 3:3:2", kick, 120, 4,
			func(_ int, o Onset, pos Position) float64 { // 3/8 and 6/8 of 500 ms
				return wobble(o) + map[string]float64{"2.4+1/12": 500. / 24, "2.4+1/6": 500. / 12}[pos.Place.String()]
			}, nil,
			[]string{"The triplet at 2.4 came out 3:3:2."}, "Only bar 2.",
		}, {
			"a wide spread", kick, 120, 4,
			func(_ int, o Onset, _ Position) float64 { return 5 * wobble(o) }, nil,
			[]string{"Your hits spread by ±29 ms; passing takes ±20."}, "Slower, at 108 BPM.",
		}, {
			"a little faster than written", kick, 120, 4,
			func(_ int, o Onset, _ Position) float64 { return 12 - 2*o.Seconds + wobble(o)/3 }, nil,
			[]string{"You run 0.24 BPM fast: 32 ms gained by the end."}, "The next step.",
		}, {
			"much faster than written", kick, 120, 4,
			func(_ int, o Onset, _ Position) float64 { return -20*o.Seconds + wobble(o)/3 }, nil,
			[]string{"You run 2.4 BPM fast: 317 ms gained by the end, and 10 of 32 strokes miss their place."}, "Slower, at 96 BPM.",
		}, {
			"a constant delay that nobody measured", kick, 120, 4,
			func(_ int, o Onset, _ Position) float64 { return 45 + wobble(o) }, nil,
			[]string{"You lean 45 ms late on the kick."}, "Measure the delay of this input.",
		}, {
			"late, but more scattered than late", kick, 120, 4,
			func(_ int, o Onset, _ Position) float64 { return 26 + 7*wobble(o) }, nil,
			[]string{"You lean 26 ms late on the kick.", "Your hits spread by ±40 ms; passing takes ±20."}, "Slower, at 108 BPM.",
		}, {
			"two strokes", []passage.Voice{passage.Snare}, 120, 1,
			func(int, Onset, Position) float64 { return 1 }, nil,
			[]string{"The spread is not known: 2 strokes, and it takes 4."}, "The same again.",
		}, {
			"something else altogether", kick, 120, 4,
			func(int, Onset, Position) float64 { return gone }, []float64{.5, 1, 1.75, 2.25, 3, 3.2, 4.5, 5, 5.9},
			[]string{"Only 1 of 32 strokes was hit; 8 hits fell elsewhere."}, "Slower, at 96 BPM.",
		}, {
			"silence", kick, 120, 4,
			func(int, Onset, Position) float64 { return gone }, nil,
			[]string{"No hit was heard in this take."}, "The same again.",
		},
	}
	for _, tt := range tests {
		tk := kickTake(tt.passes)
		tk.Part, tk.Tempo, tk.LatencyMS = tt.part, tt.tempo, 0
		tk = takeOf(t, p, tk, tt.play)
		for _, s := range tt.extra {
			tk.Taps = append(tk.Taps, Tap{Voice: tt.part[0], Seconds: s})
		}
		v := mustGrade(t, p, tk)
		if diff := cmp.Diff(tt.want, v.Sentences); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
		anyDelay := slices.DeleteFunc(slices.Clone(tt.want), untold.MatchString)
		if diff := cmp.Diff(anyDelay, v.AnyDelay, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s, whatever the delay (-want +got):\n%s", tt.name, diff)
		}
		if got := v.Next.String(); got != tt.next {
			t.Errorf("%s: next is %q, want %q", tt.name, got, tt.next)
		}
	}
}
