package exercises

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/drill"
)

// Every embedded file is a climb without mistakes, and stands in the teaching
// order.
func TestEveryFileIsInTheLibrary(t *testing.T) {
	var inOrder []string
	for _, name := range names() {
		climb, problems := drill.Parse(name+ending, Source(name), catalogue)
		if err := problems.Err(); err != nil {
			t.Error(err)
			continue
		}
		if name != fileName(climb.Title) {
			t.Errorf("%s%s holds the climb %q; name the file %s", name, ending, climb.Title, fileName(climb.Title))
		}
		inOrder = append(inOrder, name)
	}
	if diff := cmp.Diff(order, inOrder); diff != "" {
		t.Errorf("the teaching order and the files differ (-order +files):\n%s", diff)
	}
	var listed []string
	for _, e := range Library() {
		listed = append(listed, e.Name)
	}
	if diff := cmp.Diff(inOrder, listed); diff != "" {
		t.Errorf("Library (-want +got):\n%s", diff)
	}
}

// fileName is the name by which a climb is typed.
func fileName(title string) string {
	return strings.Join(strings.Fields(strings.ToLower(title)), "-")
}

func TestLibraryPrintsAndReadsBack(t *testing.T) {
	for _, e := range Library() {
		text, err := drill.Print(e.Climb)
		if err != nil {
			t.Errorf("%s: %v", e.Name, err)
			continue
		}
		again, problems := drill.Parse(e.Name, text, catalogue)
		printed, err := drill.Print(again)
		if len(problems) > 0 || err != nil || !bytes.Equal(text, printed) {
			t.Errorf("%s does not come back as it was printed: %v %v", e.Name, problems, err)
		}
	}
}

func TestOpen(t *testing.T) {
	for _, name := range []string{"headframe", "headframe.drill"} {
		if c, err := Open(name); err != nil || c.Title != "Headframe" {
			t.Errorf("Open(%q) is %q, %v", name, c.Title, err)
		}
	}
	for name, want := range map[string]string{
		"headfrmae": `the library has no climb called "headfrmae"; did you mean headframe?`,
		"polka":     `the library has no climb called "polka"; the library has ` + strings.Join(order, ", "),
	} {
		if _, err := Open(name); err == nil || err.Error() != want {
			t.Errorf("Open(%q): %v, want %s", name, err, want)
		}
	}
	if Source("polka") != nil || Source("../exercises") != nil || !bytes.HasPrefix(Source("headframe"), []byte("title: Headframe")) {
		t.Error("Source does not give the text of a climb, and nothing else")
	}
}

func TestLibraryCannotBeChangedFromOutside(t *testing.T) {
	all := Library()
	slices.Reverse(all)
	if Library()[0].Name != order[0] {
		t.Error("a caller's slice is the library's own")
	}
}
