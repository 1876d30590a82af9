package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/complexity"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// The table of climbs in the README stands between these lines.
const (
	readme     = "../../README.md"
	tableStart = "<!-- climbs: go test ./cmd/stampmill -run Readme -update -->\n"
	tableEnd   = "<!-- end of climbs -->\n"
)

// TestReadmeListsTheClimbs: the table of climbs with their measures is that of
// the library as it is.
func TestReadmeListsTheClimbs(t *testing.T) {
	data, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok := strings.Cut(string(data), tableStart)
	was, after, ended := strings.Cut(rest, tableEnd)
	if !ok || !ended {
		t.Fatalf("%s has no place for the climbs between %q and %q", readme, tableStart, tableEnd)
	}
	table := climbTable()
	if *update {
		if err := os.WriteFile(readme, []byte(before+tableStart+table+tableEnd+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(strings.Split(was, "\n"), strings.Split(table, "\n")); diff != "" {
		t.Errorf("the climbs of the README are out of date (-README +library); run go test ./cmd/stampmill -run Readme -update:\n%s", diff)
	}
}

// climbTable returns the library as a table.
func climbTable() string {
	var b strings.Builder
	b.WriteString("\n| climb | metre | tempo | steps | load | changes |\n|---|---|---|---|---|---|\n")
	for _, e := range exercises.Library() {
		steps := e.Climb.Steps
		first, last := complexity.Rate(nil, steps[0].Passage).Load(), complexity.Rate(nil, steps[len(steps)-1].Passage).Load()
		fmt.Fprintf(&b, "| %s | %s | %s | %d | %.1f to %.1f | %s |\n", e.Climb.Title,
			strings.Join(metresOf(e.Climb), ", "), tempoRange(e.Climb), len(steps), first, last, strings.Join(changesIn(e.Climb), ", "))
	}
	b.WriteString("\n")
	return b.String()
}

// tempoRange tells the lowest and the highest tempo of a climb.
func tempoRange(c passage.Climb) string {
	var low, high meter.Tempo
	for _, s := range c.Steps {
		for _, b := range s.Passage.Bars {
			if low.IsZero() || b.Tempo.BPM.Less(low.BPM) {
				low = b.Tempo
			}
			if high.IsZero() || high.BPM.Less(b.Tempo.BPM) {
				high = b.Tempo
			}
		}
	}
	if low == high {
		return low.String()
	}
	return low.String() + " to " + high.String()
}

// changesIn returns the names of the changes that a climb is made by, in the
// order in which they come.
func changesIn(c passage.Climb) []string {
	var names []string
	for _, s := range c.Steps {
		for _, text := range s.Do {
			if made, err := change.Parse(text); err == nil && !slices.Contains(names, made.Entry.Name) {
				names = append(names, made.Entry.Name)
			}
		}
	}
	return names
}
