package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"stampmill/exercises/grade"
)

// readTake reads a take file.
func readTake(t terminal, operand string) (grade.Take, error) {
	switch ending := strings.ToLower(filepath.Ext(operand)); ending {
	case ".wav", ".mp3", ".mid":
		return grade.Take{}, unread{operand, "this version reads takes of the form .json, not " + ending, "export the take as .json"}
	}
	data, err := readInput(t, operand, grade.MaxTakeBytes)
	if err != nil {
		return grade.Take{}, plainFileError(operand, err)
	}
	take, err := grade.ReadTake(data)
	if err != nil {
		return grade.Take{}, inFile(operand, err)
	}
	return take, nil
}

// A faulty file: each line of the error stands behind the name of the file.
type faulty struct {
	file string
	err  error
}

func (e faulty) Error() string {
	lines := strings.Split(e.err.Error(), "\n")
	for i, l := range lines {
		lines[i] = e.file + ":" + l
	}
	return strings.Join(lines, "\n")
}

func (e faulty) Unwrap() error { return e.err }

func inFile(file string, err error) error { return faulty{file, err} }

// disagreement says that a flag contradicts the take.
func disagreement(flag, take, asked string) error {
	return misusef("the take was made at %s %s, not %s; leave --%[1]s out", flag, take, asked)
}

// sameName reports whether a take belongs to an exercise, as far as names tell.
func sameName(take, exercise string) bool {
	return take == "" || strings.EqualFold(take, exercise)
}

func namesDiffer(t terminal, take, exercise string) {
	if !sameName(take, exercise) {
		fmt.Fprintf(t.stderr, "stampmill grade: the take was made with %q, and is graded against %q as asked\n", take, exercise)
	}
}
