package logbook

import (
	"bytes"
	"encoding/csv"
	"sort"
	"strconv"
	"strings"
	"time"

	"stampmill/app/port"
	"stampmill/app/table"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// hitColumns are the columns of [Book.Hits]: a line for each written stroke in
// each pass, and for each tap too many. Errors are ms, early negative, as
// measured, the delay of the input taken off; a missed stroke has none.
var hitColumns = []string{
	"take", "ended", "exercise", "step", "title", "bpm", "input", "delay_ms", "delay_known",
	"pass", "voice", "place", "quarters", "result", "error_ms", "strength",
}

// Hits writes every hit of every take as CSV (RFC 4180) to a sink, the earliest
// take first. Takes that cannot be graded are left out.
func (b *Book) Hits(to Sink, progress func(share float64), done func(error)) (stop func()) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	write := func(rows [][]string) {
		_ = w.WriteAll(rows) // into memory: cannot fail
		if out.Len() >= piece {
			to.Write(out.Bytes())
			out.Reset()
		}
	}
	write([][]string{hitColumns})
	var names []string
	for _, e := range b.entries {
		if e.Unread == "" && !b.isWaiting(e.Name) {
			names = append(names, e.Name)
		}
	}
	stopped := false
	texts := shelfOfTexts{b: b, steps: newSteps()}
	b.each(names, func(r port.Record) { write(texts.hits(r)) }, texts.with, progress, &stopped, func(err error) {
		to.Write(out.Bytes())
		done(err)
	})
	return func() { stopped = true }
}

// hits are the lines of one take.
func (x shelfOfTexts) hits(stored port.Record) [][]string {
	r, err := ReadRecord(stored.Value)
	steps := x.steps[r.Text]
	if err != nil || r.Take.Step > len(steps) {
		return nil
	}
	o := r.Options(steps)
	o.NoSearch = true // what was read wrongly moves no hit
	v, err := grade.Grade(steps[r.Take.Step-1].Passage, r.Take, o)
	if err != nil {
		return nil
	}
	head := table.Row([]string{
		strings.TrimPrefix(stored.Name, TakePrefix), r.At.Format(time.RFC3339), r.Take.Exercise, strconv.Itoa(r.Take.Step), r.Title,
		decimal(r.Take.Tempo), r.Take.Input, decimal(r.Take.LatencyMS), strconv.FormatBool(r.Known),
	})
	var lines []hitLine
	for _, p := range v.Positions {
		lines = append(lines, linesOf(p, r.Take)...)
	}
	for _, s := range v.Strays {
		lines = append(lines, hitLine{s.Pass, s.At, []string{voiceName(s.Voice), "", decimal(s.At), "extra", "", strength(r.Take, s.Tap)}})
	}
	sort.SliceStable(lines, func(i, j int) bool {
		a, b := lines[i], lines[j]
		return a.pass < b.pass || a.pass == b.pass && a.at < b.at
	})
	rows := make([][]string, len(lines))
	for i, l := range lines {
		rows[i] = append(append(append([]string{}, head...), strconv.Itoa(l.pass)), l.rest...)
	}
	return rows
}

// A hitLine is a line with what it is sorted by.
type hitLine struct {
	pass int
	at   float64 // quarter notes
	rest []string
}

// linesOf are the lines of one written stroke, pass by pass.
func linesOf(p grade.PositionFigures, t grade.Take) []hitLine {
	voices, place, at := joined(p.Voices.Voices()), p.Place.String(), p.At.Float()
	var lines []hitLine
	next := 0
	for pass := 1; pass <= p.Passes; pass++ {
		rest := []string{voices, place, p.At.String(), "missed", "", ""}
		if next < len(p.Hits) && p.Hits[next].Pass == pass {
			h := p.Hits[next]
			next++
			rest = []string{voices, place, p.At.String(), "hit", decimal(stepped(h.ErrorMS, errorStep)), strength(t, h.Tap)}
		}
		lines = append(lines, hitLine{pass, at, rest})
	}
	return lines
}

func voiceName(v passage.Voice) string {
	if !v.Valid() {
		return ""
	}
	return v.String()
}

func strength(t grade.Take, tap int) string {
	if s := t.Taps[tap].Strength; s.OK {
		return decimal(s.Value)
	}
	return ""
}

func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
