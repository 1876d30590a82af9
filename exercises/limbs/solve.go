package limbs

import "stampmill/exercises/passage"

// A last is what a limb did last: the index of a task, whether it played its
// grace notes, and whether that was the second of a double. It is free when
// nothing it did matters any more.
type last int32

const free last = -1

func doing(task int, grace, double bool) last {
	l := last(task) << 2
	if grace {
		l |= 2
	}
	if double {
		l |= 1
	}
	return l
}

func (l last) task() int    { return int(l >> 2) }
func (l last) grace() bool  { return l&2 != 0 }
func (l last) double() bool { return l&1 != 0 }

// A node is one state of the crew after an instant: what each limb did last,
// the least cost at which that can be, and the node it comes from.
type node struct {
	last [2]last
	cost int32 // milliseconds of haste
	from int32
}

// A solver finds who plays what. Its layers hold, for each instant, every state
// that the crew can be in; a state is as old as its memory, so layers are
// small and the work is linear.
type solver struct {
	crew
	tasks []task
	nodes []node // layer after layer, the first is a single node with free limbs
	layer int32  // first node of the newest layer
}

// solve plays as many tasks as can be played, and returns how many: all, or
// those before the first instant at which no state is left.
func (s *solver) solve() int {
	s.nodes = append(s.nodes[:0], node{last: [2]last{free, free}, from: -1})
	s.layer = 0
	for from := 0; from < len(s.tasks); {
		to := instant(s.tasks, from)
		if !s.step(from, to) {
			return from
		}
		from = to
	}
	return len(s.tasks)
}

// instant returns the end of the tasks at the same time as the given one.
func instant(ts []task, from int) int {
	to := from + 1
	for to < len(ts) && ts[to].time == ts[from].time {
		to++
	}
	return to
}

// step makes the layer after the tasks of one instant; false if it is empty.
func (s *solver) step(from, to int) bool {
	lo, hi := s.layer, int32(len(s.nodes))
	s.layer = hi
	for n := lo; n < hi; n++ {
		switch {
		case to-from == 1 && s.tasks[from].graced():
			s.try(n, doing(from, false, false), doing(from, true, false))
			s.try(n, doing(from, true, false), doing(from, false, false))
		case to-from == 1:
			s.try(n, doing(from, false, false), free)
			s.try(n, free, doing(from, false, false))
		case to-from == 2 && !s.tasks[from].graced() && !s.tasks[from+1].graced():
			s.try(n, doing(from, false, false), doing(from+1, false, false))
			s.try(n, doing(from+1, false, false), doing(from, false, false))
		}
	}
	if s.layer == int32(len(s.nodes)) {
		s.layer = lo // the newest layer that is not empty
		return false
	}
	return true
}

// try adds the state in which the limbs of node n go on to the given tasks, if
// they can.
func (s *solver) try(n int32, right, left last) {
	next := node{last: [2]last{right, left}, cost: s.nodes[n].cost, from: n}
	for limb, to := range next.last {
		before := s.nodes[n].last[limb]
		if to == free {
			next.last[limb] = s.forget(before, max(right, left).task())
			continue
		}
		cost, ok := s.move(limb, before, &next.last[limb])
		if !ok {
			return
		}
		next.cost += cost
	}
	if right != free && left != free {
		next.cost += s.together(&s.tasks[right.task()], &s.tasks[left.task()])
	}
	s.add(next)
}

// forget frees a limb from what no longer matters at the time of a task.
func (s *solver) forget(l last, now int) last {
	if l != free && s.tasks[now].time-s.tasks[l.task()].time > memory {
		return free
	}
	return l
}

// move returns what it costs a limb to go on from one task to another, and
// marks the second of a double; false if it cannot.
func (s *solver) move(limb int, before last, to *last) (int32, bool) {
	t := &s.tasks[to.task()]
	cost := s.alone(t, limb)
	begin, end, double := s.span(*to)
	if cost < 0 || s.limbs[0] == RightFoot && double && end-begin+tolerance < footTwice {
		return 0, false
	}
	if to.grace() {
		cost = 0
	}
	if before != free {
		n := s.need(&s.tasks[before.task()], t)
		_, ended, _ := s.span(before)
		gap := begin - ended
		if gap+tolerance < n.least {
			if n.twice == 0 || gap+tolerance < n.twice || before.double() {
				return 0, false
			}
			double = true
			cost += rebound
		}
		cost += haste(gap, n)
	}
	*to = doing(to.task(), to.grace(), double)
	return cost, true
}

// haste is what a gap costs: the milliseconds that it is shorter than easy.
func haste(gap int64, n need) int32 { return int32(max(0, n.easy-gap) / ms) }

// need is the time from one task to the next of the same limb; a hand that
// takes hold of a cymbal needs more.
func (s *solver) need(from, to *task) need {
	n := s.needs[from.voice][to.voice]
	if s.limbs[0] == RightHand {
		n = n.holding(from).holding(to)
	}
	return n
}

// span is when a limb begins and ends what it does, and whether that is a
// double in itself. The other hand plays both graces of a drag; feet take
// turns, because none kicks so fast.
func (s *solver) span(l last) (begin, end int64, double bool) {
	t := &s.tasks[l.task()]
	first, second := t.time-t.lead, t.time-t.lead/2
	drag, kick := t.kind == passage.Drag, t.voice == passage.Kick
	switch {
	case drag && kick && l.grace():
		return second, second, false
	case drag && kick:
		return first, t.time, true
	case drag && l.grace():
		return first, second, true
	case l.grace():
		return first, first, false
	}
	return t.time, t.time, false
}

// add puts a state into the newest layer, or its lower cost.
func (s *solver) add(next node) {
	for i := s.layer; i < int32(len(s.nodes)); i++ {
		if s.nodes[i].last == next.last {
			if next.cost < s.nodes[i].cost {
				s.nodes[i] = next
			}
			return
		}
	}
	s.nodes = append(s.nodes, next)
}

// best returns who plays each of the tasks solved, at the least cost of all, in
// the order of tasks; of equals always the same.
func (s *solver) best(solved int) []Limb {
	out := make([]Limb, solved)
	n := s.cheapest()
	for to := solved; to > 0; n = s.nodes[n].from {
		from := to - 1
		for from > 0 && s.tasks[from-1].time == s.tasks[from].time {
			from--
		}
		for limb, l := range s.nodes[n].last {
			if l != free && l.task() >= from && !l.grace() {
				out[l.task()] = s.limbs[limb]
			}
		}
		to = from
	}
	return out
}

// cheapest returns the node of the newest layer with the least cost.
func (s *solver) cheapest() int32 {
	best := s.layer
	for i := range s.nodes[s.layer:] {
		if n := s.layer + int32(i); s.nodes[n].cost < s.nodes[best].cost {
			best = n
		}
	}
	return best
}
