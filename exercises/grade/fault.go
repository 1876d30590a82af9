package grade

import (
	"bytes"
	"fmt"
	"strings"
)

// A Fault is one thing wrong with the text of a take.
type Fault struct {
	Line, Column int    // from 1; the column counts bytes
	Path         string // such as "taps[17].seconds"; empty for the text itself
	What, Do     string
}

// Error returns "line:column: path: what; what to do".
func (f Fault) Error() string {
	path := f.Path
	if path != "" {
		path += ": "
	}
	return fmt.Sprintf("%d:%d: %s%s; %s", f.Line, f.Column, path, f.What, f.Do)
}

// Faults are all faults of a take, in order of place; at most maxFaultsRead
// are kept.
type Faults []Fault

// Error returns one fault a line.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// lineColumn returns where a byte of the text stands, both from 1.
func lineColumn(data []byte, offset int) (line, column int) {
	before := data[:min(max(offset, 0), len(data))]
	return 1 + bytes.Count(before, []byte("\n")), len(before) - bytes.LastIndexByte(before, '\n')
}
