package app

import (
	"fmt"
	"html"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// textLine is the height of a line of the text, in CSS pixels as the style has
// it where letters have their usual size.
const textLine = 24

// textRows are the fewest rows and columns of the text field.
const (
	textRows = 10
	textCols = 40
)

// writeText is the exercise as text. Under the field lie the marks of its
// problems and of what is selected.
func writeText(s State, pic Picture) app.UI {
	rows, cols := sizeOfText(s.Write.Draft.Text())
	return app.Elem("section").Class("text-box").Aria("label", "Text").Body(
		app.Elem("div").Class("text-head").Body(
			app.Elem("h2").Text("Text"),
			app.Elem("p").Class("second").Text("One line per voice. A bar ends at |, a beat at a space; the number of cells is how finely the beat is cut."),
		),
		app.Elem("div").Class("text-scroll").ID("text-scroll").Body(
			app.Elem("div").Class("text-sheet").Body(
				&drawing{SVG: pic.Marks},
				app.Elem("textarea").ID(textField).Class("text-field").DataSet("text", "true").DataSet("keys", "text").
					Attr("rows", rows).Attr("cols", cols).Attr("wrap", "off").Attr("spellcheck", "false").Attr("autocomplete", "off").Attr("autocapitalize", "off").
					Aria("label", "Text of the exercise").Aria("describedby", "write-problems").Aria("invalid", len(s.Write.Draft.Problems()) > 0),
			),
		),
	)
}

// sizeOfText returns the lines of a text and its longest line, in characters,
// with room to go on; both in steps, so that typing seldom lays the page out
// anew.
func sizeOfText(text string) (rows, cols int) {
	for line := range strings.Lines(text) {
		rows++
		cols = max(cols, len(line))
	}
	return max(rows+2, textRows), max((cols+11)/8*8, textCols)
}

// maxMarked is the most problems that are marked in the text and the strip; our
// choice, the first of them are listed.
const maxMarked = 20

// maxMarkedVoices is the most voices whose selected cells are marked in the
// text, too; our choice, more are seen in the strip.
const maxMarkedVoices = 8

// A mark is a stretch of a line of the text, in characters from 0.
type mark struct {
	from, to int
	class    string
	id       string
}

// marksOf are the marks of a text, by line: what is wrong, what is selected, and
// the title of the step.
func marksOf(s State, lines []string) map[int][]mark {
	d := s.Write.Draft
	marks := map[int][]mark{}
	for i, p := range d.Problems() {
		if i == maxMarked {
			break
		}
		if p.Line >= 1 && p.Line <= len(lines) {
			from, to := wordAt(lines[p.Line-1], p.Column)
			marks[p.Line] = append(marks[p.Line], mark{from, to, "text-fault", faultID(i)})
		}
	}
	steps := d.Reading().Steps
	if d.Step() >= len(steps) {
		return marks
	}
	st := steps[d.Step()]
	if st.First >= 1 && st.First <= len(lines) && len(marks[st.First]) == 0 {
		marks[st.First] = []mark{{0, len([]rune(lines[st.First-1])), "text-step", ""}}
	}
	if !d.Current().Good {
		return marks
	}
	span := d.Selection()
	for _, v := range st.Voices {
		if v.Line <= len(lines) {
			marks[v.Line] = append(marks[v.Line], selectedCells(span, v, []rune(lines[v.Line-1]))...)
		}
	}
	return marks
}

// faultID names the mark of a problem in the text.
func faultID(n int) string { return fmt.Sprintf("text-fault-%d", n) }

// selectedCells are the cells of a voice line that are selected, each stretch
// within a bar as one mark.
func selectedCells(span passage.Span, v drill.VoiceText, line []rune) []mark {
	if !slices.Contains(span.Voices, v.Voice) || len(span.Voices) > maxMarkedVoices {
		return nil
	}
	var marks []mark
	for _, c := range v.Cells() {
		if c.At.Less(span.From) || !c.At.Less(span.To) {
			continue
		}
		m := mark{c.Column - 1, c.Column - 1 + c.Width, "text-cell", ""}
		if k := len(marks) - 1; k >= 0 && !slices.Contains(line[marks[k].to:min(m.from, len(line))], '|') {
			marks[k].to = m.to
		} else {
			marks = append(marks, m)
		}
	}
	return marks
}

// wordAt returns the word of a line at a column from 1, at least one character.
func wordAt(line string, column int) (from, to int) {
	runes := []rune(line)
	from = max(column-1, 0)
	for to = from; to < len(runes) && runes[to] != ' ' && runes[to] != '|' && runes[to] != '\t'; {
		to++
	}
	return from, max(to, from+1)
}

// underText lies under the text field, letter under letter: marked lines as they
// are written, so that whatever stands there takes the same room, the others
// empty.
func underText(s State) string {
	lines := strings.Split(s.Write.Draft.Text(), "\n")
	marks := marksOf(s, lines)
	var b strings.Builder
	b.WriteString("<pre class=\"under-text\" aria-hidden=\"true\">\n") // the first line end in a pre is not shown
	for n, line := range lines {
		if all := marks[n+1]; len(all) > 0 {
			markLine(&b, []rune(line), all)
		}
		b.WriteByte('\n')
	}
	b.WriteString(`</pre>`)
	return b.String()
}

func markLine(b *strings.Builder, line []rune, marks []mark) {
	at := 0
	for _, m := range marks {
		if m.from < at { // under the one before it
			continue
		}
		b.WriteString(html.EscapeString(piece(line, at, m.from)))
		if m.id != "" {
			fmt.Fprintf(b, `<span id="%s"></span>`, m.id)
		}
		fmt.Fprintf(b, `<span class="%s">%s</span>`, m.class, html.EscapeString(piece(line, m.from, m.to)))
		at = m.to
	}
}

// piece returns a stretch of a line, with spaces behind its end.
func piece(line []rune, from, to int) string {
	have := string(line[min(from, len(line)):min(to, len(line))])
	return have + strings.Repeat("\u00a0", max(to-max(from, len(line)), 0))
}

// shownProblems is how many problems are listed at a time; our choice.
const shownProblems = 4

// writeProblems lists what is to be mended, each with its place.
func writeProblems(s State) app.UI {
	act := "write-goto"
	if len(s.Write.Draft.Problems()) == 0 {
		act = "write-goclash"
	}
	var items []app.UI
	for i, p := range listedProblems(s) {
		if p.Line == 0 {
			items = append(items, app.Elem("li").Class("second").Text(p.What))
			break
		}
		items = append(items, app.Elem("li").Body(
			app.Elem("b").Class("place").Text(fmt.Sprintf("%d:%d", p.Line, p.Column)),
			app.Elem("span").Text(" "+sentence(p.What+"; "+p.Do)+" "),
			button(act, strconv.Itoa(i)).Class("go-there").Aria("label", fmt.Sprintf("Go there, line %d", p.Line)).Text("Go there"),
		))
	}
	box := app.Elem("div").ID("write-problems").Role("status")
	if len(items) == 0 {
		return box
	}
	return box.Body(app.Elem("ul").Class("problems").Body(items...))
}

// listedProblems are the problems that are listed: those of the text, and of a
// text without any those that people could not play. The last one may say how
// many more there are.
func listedProblems(s State) drill.Problems {
	ps := s.Write.Draft.Problems()
	if len(ps) == 0 {
		ps = s.Write.ClashLines
	}
	if n := len(ps) - shownProblems; n > 0 {
		return append(slices.Clip(ps[:shownProblems]), drill.Problem{What: fmt.Sprintf("and %d more", n)})
	}
	return ps
}
