package plan

// fit chooses as many turns as the minutes hold: first turns before second
// ones, the most forgotten first. Then it orders each round, so that turns
// alternate.
func fit(all []waiting, minutes float64) []Task {
	if len(all) > 0 && minutes > 0 && minutes < TurnMinutes {
		only := all[0].task(all[0].played + 1)
		only.Minutes = minutes
		return []Task{only}
	}
	room := turnsWithin(minutes)
	var tasks []Task
	since := 0.0 // minutes of turns since the last rest
	for turn := 1; turn <= turns; turn++ {
		round := waitingFor(all, turn)
		round = round[:min(room, len(round))]
		room -= len(round)
		for len(round) > 0 {
			i := after(tasks, round)
			if since+TurnMinutes > restAfter {
				tasks = append(tasks, Task{Rest: true, Why: restWords, Minutes: restMinutes})
				since = 0
			} else if len(tasks) > 0 && tasks[len(tasks)-1].Item == round[i].item {
				return tasks // nothing else is due: a second turn at once would be a block
			}
			tasks = append(tasks, round[i].task(turn))
			since += TurnMinutes
			round = append(append([]waiting(nil), round[:i]...), round[i+1:]...)
		}
	}
	return tasks
}

// turnsWithin returns how many turns the minutes hold, rests included.
func turnsWithin(minutes float64) int {
	const block = restAfter + restMinutes
	blocks := int(minutes / block)
	rest := min(minutes-float64(blocks)*block, restAfter)
	return blocks*int(restAfter/TurnMinutes) + int(max(rest, 0)/TurnMinutes)
}

func waitingFor(all []waiting, turn int) []waiting {
	var round []waiting
	for _, w := range all {
		if w.played < turn {
			round = append(round, w)
		}
	}
	return round
}

// after returns which of a round comes after tasks: the first of another climb
// than the last task; where there is none, the first of another item; else the
// first.
func after(tasks []Task, round []waiting) int {
	if len(tasks) == 0 {
		return 0
	}
	last := tasks[len(tasks)-1].Item
	for i, w := range round {
		if w.item.Climb != last.Climb {
			return i
		}
	}
	for i, w := range round {
		if w.item != last {
			return i
		}
	}
	return 0
}
