package logbook

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"time"

	"stampmill/app/table"
	"stampmill/exercises/ear"
)

// answerColumns are the columns of [Book.Answers], a line for each answered
// listening question. Difficulties are in the unit, as asked for and as they
// came out; choices count from 1, several are joined by "+"; heard is how often
// each sound was played, likewise; marker is the version of the marking.
var answerColumns = []string{
	"answered", "task", "exercise", "title", "unit", "difficulty", "made", "right", "chance", "yes",
	"choice", "place", "written", "taps", "delay_ms", "seconds", "heard", "seed", "marker",
}

// Answers writes every answered listening question as CSV (RFC 4180) to a sink,
// the earliest first.
func (b *Book) Answers(to Sink, progress func(share float64), done func(error)) (stop func()) {
	all := b.news.Heard.All
	of := max(1, len(all))
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	_ = w.Write(answerColumns) // into memory: cannot fail
	stopped := false
	b.device.sliced(func() bool {
		if len(all) == 0 || stopped {
			return true
		}
		_ = w.Write(table.Row(answerRow(all[0])))
		all = all[1:]
		if out.Len() >= piece {
			to.Write(out.Bytes())
			out.Reset()
			progress(1 - float64(len(all))/float64(of))
		}
		return false
	}, func() {
		if stopped {
			return
		}
		w.Flush()
		to.Write(out.Bytes())
		done(nil)
	})
	return func() { stopped = true }
}

// answerRow is the line of an answer.
func answerRow(d ear.Done) []string {
	unit := ""
	if task, ok := ear.Named(d.Task); ok {
		unit = task.Scale.Unit
	}
	made := d.Tried.Made
	if made == 0 {
		made = d.D
	}
	place := ""
	if d.Answer.Place.Bar > 0 {
		place = d.Answer.Place.String()
	}
	choices := make([]int, len(d.Answer.Choice))
	for i, c := range d.Answer.Choice {
		choices[i] = c + 1
	}
	return []string{
		d.At.UTC().Format(time.RFC3339), d.Task, d.Climb, d.Step, unit, decimal(d.D), decimal(stepped(made, errorStep)),
		strconv.FormatBool(d.Tried.Right), decimal(stepped(d.Tried.Chance, shareStep)), strconv.FormatBool(d.Tried.Yes),
		plus(choices), place, written(d.Answer), tapped(d.Answer), decimal(d.Answer.LatencyMS),
		decimal(stepped(d.Took.Seconds(), errorStep)), plus(d.Heard), strconv.FormatUint(d.Seed, 10), strconv.Itoa(d.By),
	}
}

// plus joins numbers.
func plus(all []int) string {
	words := make([]string, len(all))
	for i, n := range all {
		words[i] = strconv.Itoa(n)
	}
	return strings.Join(words, "+")
}

// written are the strokes of a dictation: places in quarter notes and kinds.
func written(a ear.Answer) string {
	if !a.Line.Voice.Valid() {
		return ""
	}
	words := []string{a.Line.Voice.String()}
	for _, s := range a.Line.Strokes {
		words = append(words, s.At.String()+" "+s.Kind.String())
	}
	return strings.Join(words, ", ")
}

// tapped are the seconds of taps from the first downbeat.
func tapped(a ear.Answer) string {
	var words []string
	for _, t := range a.Taps {
		words = append(words, decimal(stepped(t.Seconds, shareStep)))
	}
	return strings.Join(words, " ")
}
