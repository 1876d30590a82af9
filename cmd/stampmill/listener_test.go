package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"stampmill/exercises/ear"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// A made-up listener knows of a trial what --json tells: what is asked, and
// when what sounds. It hears that with an error of its own, from which its
// threshold follows, and answers with --answer.
var listeners = []struct {
	task      string
	threshold float64 // difficulty at which it is right at the rate that the staircase holds
	answer    func(told heardTrial, rng *rand.Rand) ear.Answer
}{
	// Right where the error is smaller than the displacement: Φ(ms / error), so
	// 75 % at 0.6745 errors (the normal distribution).
	{"ahead", 9, func(told heardTrial, rng *rand.Rand) ear.Answer {
		return chosenIf(told.displaced()+9/0.6745*rng.NormFloat64() < 0)
	}},
	{"tempo", 3, func(told heardTrial, rng *rand.Rand) ear.Answer {
		return chosenIf(told.faster()+3/0.6745*rng.NormFloat64() > 0)
	}},
	// Every beat of the silence is off by an error that adds up: after n beats
	// by its root of n. 75 % are within w where w is 1.1503 standard deviations.
	{"silence", 4, func(told heardTrial, rng *rand.Rand) ear.Answer {
		const beats, within = 4 * 4, 0.6 / 8
		return told.kept(within/1.1503/math.Sqrt(beats), rng)
	}},
}

// heardTrial is what a listener takes in of a trial.
type heardTrial struct {
	Sounds []struct {
		Seconds map[string][]float64
		Length  float64
		Silent  string
		Passes  int
	}
	Asks []struct{ Question string }
}

func chosenIf(first bool) ear.Answer {
	if first {
		return ear.Answer{Choice: []int{0}}
	}
	return ear.Answer{Choice: []int{1}}
}

// displaced returns how many milliseconds the voice that is asked about comes
// after the others, more than in A.
func (h heardTrial) displaced() float64 {
	a, b := h.Sounds[0].Seconds, h.Sounds[1].Seconds
	var asked, others float64
	for name := range a {
		v, _ := passage.VoiceNamed(name)
		if later := 1000 * (b[name][0] - a[name][0]); strings.Contains(h.Asks[0].Question, " "+v.Spoken()+" ") {
			asked = later
		} else {
			others = later
		}
	}
	return asked - others
}

// faster returns by how many percent B is faster than A.
func (h heardTrial) faster() float64 { return 100 * (h.Sounds[0].Length/h.Sounds[1].Length - 1) }

// kept taps every beat of a passage in four beats a bar at 100, with an error
// that adds up while it is silent.
func (h heardTrial) kept(each float64, rng *rand.Rand) ear.Answer {
	const beat, bar = 0.6, 4
	var heard, silent int
	fmt.Sscanf(h.Sounds[0].Silent, "%d+%d", &heard, &silent)
	var a ear.Answer
	off := 0.0
	for i := range int(h.Sounds[0].Length/beat + 0.5) {
		if i > heard*bar && i <= (heard+silent)*bar {
			off += each * rng.NormFloat64()
		}
		a.Taps = append(a.Taps, grade.Tap{Seconds: float64(i)*beat + off})
	}
	return a
}

// TestListenersFindTheirThreshold: made-up listeners whose thresholds are known
// answer on the command line, the staircase goes by what comes out, and the
// estimate holds their threshold and is near it. With ears like these, half of
// all estimates from so many trials lie within 15 % (measured).
func TestListenersFindTheirThreshold(t *testing.T) {
	const trials = 160
	for i, l := range listeners {
		task, ok := ear.Named(l.task)
		if !ok {
			t.Fatalf("there is no task %s", l.task)
		}
		rng := rand.New(rand.NewPCG(uint64(i), 5))
		var all []ear.Tried
		for seed := range trials {
			d := task.Scale.Of(task.After(all).Level)
			args := []string{"ear", l.task, "headframe", "--step", []string{"1", "2", "3"}[seed%3], "--json",
				"--seed", fmt.Sprint(seed), "--difficulty", fmt.Sprint(d)}
			all = append(all, answered(t, args, func(told heardTrial) ear.Answer { return l.answer(told, rng) }))
		}
		e := ear.Threshold(task, all)
		near := math.Abs(math.Log2(e.D / l.threshold))
		if !e.OK || e.Low > l.threshold || e.High < l.threshold || near > 0.5 {
			t.Errorf("%s: a listener with a threshold of %g comes out with %s (%s)", l.task, l.threshold, e.Says(task.Scale), e.Why)
		}
	}
}

// answered has a trial made, answered and marked on the command line.
func answered(t *testing.T, args []string, answer func(heardTrial) ear.Answer) ear.Tried {
	t.Helper()
	out, stderr, code := call(t, "", args...)
	var told heardTrial
	if err := json.Unmarshal([]byte(out), &told); code != exitDone || err != nil {
		t.Fatalf("%v: exit %d, %s, %v", args, code, stderr, err)
	}
	text, err := json.Marshal(answer(told))
	if err != nil {
		t.Fatal(err)
	}
	out, stderr, code = call(t, string(text), append(args, "--answer", "-")...)
	var result toldResult
	if err := json.Unmarshal([]byte(out), &result); code != exitDone || err != nil {
		t.Fatalf("%v, %s: exit %d, %s, %v", args, text, code, stderr, err)
	}
	tried := result.Tried
	return ear.Tried{D: tried.Difficulty, Made: tried.Made, Chance: tried.Chance, Yes: tried.Yes, Right: tried.Right}
}
