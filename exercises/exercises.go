// Package exercises is the library of climbs that comes with the program, as
// exercise text embedded in it.
//
// Each file of the folder library is one climb; its name without the ending is
// the name players type. [Library] lists them in teaching order, [Open] reads
// one by name, [Source] gives its text.
package exercises

import (
	"cmp"
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

//go:embed library/*.drill
var library embed.FS

const ending = ".drill"

// order is the teaching order: first the climb with the lightest first step,
// where a first visit begins, then the others by the mean load of their steps
// (see package complexity). Climbs that it does not name come after it, by name.
var order = []string{
	"headframe", "adit", "ore-pass", "raise-bore", "tailings", "ball-mill", "winze", "cage",
	"haulage", "gangue", "trommel", "stope", "crosscut", "grizzly", "jaw-crusher",
}

// catalogue is what the do lines of the library may name.
var catalogue drill.Catalogue = change.Catalogue()

// An Entry is one climb of the library.
type Entry struct {
	Name  string // file name without its ending, such as "headframe"
	Climb passage.Climb
}

var entries = sync.OnceValue(func() []Entry {
	var all []Entry
	for _, name := range names() {
		// A file with mistakes fails the tests of this package; here it would
		// only be missing.
		if climb, problems := drill.Parse(name+ending, Source(name), catalogue); len(problems) == 0 {
			all = append(all, Entry{name, climb})
		}
	}
	return all
})

// Library returns the climbs in teaching order. The slice is new; treat the
// climbs as values.
func Library() []Entry { return slices.Clone(entries()) }

// names returns the names of the files in teaching order.
func names() []string {
	files, _ := library.ReadDir("library") // embedded: cannot fail
	var all []string
	for _, f := range files {
		all = append(all, strings.TrimSuffix(f.Name(), ending))
	}
	slices.SortFunc(all, func(a, b string) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a, b))
	})
	return all
}

func rank(name string) int {
	if i := slices.Index(order, name); i >= 0 {
		return i
	}
	return len(order)
}

// Open returns the climb with the given name; its ending may be written.
func Open(name string) (passage.Climb, error) {
	name = strings.TrimSuffix(name, ending)
	for _, e := range entries() {
		if e.Name == name {
			return e.Climb, nil
		}
	}
	hint := "the library has " + strings.Join(names(), ", ")
	if near, ok := drill.Nearest(name, names()); ok {
		hint = "did you mean " + near + "?"
	}
	return passage.Climb{}, fmt.Errorf("the library has no climb called %.60q; %s", name, hint)
}

// Source returns the text of a climb of the library, nil when it has none of
// that name. The slice is new.
func Source(name string) []byte {
	text, err := library.ReadFile("library/" + strings.TrimSuffix(name, ending) + ending)
	if err != nil {
		return nil
	}
	return text
}
