package logbook

import (
	"slices"
	"sort"

	"stampmill/app/port"
	"stampmill/exercises/grade"
)

// Load reads the book: it moves the takes of the first pages over, reads the
// packed entries, and makes those that are missing or of an older grader.
func (b *Book) Load() {
	b.news.Stage, b.read = Loading, false
	b.migrate(func(err error) {
		b.news.Unmoved = err
		b.readPacked()
	})
}

func (b *Book) fail(err error) {
	b.news.Stage, b.news.Failed = Failed, err
	b.say()
}

// most months are read at once: more than a life of practice.
const most = 2000

// readPacked reads the packed entries of all months.
func (b *Book) readPacked() {
	turn := b.turn
	b.device.Archive.Range(EntriesPrefix, "", most, func(months []port.Record, err error) {
		if err != nil {
			b.fail(err)
			return
		}
		b.device.sliced(func() bool {
			if len(months) == 0 || turn != b.turn {
				return true
			}
			// One that cannot be read is made anew.
			if grader, entries, err := Unpack(months[0].Value); err == nil {
				b.put(entries, grader)
			}
			months = months[1:]
			return false
		}, func() {
			if turn == b.turn {
				b.read = true
				b.readAnswers()
				b.review()
			}
		})
	})
}

// looking is the work of holding the book against the takes that are there.
type looking struct {
	busy   bool
	again  bool            // something changed meanwhile
	names  []string        // takes to be graded, those graded next last
	later  []string        // takes that have an entry and get a better one after those
	quick  bool            // names have none: one that needs a long search gets it later
	months map[string]bool // whose packed entries are old
	texts  shelfOfTexts
	said   float64 // ms, when the news was told last
}

// review holds the book against the names of the takes that are there, and
// makes what is missing. Asked while it is at work, it begins again after that.
func (b *Book) review() {
	if b.look.busy {
		b.look.again = true
		return
	}
	b.look = looking{busy: true, months: map[string]bool{}, texts: shelfOfTexts{b, newSteps()}}
	turn := b.turn
	b.device.Archive.Names(TakePrefix, func(names []string, err error) {
		switch {
		case turn != b.turn:
		case err != nil:
			b.look.busy = false
			b.fail(err)
		default:
			b.compare(names)
			b.news.Newer, b.news.Of = b.newerInStore, len(names)
			b.progress()
			b.makeNext()
		}
	})
}

// compare finds the takes that have no entry of this grader, and takes entries
// out that have no take.
func (b *Book) compare(names []string) {
	here := make(map[string]bool, len(names))
	for _, name := range names {
		here[name] = true
		switch grader, ok := b.made[name]; {
		case !ok:
			b.look.names = append(b.look.names, name)
		case grader != grade.Grader:
			b.look.later = append(b.look.later, name)
		}
	}
	b.look.quick = true
	gone := func(e Entry) bool { return !here[e.Name] && !b.isWaiting(e.Name) }
	if !slices.ContainsFunc(b.entries, gone) {
		return
	}
	var left []Entry
	for _, e := range b.entries {
		if gone(e) {
			b.look.months[e.Month()] = true
			delete(b.made, e.Name)
			continue
		}
		left = append(left, e)
	}
	b.entries = left
}

// progress tells how far the book is.
func (b *Book) progress() {
	missing := 0
	for _, name := range b.look.names {
		if _, ok := b.made[name]; !ok {
			missing++
		}
	}
	b.news.Left, b.news.Read = len(b.look.names)+len(b.look.later), b.news.Of-missing
	b.news.Stage, b.news.Failed = Ready, nil
	if missing > someMissing {
		b.news.Stage = Loading
	}
	b.look.said = b.device.Clock.Now()
	b.say()
}

const (
	// batch is how many takes are read at a time: about 5 kB each.
	batch = 20
	// sayEvery is how often the news is told while entries are made, in ms: each
	// time the page is drawn anew. Our choice.
	sayEvery = 3000
	// someMissing is how many takes may be missing without it being said that the
	// book is still being read: those that another window just played, say.
	someMissing = 3
)

// makeNext makes the entries of the next takes, the newest first: those that
// have none before those that are made anew.
func (b *Book) makeNext() {
	n := len(b.look.names)
	if n == 0 && len(b.look.later) > 0 {
		b.makeLater()
		return
	}
	if n == 0 {
		b.reviewed()
		return
	}
	next := slices.Clone(b.look.names[max(0, n-batch):])
	turn := b.turn
	b.device.Archive.Get(next, func(records []port.Record, err error) {
		if turn != b.turn {
			return
		}
		if err != nil {
			b.look.busy = false
			b.fail(err)
			return
		}
		b.look.texts.with(records, func(err error) {
			switch {
			case turn != b.turn:
			case err != nil:
				b.look.busy = false
				b.fail(err)
			default:
				b.judgeAll(records, len(next))
			}
		})
	})
}

