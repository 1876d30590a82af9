package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// standardInput is the operand that stands for it.
const standardInput = "-"

// An unread is a file that could not be read at all, so nothing in it has a
// place.
type unread struct{ file, what, do string }

func (e unread) Error() string { return fmt.Sprintf("%s: %s; %s", e.file, e.what, e.do) }

// atFault says that a whole file is at fault, for an error "what; what to do".
func atFault(file string, err error) error {
	what, do, ok := strings.Cut(err.Error(), "; ")
	if !ok {
		do = "check the file"
	}
	return unread{file, what, do}
}

// readClimb reads an exercise: standard input, a climb of the library by name,
// or a file.
func readClimb(t terminal, operand string) (passage.Climb, error) {
	reading, err := readText(t, operand)
	if err != nil {
		return passage.Climb{}, err
	}
	return reading.Climb, reading.Problems.Err()
}

// readText reads the text of an exercise, whatever is wrong with it.
func readText(t terminal, operand string) (drill.Reading, error) {
	src, err := readSource(t, operand)
	if err != nil {
		return drill.Reading{}, err
	}
	return new(drill.Reader).Read(operand, src, change.Catalogue()), nil
}

func readSource(t terminal, operand string) ([]byte, error) {
	if inLibrary(operand) {
		return exercises.Source(operand), nil
	}
	src, err := readInput(t, operand, drill.MaxFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, unread{operand, "there is no such file, and no climb of the library has this name", suggestClimb(operand)}
	}
	return src, plainFileError(operand, err)
}

// inLibrary reports whether the operand is the bare name of a climb. A file of
// the same name is meant by ./NAME.
func inLibrary(operand string) bool {
	for _, e := range exercises.Library() {
		if e.Name == operand {
			return true
		}
	}
	return false
}

func suggestClimb(operand string) string {
	var names []string
	for _, e := range exercises.Library() {
		names = append(names, e.Name)
	}
	if near, ok := drill.Nearest(operand, names); ok {
		return "did you mean " + near + "?"
	}
	return "stampmill list tells the names"
}

// readInput reads a file or standard input, of a file above most bytes one
// byte more than that, so that its reader can say that it is too large.
func readInput(t terminal, operand string, most int64) ([]byte, error) {
	if operand == standardInput {
		return io.ReadAll(io.LimitReader(t.stdin, most+1))
	}
	f, err := os.Open(operand)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, most+1))
}

// plainFileError says in plain words why a file could not be read or written.
func plainFileError(file string, err error) error {
	var path *fs.PathError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrNotExist):
		return unread{file, "there is no such file or folder", "check its name"}
	case errors.Is(err, fs.ErrPermission):
		return unread{file, "permission denied", "check who may use it"}
	case errors.Is(err, syscall.ENOSPC):
		return unread{file, "the device is full", "make room, or name a place elsewhere"}
	case isFolder(file):
		return unread{file, "it is a folder", "name a file"}
	case errors.As(err, &path):
		return unread{file, path.Err.Error(), "check the file"}
	}
	return unread{file, err.Error(), "check the file"}
}

func isFolder(file string) bool {
	info, err := os.Stat(file)
	return err == nil && info.IsDir()
}

// exerciseName is the name that a take gives the exercise it was made with:
// that of the library, or the file's without its folder and ending; for
// standard input the title in small letters.
func exerciseName(operand string, climb passage.Climb) string {
	if operand == standardInput {
		return strings.ToLower(strings.Join(strings.Fields(climb.Title), "-"))
	}
	return strings.TrimSuffix(filepath.Base(operand), ".drill")
}
