package ear

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
)

// evening is when the sessions of the tests begin.
var evening = time.Date(2026, 1, 31, 18, 0, 0, 0, time.UTC)

// answered returns what is kept of a turn that was answered, half a minute
// after the n-th before it.
func answered(turn Turn, n int, right bool) Done {
	return Done{
		Task: turn.Task.Name, Seed: turn.Seed, D: turn.D, At: evening.Add(time.Duration(n) * 30 * time.Second), Took: 20 * time.Second,
		Tried: Tried{D: turn.D, Chance: .5, Right: right}, By: Marker,
	}
}

// sit answers so many turns of a session.
func sit(s Session, all []Done, n int, right func(Turn) bool) []Done {
	var here []Done
	for len(here) < n {
		turn, over := s.Next(all, here, 0)
		if over {
			break
		}
		here = append(here, answered(turn, len(all)+len(here), right(turn)))
	}
	return here
}

func always(Turn) bool { return true }

func TestSessionMixesTasks(t *testing.T) {
	for seed := range uint64(20) {
		here := sit(Session{Seed: seed, Taps: true, Strip: true}, nil, 40, always)
		tasks, run, last := map[string]int{}, 0, ""
		for i, d := range here {
			tasks[d.Task]++
			if d.Task == last {
				run++
			} else {
				if i > 0 && (run < leastRun || run > mostRun) {
					t.Errorf("seed %d: %d of %s in a row", seed, run, last)
				}
				run, last = 1, d.Task
			}
		}
		if len(tasks) != len(Tasks()) {
			t.Errorf("seed %d: 40 questions are of %d tasks: %v", seed, len(tasks), tasks)
		}
		if again := sit(Session{Seed: seed, Taps: true, Strip: true}, nil, 40, always); !reflect.DeepEqual(again, here) {
			t.Errorf("seed %d: another session", seed)
		}
	}
}

func TestSessionAsksWhatCanBeAnswered(t *testing.T) {
	for _, c := range []struct {
		name string
		s    Session
		want []string // of all that may be asked; nil: the session is over at once
	}{
		{"no taps, no strip", Session{}, []string{"same", "what", "where", "ahead", "tempo", "count"}},
		{"no strip", Session{Taps: true}, []string{"same", "what", "where", "tap", "beat", "ahead", "tempo", "count", "silence"}},
		{"some", Session{Tasks: []string{"tempo", "write"}, Strip: true}, []string{"write", "tempo"}},
		{"one", Session{Tasks: []string{"where"}}, []string{"where"}},
		{"taps only, but none", Session{Tasks: []string{"tap", "beat"}}, nil},
		{"none", Session{Tasks: []string{}}, nil},
		{"unknown", Session{Tasks: []string{"oboe"}}, nil},
	} {
		var got []string
		for _, d := range sit(c.s, nil, 60, always) {
			if !slices.Contains(got, d.Task) {
				got = append(got, d.Task)
			}
		}
		slices.Sort(got)
		slices.Sort(c.want)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: asks %v, want %v", c.name, got, c.want)
		}
	}
}

func TestSessionEnds(t *testing.T) {
	for _, c := range []struct {
		minutes float64
		spent   time.Duration
		over    bool
	}{
		{0, 0, false},
		{0, 9*time.Minute + 59*time.Second, false},
		{0, SessionMinutes * time.Minute, true},
		{3, 3 * time.Minute, true},
		{15, 14 * time.Minute, false},
		{math.NaN(), SessionMinutes * time.Minute, true},
		{-1, time.Minute, false},
		{math.Inf(1), SessionMinutes * time.Minute, true},
	} {
		if _, over := (Session{Minutes: c.minutes}).Next(nil, nil, c.spent); over != c.over {
			t.Errorf("%g minutes after %v: over %v, want %v", c.minutes, c.spent, over, c.over)
		}
	}
}

