package player

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/staircase"
)

// A Course is what a learner practises, and when.
type Course struct {
	Pieces []Piece
	Days   int       // 1 to MaxDays
	Until  time.Time // the last day; times of takes are in its zone
	Seed   uint64
}

// MaxDays is the longest course. Our choice: what one may want to see a year of.
const MaxDays = 366

// A Piece is a climb under the name that takes give it.
type Piece struct {
	Name  string
	Climb passage.Climb
}

// A Practised take is one of a learner.
type Practised struct {
	At    time.Time // when it ended
	Piece int       // index in the course
	Take  grade.Take
}

// How a learner is and gets better. All of it our choice, so that two weeks look
// like those of somebody who gets on: slowly, with bad days.
const (
	firstAbility  = 0.72 // tempo that is just in reach on a new climb, as a share of the written one
	mostAbility   = 1.15 // the same after long practice
	gainPerTake   = 0.035
	lossPerDay    = 0.03  // share of what was won that a day away takes
	carriedToNext = 0.75  // share of what was won on a step that serves the next
	firstLeanMS   = -16.0 // wears off ...
	lastLeanMS    = -3.0
	leanTakes     = 70.0 // ... over so many takes
	unevenTakes   = 18.0 // takes with triplets over which they come from 3:3:2 to even, ...
	evenReach     = 0.4  // and the share of what is in reach at which they are even at once
	weakLateMS    = 24.0 // how late the weak place comes, ...
	weakMiss      = 0.3  // how often it is missed, ...
	weakTakes     = 400.0
	calmSpreadMS  = 8.0 // spread far below the limit, ...
	limitSpreadMS = 8.0 // and how much more at the limit
	learnerDelay  = 38.5
)

// A learner is one in the middle of a course.
type learner struct {
	course Course
	rng    *rand.Rand
	pieces []*learnt
	takes  int
	out    []Practised
}

// learnt is what a learner knows of one climb.
type learnt struct {
	Piece
	index   int
	part    []passage.Voice
	oneKey  bool
	weak    meter.Rat
	step    int // from 0, the one that is practised
	ability []float64
	trials  [][]staircase.Trial
	tuplets int       // takes with triplets so far
	last    time.Time // when it was practised
}

// Practise makes up the takes of a learner over some days, in order of time:
// sessions of 10 to 40 minutes with days off between them, a climb or two in
// turn, each step at the tempo that the staircase asks for until it is owned at
// the written tempo. The learner begins early and slow, plays triplets as 3:3:2
// and has a weak place in each climb; all of it gets better. The same course
// gives the same takes.
func Practise(c Course) ([]Practised, error) {
	if c.Days < 1 || c.Days > MaxDays {
		return nil, fmt.Errorf("%d days are outside 1 to %d; choose a number inside", c.Days, MaxDays)
	}
	l := learner{course: c, rng: rand.New(rand.NewPCG(c.Seed, 14))}
	for i, piece := range c.Pieces {
		k, err := l.meet(i, piece)
		if err != nil {
			return nil, err
		}
		l.pieces = append(l.pieces, k)
	}
	y, m, d := c.Until.Date()
	for day := c.Days - 1; day >= 0 && len(l.pieces) > 0; day-- {
		if !l.dayOff(day) {
			minutes := time.Duration(10+l.rng.IntN(31)) * time.Minute
			start := time.Date(y, m, d-day, 16, 0, 0, 0, c.Until.Location()).Add(time.Duration(l.rng.IntN(180)) * time.Minute)
			if err := l.session(start, start.Add(minutes)); err != nil {
				return nil, err
			}
		}
	}
	return l.out, nil
}

// dayOff decides about a day, counted back from the last: about two of seven
// are free, the first and the last never.
func (l *learner) dayOff(day int) bool {
	free := l.rng.Float64() < 2./7
	return free && day != 0 && day != l.course.Days-1
}

// meet opens a climb for the first time: the kick where every step has it, else
// what the first step has, and a place to stumble at.
func (l *learner) meet(index int, piece Piece) (*learnt, error) {
	k := &learnt{Piece: piece, index: index, part: learnersPart(piece.Climb), oneKey: index%2 == 0}
	if !k.oneKey && len(k.part) > 1 { // a player takes two voices over on one key
		k.part = k.part[:1]
	}
	steps := piece.Climb.Steps
	e, err := grade.Expect(steps[len(steps)/2].Passage, k.take(0, 60, 1), k.oneKey)
	if err != nil {
		return nil, err
	}
	k.weak = e.Positions[l.rng.IntN(len(e.Positions))].At
	k.ability = make([]float64, len(steps))
	k.trials = make([][]staircase.Trial, len(steps))
	k.ability[0] = firstAbility
	return k, nil
}

// learnersPart chooses the voices that a learner takes over: kick and guitar,
// as far as every step has strokes of them; else all.
func learnersPart(c passage.Climb) []passage.Voice {
	var part []passage.Voice
	for _, v := range []passage.Voice{passage.Kick, passage.Guitar} {
		if !slices.ContainsFunc(c.Steps, func(s passage.Step) bool {
			line, ok := s.Passage.Line(v)
			return !ok || !slices.ContainsFunc(line.Strokes, passage.Stroke.Sounds)
		}) {
			part = append(part, v)
		}
	}
	return part
}

func (k *learnt) take(step int, bpm float64, passes int) grade.Take {
	return grade.Take{
		Exercise: k.Name, Step: step + 1, Tempo: bpm, Passes: passes, Part: k.part,
		Input: "keyboard", LatencyMS: learnerDelay,
	}
}

