package listen

import (
	"fmt"
	"math"
	"testing"

	"stampmill/exercises"
	"stampmill/exercises/ear"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// What is asked in milliseconds is measured here on the rendered sound, by
// means that know nothing of the schedule.

// quietly keeps the limiter out of what is measured.
const quietly = 0.1

// A booth renders sounds with one bank.
type booth struct {
	t    testing.TB
	rate int
	bank *synth.Bank
}

func newBooth(t testing.TB, rate int) *booth {
	bank, err := synth.NewBank(rate, 1)
	if err != nil {
		t.Fatal(err)
	}
	return &booth{t, rate, bank}
}

// render returns both channels, interleaved, of the sounds of a trial; of one
// voice alone where it is named.
func (b *booth) render(sounds []ear.Sound, only passage.Voice, master float32) [][]float32 {
	b.t.Helper()
	plans, err := Plans(sounds, b.rate)
	if err != nil {
		b.t.Fatal(err)
	}
	var all [][]float32
	for i, plan := range plans {
		mix := Mix(sounds[i], master)
		for _, v := range plan.Passage.Voices() {
			if only.Valid() && v != only {
				mix.Levels[v] = 0
			}
		}
		pcm, err := synth.Render(plan, b.bank, mix)
		if err != nil {
			b.t.Fatal(err)
		}
		all = append(all, pcm)
	}
	return all
}

// lag returns how many frames what sounds in a from a frame on comes later in
// b, up to so many sooner or later: where the correlation is largest. Both are
// differenced first, so that attacks count and not the slow swing of a drum.
func lag(a, b []float32, from, most int) int {
	const window = 1500 // frames: an attack
	best, at := math.Inf(-1), 0
	for d := -most; d <= most; d++ {
		sum := 0.0
		for i := max(from, 1-d, 1); i < from+window && 2*i < len(a) && 2*(i+d) < len(b); i++ {
			sum += sharp(a, i) * sharp(b, i+d)
		}
		if sum > best {
			best, at = sum, d
		}
	}
	return at
}

// sharp returns the difference of a frame from the one before, of both channels.
func sharp(pcm []float32, frame int) float64 {
	i := 2 * frame
	return float64(pcm[i] + pcm[i+1] - pcm[i-2] - pcm[i-1])
}

// onset returns the first frame that is within 40 dB of the largest.
func onset(pcm []float32) int {
	const share = 0.01
	top := float32(0)
	for _, x := range pcm {
		top = max(top, x, -x)
	}
	for i, x := range pcm {
		if x > share*top || -x > share*top {
			return i / 2
		}
	}
	return len(pcm) / 2
}

// steps returns all steps of the library, as sources.
func steps() []ear.Source {
	var all []ear.Source
	for _, e := range exercises.Library() {
		for _, s := range e.Climb.Steps {
			all = append(all, ear.Source{Climb: e.Name, Title: s.Title, Passage: s.Passage})
		}
	}
	return all
}

// TestDisplacedByWhatIsSaid: in "ahead" the voice is displaced against the
// others by the milliseconds that are said, to a sample, in the direction that
// is said, whatever the tempo and the rate. Each voice is rendered alone in A
// and in B, and the two are laid over one another (the largest
// cross-correlation). 2 ms is the least that is asked for; 6 ms is what is just
// heard (Friberg & Sundberg 1995).
func TestDisplacedByWhatIsSaid(t *testing.T) {
	task, _ := ear.Named("ahead")
	all, seed := steps(), uint64(0)
	tempi, sizes := []int64{60, 97, 133, 190}, []float64{6, 2, 6, 17.5, 6, 41.5}
	n := 0
	for _, rate := range synth.Rates() {
		b := newBooth(t, rate)
		for _, bpm := range tempi {
			ms := sizes[n%len(sizes)]
			n++
			if testing.Short() && ms != 6 {
				continue
			}
			trial := fitting(t, task, all, bpm, ms, &seed)
			sample := 1000 / float64(rate)
			for voice, off := range b.offsets(trial, movedVoice(trial)) {
				want := trial.Made
				if trial.Yes() {
					want = -want
				}
				if math.Abs(off-want) > sample+1e-9 {
					t.Errorf("%s, %s at %d, %d Hz: the %s is %.3f ms from the %s, want %.1f",
						trial.Source.Climb, trial.Source.Title, bpm, rate, movedVoice(trial), off, voice, want)
				}
			}
		}
	}
}

// offsets measures by how many milliseconds a voice came later in B against
// each of the others. The sub swells and has no attack to be measured.
func (b *booth) offsets(trial ear.Trial, v passage.Voice) map[passage.Voice]float64 {
	most := (int(trial.Made) + 5) * b.rate / 1000
	later := map[passage.Voice]int{}
	for _, o := range trial.Sounds[0].Passage.Voices() {
		pair := b.render(trial.Sounds, o, quietly)
		if from := onset(pair[0]); o != passage.Sub && 2*from < len(pair[0]) {
			later[o] = lag(pair[0], pair[1], from, most)
		}
	}
	all := map[passage.Voice]float64{}
	for o, d := range later {
		if o != v {
			all[o] = float64(later[v]-d) * 1000 / float64(b.rate)
		}
	}
	if len(all) == 0 {
		b.t.Errorf("%s, %s: the %s has nothing to be heard against", trial.Source.Climb, trial.Source.Title, v)
	}
	return all
}

// fitting returns the first trial that can be made at a tempo.
func fitting(t *testing.T, task ear.Task, all []ear.Source, bpm int64, d float64, seed *uint64) ear.Trial {
	t.Helper()
	for range 1000 {
		*seed++
		source := all[*seed*7919%uint64(len(all))]
		p, err := source.Passage.AtTempo(meter.Int(bpm))
		if err != nil {
			continue
		}
		source.Passage = p
		if trial, err := task.Trial(source, d, *seed); err == nil && trial.Made == d {
			return trial
		}
	}
	t.Fatalf("no step of the library has a trial of %s at %g and %d", task.Name, d, bpm)
	return ear.Trial{}
}

// movedVoice returns the voice that the truth names.
func movedVoice(trial ear.Trial) passage.Voice {
	r, err := trial.Mark(trial.Right())
	if err != nil || len(r.Spans) != 1 {
		panic(fmt.Sprint(trial.Task.Name, err))
	}
	return r.Spans[0].Voices[0]
}
