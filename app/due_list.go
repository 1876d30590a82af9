package app

import (
	"strconv"
	"strings"

	"stampmill/app/logbook"
	agenda "stampmill/exercises/plan"
)

// Minutes that a player has on a day, to choose from; our choice. agenda.MaxMinutes
// is the most.
var minuteChoices = []int{10, 15, 20, 30, 45, 60, 90}

const startMinutes = 20

// planTakes are the takes that say something of what is due: those of whole
// steps that could be graded.
func planTakes(book []logbook.Entry) []agenda.Take {
	takes := make([]agenda.Take, 0, len(book))
	for i := range book {
		e := &book[i]
		if _, ok := e.Trial(); !ok || e.Title == "" {
			continue
		}
		takes = append(takes, agenda.Take{
			Item: agenda.Item{Climb: e.Exercise, Title: e.Title, Part: e.Part}, At: e.At,
			Tempo: e.Tempo, Goal: e.Goal, Passed: e.Passed, Hits: float64(e.Matched) / float64(max(e.Expected, 1)),
			Misread: e.Misreading != "", Minutes: e.Minutes,
		})
	}
	return takes
}

// dueToday is what is due in the minutes that the player has, of the steps that
// are still here.
func dueToday(s State) []agenda.Task {
	takes := planTakes(s.Book)
	here, known := takes[:0], map[agenda.Item]bool{}
	for _, t := range takes {
		is, seen := known[t.Item]
		if !seen {
			is = s.here(t.Item)
			known[t.Item] = is
		}
		if is {
			here = append(here, t)
		}
	}
	return agenda.Due(agenda.History(here), s.Now, s.Settings.Minutes)
}

// here reports whether a step can be opened and its part be played: it is in
// the library, or in an exercise of the player's own, which is read when it is
// opened.
func (s State) here(i agenda.Item) bool {
	climb, step := s.find(i.Climb, i.Title)
	if climb < 0 {
		_, mine := own(i.Climb)
		return mine
	}
	st := s.Library[climb].Climb.Steps[step]
	return st.Title == i.Title && partIn(st.Passage, partNamed(i.Part)).String() == i.Part
}

// itemArg names an item as the act "due" reads it.
func itemArg(i agenda.Item) string { return i.Climb + "\n" + i.Title + "\n" + i.Part }

// openItem opens Practise on a step and a part, with the keyboard on Start.
func openItem(s State, m Acted) (State, []Effect) {
	names := strings.SplitN(m.Arg, "\n", 3)
	if len(names) != 3 {
		return s, nil
	}
	return practiseStep(s, names[0], names[1], names[2], Range{})
}

// practiseStep opens a step by its title, as one part, perhaps looped.
func practiseStep(s State, exercise, title, part string, loop Range) (State, []Effect) {
	i, step := s.find(exercise, title)
	if i < 0 {
		if id, mine := own(exercise); mine { // read from the shelf first
			s, effects := with(s, func(x *Settings) { x.Part = part })
			s.Target = "go"
			return s, append(effects, Fetch{ID: id, Practise: true, Step: s.lastStep(exercise, title)})
		}
		s.Notice = Notice{Fact: "This climb is not here any more."}
		return s, nil
	}
	s.Settings = s.Settings.clone()
	s.Settings.Part = part
	s, effects := toStep(s, i, step)
	s.Target = "go"
	if loop != (Range{}) {
		s, _ = loopTo(s, loop)
	}
	return s, append(effects, Go{"/practise/"})
}

// lastStep is the index of a step when it was last played; 0 where it never was.
func (s State) lastStep(exercise, title string) int {
	for i := len(s.Book) - 1; i >= 0; i-- {
		if e := &s.Book[i]; e.Exercise == exercise && e.Title == title {
			return max(e.Step-1, 0)
		}
	}
	return 0
}

// find returns the indexes of a step in the library, the climb's -1 where it is
// not here; a climb that has no such step any more is opened at its first.
func (s State) find(exercise, title string) (climb, step int) {
	for i, e := range s.Library {
		if e.Name != exercise {
			continue
		}
		for k, st := range e.Climb.Steps {
			if st.Title == title {
				return i, k
			}
		}
		return i, 0
	}
	return -1, 0
}

// climbTitle is the title of an exercise by the name that takes have for it.
func (s State) climbTitle(exercise string) string {
	if i, _ := s.find(exercise, ""); i >= 0 {
		return s.Library[i].Climb.Title
	}
	for _, e := range s.readable() {
		if ownName(e.ID) == exercise && e.Title != "" {
			return e.Title
		}
	}
	if _, mine := own(exercise); mine {
		return "An exercise of yours"
	}
	return exercise
}

// stepWord names a step for people: "step 5", or its title where the climb has
// no such step any more.
func (s State) stepWord(exercise, title string) string {
	i, k := s.find(exercise, title)
	if i >= 0 && k < len(s.Library[i].Climb.Steps) && s.Library[i].Climb.Steps[k].Title == title {
		return "step " + strconv.Itoa(k+1)
	}
	return title
}
