package ear

import (
	"math"
	"math/rand/v2"
	"sort"
	"strconv"
	"time"
)

// A Session says what is asked in one sitting. Treat it as a value.
type Session struct {
	Seed    uint64
	Minutes float64  // 0: [SessionMinutes]
	Tasks   []string // names of the tasks to be asked; nil: all
	// What the player can do now: tap, and write on a strip. Tasks that want
	// what is not there are not asked.
	Taps, Strip bool
}

// SessionMinutes is how long a session lasts unless set. Our choice.
const SessionMinutes = 10

// How many questions of one task come in a row, at least and at most. Our
// choice: the first is for finding into the task, and after three another one
// is a rest.
const (
	leastRun = 2
	mostRun  = 3
)

// A Turn is the next question of a session: what [Next] wants besides the
// sources.
type Turn struct {
	Task Task
	D    float64
	Seed uint64
}

// Next returns the next question of the session. All are the answers of
// earlier sessions, here those of this one, both in order of time; all may
// hold those of here as well. Over is true once the time that was spent is up,
// or where nothing can be asked. Tasks that no source fits are the caller's to
// take out of Tasks.
func (s Session) Next(all, here []Done, spent time.Duration) (turn Turn, over bool) {
	can := s.can()
	if spent.Minutes() >= s.minutes() || len(can) == 0 {
		return Turn{}, true
	}
	task := s.task(can, earlier(all, here), here)
	now := task.After(triedOf(task.Name, together(all, here)))
	return Turn{Task: task, D: task.Scale.Of(now.Level), Seed: s.chance("turn", len(here)).Uint64()}, false
}

func (s Session) minutes() float64 {
	if s.Minutes > 0 && !math.IsInf(s.Minutes, 0) {
		return s.Minutes
	}
	return SessionMinutes
}

// can returns the tasks of the session that the player can answer.
func (s Session) can() []Task {
	var all []Task
	for _, t := range Tasks() {
		if s.wants(t.Name) && (t.Answered != Taps || s.Taps) && (t.Answered != Strip || s.Strip) {
			all = append(all, t)
		}
	}
	return all
}

func (s Session) wants(name string) bool {
	for _, t := range s.Tasks {
		if t == name {
			return true
		}
	}
	return s.Tasks == nil
}

// task returns the task of the next question: the last one again until its run
// is over, then one of those that have rested longest.
func (s Session) task(can []Task, before, here []Done) Task {
	last, run := lastRun(here)
	rng := s.chance("run", len(here)-run)
	most := leastRun + rng.IntN(mostRun-leastRun+1)
	rested := byRest(can, before, here)
	for i, t := range rested {
		if t.Name != last {
			continue
		}
		if run < most || len(rested) == 1 {
			return t
		}
		rested = append(rested[:i], rested[i+1:]...)
		break
	}
	return rested[restedOne(rng, len(rested))]
}

// restedOne returns one of n, the first more often; see order.
func restedOne(rng *rand.Rand, n int) int {
	u := rng.Float64()
	return int(u * u * float64(min(n, restedAmong)))
}

// restedAmong is among how many of the tasks that rested longest one is taken.
// Our choice: enough that sessions differ.
const restedAmong = 3

// chance returns the source of chance of the n-th of something.
func (s Session) chance(of string, n int) *rand.Rand {
	return random(of+" "+strconv.Itoa(n), s.Seed)
}

// lastRun returns the task asked last and how often in a row.
func lastRun(here []Done) (name string, run int) {
	for i := len(here) - 1; i >= 0 && (run == 0 || here[i].Task == name); i-- {
		name, run = here[i].Task, run+1
	}
	return name, run
}

// byRest returns the tasks, those first that were asked longest ago: not at
// all, then in earlier sessions, then in this one.
func byRest(can []Task, before, here []Done) []Task {
	asked := map[string]int{}
	for i, d := range before {
		asked[d.Task] = i + 1
	}
	for i, d := range here {
		asked[d.Task] = len(before) + i + 1
	}
	sort.SliceStable(can, func(i, j int) bool { return asked[can[i].Name] < asked[can[j].Name] })
	return can
}

// triedOf returns what of some answers counts for a task.
func triedOf(name string, all []Done) []Tried {
	var tried []Tried
	for _, d := range all {
		if d.Task == name {
			tried = append(tried, d.Tried)
		}
	}
	return tried
}

// TriedOf returns what of some answers counts for a task, as [Threshold] and
// [Task.After] take it.
func TriedOf(t Task, all []Done) []Tried { return triedOf(t.Name, all) }

// A trialID tells answers apart.
type trialID struct {
	task string
	seed uint64
	at   int64
}

func (d Done) id() trialID { return trialID{d.Task, d.Seed, d.At.UnixNano()} }

// earlier returns the answers that are not of this session.
func earlier(all, here []Done) []Done {
	these := map[trialID]bool{}
	for _, d := range here {
		these[d.id()] = true
	}
	var kept []Done
	for _, d := range all {
		if !these[d.id()] {
			kept = append(kept, d)
		}
	}
	return kept
}

// together returns all answers, those of this session last.
func together(all, here []Done) []Done { return append(earlier(all, here), here...) }
