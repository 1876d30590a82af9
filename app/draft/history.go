package draft

import (
	"strings"
	"time"
	"unicode/utf8"
)

// A hunk is one stretch of text in place of another: from and to are where it
// stands in the text before and after, in bytes.
type hunk struct {
	from, to       int
	removed, added string
}

// A patch makes one text of another: hunks in order, apart from one another.
// It keeps only what differs.
type patch []hunk

// apply makes a patch of the text it was made for.
func (p patch) apply(text string) string {
	var out strings.Builder
	read := 0
	for _, h := range p {
		out.WriteString(text[read:h.from])
		out.WriteString(h.added)
		read = h.from + len(h.removed)
	}
	out.WriteString(text[read:])
	return out.String()
}

// inverse returns the patch that undoes p.
func (p patch) inverse() patch {
	out := make(patch, len(p))
	for i, h := range p {
		out[i] = hunk{h.to, h.from, h.added, h.removed}
	}
	return out
}

// between returns a patch from one text to another: what is left between equal
// beginnings and ends, line by line where that is as many lines in both.
func between(before, after string) patch {
	if before == after {
		return nil
	}
	head := commonHead(before, after)
	tail := commonTail(before[head:], after[head:])
	b, a := before[head:len(before)-tail], after[head:len(after)-tail]
	lines := strings.Count(b, "\n")
	if lines == 0 || lines != strings.Count(a, "\n") {
		return patch{{head, head, strings.Clone(b), strings.Clone(a)}}
	}
	var p patch
	from, to := head, head
	for b != "" || a != "" {
		one, two := firstLine(b), firstLine(a)
		for _, h := range between(one, two) {
			p = append(p, hunk{from + h.from, to + h.to, h.removed, h.added})
		}
		from, to = from+len(one), to+len(two)
		b, a = b[len(one):], a[len(two):]
	}
	return p
}

// firstLine returns a text up to and with its first line ending.
func firstLine(s string) string {
	if i := strings.IndexByte(s, '\n'); i >= 0 {
		return s[:i+1]
	}
	return s
}

// stride is how many bytes are compared at once. Our choice; it only speeds up.
const stride = 64

// commonHead returns how many bytes two texts have in common at the start, in
// whole characters.
func commonHead(a, b string) int {
	n, most := 0, min(len(a), len(b))
	for n+stride <= most && a[n:n+stride] == b[n:n+stride] {
		n += stride
	}
	for n < most && a[n] == b[n] {
		n++
	}
	for n > 0 && (midRune(a, n) || midRune(b, n)) {
		n--
	}
	return n
}

// commonTail returns how many bytes two texts have in common at the end, in
// whole characters.
func commonTail(a, b string) int {
	n, most := 0, min(len(a), len(b))
	for n+stride <= most && a[len(a)-n-stride:len(a)-n] == b[len(b)-n-stride:len(b)-n] {
		n += stride
	}
	for n < most && a[len(a)-n-1] == b[len(b)-n-1] {
		n++
	}
	for n > 0 && (midRune(a, len(a)-n) || midRune(b, len(b)-n)) {
		n--
	}
	return n
}

// midRune reports whether a byte goes on with the character before it.
func midRune(s string, i int) bool { return i < len(s) && !utf8.RuneStart(s[i]) }

// An entry of the history is one edit that is undone at once. Entries form a
// list from the newest to the oldest that drafts share: an old draft keeps its
// own history, and a new edit costs nothing of the old ones.
type entry struct {
	older         *entry
	patch         patch
	name          string // what it did, for the Undo button
	before, after stand
	typed         time.Duration // of the last character, for typing
	open          bool          // typing that may go on
}

// typing is the name of what was typed in the text.
const typing = "typing"

// record returns the draft with an edit added to its history.
func (d Draft) record(e entry) Draft {
	e.older = d.past
	d.past, d.future = &e, nil
	return d
}

// UndoName returns what [Draft.Undo] takes back, "" when there is nothing.
func (d Draft) UndoName() string {
	if d.past == nil {
		return ""
	}
	return d.past.name
}

// RedoName returns what [Draft.Redo] does again, "" when there is nothing.
func (d Draft) RedoName() string {
	if d.future == nil {
		return ""
	}
	return d.future.name
}

// Undo takes the last edit back, as often as there are edits.
func (d Draft) Undo() Draft {
	e := d.past
	if e == nil {
		return d
	}
	again := *e
	again.older, again.open = d.future, false
	d.past, d.future = closed(e.older), &again
	d = d.reread(e.patch.inverse().apply(d.text)).at(e.before)
	d.said = "Undone: " + e.name + "."
	return d
}

// Redo makes the edit again that was undone last.
func (d Draft) Redo() Draft {
	e := d.future
	if e == nil {
		return d
	}
	again := *e
	again.older, again.open = d.past, false
	d.past, d.future = &again, e.older
	d = d.reread(e.patch.apply(d.text)).at(e.after)
	d.said = "Done again: " + e.name + "."
	return d
}

// closed returns an entry that no typing joins any more.
func closed(e *entry) *entry {
	if e == nil || !e.open {
		return e
	}
	c := *e
	c.open = false
	return &c
}
