package logbook

import (
	"slices"
	"sort"
	"strings"

	"stampmill/app/port"
)

// A Device is what a book needs of the device it lies on.
type Device struct {
	Archive port.Archive
	Store   port.Store // of the first pages, which kept takes there too
	Clock   Clock
	Busy    func() bool // something plays: work that can wait does
}

// Clock is the part of the clock port that a book needs.
type Clock interface {
	Now() float64 // ms
	Yield(f func())
	After(ms float64, f func()) (stop func())
}

// A Stage is how much of a book is there.
type Stage uint8

// The stages of a book.
const (
	Loading Stage = iota // the entries are being read
	Ready                // all are there, or as many as can be; Left of them are still being made
	Failed               // the device does not give them
)

// News is what a [Book] tells of itself.
type News struct {
	Stage   Stage
	Entries []Entry // all of the book, in order of time; never changed afterwards
	Read    int     // Loading: takes looked at so far, of Of
	Of      int
	Left    int   // takes that are still to be graded, as by an older grader so far
	Failed  error // why the book cannot be read
	Unmoved error // why takes of the first pages are still where they were
	Unread  int   // takes that were found broken now and put aside, see [UnreadPrefix]
	Newer   int   // takes of a newer version, which are left alone
	Heard   HeardNews
}

// UnreadPrefix begins the names of records that could not be read. They are
// kept for people who can.
const UnreadPrefix = "unread/"

// A Book is all takes of a device, with what is known of them. It answers by
// the function it was made with; what takes long is done in slices.
type Book struct {
	device       Device
	climb        func(exercise string) (text string, ok bool)
	tell         func(News)
	entries      []Entry        // in order of time
	made         map[string]int // version of the grader that made an entry, by name
	news         News
	newerInStore int  // takes of a newer version that the store still has
	read         bool // the packed entries were read
	turn         int  // raised when all is deleted: what was under way then comes to nothing
	waiting      []kept
	look         looking
	heard        answers
}

// New returns the book of a device. Climb gives the text of an exercise as
// [TextOf] does, for takes that were stored without; tell is called whenever
// something changed. Call [Book.Load] then.
func New(d Device, climb func(exercise string) (text string, ok bool), tell func(News)) *Book {
	b := &Book{device: d, climb: climb, tell: tell, made: map[string]int{}}
	d.Archive.OnChange(b.changed)
	return b
}

// With returns the book, which is in order of time, with an entry, in the place
// of one of the same name. The book given is left as it is.
func With(book []Entry, e Entry) []Entry { return merge(book, []Entry{e}) }

// merge returns the book with entries, those of the same name replaced.
func merge(book, more []Entry) []Entry {
	if follows(book, more) { // the usual case: the take just played
		return append(slices.Clip(book), more...)
	}
	names := make(map[string]bool, len(more))
	for _, e := range more {
		names[e.Name] = true
	}
	all := make([]Entry, 0, len(book)+len(more))
	for _, e := range book {
		if !names[e.Name] {
			all = append(all, e)
		}
	}
	all = append(all, more...)
	sort.SliceStable(all, func(i, j int) bool { return before(all[i], all[j]) })
	return all
}

// follows reports whether entries are in order and come after all of the book.
func follows(book, more []Entry) bool {
	for i := range more {
		if i > 0 && !before(more[i-1], more[i]) || i == 0 && len(book) > 0 && !before(book[len(book)-1], more[0]) {
			return false
		}
	}
	return true
}

// before orders entries by time, then by name.
func before(a, b Entry) bool {
	if c := a.At.Compare(b.At); c != 0 {
		return c < 0
	}
	return a.Name < b.Name
}

// say tells the news with the entries as they are.
func (b *Book) say() {
	b.news.Entries = b.entries
	b.tell(b.news)
	b.news.Unread = 0 // said once
}

// put takes entries of this grader over.
func (b *Book) put(entries []Entry, grader int) {
	if follows(b.entries, entries) {
		b.entries = append(b.entries, entries...) // who has seen the shorter book sees no more of it
	} else {
		b.entries = merge(b.entries, entries)
	}
	for _, e := range entries {
		b.made[e.Name] = grader
	}
}

// changed is told of what another window did.
func (b *Book) changed(names []string) {
	if names == nil {
		b.forget()
		b.say()
		return
	}
	if !b.read {
		return
	}
	prefixed := func(prefix string) bool {
		return slices.ContainsFunc(names, func(name string) bool { return strings.HasPrefix(name, prefix) })
	}
	if prefixed(TakePrefix) {
		b.review()
	}
	if prefixed(HeardPrefix) {
		b.readAnswers()
	}
}

// forget empties the book.
func (b *Book) forget() {
	b.turn++ // what is under way is for nothing
	b.read = true
	b.entries, b.made, b.look, b.waiting, b.heard = nil, map[string]int{}, looking{}, nil, answers{}
	b.news = News{Stage: Ready, Heard: HeardNews{Read: true}}
}

// sliceMS is how long work goes on before the page may answer: well under the
// 50 ms after which a press is felt to be late (our choice).
const sliceMS = 12

// busyMS is how long work waits while something plays; our choice.
const busyMS = 500

// sliced does step again and again until it reports that it is done, and then
// end. Between slices the page answers.
func (d Device) sliced(step func() (done bool), end func()) {
	begun := d.Clock.Now()
	for d.Clock.Now()-begun < sliceMS {
		if step() {
			end()
			return
		}
	}
	again := func() { d.sliced(step, end) }
	if d.Busy() {
		d.Clock.After(busyMS, again)
		return
	}
	d.Clock.Yield(again)
}
