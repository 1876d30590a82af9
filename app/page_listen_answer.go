package app

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
)

// listenAnswered is what was to be heard: the strips uncovered, then facts,
// then the answers with the right one and the player's own, then what comes
// next.
func listenAnswered(s State, pic listenPicture) []app.UI {
	facts := answerFacts(s)
	body := listenHeading(s)
	body = append(body, frontNotice(s))
	if s.phone() {
		body = append(body, facts, soundBoxes(s, pic))
	} else {
		body = append(body, soundBoxes(s, pic), facts)
	}
	var foot []app.UI
	for i, ask := range s.Listen.Trial.Asks {
		switch ask.Kind {
		case ear.Choose:
			body = append(body, answeredCards(s, pic, i))
		case ear.Place:
			if s.heardPart(i).Void {
				continue
			}
			box := answeredPlaces(s, ask, i)
			if s.phone() || i == 0 {
				body = append(body, box)
			} else {
				foot = append(foot, box)
			}
		}
	}
	return append(body, listenFoot(s, foot, lesser(s), answeredActions(s)...))
}

// heardPart returns what the answer to an ask came to.
func (s State) heardPart(i int) ear.Part {
	if i < len(s.Listen.Result.Parts) {
		return s.Listen.Result.Parts[i]
	}
	return ear.Part{}
}

// answerFacts say what was the case, what to listen for, and what came of each
// ask.
func answerFacts(s State) app.UI {
	r := s.Listen.Result
	return app.Elem("section").Class("verdict", "heard-facts").Aria("label", "What was to be heard").Body(
		app.Elem("div").Class("lead").Body(
			app.Elem("h2").Text(answerSentence(s)),
			app.Elem("p").Class("second").Text(r.Hint),
		),
		figureList(answerFigures(s)),
	)
}

// answerSentence is what was the case, what was written or tapped instead, and
// how far off the place was.
func answerSentence(s State) string {
	words := s.Listen.Result.Said
	if kind := s.Listen.Trial.Task.Answered; kind == ear.Strip || kind == ear.Taps {
		if p := s.heardPart(0); p.Says != "right" && p.Says != "" {
			return sentence(p.Says) + " " + words
		}
		return words
	}
	for i, ask := range s.Listen.Trial.Asks {
		p := s.heardPart(i)
		if ask.Kind == ear.Place && !p.Right && !p.Void && p.Off != 0 {
			words += fmt.Sprintf(" You placed it %s: it is on %s.", p.Says, p.Was)
		}
	}
	return words
}

// answerFigures are what came of each ask, in a word.
func answerFigures(s State) []figure {
	var all []figure
	for i, ask := range s.Listen.Trial.Asks {
		p := s.heardPart(i)
		if p.Void {
			continue
		}
		f := figure{label: askLabel(s.Listen.Trial, ask), value: "✓ right"}
		if !p.Right {
			f.value = "not right"
		}
		switch {
		case p.Right:
		case ask.Kind == ear.Place && p.Off != 0:
			f.value = beatsOff(p.Off)
		case ask.Kind == ear.Place:
			f.value, f.sub = "not said", p.Was
		}
		if i == 0 {
			f.sub = lately(s)
		}
		all = append(all, f)
	}
	return all
}

// beatsOff returns "1 beat off".
func beatsOff(off float64) string {
	n := int(max(off, -off))
	if n == 1 {
		return "1 beat off"
	}
	return strconv.Itoa(n) + " beats off"
}

// askLabel names an ask in one word.
func askLabel(t ear.Trial, ask ear.Ask) string {
	switch {
	case ask.Kind == ear.Place:
		return "Where"
	case ask.Kind == ear.Strip:
		return "Written"
	case ask.Kind == ear.Taps:
		return "Tapped"
	case t.Task.Name == "what":
		return "What"
	}
	return "Answer"
}

// lastOf is how many of the last answers are summed up beside one. Our choice.
const lastOf = 10

