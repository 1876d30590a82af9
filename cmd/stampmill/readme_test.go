package main

import (
	"fmt"
	"maps"
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

// TestReadmeNamesTheFields: every field that grade gives stands in the README.
func TestReadmeNamesTheFields(t *testing.T) {
	data, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(data), "### What `grade --json` says\n")
	section, _, ended := strings.Cut(rest, "\n## ")
	if !ok || !ended {
		t.Fatal("the README has no section about the JSON of grade")
	}
	told := map[string]bool{}
	for i, code := range strings.Split(section, "`") {
		for _, word := range strings.FieldsFunc(code, func(r rune) bool { return strings.ContainsRune("{}[], \"", r) }) {
			told[word] = told[word] || i%2 == 1
		}
	}
	for _, field := range strings.Fields(gradeFields(t)) {
		if !told[field] {
			t.Errorf("the README does not tell the field %q of grade", field)
		}
	}
}

// gradeFields returns the names of all fields of grade's JSON, of a take that
// has everything.
func gradeFields(t *testing.T) string {
	t.Chdir(t.TempDir())
	take, stderr, code := call(t, "", "simulate", "jaw-crusher", "--step", "6", "--passes", "4", "--strength", "--release", "--misread", "step 5", "-o", "-")
	if code != exitDone {
		t.Fatal(stderr)
	}
	out, _, _ := call(t, take, "grade", "jaw-crusher", "-", "--json")
	names := map[string]bool{}
	for _, path := range fieldPaths(t, out) {
		for _, name := range strings.Split(path, ".") {
			names[name] = true
		}
	}
	return strings.Join(slices.Sorted(maps.Keys(names)), " ")
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
