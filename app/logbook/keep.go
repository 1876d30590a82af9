package logbook

import (
	"errors"
	"slices"

	"stampmill/app/port"
	"stampmill/exercises/grade"
)

// A Play is a take as it is handed over to be kept.
type Play struct {
	Record []byte // as [Record.Write] writes it; its name is that of the entry
	Text   string // that was played, as [TextOf] writes it; "" where there is none
	Entry  Entry  // by this grader
	Open   bool   // more is being found out for the entry: see [Book.Revise]
}

// Records are what is written of a play, all of it or nothing.
func (p Play) Records() []port.Record {
	all := []port.Record{{Name: p.Entry.Name, Value: p.Record}}
	if p.Text != "" {
		all = append(all, port.Record{Name: TextPrefix + Hash(p.Text), Value: []byte(p.Text)})
	}
	return all
}

// kept is something that is in the book and not on the device yet.
type kept struct {
	name    string        // of the first record
	records []port.Record // written together
	month   string        // of the entry of a take; "" for an answer
	done    func(error)
}

// Keep puts a take into the book at once and stores it. Done is told when it
// is on the device, and with an error when it is not: then it stays in the book
// while the page does and is tried again with the next take; done may be told
// again.
func (b *Book) Keep(p Play, done func(error)) {
	grader := grade.Grader
	if p.Open { // made anew at the next visit, if it is not revised in this one
		grader--
	}
	b.put([]Entry{p.Entry}, grader)
	b.say()
	b.keep(kept{p.Entry.Name, p.Records(), p.Entry.Month(), done})
}

// keep stores something, and tries again what was not stored before.
func (b *Book) keep(k kept) {
	b.waiting = append(b.waiting, k)
	for _, k := range b.waiting {
		b.store(k, true)
	}
}

// store writes one of them; where the browser failed for no lasting reason, it
// tries once more.
func (b *Book) store(k kept, again bool) {
	turn := b.turn
	b.device.Archive.Put(k.records, func(err error) {
		switch {
		case turn != b.turn || !b.isWaiting(k.name):
		case err != nil && again && !lasting(err):
			b.store(k, false)
		case err != nil:
			k.done(err)
		default:
			b.waiting = slices.DeleteFunc(slices.Clone(b.waiting), func(w kept) bool { return w.name == k.name })
			if k.month != "" {
				b.packMonth(k.month, func(error) {}) // only spares work at the next visit
			}
			k.done(nil)
			if b.news.Stage == Failed { // what failed at the start may go now
				b.Load()
			}
		}
	})
}

func lasting(err error) bool {
	return errors.Is(err, port.ErrNoRoom) || errors.Is(err, port.ErrDenied) || errors.Is(err, port.ErrNewer) || errors.Is(err, port.ErrBlocked)
}

// isWaiting reports whether a take or an answer is in the book and not on the device.
func (b *Book) isWaiting(name string) bool {
	return slices.ContainsFunc(b.waiting, func(k kept) bool { return k.name == name })
}

// Unkept returns what is in the book and not on the device: the records of each
// take and each answer, its own first.
func (b *Book) Unkept() [][]port.Record {
	var all [][]port.Record
	for _, k := range b.waiting {
		all = append(all, k.records)
	}
	return all
}

// Revise puts an entry in the place of that of its take, as when more became
// known of it by longer work of the same grader.
func (b *Book) Revise(e Entry) {
	if _, ok := b.made[e.Name]; !ok {
		return // deleted meanwhile
	}
	b.put([]Entry{e}, grade.Grader)
	b.say()
	if !b.isWaiting(e.Name) {
		b.packMonth(e.Month(), func(error) {})
	}
}

// Clear deletes every record of the device, in both places, and empties the
// book. Where that fails, done is told and the book says what is still there.
func (b *Book) Clear(done func(error)) {
	b.forget()
	b.device.Archive.Clear(func(err error) {
		if err != nil {
			done(err)
			b.Load()
			return
		}
		var failed error
		for _, name := range b.device.Store.Names("") {
			failed = errors.Join(failed, b.device.Store.Delete(name))
		}
		done(failed)
		b.say()
	})
}
