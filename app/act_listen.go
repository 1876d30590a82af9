package app

func init() {
	for name, act := range map[string]func(State, Acted) (State, []Effect){
		"listen-start":   func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-end":     func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-play":    func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-slow":    func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-choose":  func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-place":   func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-tap":     func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-answer":  func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-next":    func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-self":    func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-minutes": func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-task":    func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-sign":    func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-clear":   func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-divide":  func(s State, _ Acted) (State, []Effect) { return s, nil },
		"listen-undo":    func(s State, _ Acted) (State, []Effect) { return s, nil },
	} {
		acts[name] = act
	}
}
