package plan

import "fmt"

// why says why an item comes back: what was done with it, in order of time, the
// last of it ago days ago.
func why(done []Done, ago int) string {
	last := done[len(done)-1]
	when := daysAgo(ago)
	passed := passedTempi(done)
	switch {
	case last.Owned == 0 && len(passed) == 0:
		return fmt.Sprintf("Not passed yet, last played %s.", when)
	case last.Owned == 0 && len(passed) == 1:
		return fmt.Sprintf("Passed once, at %.0f, last played %s. A second pass at %.0f makes it yours.", passed[0], when, passed[0])
	case last.Owned == 0:
		return fmt.Sprintf("Passed at %d tempi, once each, last played %s. A second pass at one of them makes it yours.", len(passed), when)
	case last.Rating == Again:
		return fmt.Sprintf("You own %.0f, but it was not passed %s. It comes back to be made sure of.", last.Owned, when)
	case !last.Passed:
		return fmt.Sprintf("You own %.0f; more was tried %s. It comes back to see whether %.0f holds.", last.Owned, when, last.Owned)
	}
	return fmt.Sprintf("You own %.0f, last passed %s. It comes back to see whether it held.", last.Owned, when)
}

// workedOn says why an item is in the plan that is not due.
func workedOn(done []Done, ago int) string {
	last := done[len(done)-1]
	if last.Owned > 0 {
		return fmt.Sprintf("What you work on: you own %.0f, the goal is %.0f. Last played %s.", last.Owned, last.Goal, daysAgo(ago))
	}
	return fmt.Sprintf("What you work on: the goal is %.0f, and no tempo is owned yet. Last played %s.", last.Goal, daysAgo(ago))
}

// passedTempi are the tempi of the takes that were passed.
func passedTempi(done []Done) []float64 {
	var tempi []float64
	for _, d := range done {
		if d.Passed {
			tempi = append(tempi, d.Tempo)
		}
	}
	return tempi
}

func daysAgo(n int) string {
	switch {
	case n <= 0:
		return "today"
	case n == 1:
		return "yesterday"
	}
	return fmt.Sprintf("%d days ago", n)
}
