package limbs

import (
	"slices"
	"sort"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A task is one stroke that a hand or a foot has to play.
type task struct {
	voice passage.Voice
	kind  passage.Kind
	at    meter.Rat
	time  int64 // ns
	lead  int64 // ns from the first grace note to the stroke; 0 without
	run   bool  // a drum's, with another stroke of a drum of the same crew close by

	strength strength // in a run
}

// A strength is what a stroke stands on.
type strength uint8

const (
	between  strength = iota
	onEighth          // eighths from the beat before
	onBeat
)

// graced reports whether the stroke takes both limbs.
func (t *task) graced() bool { return t.kind == passage.Flam || t.kind == passage.Drag }

// takes is how many limbs the stroke takes.
func (t *task) takes() int {
	if t.graced() {
		return 2
	}
	return 1
}

// tasks lists the strokes of a passage that are a hand's, or a foot's, in
// order of time, then of lines' voices. It merges the lines, which is linear.
func tasks(p passage.Passage, time timeline, mine func(passage.Voice, passage.Kind) bool) []task {
	var lines [][]task
	n := 0
	for _, l := range p.Lines {
		if of := lineTasks(l, time, mine); len(of) > 0 {
			lines = append(lines, of)
			n += len(of)
		}
	}
	all := make([]task, 0, n)
	for len(lines) > 0 {
		next := 0
		for i := range lines {
			if order(&lines[i][0], &lines[next][0]) < 0 {
				next = i
			}
		}
		all = append(all, lines[next][0])
		if lines[next] = lines[next][1:]; len(lines[next]) == 0 {
			lines = slices.Delete(lines, next, next+1)
		}
	}
	return all
}

// order compares by time, then by voice.
func order(a, b *task) int {
	switch {
	case a.time != b.time && a.time < b.time:
		return -1
	case a.time != b.time:
		return 1
	}
	return int(a.voice) - int(b.voice)
}

// lineTasks lists the tasks of one line. Strokes without a place, or that the
// voice does not play, are left out; strokes out of order are sorted.
func lineTasks(l passage.Line, time timeline, mine func(passage.Voice, passage.Kind) bool) []task {
	out := make([]task, 0, len(l.Strokes))
	c := clock{timeline: time}
	sorted := true
	for _, s := range l.Strokes {
		if s.At.Valid() && l.Voice.Plays(s.Kind) && mine(l.Voice, s.Kind) {
			t := task{voice: l.Voice, kind: s.Kind, at: s.At, time: c.time(s.At)}
			sorted = sorted && (len(out) == 0 || out[len(out)-1].time <= t.time)
			out = append(out, t)
		}
	}
	if !sorted {
		sort.SliceStable(out, func(i, j int) bool { return order(&out[i], &out[j]) < 0 })
	}
	for i := range out {
		out[i].lead = leads[out[i].kind]
		if i > 0 {
			out[i].lead = min(out[i].lead, (out[i].time-out[i-1].time)/2)
		}
	}
	return out
}

// markRuns finds, among the tasks of a crew, the drums with another drum closer
// than so many nanoseconds, and what they stand on.
func markRuns(ts []task, closer int64, beats []passage.Beat) {
	last := -1 // the latest drum
	for i := range ts {
		if !isDrum(ts[i].voice) {
			continue
		}
		if last >= 0 && ts[i].time-ts[last].time < closer {
			ts[i].run, ts[last].run = true, true
		}
		last = i
	}
	for i := range ts {
		if !ts[i].run {
			continue
		}
		for len(beats) > 1 && !ts[i].at.Less(beats[1].At) {
			beats = beats[1:]
		}
		if len(beats) > 0 {
			ts[i].strength = strengthOf(ts[i].at.Sub(beats[0].At))
		}
	}
}

func strengthOf(into meter.Rat) strength {
	switch {
	case into.Sign() == 0:
		return onBeat
	case meter.R(1, 2).Divides(into):
		return onEighth
	}
	return between
}
