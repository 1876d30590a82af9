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
	letters := map[passage.Voice]map[meter.Rat]string{}
	for _, r := range limbs.Rows(p, pedals) {
		letters[r.Voice] = map[meter.Rat]string{}
		for _, m := range r.Marks {
			letters[r.Voice][m.At] = m.Letter
		}
	}
	var out strings.Builder
	for _, line := range strings.Split(string(text), "\n") {
		name, cells, isLine := strings.Cut(line, "|")
		v, known := passage.VoiceNamed(strings.TrimSpace(name))
		if l, _ := p.Line(v); isLine && known {
			out.WriteString(name + "|" + relettered(cells, l, letters[v]) + "\n")
		}
	}
	return out.String()
}

// relettered replaces the strokes in the text of a line, which are in order.
func relettered(cells string, l passage.Line, letters map[meter.Rat]string) string {
	var out strings.Builder
	inside := false
	for _, c := range cells {
		_, stroke := passage.KindOf(c)
		switch {
		case inside || !stroke:
			inside = c == '(' || inside && c != ')'
			out.WriteRune(c)
			continue
		case letters[l.Strokes[0].At] != "":
			out.WriteString(letters[l.Strokes[0].At])
		default:
			out.WriteRune(c)
		}
		l.Strokes = l.Strokes[1:]
	}
	return out.String()
}
