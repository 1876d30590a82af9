package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Columns of a verdict, and of its first column.
const (
	verdictWidth = 80
	columnName   = 15
)

// printVerdict tells a verdict to a person.
func printVerdict(t terminal, climb passage.Climb, take grade.Take, v grade.Verdict) error {
	w := t.stdout
	fmt.Fprintf(w, "%s, step %d: %s\n", climb.Title, take.Step, climb.Steps[take.Step-1].Title)
	fmt.Fprintf(w, "tempo %.6g, %s, part %s\n\n", take.Tempo, passesOf(take.Passes), partName(take.Part))
	for _, s := range v.Sentences {
		fmt.Fprint(w, wrapTo(verdictWidth, s, 0))
	}
	fmt.Fprintln(w)
	printWhole(w, v)
	printGroups(w, v)
	printTuplets(w, v)
	printTouch(w, v)
	fmt.Fprintf(w, "\n%s\nnext: %s\n", map[bool]string{true: "passed", false: "not passed"}[v.Passed], nextWords(climb, take, v.Next))
	return nil
}

// line prints a name and what there is to say of it.
func line(w io.Writer, name, text string) {
	fmt.Fprintf(w, "%-*s%s\n", columnName, name, text)
}

// printWhole prints the figures of the whole take.
func printWhole(w io.Writer, v grade.Verdict) {
	line(w, "hits", fmt.Sprintf("%d of %d, missed %d, extra %d", v.Matched, v.Expected, v.Missed, v.Extra))
	line(w, "within 25 ms", fmt.Sprintf("F %.3f", v.F25))
	line(w, "within 50 ms", fmt.Sprintf("F %.3f", v.F50))
	line(w, "leaning", figure(v.Leaning, "ms", "early", "late"))
	line(w, "spread", figure(v.Spread, "ms", "", ""))
	line(w, "drift", drift(v.Drift))
	line(w, "lag 1", share(v.Lag1))
	line(w, "clock", figure(v.Clock, "ms", "", ""))
	line(w, "movement", figure(v.Motor, "ms", "", ""))
	if m := v.Misreading; m != nil {
		line(w, "misreading", fmt.Sprintf("%s, odds %s", m.Change, odds(m.Odds)))
		for _, also := range m.Also {
			line(w, "", "the same strokes: "+also)
		}
	}
}

// odds writes the odds of a misreading against as written.
func odds(x float64) string {
	const most = 1e6 // beyond, a number says no more
	if x > most {
		return "above a million"
	}
	return fmt.Sprintf("%.0f", x)
}

// A row is one line of a table of figures.
type row struct {
	name string
	grade.Counts
	leaning, spread grade.Figure
}

// printGroups prints the tables of figures, each where it says more than that
// of the whole.
func printGroups(w io.Writer, v grade.Verdict) {
	var voices, limbs, places, bars, passes []row
	for _, f := range v.ByVoice {
		voices = append(voices, row{f.Voice.String(), f.Counts, f.Leaning, f.Spread})
	}
	for _, f := range v.ByLimb {
		limbs = append(limbs, row{f.Limb.String(), f.Counts, f.Leaning, f.Spread})
	}
	for _, f := range v.ByPlace {
		places = append(places, row{placeName(f, v.ByPlace), f.Counts, f.Leaning, f.Spread})
	}
	for _, f := range v.ByBar {
		bars = append(bars, row{fmt.Sprintf("bar %d", f.Bar), f.Counts, f.Leaning, f.Spread})
	}
	for _, f := range v.ByPass {
		passes = append(passes, row{fmt.Sprintf("pass %d", f.Pass), f.Counts, f.Leaning, f.Spread})
	}
	table(w, "voice", voices)
	table(w, "limb", limbs)
	table(w, "place in beat", places)
	table(w, "bar", bars)
	table(w, "pass", passes)
}

// placeName says which place in the beat; where the beats of a bar differ also
// in which of them.
func placeName(f grade.PlaceFigures, all []grade.PlaceFigures) string {
	for _, g := range all {
		if g.Beat != f.Beat {
			return fmt.Sprintf("%s of %s", f.Word, meter.FormatLength(f.Beat))
		}
	}
	return f.Word
}

// mostRows is the most rows of a table: all bars that there can be.
const mostRows = passage.MaxBars

// table prints rows of figures under a head; nothing where there are not two.
func table(w io.Writer, head string, rows []row) {
	switch {
	case len(rows) < 2:
		return
	case len(rows) > mostRows:
		fmt.Fprintln(w)
		line(w, head, fmt.Sprintf("%d of them; --json tells each", len(rows)))
		return
	}
	fmt.Fprintln(w)
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(tab, "%-*s\thits\tleaning ms (95 %%)\tspread ms (95 %%)\n", columnName-2, head)
	for _, r := range rows {
		fmt.Fprintf(tab, "%s\t%d of %d\t%s\t%s\n", r.name, r.Matched, r.Expected, short(r.leaning, "early", "late"), short(r.spread, "", ""))
	}
	tab.Flush()
}

