package app

import (
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/chart"
	"stampmill/exercises/ear"
)

// A heardKey is what the cards of listening depend on: answers are only ever
// added, or all of them made anew.
type heardKey struct {
	first *ear.Done
	n     int
}

func (s State) heardKey() heardKey {
	k := heardKey{n: len(s.Listen.All)}
	if k.n > 0 {
		k.first = &s.Listen.All[0]
	}
	return k
}

// A heardCard is what the answers to one kind of question tell.
type heardCard struct {
	card
	published string // thresholds of others, with their source
}

// heardCards are those of every task that was answered, in the order of tasks.
func heardCards(all []ear.Done) []heardCard {
	var cards []heardCard
	for _, t := range ear.Tasks() {
		var c chart.Hearing
		for _, d := range all {
			if d.Task == t.Name {
				c.Answers = append(c.Answers, chart.Heard{At: d.At, Size: heardSize(d.Tried), Right: d.Tried.Right})
			}
		}
		if len(c.Answers) > 0 {
			cards = append(cards, heardCardOf(t, c, ear.Threshold(t, ear.TriedOf(t, all))))
		}
	}
	return cards
}

// heardSize is how large the difference was: as it came out, else as asked.
func heardSize(t ear.Tried) float64 {
	if t.Made > 0 {
		return t.Made
	}
	return t.D
}

func heardCardOf(t ear.Task, c chart.Hearing, e ear.Estimate) heardCard {
	c.Title, c.Note, c.Unit = t.Title, answersWord(len(c.Answers)), t.Scale.Unit
	if e.OK {
		c.Threshold, c.Low, c.High = e.D, min(e.Low, e.High), max(e.Low, e.High)
	}
	var sources, values []string
	for _, p := range t.Published() {
		c.Published = append(c.Published, p.Value)
		values = append(values, decimals(p.Value)+" "+t.Scale.Unit+": "+p.Where)
		if source := sourceBrief(p.Source); len(sources) == 0 || sources[len(sources)-1] != source {
			sources = append(sources, source)
		}
	}
	published := ""
	if len(values) > 0 {
		published = "Published: " + strings.Join(values, "; ") + " (" + strings.Join(sources, "; ") + ")."
	}
	return heardCard{card{"heard-" + t.Name, c.Title, c.Note, heardSays(t, e), c}, published}
}

// sourceBrief is author and year of a source.
func sourceBrief(source string) string {
	brief, _, _ := strings.Cut(source, ",")
	return brief
}

func answersWord(n int) string {
	if n == 1 {
		return "1 answer"
	}
	return strconv.Itoa(n) + " answers"
}

// heardSays is the threshold with its interval and what it means, or why there
// is none yet.
func heardSays(t ear.Task, e ear.Estimate) string {
	if !e.OK {
		if missing := ear.LeastTrials - e.N; missing > 0 {
			return capital(countWord(missing, "more answer")) + " and a threshold can be told."
		}
		return "No threshold yet: " + e.Why + "."
	}
	means, _, _ := strings.Cut(t.Scale.Means, ";")
	words := "Heard " + strconv.Itoa(int(math.Round(100*e.Rate))) + " % of the time: " + e.Says(t.Scale) + " (" + means + ")."
	if e.DPrime.OK {
		words += " d′ " + decimals(e.DPrime.Value) + ", between " + decimals(e.DPrime.Low) + " and " + decimals(e.DPrime.High) + "."
	}
	return words
}

// decimals writes a number with one decimal where it needs one.
func decimals(x float64) string { return strconv.FormatFloat(math.Round(10*x)/10, 'f', -1, 64) }

// listeningBox is what listening came to: a card for each kind of question, or
// how to begin.
func listeningBox(s State, v sight) app.UI {
	head := app.Elem("h2").ID("listening").Text("Listening")
	if len(v.heard) == 0 {
		return app.Elem("section").Class("listening").Aria("labelledby", "listening").Body(
			head,
			app.Elem("div").Class("notice-box").Body(
				app.Elem("p").Body(app.Elem("strong").Text("No question of the ear has been answered yet."), app.Text(" After "+strconv.Itoa(ear.LeastTrials)+" answers of a kind a threshold can be told: how small a difference you hear.")),
				button("listen-go", "").Text("Go to Listen"),
			),
		)
	}
	l := s.plotLayout()
	var cards []app.UI
	compare := false
	for _, c := range v.heard {
		cards = append(cards, heardFigure(s, v, c, l.tempo))
		compare = compare || c.published != ""
	}
	words := "A dot was right, a cross was not, the newest at the right. Line and band: your threshold and its interval. Dashed: published."
	body := []app.UI{
		app.Elem("div").Class("cards-head").Body(head, app.Elem("p").Class("second").Text(words)),
		app.Elem("div").Class("cards", "columns-"+strconv.Itoa(l.columns)).Body(cards...),
	}
	if compare {
		body = append(body, app.Elem("p").Class("quiet").Text("What was published: "+lowered(ear.HowToCompare)))
	}
	if rest := notAnswered(v.heard); rest != "" {
		body = append(body, app.Elem("p").Class("quiet").Text("Not answered yet: "+rest+"."))
	}
	return app.Elem("section").Class("listening").Aria("labelledby", "listening").Body(body...)
}

// heardFigure is one card with what was published.
func heardFigure(s State, v sight, c heardCard, width float64) app.UI {
	return chartCard(s, v, c.card, width, publishedLine(c))
}

func publishedLine(c heardCard) app.UI {
	if c.published == "" {
		return app.Text("")
	}
	return app.Elem("p").Class("says", "second").Text(c.published)
}

// notAnswered names the tasks that have no card.
func notAnswered(cards []heardCard) string {
	var rest []string
	for _, t := range ear.Tasks() {
		there := false
		for _, c := range cards {
			there = there || c.id == "heard-"+t.Name
		}
		if !there {
			rest = append(rest, midSentence(t.Title))
		}
	}
	return joinWords(rest)
}
