package app

import (
	"fmt"
	"math"
	"strconv"

	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	"stampmill/exercises/staircase"
)

// The tempo that follows the player: a staircase over the takes of one step and
// part. Nothing of it is stored; the book of takes is folded anew.

// pace returns the tempo of the step and part that are chosen.
func (s State) pace() staircase.Pace { return s.paceOf(s.step()) }

func (s State) paceOf(st passage.Step) staircase.Pace {
	part := partIn(st.Passage, partNamed(s.Settings.Part)).String()
	name := s.entry().Name
	var trials []staircase.Trial
	for i := range s.Book { // entries are large, and books long
		e := &s.Book[i]
		if e.Title != st.Title || e.Exercise != name || e.Part != part {
			continue
		}
		if t, ok := e.Trial(); ok {
			trials = append(trials, t)
		}
	}
	return staircase.TempoWithin(trials, float64(goal(st)), staircase.BoundsOf(st.Passage))
}

// owned returns the highest tempo passed twice of each step of the climb, by
// title, in the part that is chosen.
func (s State) owned() map[string]int {
	type at struct {
		title string
		bpm   int
	}
	parts := map[string]string{}
	for _, st := range s.entry().Climb.Steps {
		parts[st.Title] = partIn(st.Passage, partNamed(s.Settings.Part)).String()
	}
	passes, owned := map[at]int{}, map[string]int{}
	for i := range s.Book {
		e := &s.Book[i]
		if !e.Passed || e.Exercise != s.entry().Name || e.Part != parts[e.Title] {
			continue
		}
		if t, ok := e.Trial(); ok {
			bpm := int(math.Round(t.Level))
			if passes[at{e.Title, bpm}]++; passes[at{e.Title, bpm}] >= 2 {
				owned[e.Title] = max(owned[e.Title], bpm)
			}
		}
	}
	return owned
}

// follows reports whether the tempo follows the player here.
func (s State) follows() bool { return s.Settings.Follow && !s.writing() }

// opening returns the tempo at which a step is opened: where the player last
// passed, or a little under the goal.
func (s State) opening() int {
	if !s.follows() {
		return slower(goal(s.step()))
	}
	return bounded(s.pace().Start())
}

// repaced sets the tempo of the step anew, where the player did not: takes have
// come into the book, or another part was chosen.
func repaced(s State) (State, []Effect) {
	if !s.follows() || s.Phase != Idle || s.Verdict != nil || s.Chosen || s.opening() == s.Tempo {
		return s, nil
	}
	s.Tempo = s.opening()
	if p, err := plan(s, ForTake); err == nil {
		return s, []Effect{Prepare{p}}
	}
	return s, nil
}

// paced returns what comes next after a take of the whole step, where the tempo
// follows the player: the same once more, faster or slower. What to do about
// some bars, or after the goal is reached, is said by the verdict.
func (s State) paced() (grade.Next, bool) {
	v := s.Verdict
	if !s.follows() || v.Loop != (Range{}) || v.Take.Stopped.OK {
		return grade.Next{}, false
	}
	if k := v.Next.Kind; k != grade.Slower && k != grade.Faster && k != grade.Again {
		return grade.Next{}, false
	}
	bpm := s.pace().BPM
	switch {
	case bpm < float64(v.Tempo):
		return grade.Next{Kind: grade.Slower, BPM: bpm}, true
	case bpm > float64(v.Tempo):
		return grade.Next{Kind: grade.Faster, BPM: bpm}, true
	}
	return grade.Next{Kind: grade.Again}, true
}

// slowerAction is a lower tempo: that of the staircase where it is lower, else a
// little under the one of the take.
func (s State) slowerAction() action {
	if bpm := int(s.pace().BPM); s.follows() && bpm < s.Tempo {
		return action{"faster", strconv.Itoa(bpm), fmt.Sprintf("Slower: %d", bpm), "S"}
	}
	return action{"slower", "", fmt.Sprintf("Slower: %d", slower(s.Tempo)), "S"}
}

// paceWords says why the tempo of the next take is what it is, and which tempo
// is owned; "" where the tempo does not follow.
func (s State) paceWords() string {
	if !s.follows() {
		return ""
	}
	p := s.pace()
	if p.Owned == 0 {
		return p.Why
	}
	return fmt.Sprintf("%s Owned: %.0f.", p.Why, p.Owned)
}

// openingWords says at which tempo a step that was played before starts, and
// why; a pass at the goal leads to the next step.
func openingWords(p staircase.Pace, goal int) string {
	words, start := p.Why, p.Start()
	if start != p.BPM {
		words = fmt.Sprintf("It starts at %.0f, where you last passed.", start)
		if p.Owned >= start && start < float64(goal) { // a pass there tells nothing new
			words += fmt.Sprintf(" One pass there, and it goes to %.0f.", p.BPM)
		}
	}
	if p.Owned > 0 {
		words += fmt.Sprintf(" Owned: %.0f.", p.Owned)
	}
	return words
}

// ownedWords is "Owned: 96. " or "".
func (s State) ownedWords() string {
	if p := s.pace(); s.follows() && p.Owned > 0 {
		return fmt.Sprintf("Owned: %.0f. ", p.Owned)
	}
	return ""
}
