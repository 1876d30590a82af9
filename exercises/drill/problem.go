package drill

import (
	"cmp"
	"fmt"
	"sort"
	"strings"
	"unicode/utf8"
)

// MaxProblems is the most problems that are listed for one file; a last one
// says how many more there are. Our choice: nobody mends more in one go.
const MaxProblems = 100

// maxKept bounds the problems kept before sorting, so that a hostile file
// costs no more than a long one. Our choice.
const maxKept = 10 * MaxProblems

// A Problem is one thing that is wrong in a file: where, what, and what to do.
type Problem struct {
	File   string `json:"file"`
	Line   int    `json:"line"`   // from 1
	Column int    `json:"column"` // characters, from 1
	What   string `json:"problem"`
	Do     string `json:"hint"`
}

// Error returns "file:line:column: what; what to do".
func (p Problem) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s; %s", p.File, p.Line, p.Column, p.What, p.Do)
}

// byPlace orders problems of one file.
func byPlace(a, b Problem) int {
	return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
}

// Problems are all the problems of a file, sorted by place.
type Problems []Problem

// Error returns one problem a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// Err returns ps as an error, nil when there are none.
func (ps Problems) Err() error {
	if len(ps) == 0 {
		return nil
	}
	return ps
}

// found is a problem before its column is counted.
type found struct {
	line, off int // line from 1, bytes into it
	what, do  string
}

// report collects the problems of one file.
type report struct {
	found []found
	most  int    // how many are kept
	more  int    // problems beyond them
	mute  []bool // by line, from 1: already reported as unreadable
}

// aside returns a report for one line that is read as if it were the first, so
// that it can be remembered. It keeps no more than r still can.
func (r *report) aside(line int) report {
	most := r.most - len(r.found)
	if r.mute[line] {
		most = 0
	}
	return report{most: most, mute: make([]bool, 2)}
}

// take adds what was found aside to the line that it is about.
func (r *report) take(o report, line int) {
	if r.mute[line] {
		return
	}
	for _, f := range o.found {
		if len(r.found) == r.most {
			r.more++
			continue
		}
		f.line = line
		r.found = append(r.found, f)
	}
	r.more += o.more
}

// add notes a problem at the start of a piece, with a what to format.
func (r *report) add(at piece, do, what string, args ...any) {
	if !r.mute[at.line] {
		r.note(at, do, what, args...)
	}
}

// note is add for what does not come from the text of the line.
func (r *report) note(at piece, do, what string, args ...any) {
	if len(r.found) == r.most {
		r.more++
		return
	}
	r.found = append(r.found, found{at.line, at.off, fmt.Sprintf(what, args...), do})
}

// full reports that a further problem would only be counted, and counts it:
// the hints of problems nobody will see need not be worked out.
func (r *report) full() bool {
	if len(r.found) < r.most {
		return false
	}
	r.more++
	return true
}

// addErr notes an error whose text is "what; what to do".
func (r *report) addErr(at piece, err error, do string) {
	what, hint, ok := strings.Cut(err.Error(), "; ")
	if ok {
		do = hint
	}
	r.add(at, do, "%s", what)
}

// unreadable notes a problem and keeps quiet about the rest of its line.
func (r *report) unreadable(at piece, do, what string, args ...any) {
	r.add(at, do, what, args...)
	r.mute[at.line] = true
}

// problems returns what was found, sorted by place and capped.
func (r *report) problems(name string, lines []string) Problems {
	sort.SliceStable(r.found, func(i, j int) bool {
		a, b := &r.found[i], &r.found[j]
		return a.line < b.line || a.line == b.line && a.off < b.off
	})
	more := r.more
	shown := r.found
	if len(shown) > MaxProblems {
		more += len(shown) - MaxProblems
		shown = shown[:MaxProblems+1]
	}
	var out Problems
	for i, f := range shown {
		p := Problem{name, f.line, column(lines, f), f.what, f.do}
		if i == MaxProblems {
			p.What, p.Do = fmt.Sprintf("%d more problems from here on", more), "mend those above first"
		}
		out = append(out, p)
	}
	return out
}

// column counts the characters before a problem. Broken bytes count one each.
func column(lines []string, f found) int {
	if f.line > len(lines) {
		return 1
	}
	return utf8.RuneCountInString(lines[f.line-1][:f.off]) + 1
}

// plural returns "1 bar" or "3 bars".
func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
