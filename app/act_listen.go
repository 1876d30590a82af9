package app

import (
	"slices"
	"strconv"
	"strings"

	"stampmill/exercises/passage"
)

func init() {
	for name, act := range map[string]func(State, Acted) (State, []Effect){
		"listen-start":  startListening,
		"listen-end":    func(s State, _ Acted) (State, []Effect) { return endNow(s) },
		"listen-play":   pressPlay,
		"listen-slow":   func(s State, _ Acted) (State, []Effect) { return slowly(s) },
		"listen-choose": pressChoice,
		"listen-place":  pressPlace,
		"listen-tap":    func(s State, _ Acted) (State, []Effect) { return startTaps(s) },
		"listen-answer": func(s State, _ Acted) (State, []Effect) { return answered(s) },
		"listen-next":   func(s State, _ Acted) (State, []Effect) { return nextQuestion(s) },
		"listen-back":   func(s State, _ Acted) (State, []Effect) { return backToReady(s) },
		"listen-self":   func(s State, _ Acted) (State, []Effect) { return playItYourself(s) },

		"listen-sign":   writes(typeSign),
		"listen-clear":  writes(cleared),
		"listen-divide": writes(divided),
		"listen-undo":   writes(undone),
		"listen-redo":   writes(redone),

		"listen-minutes": func(s State, m Acted) (State, []Effect) {
			n, err := strconv.Atoi(m.Value)
			if err != nil || !within(n, 1, mostListening) {
				return s, nil
			}
			return with(s, func(x *Settings) { x.ListenMinutes = n })
		},
		"listen-task": turnTask,
	} {
		acts[name] = onListen(act)
	}
	acts["answers"] = func(s State, _ Acted) (State, []Effect) { return s, []Effect{SaveAnswers{answersName}} }
}

// onListen lets an act be done only on its page.
func onListen(act func(State, Acted) (State, []Effect)) func(State, Acted) (State, []Effect) {
	return func(s State, m Acted) (State, []Effect) {
		if s.Page != listenPath {
			return s, nil
		}
		return act(s, m)
	}
}

// answersName is the file of all answers.
const answersName = "answers.csv"

func pressPlay(s State, m Acted) (State, []Effect) {
	i, err := strconv.Atoi(m.Arg)
	if err != nil || i < 0 || i >= len(s.Listen.Trial.Sounds) {
		return s, nil
	}
	return playSound(s, i)
}

// pressChoice chooses "2", counted from 0, or "1:2" of the second ask that
// offers choices.
func pressChoice(s State, m Acted) (State, []Effect) {
	of, choice, two := strings.Cut(m.Arg, ":")
	if !two {
		of, choice = "0", m.Arg
	}
	ask, err1 := strconv.Atoi(of)
	n, err2 := strconv.Atoi(choice)
	if err1 != nil || err2 != nil {
		return s, nil
	}
	return s.choosing(ask, n), nil
}

// pressPlace takes a place such as "2.3".
func pressPlace(s State, m Acted) (State, []Effect) {
	bar, beat, _ := strings.Cut(m.Arg, ".")
	b, err1 := strconv.Atoi(bar)
	n, err2 := strconv.Atoi(beat)
	if err1 != nil || err2 != nil {
		return s, nil
	}
	return s.placed(passage.Place{Bar: b, Beat: n}), nil
}

// turnTask lets a task be asked, or no more. The last one stays.
func turnTask(s State, m Acted) (State, []Effect) {
	var names []string
	for _, name := range taskNames() {
		if s.Settings.asks(name) != (name == m.Arg) {
			names = append(names, name)
		}
	}
	switch len(names) {
	case 0:
		return s, nil
	case len(taskNames()):
		names = nil
	}
	return with(s, func(x *Settings) { x.ListenTasks = names })
}

// asks reports whether the player wants to be asked a task.
func (s Settings) asks(task string) bool {
	return len(s.ListenTasks) == 0 || slices.Contains(s.ListenTasks, task)
}
