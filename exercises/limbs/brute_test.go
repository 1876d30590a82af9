package limbs

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A deed is what a limb does for one stroke, written out in full.
type deed struct {
	voice      passage.Voice
	choke      bool
	begin, end int64
	double     bool // a double in itself, or the second of one
}

// A trial tries every way to share tasks, one instant after the other, with
// everything each limb has done so far.
type trial struct {
	crew
	tasks []task
	done  [2][]deed
	cost  int32
	most  int   // tasks played at best
	least int32 // cost of playing so many
}

func (r *trial) all(from int) {
	if from > r.most || from == r.most && r.cost < r.least {
		r.most, r.least = from, r.cost
	}
	if from == len(r.tasks) {
		return
	}
	to := instant(r.tasks, from)
	for mask := range 1 << (to - from) {
		r.share(from, to, mask)
	}
}

// share tries one way to share an instant, and every way to go on.
func (r *trial) share(from, to, mask int) {
	done, cost := r.done, r.cost
	if r.play(from, to, mask) {
		r.all(to)
	}
	r.done, r.cost = done, cost
}

// play shares an instant: bit i of the mask is the limb of its task i. It
// reports whether that can be played.
func (r *trial) play(from, to, mask int) bool {
	var mains [2]*task
	var busy [2]bool
	for i := from; i < to; i++ {
		t, limb := &r.tasks[i], mask>>(i-from)&1
		if busy[limb] || t.graced() && busy[1-limb] || r.alone(t, limb) < 0 {
			return false
		}
		busy[limb], mains[limb] = true, t
		r.cost += r.alone(t, limb)
		if !r.do(limb, strokeOf(t)) {
			return false
		}
		if t.graced() {
			busy[1-limb] = true
			if r.alone(t, 1-limb) < 0 || !r.do(1-limb, gracesOf(t)) {
				return false
			}
		}
	}
	if mains[0] != nil && mains[1] != nil {
		r.cost += r.together(mains[0], mains[1])
	}
	return true
}

func strokeOf(t *task) deed {
	d := deed{t.voice, t.kind == passage.Choke, t.time, t.time, false}
	if t.voice == passage.Kick && t.kind == passage.Drag {
		d.begin, d.double = t.time-t.lead, true
	}
	return d
}

func gracesOf(t *task) deed {
	d := deed{voice: t.voice, begin: t.time - t.lead, end: t.time - t.lead}
	if t.kind == passage.Drag {
		d.end = t.time - t.lead/2
		if t.voice == passage.Kick {
			d.begin = d.end
		} else {
			d.double = true
		}
	}
	return d
}

// do adds a deed to what a limb has done, at its cost in haste; false if there
// is no time for it.
func (r *trial) do(limb int, d deed) bool {
	foot := r.limbs[0] == RightFoot
	if foot && d.double && d.end-d.begin+tolerance < footTwice {
		return false
	}
	if n := len(r.done[limb]); n > 0 {
		before := r.done[limb][n-1]
		need := r.needs[before.voice][d.voice]
		for _, choke := range []bool{before.choke, d.choke} {
			if choke && !foot {
				need.least, need.easy, need.twice = need.least+grab, need.easy+grab, 0
			}
		}
		gap := d.begin - before.end
		if gap+tolerance < need.least {
			if need.twice == 0 || gap+tolerance < need.twice || before.double {
				return false
			}
			d.double = true
			r.cost += rebound
		}
		r.cost += int32(max(0, need.easy-gap) / ms)
	}
	r.done[limb] = append(slices.Clone(r.done[limb]), d)
	return true
}

// smallParts draws passages of few strokes close together.
func smallParts() *rapid.Generator[passage.Passage] {
	return rapid.Custom(func(t *rapid.T) passage.Passage {
		bpm := meter.Int(int64(rapid.IntRange(60, 400).Draw(t, "tempo")))
		p := passage.Passage{Bars: []passage.Bar{{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: bpm}}}}
		voices := rapid.SliceOfNDistinct(rapid.SampledFrom(passage.Voices()[:10]), 1, 4, rapid.ID[passage.Voice]).Draw(t, "voices")
		cell := meter.R(1, int64(rapid.SampledFrom([]int{2, 3, 4, 8}).Draw(t, "cells")))
		for _, v := range voices {
			l := passage.Line{Voice: v}
			for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, 7), 0, 4, rapid.ID[int]).Draw(t, v.String()) {
				kind := rapid.SampledFrom(v.Kinds()).Draw(t, "kind")
				l.Strokes = append(l.Strokes, passage.Stroke{At: cell.Mul(meter.Int(int64(i))), Length: cell, Kind: kind})
			}
			slices.SortFunc(l.Strokes, func(a, b passage.Stroke) int { return a.At.Cmp(b.At) })
			p.Lines = append(p.Lines, l)
		}
		return p
	})
}

