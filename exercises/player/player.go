// Package player makes up players whose timing is known, to try grading with.
//
// The one idea: a made-up player is what is written plus a model of human
// timing plus a source of randomness, which is an argument, so that the same
// seed plays the same take. Options are in milliseconds, times in seconds,
// early negative. Call [Play] for the taps of a take of a passage, [Simulate]
// for those of any strokes; [Synchronise] and [Continue] are two models of
// tapping from the literature. [Truths] lists ways to misread a step, and
// [Confuse] holds what grading names against them. [Practise] makes up the takes
// of a learner over some days.
package player

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// Options say how a made-up player plays. The zero value plays as written.
// Whatever is added leaves the rest of the take as it was with the same seed.
type Options struct {
	LeanMS    float64 // mean error, early negative
	SpreadMS  float64 // standard deviation of the error, at least 0
	DriftBPM  float64 // how much faster than the tempo of the take, which stays above 1
	Miss      float64 // chance of leaving a stroke out, 0 to 1
	Extra     float64 // chance of one tap too many for each stroke, 0 to 1
	LatencyMS float64 // delay of the input, added to every tap
	OneKey    bool    // taps name no voice, and strokes at one place are one

	Slips   []Slip  // time lost or played twice; of a whole take, not of some of its bars
	Habits  []Habit // what is done otherwise in some places
	Uneven  float64 // how far triplets come out as 3:3:2, 0 (even) to 1
	Phase   *Phase  // errors of one who follows what is heard, on top of lean and spread
	Touch   *Touch  // strengths; nil: the input has none
	Release *Release
	Grace   Grace
}

// Play returns the taps of a player of the passage p, which is whole and at its
// written tempo; tempo, part, bars and passes are those of the take. The errors
// are those of [grade.Expect].
func Play(p passage.Passage, t grade.Take, o Options, rng *rand.Rand) ([]grade.Tap, error) {
	return PlayInstead(p, p, t, o, rng)
}

// PlayInstead is Play for a player who plays the passage q in the place of p:
// at the same speed, and until the take is over as p is written (see
// [Instead]). Slips are those of the take of p.
func PlayInstead(p, q passage.Passage, t grade.Take, o Options, rng *rand.Rand) ([]grade.Tap, error) {
	e, err := Instead(p, q, t, o.OneKey, Run)
	if err != nil {
		return nil, err
	}
	for _, s := range o.Slips {
		e = s.Of(e, q, t.Tempo)
	}
	return newPlayer(q, e, o, rng).taps(), nil
}

// within narrows the part of a take to voices of a passage; false where it has
// none of them.
func within(p passage.Passage, t grade.Take) (grade.Take, bool) {
	if len(t.Part) == 0 {
		return t, true
	}
	have := p.Voices()
	t.Part = slices.DeleteFunc(slices.Clone(t.Part), func(v passage.Voice) bool { return !slices.Contains(have, v) })
	return t, len(t.Part) > 0
}

// Simulate plays what is expected, of which only the times are known: no grace
// strokes, no uneven triplets, plain hits throughout. Extra taps fall anywhere
// in the take. Taps carry the voice of their stroke, the first where it has
// several, and come in order of time.
func Simulate(e grade.Expected, o Options, rng *rand.Rand) []grade.Tap {
	return newPlayer(passage.Passage{}, e, o, rng).taps()
}

// A player plays one take.
type player struct {
	o     Options
	e     grade.Expected
	p     passage.Passage
	rng   *rand.Rand
	notes []note
	all   []grade.Tap
}

// A note is a stroke as it comes to be played.
type note struct {
	onset   grade.Onset
	stroke  passage.Stroke // of the first voice; a hit where only its time is known
	seconds float64        // when it is played, latency left out
	missed  bool
}

func newPlayer(p passage.Passage, e grade.Expected, o Options, rng *rand.Rand) *player {
	pl := &player{o: o, e: e, p: p, rng: rng, notes: make([]note, len(e.Onsets))}
	written := strokesAt(p)
	for i, onset := range e.Onsets {
		pos := e.Positions[onset.Position]
		n := note{onset: onset, stroke: passage.Stroke{At: pos.At, Kind: passage.Hit}, seconds: onset.Seconds * pl.pace()}
		if s, ok := written[place{pos.Voices.Voices()[0], pos.At}]; ok {
			n.stroke = s
		}
		pl.notes[i] = n
	}
	return pl
}

// pace returns in how many seconds a written second is played.
func (pl *player) pace() float64 { return pl.e.Tempo / max(pl.e.Tempo+pl.o.DriftBPM, 1) }

// taps plays the notes. Each of the parts draws its chances for all notes
// before the next does.
func (pl *player) taps() []grade.Tap {
	pl.plain()
	pl.uneven()
	pl.follow()
	pl.habits()
	for _, n := range pl.notes {
		if !n.missed {
			pl.all = append(pl.all, pl.tap(n))
		}
	}
	pl.release()
	pl.touch()
	pl.graces()
	slices.SortStableFunc(pl.all, func(a, b grade.Tap) int { return cmp.Compare(a.Seconds, b.Seconds) })
	return pl.all
}

func (pl *player) tap(n note) grade.Tap {
	tap := grade.Tap{Seconds: n.seconds + pl.o.LatencyMS/1000}
	if !pl.o.OneKey {
		tap.Voice = pl.voice(n)
	}
	return tap
}

func (pl *player) voice(n note) passage.Voice {
	return pl.e.Positions[n.onset.Position].Voices.Voices()[0]
}

// plain gives each note its error, leaves some out, and puts taps too many
// anywhere.
func (pl *player) plain() {
	end := 0.0
	if n := len(pl.notes); n > 0 {
		end = float64(pl.notes[n-1].onset.Pass) * pl.e.PassSeconds
	}
	for i := range pl.notes {
		n := &pl.notes[i]
		n.seconds += (pl.o.LeanMS + pl.o.SpreadMS*pl.rng.NormFloat64()) / 1000
		n.missed = pl.rng.Float64() < pl.o.Miss
		stray := *n
		stray.seconds = pl.rng.Float64() * end
		if pl.rng.Float64() < pl.o.Extra {
			pl.all = append(pl.all, pl.tap(stray))
		}
	}
}

// follow adds the errors of one who follows what is heard: one for all strokes
// at one time.
func (pl *player) follow() {
	if pl.o.Phase == nil {
		return
	}
	var times []float64
	for _, n := range pl.notes {
		times = append(times, n.onset.Seconds)
	}
	slices.Sort(times)
	times = slices.Compact(times)
	played := Synchronise(times, *pl.o.Phase, pl.rng)
	for i := range pl.notes {
		k, _ := slices.BinarySearch(times, pl.notes[i].onset.Seconds)
		pl.notes[i].seconds += played[k] - times[k]
	}
}
