// Package draft is the logic of an editor: the text of one exercise while it is
// written, with its history.
//
// The one idea: a [Draft] is a value and the text is the truth. Every edit, in
// the text field or on the strip, gives a new Draft whose text is changed and
// read again; the old one stays as it was. Edits on the strip work on the
// passage of one step and write its lines back; they refuse, with an error "what; what to
// do" and the draft unchanged, what the text has no form for.
//
// Begin with [New]. [Draft.SetText] and [Draft.SetCaret] follow a text field;
// [Draft.Move], [Draft.Put] and [Draft.Type] work on the strip; [Draft.Undo]
// goes back without limit. In a large exercise typing reads only up to the end
// of the current step: call [Draft.Settled] once the typing pauses. While the text of a step has problems, its last
// good passage stays ([Draft.Passage]) and the strip refuses to write. Places
// are exact quarter notes, lines and columns count from 1. Drafts that come of one [New]
// share a cache and must not be used by two goroutines at once.
package draft

import (
	"slices"

	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// A Draft is an exercise that is being written. The zero Draft is of no use;
// call [New].
type Draft struct {
	name    string
	text    string
	stand          // caret, step, cursor and selection
	steps   []Step // the last good passage of each
	reading drill.Reading
	covered int            // bytes of the text that reading covers: all, or up to the end of the current step
	late    drill.Problems // of what follows, as they were
	reader  *reader        // a cache only: what it gives depends on the text alone
	past    *entry
	future  *entry
	said    string
	saved   string
}

// A Step is a step of the text as far as it can be read.
type Step struct {
	Title, Says string
	Line        int             // of its step: line, from 1
	Good        bool            // Passage is what the text says now
	Passage     passage.Passage // else the last one that could be read, without bars if there never was one
}

// New begins a draft of a text. The name stands in problems; the catalogue
// knows the changes of do lines.
func New(name, text string, cat drill.Catalogue) Draft {
	d := Draft{name: name, reader: &reader{catalogue: cat, most: maxAtOnce}, saved: text}
	d.caret = Caret{1, 1}
	return d.reread(text).settle()
}

// Text returns the text, byte for byte as it was given and edited.
func (d Draft) Text() string { return d.text }

// Name returns the name that stands in problems.
func (d Draft) Name() string { return d.name }

// Caret returns where the caret of the text field stands.
func (d Draft) Caret() Caret { return d.caret }

// Step returns the index of the current step, from 0.
func (d Draft) Step() int { return d.step }

// Steps returns the steps of the text, those after the current one as they were
// when it was last read as a whole. Do not change them.
func (d Draft) Steps() []Step { return d.steps }

// Current returns the current step; an empty one when the text has none.
func (d Draft) Current() Step {
	if d.step < len(d.steps) {
		return d.steps[d.step]
	}
	return Step{}
}

// Passage returns the last good passage of the current step. It has no bars
// when there never was one.
func (d Draft) Passage() passage.Passage { return d.Current().Passage }

// Problems returns what is wrong with the text; what follows the current step
// as it was when the text was last read as a whole.
func (d Draft) Problems() drill.Problems {
	if len(d.late) == 0 {
		return d.reading.Problems
	}
	return append(slices.Clip(d.reading.Problems), d.late...)
}

// Reading returns where everything stands in the text, for what follows the
// current step see [Draft.Settled].
func (d Draft) Reading() drill.Reading { return d.reading }

// Said returns what the last edit on the strip did, in words; "" after typing.
func (d Draft) Said() string { return d.said }

// Saved returns the draft with its text as it is now taken as saved.
func (d Draft) Saved() Draft {
	d.saved = d.text
	return d
}

// SavedText returns the text that was saved last.
func (d Draft) SavedText() string { return d.saved }

// Changed reports whether the text differs from the one saved last.
func (d Draft) Changed() bool { return d.text != d.saved }
