package exercises

import (
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/change"
	"stampmill/exercises/complexity"
	"stampmill/exercises/drill"
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
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

// The library is wide enough to learn the catalogue from: what it must have.
func TestLibraryCovers(t *testing.T) {
	const climbs, fewest, mostSteps = 12, 6, 9
	const slowest, fastest = 70, 190 // beats a minute
	all := Library()
	if len(all) < climbs {
		t.Errorf("%d climbs, want at least %d", len(all), climbs)
	}
	changes, metres := map[string]bool{}, map[string]bool{}
	var tempi []float64
	for _, e := range all {
		c := e.Climb
		if n := len(c.Steps); n < fewest || n > mostSteps || c.About == "" || c.By == "" {
			t.Errorf("%s has %d steps, about %q, by %q; want %d to %d steps, and both", e.Name, n, c.About, c.By, fewest, mostSteps)
		}
		for _, s := range c.Steps {
			for _, do := range s.Do {
				made, err := change.Parse(do)
				if err != nil {
					t.Fatal(err)
				}
				changes[made.Entry.Name] = true
			}
			metres[metre(s.Passage)] = true
			tempi = append(tempi, s.Passage.Bars[0].Tempo.BPM.Float())
		}
	}
	for _, e := range change.Entries() {
		if !changes[e.Name] {
			t.Errorf("no climb uses %q", e.Form)
		}
	}
	for _, m := range []string{"4/4", "3/4", "6/8", "7/8", "5/4", "mixed"} {
		if !metres[m] {
			t.Errorf("no step is in %s; there are %v", m, slices.Sorted(maps.Keys(metres)))
		}
	}
	if slices.Min(tempi) > slowest || slices.Max(tempi) < fastest {
		t.Errorf("tempi from %.0f to %.0f, want %d to %d", slices.Min(tempi), slices.Max(tempi), slowest, fastest)
	}
}

// metre returns the signature of all bars, or "mixed".
func metre(p passage.Passage) string {
	for _, b := range p.Bars {
		if b.Metre != p.Bars[0].Metre {
			return "mixed"
		}
	}
	signature, _, _ := strings.Cut(p.Bars[0].Metre.String(), " ")
	return signature
}

// Every step is changed by one or two changes, or written out; most are changed.
func TestStepsAreMadeByOneOrTwoChanges(t *testing.T) {
	for _, e := range Library() {
		for i, s := range e.Climb.Steps {
			if n := len(s.Do); n > 2 || n == 0 && i > 0 {
				t.Errorf("%s, step %d, %s, is made by %d changes, want one or two", e.Name, i+1, s.Title, n)
			}
		}
	}
}

// Kick and guitar are one machine: in every step at least this share of the
// strokes of either stands with one of the other. The rest are strokes under a
// ringing guitar, and guitar strokes that answer the drums.
const locked = 0.85

func TestKickIsLockedToGuitar(t *testing.T) {
	for _, e := range Library() {
		for i, s := range e.Climb.Steps {
			kick, guitar := onsets(s.Passage, passage.Kick), onsets(s.Passage, passage.Guitar)
			both := 0
			for at := range kick {
				if guitar[at] {
					both++
				}
			}
			if len(kick) == 0 || float64(both) < locked*float64(max(len(kick), len(guitar))) {
				t.Errorf("%s, step %d, %s: %d of %d kick and %d guitar strokes stand together", e.Name, i+1, s.Title, both, len(kick), len(guitar))
			}
		}
	}
}

func onsets(p passage.Passage, v passage.Voice) map[meter.Rat]bool {
	all := map[meter.Rat]bool{}
	l, _ := p.Line(v)
	for _, s := range l.Strokes {
		if s.Sounds() {
			all[s.At] = true
		}
	}
	return all
}

func TestStepsArePlayable(t *testing.T) {
	for _, e := range Library() {
		for i, s := range e.Climb.Steps {
			if ps := limbs.Problems(s.Passage, limbs.Two); ps != nil {
				t.Errorf("%s, step %d, %s: %v", e.Name, i+1, s.Title, ps)
			}
		}
	}
}

// The first climb is the one whose first step is lightest; the others come in
// the order of the mean load of their steps.
func TestTeachingOrderRises(t *testing.T) {
	var first, mean []float64
	for _, e := range Library() {
		sum := 0.0
		for _, s := range e.Climb.Steps {
			sum += complexity.Rate(nil, s.Passage).Load()
		}
		first = append(first, complexity.Rate(nil, e.Climb.Steps[0].Passage).Load())
		mean = append(mean, sum/float64(len(e.Climb.Steps)))
	}
	if first[0] > slices.Min(first) || !slices.IsSorted(mean[1:]) {
		t.Errorf("the first steps have the loads %.1f, the climbs %.1f; put %v in order", first, mean, names())
	}
}
