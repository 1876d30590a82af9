package app

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"
)

// goButton starts and stops. It is copper unless another act comes next.
func goButton(s State) app.UI {
	b := button("go", "").ID("go").Class("go")
	switch {
	case s.Phase != Idle:
		return keyed(b.Class("primary"), "Stop", "Esc", s)
	case s.Verdict != nil: // the keyboard is on the next act, and Space works that
		return b.Text("Start again")
	case s.Notice.Act == "start":
		return keyed(b.Class("primary"), "Start again", "Space", s)
	}
	return keyed(b.Class("primary"), "Start", "Space", s)
}

func tempoBox(s State) app.UI {
	return app.Elem("div").Class("tempo").Role("group").Aria("label", "Tempo").Body(
		app.Elem("label").Attr("for", "tempo").Text("Tempo"),
		button("tempo-down", "").Class("square", "away").Aria("label", "Slower by one").Attr("aria-keyshortcuts", "-").Text("−"),
		app.ElemSelfClosing("input").ID("tempo").Class("tempo-field").Attr("type", "text").Attr("inputmode", "numeric").Attr("maxlength", "5").Attr("autocomplete", "off").
			Aria("label", "Tempo in beats a minute").DataSet("act", "tempo").Attr("readonly", s.taking()).Attr("value", s.Tempo),
		button("tempo-up", "").Class("square", "away").Aria("label", "Faster by one").Attr("aria-keyshortcuts", "+").Text("+"),
	)
}

func countInBox(s State) app.UI {
	return choice("countin", "countin", "Count-in", strconv.Itoa(s.Settings.CountIn), []option{{"0", "none"}, {"1", "1 bar"}, {"2", "2 bars"}})
}

// loopBox chooses between some bars and the whole step. The bars are those of
// the loop, or those that the step changed.
func loopBox(s State) app.UI {
	loop := s.Loop
	if loop == (Range{}) {
		if loop = s.newBars(); loop == (Range{}) || len(s.written().Bars) == loop.Last-loop.First+1 {
			loop = Range{1, 1}
		}
	}
	looping := s.Loop != (Range{})
	return app.Elem("div").Class("choice").Role("group").Aria("label", "Loop").Body(
		app.Elem("span").Class("label").Aria("hidden", "true").Text("Loop"),
		button("loop-set", loop.arg()).Class("either").Aria("pressed", looping).Text(loop.String()),
		button("whole", "").Class("either").Aria("pressed", !looping).Text("whole"),
	)
}

func partBox(s State) app.UI {
	var options []option
	offered := parts(s.written())
	if now := s.part(); !slices.Contains(offered, now) {
		offered = append(offered, now)
	}
	for _, p := range offered {
		options = append(options, option{p.String(), p.Label()})
	}
	return choice("part", "part", "You play", s.part().String(), options)
}

func passesBox(s State) app.UI {
	var options []option
	for n := 1; n <= maxPasses; n++ {
		if n <= 4 || n%4 == 0 || n == s.Settings.Passes {
			options = append(options, option{strconv.Itoa(n), strconv.Itoa(n)})
		}
	}
	return choice("passes", "passes", "Passes", strconv.Itoa(s.Settings.Passes), options)
}

func climbBox(s State) app.UI {
	return app.Elem("div").Class("climb-choice").Body(
		app.Elem("h2").Text("Climb"),
		app.Elem("div").Class("away").Body(choice("climb", "climb", "Which climb", s.entry().Name, climbOptions(s))),
	)
}

// stepList is the climb: what is done, where the player is, what is to come.
func stepList(s State) app.UI {
	var items []app.UI
	owned := s.owned()
	for i, st := range s.entry().Climb.Steps {
		tempo := max(s.Done[stepName(s.entry().Name, st.Title)], owned[st.Title])
		item := app.Elem("li").Class(stepClass(i, s.Step, tempo, goal(st)))
		b := button("step", strconv.Itoa(i+1)).Class("step").Attr("disabled", s.taking()).Aria("label", stepLabel(i, s, owned))
		if i == s.Step {
			b = b.Aria("current", "step")
		}
		items = append(items, item.Body(b.Body(
			app.Elem("span").Class("box").Aria("hidden", "true"),
			app.Elem("span").Class("step-words").Body(
				app.Elem("span").Class("step-title").Text(st.Title),
				app.Text(" "),
				app.Elem("span").Class("step-fact").Text(stepFact(i, s, owned)),
			),
		)))
	}
	return app.Elem("ol").Class("steps").Body(items...)
}

func stepClass(i, now, tempo, goal int) string {
	class := "to-come"
	if tempo > 0 {
		class = "passed"
	}
	if tempo >= goal {
		class = "done"
	}
	if i == now {
		class += " now"
	}
	return class
}

// stepLabel names the button of a step by the words that stand in it: those
// are hidden in a take, and a phone has none.
func stepLabel(i int, s State, owned map[string]int) string {
	return strings.TrimSpace(fmt.Sprintf("Step %d, %s %s", i+1, s.entry().Climb.Steps[i].Title, stepFact(i, s, owned)))
}

// stepFact is what was reached in a step and, where the player is, what is
// still to reach.
func stepFact(i int, s State, owned map[string]int) string {
	st := s.entry().Climb.Steps[i]
	tempo := s.Done[stepName(s.entry().Name, st.Title)]
	var facts []string
	bpm := owned[st.Title]
	near := i == s.Step && max(tempo, bpm) < goal(st)
	if tempo > 0 && (bpm == 0 || tempo > bpm && !near) { // with the goal there is room for one
		facts = append(facts, fmt.Sprintf("done at %d", tempo))
	}
	if bpm > 0 {
		facts = append(facts, fmt.Sprintf("owned %d", bpm))
	}
	if near {
		facts = append(facts, fmt.Sprintf("goal %d", goal(st)))
	}
	fact := strings.Join(facts, ", ")
	if i == s.Step {
		fact = "now: " + fact
	}
	return fact
}
