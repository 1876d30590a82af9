package main

import (
	"cmp"
	"errors"
	"flag"
	"fmt"
	"slices"

	"stampmill/exercises/drill"
)

var checkCommand = command{
	name: "check", operands: "FILE...", least: 1, most: many,
	does:     "tell everything that is wrong with exercise texts, or cannot be played",
	examples: []string{"check quarry.drill", "check --pedals 1 --json *.drill", "check - < quarry.drill"},
	setup: func(flags *flag.FlagSet) action {
		feet := pedalsFlag()
		feet.register(flags)
		asJSON := jsonFlag(flags)
		return func(t terminal, files []string) error {
			all := drill.Problems{}
			for _, file := range files {
				found := problemsOf(t, file, &feet, !*asJSON)
				all = append(all, found...)
			}
			if *asJSON {
				if err := writeJSON(t.stdout, all); err != nil {
					return err
				}
			}
			if len(all) > 0 {
				return errReported
			}
			return nil
		}
	},
}

// problemsOf checks one file, and tells what it finds if told to.
func problemsOf(t terminal, file string, feet *pedals, tell bool) drill.Problems {
	reading, err := readText(t, file)
	if err == nil {
		err = inOrder(append(reading.Problems, reading.Unplayable(feet.judge)...)).Err()
	}
	switch {
	case err != nil && tell:
		fmt.Fprintln(t.stderr, err)
	case tell:
		fmt.Fprintf(t.stdout, "%s: no problems in %s\n", file, counted(len(reading.Climb.Steps), "step"))
	}
	return asProblems(file, err)
}

// inOrder sorts problems by their places, so that what cannot be read and what
// cannot be played are told in one go.
func inOrder(problems drill.Problems) drill.Problems {
	slices.SortStableFunc(problems, func(a, b drill.Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return problems
}

// asProblems gives any error of reading a file as problems; where it has no
// place, line and column are 0.
func asProblems(file string, err error) drill.Problems {
	var problems drill.Problems
	var whole unread
	switch {
	case err == nil:
		return nil
	case errors.As(err, &problems):
		return problems
	case errors.As(err, &whole):
		return drill.Problems{{File: whole.file, What: whole.what, Do: whole.do}}
	}
	return drill.Problems{{File: file, What: err.Error(), Do: "check the file"}}
}
