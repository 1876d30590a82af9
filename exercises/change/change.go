// Package change is the catalogue of changes: named ways to make one passage
// into another, each with the text that asks for it, the sentence that says
// it, what it does, and what undoes it.
//
// The one idea: a change is one [Entry] of one table, and everything that
// needs changes reads that table: the do lines of exercise text, the manual,
// what an editor offers, what the ear is asked, what a take is compared with.
// [Parse] reads the text of a change, [Change.Apply] makes it, [Change.Sentence]
// says it in plain words, [Change.Inverse] finds what undoes it, [Manual]
// prints the table. [Catalogue] is the table as package drill wants it.
//
// All times are exact quarter notes (see package meter). A change is pure: it
// returns a new passage that is within every limit of package passage, or
// refuses with an error "what; what to do" and leaves the passage alone. A
// text has at most [MaxText] characters and a result at most [MaxStrokes]
// strokes.
//
// # The text of a change
//
// The words of a change are separated by spaces; capitals do not matter. After
// its name come what it works on and its clauses, which may stand in any
// order. The Form of an entry is its grammar: words in { } stand for what is
// written there, clauses in [ ] may be missing.
//
//	voices, voice    names of voices, such as kick guitar
//	range, ranges    2 (a bar), 1-3 (bars, ends included), 2.4 (bar and beat), 1.3-2.2;
//	                 a start may say how far into the beat: 2.4+1/8 is the rest of
//	                 that beat. Without ranges a change holds throughout
//	place, places    2.4 (bar and beat), 2.4+1/8 (an eighth after it)
//	length           a note value: 1/8, 1/4. (dotted), 1/12 (a triplet eighth)
//	shift            a length later, or with - before it sooner: -1/16
//	count, groups    whole numbers: 3, or 3 3 2
//	factor           a number above 0: 2, 3/2, 1.5
//
// # How to add a change
//
// Each group of entries has a file of its own and gives a slice: [Entries]
// puts them together in the order of the manual. To add one, write in the file
// of its group
//
//	{
//		Form:    "retime {voices} at {range} as {count}",
//		About:   "What it does, in one or two sentences, for the manual.",
//		Example: "retime guitar kick at 2.4 as 3",
//		effect:  retime,     // func(p *passage.Passage, a Args) error
//		sentence: retimed,   // func(p passage.Passage, a Args) string
//		inverse: retimeBack, // func(p passage.Passage, a Args) []Change, or nil
//	}
//
// The words before the first { [ or clause are the name. The clauses are read
// once from the Form and fill [Args]; see the table of parameters in form.go.
// An effect works on a copy that it may change as it likes. It need not check
// limits, four limbs, or whether anything changed: [Change.Apply] does, and
// refuses when a voice that the text names stays as it was. It leaves a stroke
// with Length 0 where one cell is meant, however long that will be. An inverse
// only suggests: what it suggests is tried before it is believed.
//
// Strokes are put into a line by the functions of stretch.go, which keep them
// in order of time and apart. Words for sentences are in words.go.
package change

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Limits. Our choice.
const (
	MaxText    = 200     // characters of the text of a change
	MaxStrokes = 100_000 // strokes of a passage that a change may make
)

// An Entry is one change of the catalogue. Entries are made by this package
// only.
type Entry struct {
	Name    string // the words that call it, such as "half-time"
	Group   string // heading in the manual
	Form    string // its grammar, such as "retime {voices} at {range} as {count}"
	About   string // what it does, in plain words
	Example string // one text of it

	clauses  []clause
	effect   func(p *passage.Passage, a Args) error
	sentence func(p passage.Passage, a Args) string
	inverse  func(p passage.Passage, a Args) []Change // nil where there is none
}

// Args are the parameters of a change. Which of them are used, the form of the
// entry tells; the others are zero.
type Args struct {
	Voices []passage.Voice
	To     passage.Voice // the voice after "to"
	At     []Range       // none: throughout
	Places []Spot
	By     meter.Rat // quarter notes; below 0 is sooner
	Count  int
	Groups []int
	Factor meter.Rat
	Bar    int // from 1
	Metre  meter.Metre
	As     string // a word to choose, or one that may be there
}

// A Change is an entry with its parameters.
type Change struct {
	Entry *Entry
	Args  Args
}

// table is filled once, by entries; it has no initial value because inverses
// look entries up in it.
var table struct {
	once sync.Once
	all  []Entry
}

// groups are the files of the catalogue in the order of the manual.
func groups() []struct {
	name    string
	entries []Entry
} {
	return []struct {
		name    string
		entries []Entry
	}{
		{"Cymbals", cymbals()},
		{"Kick and guitar", riff()},
		{"Triplets and other tuplets", tuplets()},
		{"Groupings", groupings()},
		{"Snare", snare()},
		{"Weight", weight()},
		{"Space and form", space()},
		{"Arrangement", arrange()},
	}
}

func entries() []Entry {
	table.once.Do(func() {
		for _, g := range groups() {
			for _, e := range g.entries {
				e.Group = g.name
				e.Name, e.clauses = readForm(e.Form)
				table.all = append(table.all, e)
			}
		}
	})
	return table.all
}

// Entries returns the catalogue in the order of the manual. The slice is new.
func Entries() []Entry { return append([]Entry(nil), entries()...) }

// Named returns the entry with a name, such as "half-time".
func Named(name string) (*Entry, bool) {
	all := entries()
	for i := range all {
		if all[i].Name == name {
			return &all[i], true
		}
	}
	return nil, false
}

// with returns the change of a name with some parameters, for inverses. The
// name must be one of the catalogue.
func with(name string, a Args) Change {
	e, _ := Named(name)
	return Change{e, a}
}

// names returns the names of all entries.
func names() []string {
	var all []string
	for _, e := range entries() {
		all = append(all, e.Name)
	}
	return all
}

// Sentence says in plain words what the change does to p, the passage before
// it: "The snare moves an eighth later in bar 2."
func (c Change) Sentence(p passage.Passage) string {
	if c.Entry == nil {
		return ""
	}
	return c.Entry.sentence(p, c.Args)
}

// Inverse returns the change that undoes c on p: made after c it gives p back.
// Not every change has one, and on some passages a change loses what no other
// can bring back: then ok is false.
func (c Change) Inverse(p passage.Passage) (Change, bool) {
	if c.Entry == nil || c.Entry.inverse == nil {
		return Change{}, false
	}
	after, err := c.Apply(p)
	if err != nil {
		return Change{}, false
	}
	for _, back := range c.Entry.inverse(p, c.Args) {
		if again, err := back.Apply(after); err == nil && passage.Same(again, p) {
			return back, true
		}
	}
	return Change{}, false
}

// refuse makes the error of a change that is not made: what is in the way, and
// what to do.
func refuse(do, what string, args ...any) error {
	return errors.New(fmt.Sprintf(what, args...) + "; " + do)
}

// A Table is the catalogue as package drill reads do lines with.
type Table struct{}

// Catalogue returns the catalogue for [drill.Parse].
func Catalogue() Table { return Table{} }

// Parse returns what the change of a text does.
func (Table) Parse(text string) (func(passage.Passage) (passage.Passage, error), error) {
	c, err := Parse(text)
	if err != nil {
		return nil, err
	}
	return c.Apply, nil
}

// capital returns text with its first letter as a capital.
func capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
