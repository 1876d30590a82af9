// Package plan says what is due today. The one idea: what was learned comes
// back when it is about to be forgotten, in short turns that alternate, as many
// as the player's minutes hold, with rests.
//
// Days are calendar days in the time zone of the moment that is given as now,
// tempi beats a minute, lengths minutes. Nothing is read from a clock and
// nothing is drawn by lot: the same history gives the same plan. Takes may come
// in any order, and at any time; one that lies after now counts as of today.
//
// Call [History] for what takes say of items, then [Due] for the tasks of a
// sitting, or [All] for all that is due with the reasons.
//
// When an item comes back is reckoned by FSRS version 6 (the module
// github.com/open-spaced-repetition/go-fsrs/v4, behind this package only), with
// its own weights and a retention of 0.9, one review a day. It was fitted to
// cards of facts, not to hands and feet: that it serves a rhythm is our choice.
//
// What is known of the order: Carter & Grahn 2016, "Optimizing music learning",
// Front. Psychol. 7 1251, had 10 clarinettists learn pieces for 12 minutes each,
// in one block or in turns of 3 minutes; where the ratings of three professionals
// differed, the turns were favoured (that clause from memory). A small study
// speaks against it: 19 beginners, 18 minutes in one block, in turns or in both,
// and no main effect of the order on accuracy a day later. Guadagnoli & Lee 2004,
// "Challenge point", J. Mot. Behav. 36 212-224, relate learning to difficulty and
// skill and give no number. So the evidence for alternating is thin, and that a
// plan alternates, in turns of three minutes, two of them, with a rest after
// four, is our choice.
package plan

import (
	"math"
	"sort"
	"time"
)

// An Item is what is learned: a step of a climb, played as one part.
type Item struct {
	Climb, Title, Part string // name of the climb, title of the step, part as it is stored
}

func (a Item) before(b Item) bool {
	switch {
	case a.Climb != b.Climb:
		return a.Climb < b.Climb
	case a.Title != b.Title:
		return a.Title < b.Title
	}
	return a.Part < b.Part
}

// A Done is an item that was played once, with what it says of the memory.
type Done struct {
	Item    Item
	At      time.Time
	Rating  Rating
	Passed  bool
	Tempo   float64 // played
	Owned   float64 // highest tempo passed twice, this take included; 0 for none
	Goal    float64 // written; 0 where it is not known
	Minutes float64 // played
}

// A Task is one thing to do.
type Task struct {
	Item    Item
	Why     string  // in words: why it comes today
	Minutes float64 // to be given to it, listening and reading included
	Rest    bool    // a rest: no item
	Late    int     // days since it was due, 0 on the day
	Working bool    // it is not due, but what the player works on
	Turn    int     // 1 or 2, of the day
}

// Turns and rests. The turn of three minutes is that of Carter & Grahn 2016;
// all else is our choice. Rests: players name excessive or suddenly raised load
// as a main cause of injury, and advice to teachers names breaks and pacing
// (Chan & Ackermann 2014, Front. Psychol. 5 706); no number is given there.
const (
	TurnMinutes = 3.0
	turnPlayed  = 1.5  // minutes of takes that make a turn: the rest of it is hearing and reading
	turns       = 2    // of an item a day
	restAfter   = 12.0 // minutes of turns
	restMinutes = 2.0
	secondWords = "Once more, after other things."
	restWords   = "Two minutes for hands, feet and ears. Stop for today if anything hurts."
)

// MaxMinutes is the longest sitting that is planned; our choice.
const MaxMinutes = 120

// Due returns the tasks of a sitting of the given minutes: what is due by now
// and was not played enough today, the most forgotten first, then what the
// player works on: the item of each climb played last, until it was passed at
// its goal. Turns alternate, neighbours are from different climbs where there
// are any, and there are rests.
// It is never longer than minutes; what does not fit is due again tomorrow.
func Due(history []Done, now time.Time, minutes int) []Task {
	return fit(due(history, now), min(float64(minutes), MaxMinutes))
}

// All returns a first turn of everything that [Due] chooses from, in order of
// what comes first.
func All(history []Done, now time.Time) []Task {
	var all []Task
	for _, w := range due(history, now) {
		all = append(all, w.task(1))
	}
	return all
}

