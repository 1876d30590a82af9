package logbook

import (
	"slices"
	"strings"
	"time"

	"stampmill/app/port"
)

// A Sink takes a file piece by piece. The pieces may be used again after the
// call.
type Sink interface {
	Write(part []byte)
}

// Backup writes a backup of all records of the device to a sink, the small
// store first, then the texts, then the takes. Done is told at the end, with an
// error when the records could not be read: then the file is not whole. Stop
// ends it without done.
func (b *Book) Backup(to Sink, now time.Time, progress func(share float64), done func(error)) (stop func()) {
	w := &backupWriter{to: to, first: true}
	to.Write(backupHead(now))
	names := b.device.Store.Names("")
	slices.Sort(names)
	for _, name := range names {
		value, _ := b.device.Store.Get(name)
		w.add(name, []byte(value))
	}
	stopped := false
	b.device.Archive.Names("", func(all []string, err error) {
		if err != nil {
			done(err)
			return
		}
		all = slices.DeleteFunc(all, func(name string) bool { return strings.HasPrefix(name, EntriesPrefix) })
		takes := func(name string) bool { return strings.HasPrefix(name, TakePrefix) }
		order := append(slices.DeleteFunc(slices.Clone(all), takes), slices.DeleteFunc(all, func(n string) bool { return !takes(n) })...)
		b.each(order, func(r port.Record) { w.add(r.Name, r.Value) }, func(_ []port.Record, then func(error)) { then(nil) }, progress, &stopped, func(err error) {
			if err == nil {
				for _, records := range b.Unkept() { // what the device did not take
					for _, r := range records {
						w.add(r.Name, r.Value)
					}
				}
				w.out = append(w.out, backupEnd...)
				w.flush()
			}
			done(err)
		})
	})
	return func() { stopped = true }
}

// each hands over the records of these names in their order, in slices. Of each
// batch ready is told before.
func (b *Book) each(names []string, do func(port.Record), ready func([]port.Record, func(error)), progress func(share float64), stopped *bool, done func(error)) {
	of := max(1, len(names))
	var next func()
	next = func() {
		if *stopped {
			return
		}
		if len(names) == 0 {
			done(nil)
			return
		}
		now := names[:min(batch, len(names))]
		names = names[len(now):]
		b.device.Archive.Get(now, func(records []port.Record, err error) {
			if err != nil {
				done(err)
				return
			}
			ready(records, func(err error) {
				if err != nil {
					done(err)
					return
				}
				b.device.sliced(func() bool {
					if len(records) == 0 || *stopped {
						return true
					}
					do(records[0])
					records = records[1:]
					return false
				}, func() {
					if !*stopped {
						progress(1 - float64(len(names))/float64(of))
						b.device.Clock.Yield(next)
					}
				})
			})
		})
	}
	next()
}

// A backupWriter gathers records and hands them on in pieces.
type backupWriter struct {
	to    Sink
	out   []byte
	first bool
}

// piece is how many bytes are handed on at a time; our choice.
const piece = 256 << 10

func (w *backupWriter) add(name string, value []byte) {
	w.out = appendBackup(w.out, w.first, name, value)
	w.first = false
	if len(w.out) >= piece {
		w.flush()
	}
}

func (w *backupWriter) flush() {
	w.to.Write(w.out)
	w.out = w.out[:0]
}
