package passage_test

import (
	"strings"
	"testing"

	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// read returns the passage of voice lines in a metre, at 120.
func read(t testing.TB, metre string, lines ...string) passage.Passage {
	t.Helper()
	text := "title: T\ntempo: 120\nmetre: " + metre + "\nstep: S\n" + strings.Join(lines, "\n")
	climb, ps := drill.Parse("t.drill", []byte(text), nil)
	if err := ps.Err(); err != nil {
		t.Fatal(err)
	}
	return climb.Steps[0].Passage
}
