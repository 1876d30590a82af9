package main

import (
	_ "embed"
	"flag"
	"fmt"
	"strings"

	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

var changesCommand = command{
	name: "changes", operands: "[NAME]", least: 0, most: many,
	does:     "tell the changes that do lines may name, or show one",
	examples: []string{"changes", "changes half-time", "changes fill toms --json"},
	setup: func(flags *flag.FlagSet) action {
		asJSON := jsonFlag(flags)
		return func(t terminal, name []string) error {
			entries, err := entriesNamed(strings.Join(name, " "))
			if err != nil {
				return err
			}
			switch {
			case *asJSON:
				return writeJSON(t.stdout, toldEntries(entries))
			case len(name) == 0:
				fmt.Fprintf(t.stdout, "%s\n%s", wrapLines(change.Manual()), written("What stands in braces", change.Parameters()))
				return nil
			}
			return showEntry(t, entries[0])
		}
	},
}

// wrapLines breaks the long lines of a text, each keeping its indent.
func wrapLines(text string) string {
	var out strings.Builder
	for line := range strings.Lines(text) {
		if body := strings.TrimLeft(line, " "); body != "\n" {
			out.WriteString(wrap(body, len(line)-len(body)))
			continue
		}
		out.WriteString("\n")
	}
	return out.String()
}

// A toldEntry is a change of the catalogue for other programs.
type toldEntry struct {
	Name     string `json:"name"`
	Group    string `json:"group"`
	Form     string `json:"form"`
	About    string `json:"about"`
	Example  string `json:"example"`
	Sentence string `json:"sentence"` // of the example
}

func toldEntries(entries []change.Entry) []toldEntry {
	all := []toldEntry{}
	for _, e := range entries {
		told := toldEntry{Name: e.Name, Group: e.Group, Form: e.Form, About: e.About, Example: e.Example}
		if shown, err := exampleOf(e); err == nil {
			told.Sentence = shown.change.Sentence(shown.before)
		}
		all = append(all, told)
	}
	return all
}

// entriesNamed returns the change with a name, all for "".
func entriesNamed(name string) ([]change.Entry, error) {
	if name == "" {
		return change.Entries(), nil
	}
	if e, ok := change.Named(strings.ToLower(name)); ok {
		return []change.Entry{*e}, nil
	}
	var names []string
	for _, e := range change.Entries() {
		names = append(names, e.Name)
	}
	hint := "stampmill changes tells them all"
	if near, ok := drill.Nearest(name, names); ok {
		hint = "did you mean " + near + "?"
	}
	return nil, misusef("no change is called %.60q; %s", name, hint)
}

func showEntry(t terminal, e change.Entry) error {
	shown, err := exampleOf(e)
	if err != nil {
		return err
	}
	fmt.Fprintf(t.stdout, "%s\n%s\n", e.Form, wrap(e.About, 0))
	if all := e.Parameters(); len(all) > 0 {
		fmt.Fprint(t.stdout, "\n"+written("", all)+"\n")
	}
	fmt.Fprintf(t.stdout, "For example: %s\n%s\nbefore\n", e.Example, wrap(shown.change.Sentence(shown.before), 0))
	fmt.Fprintf(t.stdout, "%s\n\nafter\n%s\n", lines(shown.before), lines(shown.after))
	return nil
}

// written tells how parameters are written, under a heading where there is one.
func written(heading string, all []change.Parameter) string {
	var out strings.Builder
	if heading != "" {
		out.WriteString(heading + "\n\n")
	}
	for _, p := range all {
		out.WriteString(wrapLines("  {" + p.Name + "}: " + p.How + "\n"))
	}
	return out.String()
}

// lines draws a passage, with its tempo where that is not the manual's.
func lines(p passage.Passage) string {
	return metresAndTempi(p.Bars) + "\n" + strings.Join(strip(p, nil), "\n")
}

// A shown change is the example of an entry, made on a passage.
type shown struct {
	change        change.Change
	before, after passage.Passage
}

//go:embed manual.drill
var manual []byte

// exampleOf makes the example of an entry on the first passage of the manual
// that it fits.
func exampleOf(e change.Entry) (shown, error) {
	c, err := change.Parse(e.Example)
	if err != nil {
		return shown{}, err
	}
	climb, problems := drill.Parse("manual.drill", manual, nil)
	err = problems.Err()
	for _, s := range climb.Steps {
		var after passage.Passage
		if after, err = c.Apply(s.Passage); err == nil {
			return shown{c, s.Passage, after}, nil
		}
	}
	return shown{}, err
}