// A waiting item is one that is due.
type waiting struct {
	item   Item
	why    string
	late   int     // under 0: not due, but worked on
	recall float64 // probability of recall today, by FSRS
	played int     // turns of today
}

func (w waiting) task(turn int) Task {
	if turn > 1 {
		w.why = secondWords
	}
	return Task{Item: w.item, Why: w.why, Minutes: TurnMinutes, Late: max(0, w.late), Turn: turn, Working: w.late < 0}
}

// due returns what is due and not played enough today, the most forgotten
// first. What is due goes by the days before, so that a plan holds all day.
func due(history []Done, now time.Time) []waiting {
	today := dayOf(now, now.Location())
	items := byItem(history, now)
	last := lastPlayed(items, today, now.Location())
	var all []waiting
	for _, past := range items {
		before, rest := split(past, today, now.Location())
		if len(before) == 0 {
			continue
		}
		m := remember(before, now.Location())
		w := waiting{item: before[0].Item, late: today - m.due, recall: m.recall(today), played: turnsIn(rest)}
		working := last[w.item.Climb] == w.item && unreached(before)
		if w.late < 0 && !working || w.played >= turns {
			continue
		}
		w.why = why(before, today-m.last)
		if w.late < 0 {
			w.why = workedOn(before, today-m.last)
		}
		all = append(all, w)
	}
	sort.Slice(all, func(i, j int) bool {
		a, b := all[i], all[j]
		switch {
		case a.late < 0 != (b.late < 0):
			return b.late < 0
		case a.recall != b.recall:
			return a.recall < b.recall
		}
		return a.item.before(b.item)
	})
	return all
}

// lastPlayed returns the item of each climb that was played last before a day.
func lastPlayed(items [][]Done, day int, zone *time.Location) map[string]Item {
	last := map[string]Done{}
	for _, past := range items {
		before, _ := split(past, day, zone)
		if len(before) == 0 {
			continue
		}
		d := before[len(before)-1]
		if was, seen := last[d.Item.Climb]; !seen || d.At.After(was.At) {
			last[d.Item.Climb] = d
		}
	}
	of := map[string]Item{}
	for climb, d := range last {
		of[climb] = d.Item
	}
	return of
}

// unreached reports whether an item has a goal at which it was never passed.
func unreached(done []Done) bool {
	for _, d := range done {
		if d.Rating == Easy {
			return false
		}
	}
	return done[len(done)-1].Goal > 0
}

// byItem returns the history of each item in order of time, items in order.
func byItem(history []Done, now time.Time) [][]Done {
	of := map[Item][]Done{}
	for _, d := range history {
		if d.At.IsZero() || d.Item == (Item{}) {
			continue
		}
		if d.At.After(now) {
			d.At = now
		}
		of[d.Item] = append(of[d.Item], d)
	}
	var all [][]Done
	for _, past := range of {
		if earlier := func(i, j int) bool { return past[i].At.Before(past[j].At) }; !sort.SliceIsSorted(past, earlier) {
			sort.SliceStable(past, earlier)
		}
		all = append(all, past)
	}
	sort.Slice(all, func(i, j int) bool { return all[i][0].Item.before(all[j][0].Item) })
	return all
}

// split parts what was done in order of time at the beginning of a day.
func split(past []Done, day int, zone *time.Location) (before, from []Done) {
	n := sort.Search(len(past), func(i int) bool { return dayOf(past[i].At, zone) >= day })
	return past[:n], past[n:]
}

// turnsIn returns how many turns were played.
func turnsIn(done []Done) int {
	minutes := 0.0
	for _, d := range done {
		if d.Minutes > 0 && !math.IsInf(d.Minutes, 0) {
			minutes += d.Minutes
		}
	}
	return int(min(minutes/turnPlayed, turns))
}

// dayOf numbers the calendar day of a moment in a time zone.
func dayOf(at time.Time, zone *time.Location) int {
	y, m, d := at.In(zone).Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / daySeconds)
}

const daySeconds = 24 * 60 * 60
