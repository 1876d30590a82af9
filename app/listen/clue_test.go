package listen

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"stampmill/exercises/ear"
	"stampmill/synth/loudness"
)

// What a listener could go by who hears loudness and place alone, in decibels.
var clues = []struct {
	name string
	of   func(a, b level) float64
}{
	{"loudness of B less that of A", func(a, b level) float64 { return b.lufs - a.lufs }},
	{"level of B less that of A", func(a, b level) float64 { return b.rms - a.rms }},
	{peakClue, func(a, b level) float64 { return b.peak - a.peak }},
	{"balance of B less that of A", func(a, b level) float64 { return b.balance - a.balance }},
	{"loudness of B", func(_, b level) float64 { return b.lufs }},
	{"level of B", func(_, b level) float64 { return b.rms }},
	{"peak of B", func(_, b level) float64 { return b.peak }},
	{"balance of B", func(_, b level) float64 { return b.balance }},
}

const peakClue = "peak of B less that of A"

// A level is how loud a sound is and where, in decibels.
type level struct{ lufs, rms, peak, balance float64 }

// levelOf measures the first seconds of a sound: the passage without what rings
// on behind it.
func levelOf(pcm []float32, rate int, seconds float64) level {
	pcm = pcm[:min(len(pcm), 2*int(seconds*float64(rate)))]
	m := loudness.NewMeter(rate, 2)
	m.Add(pcm)
	var sum [2]float64
	peak := 0.0
	for i, x := range pcm {
		sum[i%2] += float64(x) * float64(x)
		peak = max(peak, math.Abs(float64(x)))
	}
	return level{
		lufs: m.Integrated(), peak: 20 * math.Log10(peak), balance: 10 * math.Log10(sum[1]/sum[0]),
		rms: 10 * math.Log10((sum[0]+sum[1])/float64(len(pcm))),
	}
}

// TestLoudnessIsNoClue: somebody who goes by loudness, level, peak or place in
// the picture alone, and has learnt from half of the trials where to draw the
// line, is right in the other half as often as by chance. 3.3 standard errors
// are passed by one in a thousand clues that say nothing.
//
// Of a passage and a faster one, only either the whole or the strokes can be
// equally loud. It is the whole: peaks differ by what the tempo does, which
// is less than the 1 dB that is just heard (from memory).
func TestLoudnessIsNoClue(t *testing.T) {
	n := 120
	if testing.Short() {
		n = 40
	}
	for _, name := range []string{"ahead", "tempo"} {
		levels, yes := heardLevels(t, name, n)
		far := 3.3 * math.Sqrt(0.25/float64(n))
		for _, clue := range clues {
			var x []float64
			mean := 0.0
			for _, l := range levels {
				x = append(x, clue.of(l[0], l[1]))
				mean += math.Abs(clue.of(l[0], l[1])) / float64(n)
			}
			if name == "tempo" && clue.name == peakClue {
				if mean > 1 {
					t.Errorf("the peaks of A and B differ by %.2f dB where only the tempo does", mean)
				}
				continue
			}
			if got := learnt(x, yes); got > 0.5+far {
				t.Errorf("%s is told by the %s: %.3f right of %d, by chance at most %.3f", name, clue.name, got, n, 0.5+far)
			}
		}
	}
}

// heardLevels renders trials of a task, of a few climbs at difficulties as a
// staircase has them, and measures A and B of each. Some are yes.
func heardLevels(t *testing.T, name string, n int) (levels [][2]level, yes []bool) {
	const rate, sources = 44100, 24
	task, _ := ear.Named(name)
	b, rng, last := newBooth(t, rate), rand.New(rand.NewPCG(1, 2)), ear.Trial{}
	for len(yes) < n {
		d := task.Scale.Of(task.Stair.Start - 3*rng.Float64())
		trial, err := ear.Next(task, steps()[:sources], d, rng.Uint64(), last)
		if err != nil {
			t.Fatal(err)
		}
		last = trial
		pcm := b.render(trial.Sounds, 0, 1)
		var pair [2]level
		for i, s := range trial.Sounds {
			tempo, err := s.Passage.TempoMap()
			if err != nil {
				t.Fatal(err)
			}
			pair[i] = levelOf(pcm[i], rate, tempo.Seconds(s.Passage.Length()))
		}
		levels, yes = append(levels, pair), append(yes, trial.Yes())
	}
	return levels, yes
}

// learnt returns how often a line drawn through one half of some numbers tells
// the answers of the other half, over both halves.
func learnt(x []float64, yes []bool) float64 {
	right := 0
	for half := range 2 {
		line, above := bestLine(x, yes, half)
		for i := range x {
			if i%2 != half && (x[i] > line) == (yes[i] == above) {
				right++
			}
		}
	}
	return float64(right) / float64(len(x))
}

// bestLine returns the line that tells most answers of a half, and which answer
// lies above.
func bestLine(x []float64, yes []bool, half int) (line float64, above bool) {
	var at []int
	for i := range x {
		if i%2 == half {
			at = append(at, i)
		}
	}
	sort.Slice(at, func(i, j int) bool { return x[at[i]] < x[at[j]] })
	best, count := -1, 0 // yes below less no below
	line = math.Inf(-1)
	for k, i := range at {
		if yes[i] {
			count++
		} else {
			count--
		}
		next := x[i]
		if k+1 < len(at) {
			next = (x[i] + x[at[k+1]]) / 2
		}
		if c := max(count, -count); c > best {
			best, line, above = c, next, count < 0
		}
	}
	return line, above
}
