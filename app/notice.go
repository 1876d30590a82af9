package app

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/app/transport"
)

// words is the notice as text.
func (n Notice) words() string { return strings.TrimSpace(n.Fact + " " + n.Mend) }

// say adds a quiet notice once.
func say(all []Notice, n Notice) []Notice {
	if slices.Contains(all, n) {
		return all
	}
	return append(slices.Clip(all), n)
}

// takeDropped ends what is said of a take that could not go on.
const takeDropped = "so this take was dropped."

// soundStopped ends what is said of a sound alone.
const soundStopped = "so it stopped."

// halts is what is said when the sound came to an end by itself; dropped is
// what became of what it was for.
func halts(why transport.Notice, dropped string) Notice {
	again := Notice{Act: "start", Label: "Start again"}
	if dropped == takeDropped {
		again.Mend = "Earlier takes are safe."
	}
	switch why {
	case transport.NeedsPress:
		return Notice{Fact: "The browser waits for a press before it plays sound.", Mend: "Start will do.", Act: "start", Label: "Start"}
	case transport.NoOutput:
		return Notice{Fact: "There is no sound output here.", Mend: "Plug in or choose one, then start again.", Act: "start", Label: "Start again"}
	case transport.WentHidden:
		again.Fact = "The page went out of sight, " + dropped
	case transport.WasSuspended:
		again.Fact = "The system held the sound back, " + dropped
	case transport.OutputLost:
		again.Fact = "The sound output went away, " + dropped
	case transport.OutputChanged:
		again.Fact = "The sound moved to another output, " + dropped
		again.Mend = strings.TrimSpace(again.Mend + " Its delay is not known: measure it again.")
	case transport.NoSounds:
		return Notice{Fact: "The sounds cannot be made for this output.", Mend: "Choose another one, then start again.", Act: "start", Label: "Start again"}
	default:
		return Notice{}
	}
	return again
}

// restAfter is how many minutes of takes pass before a pause is suggested,
// once; our choice.
const restAfter = 20

func rest(s State) State {
	if s.Suggested || s.Minutes < restAfter {
		return s
	}
	s.Suggested = true
	s.Notice = Notice{
		Fact: fmt.Sprintf("You have played for %d minutes.", restAfter),
		Mend: "Rest your hands and ears for a moment. Stop if anything hurts, is numb or tingles.",
		Act:  "dismiss", Label: "Go on",
	}
	return s
}

// remarks are what the sound did to a take.
func remarks(t Take) []Notice {
	var all []Notice
	if t.LeftOut > 0 {
		all = append(all, Notice{Fact: "The device was too busy:", Mend: countWord(t.LeftOut, "stroke") + " of the sound were left out."})
	}
	if t.Unsure {
		all = append(all, Notice{Fact: "The sound stuttered:", Mend: "hits near there are less sure."})
	}
	if t.Rough {
		all = append(all, Notice{Fact: "This browser does not tell when sound is heard:", Mend: "times are rough, by some ms."})
	}
	return all
}

func unheard(s State) Notice {
	listened := "every letter key"
	part := s.part()
	if voices := part.voices(s.written()); len(voices) > 1 && !part.OneKey {
		var keys []string
		for _, v := range voices {
			keys = append(keys, keyRange(s.Settings.Keys[handOf(v).String()]))
		}
		listened = "the keys " + joinWords(keys)
	}
	if s.phone() {
		listened = "the areas at the foot and " + listened
	}
	return Notice{Fact: "No hit was heard in this take.", Mend: "It listened to " + listened + ".", Act: "setup", Label: "Change the keys"}
}
