package ear

import (
	"fmt"
	"math"
	"sort"
	"time"
)

// A Summary says what a session came to.
type Summary struct {
	Lines []string // what was learnt, with numbers and intervals, at most five
	Next  string   // what comes next, in words
	Task  string   // name of the task to ask next; "" for all of them
}

// mostLines is how many lines a summary has at most. Our choice: what is read.
const mostLines = 5

// An askedTask is what a session holds of one task.
type askedTask struct {
	task        Task
	n, right    int     // here
	hardest     float64 // what was right here, 0 for none
	before, now Estimate
}

// End sums a session up. All and here are those of [Session.Next].
func (s Session) End(all, here []Done) Summary {
	tasks := s.askedHere(all, here)
	if len(tasks) == 0 {
		return Summary{Lines: []string{"Nothing was answered."}, Next: "Begin again with all tasks."}
	}
	sum := Summary{Lines: []string{told(here)}}
	for _, a := range tasks {
		sum.Lines = append(sum.Lines, a.line())
	}
	for _, a := range tasks {
		if words := a.leaning(); words != "" {
			sum.Lines = append(sum.Lines, words)
		}
	}
	sum.Lines = sum.Lines[:min(len(sum.Lines), mostLines)]
	sum.Task, sum.Next = nextOf(tasks)
	return sum
}

// askedHere returns the tasks that were asked, those first of which most is
// known.
func (s Session) askedHere(all, here []Done) []askedTask {
	before := earlier(all, here)
	var tasks []askedTask
	for _, t := range Tasks() {
		a := askedTask{task: t}
		for _, d := range here {
			if d.Task == t.Name {
				a.n++
				if d.Tried.Right {
					a.right++
					a.hardest = harderOf(t.Scale, a.hardest, d.Tried.Made)
				}
			}
		}
		if a.n > 0 {
			old := triedOf(t.Name, before)
			a.before, a.now = Threshold(t, old), Threshold(t, append(old, triedOf(t.Name, here)...))
			tasks = append(tasks, a)
		}
	}
	sort.SliceStable(tasks, func(i, j int) bool {
		a, b := tasks[i], tasks[j]
		if a.now.OK != b.now.OK {
			return a.now.OK
		}
		return a.n > b.n
	})
	return tasks
}

// harderOf returns the harder of two difficulties that were heard; 0 is none.
func harderOf(s Scale, a, b float64) float64 {
	if a == 0 || b > 0 && s.Harder(b, a) {
		return b
	}
	return a
}

// told says how much was answered, and in what time.
func told(here []Done) string {
	right := 0
	for _, d := range here {
		if d.Tried.Right {
			right++
		}
	}
	words := fmt.Sprintf("%s, %d right", questionWords(len(here)), right)
	from := here[0].At.Add(-here[0].Took)
	if minutes := here[len(here)-1].At.Sub(from); minutes > 0 && minutes < maxTook {
		words += ", in " + minuteWords(minutes)
	}
	return words + "."
}

func questionWords(n int) string {
	if n == 1 {
		return "1 question"
	}
	return fmt.Sprintf("%d questions", n)
}

func minuteWords(d time.Duration) string {
	switch n := math.Round(d.Minutes()); {
	case n < 1:
		return "less than a minute"
	case n == 1:
		return "1 minute"
	default:
		return fmt.Sprintf("%.0f minutes", n)
	}
}

// line says what is known of a task now: its threshold with the interval, and
// what it was before where that lies outside; else the hardest that was right,
// and how many answers are wanting.
func (a askedTask) line() string {
	here := fmt.Sprintf("%d of %d right", a.right, a.n)
	if a.hardest > 0 && !a.now.OK {
		here += ", the hardest at " + a.task.Scale.says(a.hardest)
	}
	switch {
	case a.now.OK:
		return fmt.Sprintf("%s: %s, from %s%s; %s here.", a.task.Title, a.now.Says(a.task.Scale), answerWords(a.now.N), a.change(), here)
	case a.now.N < LeastTrials:
		return fmt.Sprintf("%s: %s; %s and a threshold can be told.", a.task.Title, here, moreAnswers(LeastTrials-a.now.N))
	}
	return fmt.Sprintf("%s: %s; no threshold yet, %s.", a.task.Title, here, a.now.Why)
}

// change says what a threshold was before, where what it is now leaves that
// out.
func (a askedTask) change() string {
	if !a.before.OK || a.before.D >= a.now.Low && a.before.D <= a.now.High {
		return ""
	}
	return fmt.Sprintf(" (%s before)", a.task.Scale.says(a.before.D))
}

func answerWords(n int) string {
	if n == 1 {
		return "1 answer"
	}
	return fmt.Sprintf("%d answers", n)
}

func moreAnswers(n int) string {
	if n == 1 {
		return "1 more answer"
	}
	return fmt.Sprintf("%d more answers", n)
}

// leaning says to which of two answers somebody leans, where it is certain.
func (a askedTask) leaning() string {
	l := a.now.Leaning
	if !a.task.Yes || !l.OK || l.Low <= 0 && l.High >= 0 {
		return ""
	}
	words, ok := yesNoWords[a.task.Name]
	if !ok {
		return ""
	}
	said := words[0]
	if l.Value > 0 {
		said = words[1]
	}
	return fmt.Sprintf("%s: you answer \"%s\" more often than it is so.", a.task.Title, said)
}

// nextOf returns the task to go on with, and why: the one in which most went
// wrong, else the one of which least is known.
func nextOf(tasks []askedTask) (name, words string) {
	worst, least := tasks[0], tasks[0]
	for _, a := range tasks[1:] {
		if (a.n-a.right)*worst.n > (worst.n-worst.right)*a.n {
			worst = a
		}
		if a.now.N < least.now.N {
			least = a
		}
	}
	if worst.right < worst.n {
		return worst.task.Name, fmt.Sprintf("%s again: %d of %d right.", worst.task.Title, worst.right, worst.n)
	}
	if least.now.N < LeastTrials {
		return least.task.Name, fmt.Sprintf("%s: %s and its threshold can be told.", least.task.Title, moreAnswers(LeastTrials-least.now.N))
	}
	return "", "All tasks again another day; each was right."
}