// makeLater goes on with the takes that were put off; all takes have an entry by
// then, which is told where that is news.
func (b *Book) makeLater() {
	b.look.names, b.look.later, b.look.quick = b.look.later, nil, false
	slices.Sort(b.look.names)
	if b.news.Stage == Loading {
		b.progress()
	}
	b.makeNext()
}

// judgeAll makes the entries of the records of the last n names, in slices.
func (b *Book) judgeAll(records []port.Record, n int) {
	turn := b.turn
	var made, open []Entry
	var broken []port.Record
	var now *judging
	b.device.sliced(func() bool {
		switch {
		case turn != b.turn:
			return true
		case now != nil:
			switch done := now.next(searchWork); {
			case done:
				made, now = append(made, now.entry), nil
			case b.look.quick:
				open, now = append(open, now.entry), nil
			}
			return false
		case len(records) == 0:
			return true
		}
		r := records[0]
		records = records[1:]
		switch take, err := ReadRecord(r.Value); err {
		case nil:
			now = begin(r.Name, take, b.look.texts.steps[take.Text])
		case ErrNewer:
			b.news.Newer++
		default:
			broken = append(broken, r)
		}
		return false
	}, func() {
		if turn != b.turn {
			return
		}
		b.setAside(broken, func() {
			b.look.names = b.look.names[:len(b.look.names)-n]
			b.put(made, grade.Grader)
			b.put(open, grade.Grader-1) // made anew later, at the next visit at the latest
			for _, e := range append(made, open...) {
				b.look.months[e.Month()] = true
			}
			for _, e := range open {
				b.look.later = append(b.look.later, e.Name)
			}
			if b.device.Clock.Now()-b.look.said > sayEvery {
				b.progress()
				b.packAll(b.makeNext)
				return
			}
			b.makeNext()
		})
	})
}

// setAside keeps takes that cannot be read under another name, and says so.
func (b *Book) setAside(records []port.Record, then func()) {
	b.putAside(records, func(n int) {
		b.news.Unread += n
		then()
	})
}

// putAside keeps records that cannot be read under another name, and tells how
// many.
func (b *Book) putAside(records []port.Record, then func(n int)) {
	if len(records) == 0 {
		then(0)
		return
	}
	names := make([]string, len(records))
	kept := make([]port.Record, len(records))
	for i, r := range records {
		names[i], kept[i] = r.Name, port.Record{Name: UnreadPrefix + r.Name, Value: r.Value}
	}
	b.device.Archive.Put(kept, func(err error) {
		if err != nil {
			then(0) // they stay where they are
			return
		}
		b.device.Archive.Delete(names, func(error) { then(len(names)) })
	})
}

// reviewed is the end of a review.
func (b *Book) reviewed() {
	b.packAll(func() {
		again := b.look.again
		b.look = looking{}
		b.progress()
		if again {
			b.review()
		}
	})
}

// packAll writes the packed entries of the months that changed. What cannot be
// written is made anew at the next visit.
func (b *Book) packAll(then func()) {
	var months []string
	for m := range b.look.months {
		months = append(months, m)
	}
	sort.Strings(months)
	clear(b.look.months)
	turn := b.turn
	var next func()
	next = func() {
		if len(months) == 0 || turn != b.turn {
			then()
			return
		}
		m := months[0]
		months = months[1:]
		b.packMonth(m, func(error) { b.device.Clock.Yield(next) })
	}
	next()
}

// packMonth writes the packed entries of a month, once all that are there were
// read. Where some are of an older
// grader, all count as that, and are made anew together.
func (b *Book) packMonth(month string, done func(error)) {
	if !b.read {
		done(nil)
		return
	}
	var entries []Entry
	grader := grade.Grader
	for _, e := range b.entries {
		if e.Month() == month && !b.isWaiting(e.Name) {
			entries = append(entries, e)
			grader = min(grader, b.made[e.Name])
		}
	}
	if len(entries) == 0 {
		b.device.Archive.Delete([]string{month}, done)
		return
	}
	b.device.Archive.Put([]port.Record{{Name: month, Value: Pack(grader, entries)}}, done)
}