// session practises until its time is over: a climb or two in turn.
func (l *learner) session(now, end time.Time) error {
	first := l.rng.IntN(len(l.pieces))
	for turn := 0; now.Before(end); turn++ {
		k := l.pieces[(first+turn%2)%len(l.pieces)]
		k.forget(now)
		stop := now.Add(time.Duration(4+l.rng.IntN(6)) * time.Minute)
		for now.Before(stop) && now.Before(end) {
			took, err := l.once(k, now)
			if err != nil {
				return err
			}
			pause := time.Duration(5+l.rng.IntN(20)) * time.Second
			now = now.Add(took + pause)
		}
		k.last = now
	}
	return nil
}

// forget takes some of what was won away for the days since the last practice.
func (k *learnt) forget(now time.Time) {
	if k.last.IsZero() {
		return
	}
	days := now.Sub(k.last).Hours() / 24
	for i, a := range k.ability {
		k.ability[i] = max(a-(a-firstAbility)*(1-math.Pow(1-lossPerDay, days)), min(a, firstAbility))
	}
}

// Sizes of a take and its count-in, our choice: about twenty seconds.
const (
	takeSeconds    = 20.0
	fewestPasses   = 2
	mostPasses     = 8
	countInSeconds = 3
)

// once plays a take of the step that is being practised, now and then of the
// one before, and learns from it.
func (l *learner) once(k *learnt, now time.Time) (time.Duration, error) {
	step := k.step
	if step > 0 && l.rng.Float64() < .12 {
		step--
	}
	p := k.Climb.Steps[step].Passage
	written := p.Bars[0].Tempo.BPM.Float()
	bpm := k.tempo(step)
	take := k.take(step, bpm, 1)
	e, err := grade.Expect(p, take, k.oneKey)
	if err != nil {
		return 0, err
	}
	take.Passes = int(min(max(math.Round(takeSeconds/e.PassSeconds), fewestPasses), mostPasses))
	if take.Taps, err = Play(p, take, l.options(k, step, bpm/written), l.rng); err != nil {
		return 0, err
	}
	for i := range take.Taps {
		take.Taps[i].Seconds = math.Round(1e6*take.Taps[i].Seconds) / 1e6 // no input tells more
	}
	took := time.Duration((countInSeconds + float64(take.Passes)*e.PassSeconds) * float64(time.Second)).Round(time.Millisecond)
	l.out = append(l.out, Practised{now.Add(took), k.index, take})
	v, err := grade.Grade(p, take, grade.Options{NoSearch: true})
	if err != nil {
		return 0, err
	}
	l.learn(k, step, bpm, v.Passed)
	return took, nil
}

// tempo returns that at which a step is played next; the first time a learner
// goes below what is written.
func (k *learnt) tempo(step int) float64 {
	p := k.Climb.Steps[step].Passage
	written, bounds := p.Bars[0].Tempo.BPM.Float(), staircase.BoundsOf(p)
	if len(k.trials[step]) == 0 {
		return min(max(math.Round(.8*written), math.Ceil(bounds.Low)), math.Floor(bounds.High))
	}
	return min(staircase.TempoWithin(k.trials[step], written, bounds).BPM, written)
}

// learn counts a take.
func (l *learner) learn(k *learnt, step int, bpm float64, passed bool) {
	l.takes++
	k.trials[step] = append(k.trials[step], staircase.Trial{Level: bpm, Passed: passed})
	k.ability[step] += gainPerTake * (mostAbility - k.ability[step])
	if hasTriplets(k.Climb.Steps[step].Passage, k.part) {
		k.tuplets++
	}
	written := k.Climb.Steps[step].Passage.Bars[0].Tempo.BPM.Float()
	if step == k.step && step+1 < len(k.ability) && staircase.Tempo(k.trials[step], written).Owned >= math.Round(written) {
		k.step++
		won := k.ability[step] - firstAbility
		k.ability[k.step] = firstAbility + carriedToNext*won
	}
}

// options returns how the learner plays at a share of the written tempo.
func (l *learner) options(k *learnt, step int, tempo float64) Options {
	reach := tempo / k.ability[step]
	faults := .008 + .2*max(0, reach-.9)
	fading := func(takes int, over float64) float64 { return math.Exp(-float64(takes) / over) }
	weak := fading(l.takes, weakTakes)
	return Options{
		LeanMS:   lastLeanMS + (firstLeanMS-lastLeanMS)*fading(l.takes, leanTakes),
		SpreadMS: calmSpreadMS + limitSpreadMS*reach*reach*reach,
		Miss:     faults, Extra: faults / 2,
		LatencyMS: learnerDelay, OneKey: k.oneKey,
		Uneven: fading(k.tuplets, unevenTakes) * min(max((reach-evenReach)/(1-evenReach), 0), 1),
		Habits: []Habit{{At: []meter.Rat{k.weak}, LeanMS: weakLateMS * weak, Miss: weakMiss * weak}},
		Grace:  Grace{Missing: 1}, // on a key
	}
}

// hasTriplets reports whether the part has any.
func hasTriplets(p passage.Passage, part []passage.Voice) bool {
	return slices.ContainsFunc(p.Tuplets(), func(t passage.Tuplet) bool {
		return t.Cells == len(evenShares) && slices.ContainsFunc(t.Voices, func(v passage.Voice) bool {
			return len(part) == 0 || slices.Contains(part, v)
		})
	})
}
