package limbs_test

import (
	"strings"
	"testing"

	"stampmill/exercises/drill"
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// read returns the passage of voice lines at a tempo, in 4/4 unless the first
// line names another metre.
func read(t testing.TB, tempo string, lines ...string) passage.Passage {
	t.Helper()
	metre := "metre: 4/4"
	if strings.HasPrefix(lines[0], "metre:") {
		metre, lines = lines[0], lines[1:]
	}
	text := "title: T\ntempo: " + tempo + "\n" + metre + "\nstep: S\n" + strings.Join(lines, "\n")
	climb, ps := drill.Parse("t.drill", []byte(text), nil)
	if err := ps.Err(); err != nil {
		t.Fatal(err)
	}
	return climb.Steps[0].Passage
}

// lettered prints the voice lines of a passage with the letter of who plays it
// in place of each stroke; a stroke without a letter keeps its own.
func lettered(t testing.TB, p passage.Passage, pedals limbs.Pedals) string {
	t.Helper()
	c := passage.Climb{Title: "T", Tempo: []meter.Tempo{p.Bars[0].Tempo}, Metre: []meter.Metre{p.Bars[0].Metre}}
	c.Steps = []passage.Step{drill.Written("S", "", p)}
	text, err := drill.Print(c)
	if err != nil {
		t.Fatal(err)
	}
	return relettered(string(text), p, limbs.Rows(p, pedals), func(voice, _, letters string) string {
		return voice + "|" + letters + "\n"
	})
}

// relettered goes through exercise text line by line: what stands in a voice
// line, and the same with letters, makes the line anew; others are left out.
func relettered(text string, p passage.Passage, rows []limbs.Row, line func(voice, cells, letters string) string) string {
	marks := map[passage.Voice]map[meter.Rat]string{}
	for _, r := range rows {
		marks[r.Voice] = map[meter.Rat]string{}
		for _, m := range r.Marks {
			marks[r.Voice][m.At] = m.Letter
		}
	}
	var out strings.Builder
	for _, s := range strings.Split(text, "\n") {
		voice, cells, found := strings.Cut(s, "|")
		v, known := passage.VoiceNamed(strings.TrimSpace(voice))
		if l, _ := p.Line(v); found && known {
			out.WriteString(line(voice, cells, letters(cells, l, marks[v])))
		}
	}
	return out.String()
}

// letters replaces the strokes in the text of a line, which are in order.
func letters(cells string, l passage.Line, marks map[meter.Rat]string) string {
	var out strings.Builder
	inside := false
	for _, c := range cells {
		_, stroke := passage.KindOf(c)
		switch {
		case inside || !stroke:
			inside = c == '(' || inside && c != ')'
			out.WriteRune(c)
			continue
		case marks[l.Strokes[0].At] != "":
			out.WriteString(marks[l.Strokes[0].At])
		default:
			out.WriteRune(c)
		}
		l.Strokes = l.Strokes[1:]
	}
	return out.String()
}
