package app

import (
	"fmt"
	"strings"

	"stampmill/exercises/ear"
)

// questionWords are the question for who does not see the page: what is asked,
// and what may be answered.
func questionWords(t ear.Trial) string {
	var words []string
	for _, ask := range t.Asks {
		q := ask.Question
		if q == "" {
			q = t.Task.Question
		}
		words = append(words, q)
		for i := range ask.Choices {
			words = append(words, choiceSaid(ask, i))
		}
		if n := len(ask.Places); n > 0 {
			words = append(words, fmt.Sprintf("Arrow keys choose one of %s.", countWord(n, "beat")))
		}
		if ask.Kind == ear.Strip {
			words = append(words, "Tab leads to the strip.")
		}
	}
	return strings.Join(words, " ")
}

// choiceSaid is an answer with the key that chooses it: "2: The same: B is A
// again."; without one that it says itself: "2 even strokes."
func choiceSaid(ask ear.Ask, i int) string {
	c := ask.Choices[i]
	says := c.Says
	if says == "" {
		says = c.Words
	}
	says = strings.TrimSuffix(says, ".") + "."
	if key := choiceKey(ask, i); key != "" && key != c.Words {
		return key + ": " + says
	}
	return says
}

// playsWords say what begins to sound.
func playsWords(sound ear.Sound, slowly bool) string {
	words := "It plays"
	if sound.Label != "" {
		words = sound.Label + " plays"
	}
	if slowly {
		words += " slowly"
	}
	return words + "."
}

// resultWords say what an answer came to: of several asks each by its name, and
// what would have been right of a place.
func resultWords(t ear.Trial, r ear.Result) string {
	var words []string
	for i, p := range r.Parts {
		if p.Says == "" || p.Void {
			continue
		}
		said := p.Says
		if i < len(t.Asks) && t.Asks[i].Kind == ear.Place && !p.Right {
			said += "; it is on " + p.Was
		}
		if i < len(t.Asks) && len(t.Asks) > 1 {
			said = askLabel(t, t.Asks[i]) + ": " + said
		}
		words = append(words, sentence(said))
	}
	return strings.Join(append(words, r.Said, r.Hint), " ")
}