// Trying every assignment finds the same first place of failure and the same
// least cost, and the sticking returned has that cost.
func TestPlayIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := smallParts().Draw(t, "passage")
		time, _ := newTimeline(p)
		hand, foot := solvers(p, time, rapid.SampledFrom([]Pedals{Two, One}).Draw(t, "pedals"))
		for _, s := range []*solver{hand, foot} {
			r := trial{crew: s.crew, tasks: s.tasks}
			r.all(0)
			solved := s.solve()
			if cost := s.nodes[s.cheapest()].cost; solved != r.most || cost != r.least {
				t.Fatalf("%s: %d of %d tasks at cost %d; every way: %d at %d", s.limbs[0], solved, len(s.tasks), cost, r.most, r.least)
			}
			if cost := costOf(s, solved); cost != r.least {
				t.Fatalf("%s: the sticking costs %d, the least is %d", s.limbs[0], cost, r.least)
			}
		}
	})
}

// costOf plays the tasks as the solver says; -1 if that cannot be played.
func costOf(s *solver, solved int) int32 {
	who := s.best(solved)
	r := trial{crew: s.crew, tasks: s.tasks}
	for from := 0; from < solved; from = instant(s.tasks, from) {
		mask := 0
		for i := from; i < instant(s.tasks, from); i++ {
			mask |= int(who[i]-s.limbs[0]) << (i - from)
		}
		if !r.play(from, instant(s.tasks, from), mask) {
			return -1
		}
	}
	return r.cost
}

// What a clash names cannot be played, and nothing of it can be left out.
func TestCauseIsSmallest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := smallParts().Draw(t, "passage")
		time, _ := newTimeline(p)
		hand, foot := solvers(p, time, rapid.SampledFrom([]Pedals{Two, One}).Draw(t, "pedals"))
		for _, s := range []*solver{hand, foot} {
			solved := s.solve()
			if solved == len(s.tasks) {
				continue
			}
			cause := s.cause(s.tasks[:instant(s.tasks, solved)])
			if playable(s.crew, cause) {
				t.Fatalf("%v can be played", names(cause))
			}
			for i := range cause {
				if rest := slices.Delete(slices.Clone(cause), i, i+1); !playable(s.crew, rest) {
					t.Fatalf("%v: %s can be left out", names(cause), names(cause[i:i+1]))
				}
			}
		}
	})
}

func playable(c crew, ts []task) bool {
	r := trial{crew: c, tasks: ts}
	r.all(0)
	return r.most == len(ts)
}

// Stickings that drummers practise can be played, whether or not the solver
// would choose them.
func TestStickings(t *testing.T) {
	for _, c := range []struct {
		name     string
		millis   int64 // between strokes
		sticking string
		want     bool
	}{
		{"single strokes", 60, "RLRLRLRLRLRLRLRL", true},
		{"double strokes", 60, "RRLLRRLLRRLLRRLL", true},
		{"paradiddles", 70, "RLRRLRLLRLRRLRLL", true},
		{"paradiddle-diddles", 70, "RLRRLLRLRRLL", true},
		{"one hand, 10 a second", 100, "RRRRRRRR", true},
		{"one hand, faster", 90, "RRRRRRRR", false},
		{"three with one hand, fast", 70, "RRRL", false},
		{"single strokes, 25 a second", 40, "RLRLRL", false},
	} {
		r := trial{crew: hands()}
		ok := true
		for i, c2 := range c.sticking {
			r.tasks = append(r.tasks, task{voice: passage.Snare, kind: passage.Hit, time: int64(i) * c.millis * ms})
			limb := 0
			if c2 == 'L' {
				limb = 1
			}
			ok = ok && r.play(i, i+1, limb)
		}
		if ok != c.want {
			t.Errorf("%s every %d ms, %s: playable %t, want %t (common practice)", c.name, c.millis, c.sticking, ok, c.want)
		}
	}
}
