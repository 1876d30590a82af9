package app

import (
	"stampmill/app/logbook"
)

// Booked is how much of the book of takes is there.
type Booked uint8

// The states of the book. In each of them State.Book holds what is there.
const (
	BookLoading Booked = iota // more comes
	BookReady
	BookFailed // it cannot be read; Notice says why
)

// booked puts an entry into the book, in the place of the one that its take
// had.
func booked(s State, e logbook.Entry) State {
	s.Book = logbook.With(s.Book, e)
	return s
}

// entry is what the book holds of a verdict.
func (v Verdict) entry(s State) logbook.Entry {
	r := logbook.Record{At: v.At, Title: s.step().Title, Known: v.Take.Known, Take: v.Take.Take}
	return logbook.EntryOf(v.Name, r, s.step(), v.Verdict)
}
