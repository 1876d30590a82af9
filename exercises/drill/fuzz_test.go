package drill

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// equal compares climbs as values: no line is the same as an empty one.
var equal = cmp.Options{cmpopts.EquateEmpty(), cmpopts.EquateComparable(meter.Rat{}, meter.Metre{})}

// seeds adds the files of testdata/text to the corpus of a fuzz target.
func seeds(f *testing.F) {
	files, err := filepath.Glob("testdata/text/*.drill")
	if err != nil || len(files) == 0 {
		f.Fatal("no seed files in testdata/text", err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
}

// FuzzParse holds that no bytes make Parse panic, that each problem stands
// within the text and in order, and that a climb without problems is within
// the limits.
func FuzzParse(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		climb, ps := Parse("x.drill", src, testChanges{})
		checkPlaces(t, src, ps)
		if len(ps) > 0 {
			return
		}
		for _, s := range climb.Steps {
			if found := passage.Check(s.Passage); len(found) > 0 {
				t.Errorf("step %q leaves the limits: %v", s.Title, found)
			}
		}
	})
}

func checkPlaces(t *testing.T, src []byte, ps Problems) {
	t.Helper()
	lines := strings.Split(strings.TrimPrefix(string(src), "\ufeff"), "\n")
	line, column := 1, 1
	for _, p := range ps {
		if p.Line < line || p.Line == line && p.Column < column {
			t.Fatalf("%v is out of order", p)
		}
		line, column = p.Line, p.Column
		if p.Line > len(lines) || p.Column > utf8.RuneCountInString(lines[p.Line-1])+1 {
			t.Fatalf("%v is outside the text", p)
		}
		if p.What == "" || p.Do == "" {
			t.Fatalf("%v does not say what and what to do", p)
		}
	}
	if len(ps) > MaxProblems+1 {
		t.Fatalf("%d problems listed", len(ps))
	}
}

// FuzzRoundTrip holds that reading what was printed gives an equal climb, and
// printing that the same text.
func FuzzRoundTrip(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		climb, ps := Parse("x.drill", src, testChanges{})
		if len(ps) == 0 {
			roundTrip(t, climb)
		}
	})
}

func roundTrip(t interface {
	Helper()
	Fatalf(string, ...any)
}, climb passage.Climb) []byte {
	t.Helper()
	text, err := Print(climb)
	if err != nil {
		t.Fatalf("cannot print what was read: %v", err)
	}
	again, ps := Parse("again.drill", text, testChanges{})
	if len(ps) > 0 {
		t.Fatalf("cannot read what was printed: %v\n%s", ps, text)
	}
	if diff := cmp.Diff(climb, again, equal); diff != "" {
		t.Fatalf("reading what was printed (-want +got):\n%s\n%s", diff, text)
	}
	text2, err := Print(again)
	if err != nil || !bytes.Equal(text, text2) {
		t.Fatalf("printed again: %v\n%s\nfirst:\n%s", err, text2, text)
	}
	return text
}