// short writes a figure for a table, without its unit and count.
func short(f grade.Figure, below, above string) string {
	if !f.OK {
		return f.Why()
	}
	value, word := directed(f, below, above)
	return fmt.Sprintf("%s (%.1f to %.1f)", strings.TrimSpace(fmt.Sprintf("%.1f %s", value, word)), tenth(f.Low), tenth(f.High))
}

// figure writes a number with its direction, interval and count.
func figure(f grade.Figure, unit, below, above string) string {
	if !f.OK {
		return fmt.Sprintf("%s (%d)", f.Why(), f.N)
	}
	value, word := directed(f, below, above)
	return fmt.Sprintf("%s (95 %%: %.1f to %.1f, n %d)", strings.TrimSpace(fmt.Sprintf("%.1f %s %s", value, unit, word)), tenth(f.Low), tenth(f.High), f.N)
}

// tenth rounds to a tenth, never to minus zero.
func tenth(x float64) float64 { return math.Round(10*x)/10 + 0 }

// drift writes the tempo won or lost, to a hundredth.
func drift(f grade.Figure) string {
	if !f.OK {
		return fmt.Sprintf("%s (%d)", f.Why(), f.N)
	}
	word := ""
	switch value := math.Round(100 * f.Value); {
	case value < 0:
		word = " slower"
	case value > 0:
		word = " faster"
	}
	return fmt.Sprintf("%.2f BPM%s (95 %%: %.2f to %.2f, n %d)", math.Abs(f.Value), word, f.Low+0, f.High+0, f.N)
}

// directed returns a figure without its sign, as it is printed, and the word
// that says its direction.
func directed(f grade.Figure, below, above string) (value float64, word string) {
	rounded := tenth(f.Value)
	switch {
	case rounded < 0 && below != "":
		return -rounded, below
	case rounded > 0:
		return rounded, above
	}
	return rounded, ""
}

// share writes a number without a unit, such as a correlation.
func share(f grade.Figure) string {
	if !f.OK {
		return fmt.Sprintf("%s (%d)", f.Why(), f.N)
	}
	return fmt.Sprintf("%.2f (95 %%: %.2f to %.2f, n %d)", f.Value, f.Low, f.High, f.N)
}

// printTuplets prints how tuplets were split.
func printTuplets(w io.Writer, v grade.Verdict) {
	if len(v.Tuplets) > 0 {
		fmt.Fprintln(w)
	}
	for _, f := range v.Tuplets {
		line(w, fmt.Sprintf("%s at %s", f.Written, f.Place), split(f))
	}
}

// split writes how a tuplet was played.
func split(f grade.TupletFigures) string {
	if f.N == 0 {
		return fmt.Sprintf("%s: never complete", f.Voice)
	}
	shares := make([]string, len(f.Played))
	for i, s := range f.Played {
		shares[i] = fmt.Sprintf("%.2f", s)
	}
	nearest := make([]string, len(f.Nearest))
	for i, n := range f.Nearest {
		nearest[i] = fmt.Sprint(n)
	}
	return fmt.Sprintf("%s: %s, nearest %s, %.0f ms away, n %d", f.Voice, strings.Join(shares, " "), strings.Join(nearest, ":"), f.AwayMS, f.N)
}

// printTouch prints strengths (0 to 1, and the share of accents that stand out), lengths and grace strokes, where the take has
// them.
func printTouch(w io.Writer, v grade.Verdict) {
	if a := v.Accents; a.OK {
		fmt.Fprintln(w)
		for _, f := range []struct {
			name string
			grade.Figure
		}{{"accents", a.Accent}, {"hits", a.Hit}, {"ghosts", a.Ghost}, {"louder by", a.Louder}, {"stand out", a.StandOut}} {
			if f.N > 0 {
				line(w, f.name, share(f.Figure))
			}
		}
	}
	if len(v.Lengths) > 0 {
		fmt.Fprintln(w)
	}
	for _, f := range v.Lengths {
		line(w, fmt.Sprintf("%s %s", f.Voice, f.Place), fmt.Sprintf("held %s, written %.0f", figure(f.Played, "ms", "", ""), f.WrittenMS))
	}
	if len(v.Graces) > 0 {
		fmt.Fprintln(w)
	}
	for _, f := range v.Graces {
		text := "none played"
		if f.GraceMS.N > 0 {
			text = fmt.Sprintf("%s before", figure(f.GraceMS, "ms", "", ""))
		}
		line(w, fmt.Sprintf("%s %s", f.Kind, f.Place), fmt.Sprintf("%s: %s; left out %d of %d", f.Voice, text, f.Missing, f.N))
	}
}

// nextWords says what to do next; after the last step there is no next one.
func nextWords(climb passage.Climb, take grade.Take, next grade.Next) string {
	if next.Kind == grade.NextStep && take.Step == len(climb.Steps) {
		return "This was the last step."
	}
	return next.String()
}

func partName(part []passage.Voice) string {
	if len(part) == 0 {
		return "all"
	}
	return (&voicesFlag{part}).String()
}

func passesOf(n int) string {
	if n == 1 {
		return "1 pass"
	}
	return fmt.Sprintf("%d passes", n)
}
