package draft

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// When typing is one edit for Undo. Our choice.
const (
	pause    = time.Second // a longer one begins a new edit
	maxTyped = 80          // bytes; a longer run of typing begins a new edit
	maxKey   = 4           // characters that may come of one key; more is a paste
)

// SetText takes over what a text field holds now, with its caret. The time is
// that of the key press, counted from anywhere.
//
// Typing is undone word by word: characters join the edit before when they
// follow on it directly, within a second, up to the next word or line. So do
// characters deleted one after the other. What is pasted, cut or replaced is
// an edit of its own, and deleting never joins typing, so that Undo brings back
// whatever was deleted.
func (d Draft) SetText(text string, caret Caret, at time.Duration) Draft {
	p := between(d.text, text)
	if p == nil {
		return d.SetCaret(caret)
	}
	p = p.endingAt(d.text, caret.Offset(text))
	before := d.stand
	d = d.begun(text, caret).follow(caret)
	e := entry{patch: p, name: nameOf(p), before: before, after: d.stand, typed: at, open: true}
	if whole, ok := d.past.join(e); ok {
		d.past, d.future = &whole, nil
		return d
	}
	e.open = isKey(p)
	return d.record(e)
}

// endingAt returns the patch with what one key typed ending at the caret: among
// equal signs, comparing texts cannot tell which of them is the new one.
func (p patch) endingAt(before string, caret int) patch {
	if !isKey(p) || p[0].added == "" {
		return p
	}
	h := p[0]
	n := h.to + len(h.added) - caret
	if n <= 0 || n > h.from {
		return p
	}
	passed := before[h.from-n : h.from]
	added := (passed + h.added)[:len(h.added)]
	if added+passed != passed+h.added {
		return p
	}
	return patch{{h.from - n, h.to - n, h.removed, added}}
}

// nameOf says what was done in the text.
func nameOf(p patch) string {
	switch {
	case isKey(p) && p[0].added == "":
		return "deleting"
	case isKey(p):
		return typing
	case len(p) == 1 && p[0].added == "":
		return "cutting text"
	case len(p) == 1 && p[0].removed == "":
		return "pasting text"
	}
	return "replacing text"
}

// isKey reports whether a patch looks like one key press.
func isKey(p patch) bool {
	if len(p) != 1 || p[0].removed != "" && p[0].added != "" {
		return false
	}
	return utf8.RuneCountInString(p[0].removed+p[0].added) <= maxKey
}

// join returns the entry with a further key press in it, false when that is an
// edit of its own.
func (e *entry) join(next entry) (entry, bool) {
	if e == nil || !e.open || next.typed < e.typed || next.typed-e.typed > pause || !isKey(next.patch) || e.name != next.name {
		return entry{}, false
	}
	h, ok := e.patch[0].then(next.patch[0])
	if !ok || len(h.removed)+len(h.added) > maxTyped {
		return entry{}, false
	}
	next.older, next.before, next.patch = e.older, e.before, patch{h}
	return next, true
}

// then returns two hunks as one where the second follows on the first: typed
// behind it, or deleted on either side of it.
func (h hunk) then(next hunk) (hunk, bool) {
	switch {
	case h.removed == "" && next.removed == "" && next.from == h.to+len(h.added):
		if newWord(h.added, next.added) {
			return h, false
		}
		h.added += next.added
		return h, true
	case h.added == "" && next.added == "" && next.from+len(next.removed) == h.to:
		h.from, h.to = next.from, next.to
		h.removed = next.removed + h.removed
		return h, true
	case h.added == "" && next.added == "" && next.from == h.to:
		h.removed += next.removed
		return h, true
	}
	return h, false
}

// newWord reports whether what is typed next begins a word or a line: the
// space behind a word still belongs to it.
func newWord(typed, next string) bool {
	last, _ := utf8.DecodeLastRuneInString(typed)
	first, _ := utf8.DecodeRuneInString(next)
	return strings.ContainsRune(typed, '\n') || unicode.IsSpace(last) && !unicode.IsSpace(first)
}
