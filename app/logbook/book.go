package logbook

import (
	"slices"
	"sort"
)

// With returns the book, which is in order of time, with an entry, in the place
// of one of the same name. The book given is left as it is.
func With(book []Entry, e Entry) []Entry {
	at := sort.Search(len(book), func(i int) bool { return !before(book[i], e) })
	if at < len(book) && book[at].Name == e.Name {
		book = slices.Clone(book)
		book[at] = e
		return book
	}
	return slices.Insert(slices.Clip(book), at, e)
}

// before orders entries by time, then by name.
func before(a, b Entry) bool {
	if c := a.At.Compare(b.At); c != 0 {
		return c < 0
	}
	return a.Name < b.Name
}