// What was not asked for long comes before what was asked of late, and the
// level of a task goes on from session to session; answers of this session
// among the earlier ones count once.
func TestSessionGoesOn(t *testing.T) {
	s := Session{Seed: 4, Taps: true, Strip: true}
	all := sit(Session{Seed: 1, Taps: true, Strip: true}, nil, 15, always)
	before := map[string]bool{}
	for _, d := range all {
		before[d.Task] = true
	}
	turn, _ := s.Next(all, nil, 0)
	if before[turn.Task.Name] {
		t.Errorf("%s was asked last time; %d tasks were not", turn.Task.Name, len(Tasks())-len(before))
	}
	one := Session{Seed: 2, Tasks: []string{"ahead"}}
	first := sit(one, nil, 10, always)
	turn, _ = one.Next(first, nil, 0)
	here := sit(one, first, 5, func(Turn) bool { return false })
	apart, _ := one.Next(first, here, 0)
	mixed, _ := one.Next(append(slices.Clone(first), here...), here, 0)
	if turn.D != here[0].D || turn.D >= aheadStart || apart.D <= turn.D || !reflect.DeepEqual(apart.D, mixed.D) || apart.Seed != mixed.Seed {
		t.Errorf("after ten right answers %g ms; after five wrong ones %g, or %g where they are counted twice", turn.D, apart.D, mixed.D)
	}
}

func TestSummary(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	hears := func(ms float64) func(Turn) bool {
		return func(turn Turn) bool { return turn.D > ms || rng.IntN(2) == 0 }
	}
	s := Session{Seed: 3, Tasks: []string{"ahead"}}
	before := sit(s, nil, 60, hears(20))
	for _, c := range []struct {
		name      string
		s         Session
		all, here []Done
		task      string
		want      []string // in this order
	}{
		{"nothing", s, nil, nil, "", []string{"Nothing was answered."}},
		{"few answers", s, nil, sit(s, nil, 6, always), "ahead", []string{"6 questions, 6 right, in 3 minutes.", "Ahead or behind: 6 of 6 right; 14 more answers and a threshold can be told.", "14 more answers and its threshold can be told."}},
		{"the hardest that was right", Session{Tasks: []string{"where"}}, nil, heardStrokes(), "where", []string{"Where: 2 of 3 right, the hardest at 1 stroke; 17 more answers and a threshold can be told."}},
		{"finer than before", s, before, sit(s, before, 100, hears(5)), "ahead", []string{"100 questions", "Ahead or behind: ", " ms, between ", " before)", "right here"}},
		{"as before", s, before, sit(s, before, 2, always), "", []string{"from 62 answers; 2 of 2 right here."}},
		{"one always said", Session{Tasks: []string{"same"}}, nil, leaning(), "same", []string{"80 questions, 40 right", "Same or changed: you answer \"The same\" more often than it is so.", "Same or changed again: 40 of 80 right."}},
	} {
		sum := c.s.End(c.all, c.here)
		text := strings.Join(append(slices.Clone(sum.Lines), sum.Next), "\n")
		if len(sum.Lines) < 1 || len(sum.Lines) > mostLines || sum.Next == "" {
			t.Errorf("%s: %+v", c.name, sum)
		}
		if _, ok := Named(sum.Task); !ok && sum.Task != "" || c.task != "" && sum.Task != c.task {
			t.Errorf("%s: next is %q, want %q", c.name, sum.Task, c.task)
		}
		rest := text
		for _, want := range c.want {
			i := strings.Index(rest, want)
			if i < 0 {
				t.Errorf("%s says\n%s\nand lacks %q", c.name, text, want)
				break
			}
			rest = rest[i+len(want):]
		}
	}
}

// heardStrokes are answers about two strokes and about one that were right, and
// about a half one that was not.
func heardStrokes() []Done {
	var all []Done
	for n, d := range []float64{2, 1, 0.5} {
		one := answered(Turn{Task: where(), D: d}, n, d >= 1)
		one.Tried.Made = d
		all = append(all, one)
	}
	return all
}

// leaning are answers of somebody who always says that A and B are the same.
func leaning() []Done {
	var all []Done
	for n := range 80 {
		d := answered(Turn{Task: same(), D: 8, Seed: uint64(n)}, n, n%2 == 0)
		d.Tried.Yes = n%2 == 1
		all = append(all, d)
	}
	return all
}