// lately says how many of the last answers of the task were right: "7 of the
// last 10".
func lately(s State) string {
	right, n := 0, 0
	all := s.Listen.All
	for i := len(all) - 1; i >= 0 && n < lastOf; i-- {
		if all[i].Task != s.Listen.Trial.Task.Name {
			continue
		}
		n++
		if all[i].Tried.Right {
			right++
		}
	}
	if n < 2 {
		return ""
	}
	return fmt.Sprintf("%d of the last %d", right, n)
}

// answeredCards are the answers again: the right one and the player's own are
// told by a frame, a sign and words.
func answeredCards(s State, pic listenPicture, i int) app.UI {
	t := s.Listen.Trial
	ask, nth := t.Asks[i], chooseIndex(t, i)
	right, mine := choiceOf(t.Right(), nth), choiceOf(s.Listen.Answer, nth)
	var all []app.UI
	for n, c := range ask.Choices {
		card := app.Elem("li").Class("choice-card")
		var tag app.UI = app.Text("")
		switch {
		case n == right && n == mine:
			card, tag = card.Class("is-right", "is-mine"), cardTag("✓ your answer, right", "right")
		case n == right:
			card, tag = card.Class("is-right"), cardTag("✓ right answer", "right")
		case n == mine:
			card, tag = card.Class("is-mine"), cardTag("your answer", "mine")
		}
		all = append(all, card.Body(append(cardWords(c, cardKey(s, ask, n, nth), minisOf(pic, nth, n)), tag)...))
	}
	return app.Elem("ul").Class("choices", choiceClass(ask)).Aria("label", "The answers").Body(all...)
}

func cardTag(words, class string) app.UI {
	return app.Elem("span").Class("card-tag", "tag-"+class).Text(words)
}

// choiceOf returns the nth choice of an answer, -1 for none.
func choiceOf(a ear.Answer, nth int) int {
	if nth < len(a.Choice) {
		return a.Choice[nth]
	}
	return -1
}

// answeredPlaces are the beats with the right one and the player's own.
func answeredPlaces(s State, ask ear.Ask, i int) app.UI {
	right, mine := s.Listen.Trial.Right().Place, s.Listen.Answer.Place
	if s.heardPart(i).Right {
		right = mine // any beat of the difference is right
	}
	head := app.Elem("h2").Text("Where")
	class := "places"
	if i == 0 {
		class = "places-first"
	}
	return app.Elem("div").Class("places", class).Role("group").Aria("label", "Where").Body(append([]app.UI{head}, placeBars(ask, func(p passage.Place) app.UI {
		return placeMark(p, samePlace(p, right), samePlace(p, mine))
	})...)...)
}

func samePlace(p, q passage.Place) bool { return p.Bar == q.Bar && p.Beat == q.Beat }

// placeMark is a beat that was right, the player's, both or neither.
func placeMark(p passage.Place, right, mine bool) app.UI {
	mark := app.Elem("span").Class("place-button")
	var words []string
	body := []app.UI{app.Text(strconv.Itoa(p.Beat))}
	if mine {
		mark, words = mark.Class("is-mine"), append(words, "your answer")
		body = append(body, app.Elem("span").Class("place-word").Text("you"))
	}
	if right {
		mark, words = mark.Class("is-right"), append(words, "right")
		body = append(body, app.Elem("span").Class("place-word").Text("✓"))
	}
	if len(words) == 0 {
		return mark.Aria("hidden", "true").Body(body...)
	}
	return mark.Role("img").Aria("label", placeName(p)+": "+strings.Join(words, ", ")).Body(body...)
}

// answeredActions are hearing it slowly, playing it, and the next question.
func answeredActions(s State) []app.UI {
	var all []app.UI
	if len(s.Listen.Result.Slow) > 0 {
		all = append(all, keyed(button("listen-slow", "").ID("listen-slow").Class("plain").Aria("pressed", s.Listen.Slow).Title("A and B at the difference, slowly"), "Slowly", "S", s))
	}
	all = append(all, keyed(button("listen-self", "").ID("listen-self"), "Play it yourself", "P", s))
	next := button("listen-next", "").ID("listen-next").Class("answer")
	if s.Phase == Idle || s.Listen.Sounding < 0 {
		next = next.Class("primary")
	}
	return append(all, keyed(next, "Next question", "Enter", s))
}
