package player

import (
	"context"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"

	"stampmill/exercises/change"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// Unnamed is what a take is named that no misreading was found in.
const Unnamed = ""

// A Trial is a take of a made-up player who misreads a step, and what grading
// named.
type Trial struct {
	Climb    string // its title
	Step     int    // from 1
	Kind     string // of the truth
	Text     string // of the truth
	SpreadMS float64
	Take     int    // which take of this truth, from 1
	Named    string // the kind named; Unnamed for none
	NamedAs  string // its text
	Right    bool   // what was named is played as the truth is; of a clean take: nothing was named
	Odds     float64
}

// Trials say which takes are made to be confused. Its zero numbers mean the
// defaults beside them.
type Trials struct {
	Climbs    []passage.Climb
	Part      []passage.Voice // nil: every voice but the click; steps without one of them are passed over
	OneKey    bool            // taps name no voice
	SpreadsMS []float64       // 5, 10, 15, 25
	Passes    int             // 4
	Each      int             // texts of each entry in each step: 1
	Most      int             // truths of each step, chosen by the seed: all
	Takes     int             // of each truth at each spread: 1
	CleanEach int             // clean takes of each step at each spread: 8
	Seed      uint64
}

// The defaults of [Trials].
var defaultSpreadsMS = []float64{5, 10, 15, 25}

const (
	defaultPasses = 4
	defaultClean  = 8
)

// trialDelayMS is the delay of the input, which is known: where it is not, a
// part that comes late as a whole may as well be the device's. Our choice.
const trialDelayMS = 20

func (o Trials) withDefaults() Trials {
	if len(o.SpreadsMS) == 0 {
		o.SpreadsMS = defaultSpreadsMS
	}
	if o.Passes == 0 {
		o.Passes = defaultPasses
	}
	if o.CleanEach == 0 {
		o.CleanEach = defaultClean
	}
	o.Each, o.Takes = max(o.Each, 1), max(o.Takes, 1)
	return o
}

// Confuse makes the takes and has each graded, on all processors, and gives
// each trial to each as it comes, one after the other, with how many of how
// many steps are done; the trials of a step come together, but the steps in any
// order. The same seed makes the same trials. It stops early, with the error
// of ctx, when that is done.
func Confuse(ctx context.Context, o Trials, each func(done, of int, trials []Trial)) error {
	o = o.withDefaults()
	jobs := o.jobs()
	work := make(chan int)
	var mu sync.Mutex
	var group sync.WaitGroup
	done := 0
	for range min(runtime.GOMAXPROCS(0), len(jobs)) {
		group.Go(func() {
			for i := range work {
				trials := o.step(ctx, jobs[i], rand.New(rand.NewPCG(o.Seed, uint64(i))))
				mu.Lock()
				if ctx.Err() == nil {
					done++
					each(done, len(jobs), trials)
				}
				mu.Unlock()
			}
		})
	}
	for i := range jobs {
		if ctx.Err() == nil {
			work <- i
		}
	}
	close(work)
	group.Wait()
	return ctx.Err()
}

// Steps returns how many steps there are to try.
func (o Trials) Steps() int { return len(o.jobs()) }

// A job is a step of a climb.
type job struct {
	climb passage.Climb
	n     int // from 0
}

// jobs lists the steps that have the part.
func (o Trials) jobs() []job {
	var all []job
	for _, c := range o.Climbs {
		for n, s := range c.Steps {
			voices := s.Passage.Voices()
			if !slices.ContainsFunc(o.Part, func(v passage.Voice) bool { return !slices.Contains(voices, v) }) {
				all = append(all, job{c, n})
			}
		}
	}
	return all
}

// step returns the trials of one step.
func (o Trials) step(ctx context.Context, j job, rng *rand.Rand) []Trial {
	p := j.climb.Steps[j.n].Passage
	take := grade.Take{
		Exercise: j.climb.Title, Step: j.n + 1, Tempo: p.Bars[0].Tempo.BPM.Float(),
		Passes: o.Passes, Part: o.Part, Input: grade.Simulated, LatencyMS: trialDelayMS,
	}
	truths, err := Truths(j.climb.Steps, j.n, take, o.OneKey, o.Each, rng)
	if err != nil {
		return nil // a step in which the part has no strokes
	}
	asked, _ := grade.Expect(p, take, o.OneKey)
	if o.Most > 0 && len(truths) > o.Most {
		rng.Shuffle(len(truths), func(i, j int) { truths[i], truths[j] = truths[j], truths[i] })
		truths = truths[:o.Most]
	}
	truths = append(truths, slices.Repeat([]Truth{{Kind: Clean, Played: asked}}, o.CleanEach)...)
	t := task{j.climb.Steps, j.n, take, o.OneKey, asked}
	var all []Trial
	for _, spread := range o.SpreadsMS {
		for _, truth := range truths {
			for k := range o.Takes {
				if ctx.Err() != nil {
					return nil
				}
				trial := t.trial(truth, spread, rng)
				trial.Climb, trial.Take = j.climb.Title, k+1
				all = append(all, trial)
			}
		}
	}
	return all
}

// trial plays a truth and grades the take.
func (t task) trial(truth Truth, spreadMS float64, rng *rand.Rand) Trial {
	trial := Trial{Step: t.n + 1, Kind: truth.Kind, Text: truth.Text, SpreadMS: spreadMS, Right: truth.Kind == Clean}
	take := t.take
	take.Taps = Simulate(truth.Played, Options{SpreadMS: spreadMS, OneKey: t.one, LatencyMS: trialDelayMS}, rng)
	v, err := grade.Grade(t.steps[t.n].Passage, take, grade.Options{Steps: t.steps, Step: t.n + 1})
	if err != nil || v.Misreading == nil {
		return trial
	}
	m := v.Misreading
	trial.Named, trial.NamedAs, trial.Odds = t.kindOf(m.Change), m.Change, m.Odds
	trial.Right = truth.Kind != Clean && t.means(m.Change, truth)
	return trial
}

// named returns the truth that the text of a misreading stands for; false where
// its strokes are not known.
func (t task) named(text string, loop Loop) (Truth, bool) {
	if c, err := change.Parse(text); err == nil {
		return t.misread(c.Entry.Name, text, loop)
	}
	p, slips, err := Misread(t.steps, t.n, text)
	if err != nil {
		return Truth{}, false
	}
	if len(slips) == 0 {
		return t.truth(OldStep, text, p, loop)
	}
	return t.slip(slips[0]), true
}

// kindOf returns the kind of truth that a text names.
func (t task) kindOf(text string) string {
	for _, loop := range []Loop{Run, Again} {
		if truth, ok := t.named(text, loop); ok {
			return truth.Kind
		}
	}
	return text
}

// means reports whether a text names what is played in a truth.
func (t task) means(text string, truth Truth) bool {
	for _, loop := range []Loop{Run, Again} {
		if named, ok := t.named(text, loop); ok && named.same(truth) {
			return true
		}
	}
	return text == truth.Text
}
