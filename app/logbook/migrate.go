package logbook

import (
	"bytes"
	"errors"
	"slices"
	"strings"

	"stampmill/app/port"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// A moved take is on its way from the store to the archive.
type moved struct {
	from    string        // its name in the store
	records []port.Record // what is to be in the archive, the take or the broken record first
}

// migrate moves the takes of the first pages from the store to the archive:
// written, read again and compared, and only then deleted. It may be broken off
// anywhere, and does the rest at the next visit. What a newer version wrote
// stays where it is.
func (b *Book) migrate(done func(error)) {
	names := b.device.Store.Names(TakePrefix)
	slices.Sort(names)
	b.newerInStore = 0
	b.migrateNext(names, climbs{ask: b.climb, known: map[string]climb{}}, done)
}

func (b *Book) migrateNext(names []string, from climbs, done func(error)) {
	if len(names) == 0 {
		done(nil)
		return
	}
	now, rest := names[:min(batch, len(names))], names[min(batch, len(names)):]
	turn := b.turn
	next := func(err error) {
		switch {
		case turn != b.turn:
		case err != nil:
			done(err)
		default:
			b.device.Clock.Yield(func() { b.migrateNext(rest, from, done) })
		}
	}
	var moving []moved
	for _, name := range now {
		if value, ok := b.device.Store.Get(name); ok {
			if m, ok := b.moved(name, value, from); ok {
				moving = append(moving, m)
			}
		}
	}
	b.apart(moving, func(_ map[string]bool, err error) {
		if err != nil || turn != b.turn {
			next(err)
			return
		}
		b.move(moving, next)
	})
}

// moved is what becomes of a stored take; false for one of a newer version.
func (b *Book) moved(name, value string, from climbs) (moved, bool) {
	r, err := ReadRecord([]byte(value))
	switch {
	case err == ErrNewer:
		b.newerInStore++
		return moved{}, false
	case err != nil:
		b.news.Unread++
		return moved{name, []port.Record{{Name: plain(UnreadPrefix + name), Value: []byte(value)}}}, true
	}
	return moved{name, from.current(plain(name), r)}, true
}

// climbs are the texts of exercises, for takes that were stored without.
type climbs struct {
	ask   func(exercise string) (text string, ok bool)
	known map[string]climb
}

// A climb is the text of an exercise and its steps; none where it is not known.
type climb struct {
	text  string
	steps []passage.Step
}

func (c climbs) named(exercise string) climb {
	found, ok := c.known[exercise]
	if !ok {
		if text, ok := c.ask(exercise); ok {
			found.text = text
			found.steps, _ = Steps(text)
		}
		c.known[exercise] = found
	}
	return found
}

// current are the records of a take in the present version, with the text of
// its exercise where there is one that it can be graded on.
func (c climbs) current(name string, r Record) []port.Record {
	var all []port.Record
	if r.Text == "" {
		found := c.named(r.Take.Exercise)
		if step, ok := found.fits(r.Take); ok {
			r.Text, r.Title = Hash(found.text), step.Title
			all = append(all, port.Record{Name: TextPrefix + r.Text, Value: []byte(found.text)})
		}
	}
	written, _ := r.Write() // what was read can be written
	return append([]port.Record{{Name: name, Value: written}}, all...)
}

// fits returns the step that a take can be of.
func (c climb) fits(t grade.Take) (passage.Step, bool) {
	if t.Step > len(c.steps) {
		return passage.Step{}, false
	}
	step := c.steps[t.Step-1]
	_, err := grade.Expect(step.Passage, t, t.OneKey())
	return step, err == nil
}

// plain is a name in the letters that an archive takes.
func plain(name string) string {
	return strings.Map(func(r rune) rune {
		if r <= ' ' || r > '~' {
			return '_'
		}
		return r
	}, name)
}

// apart gives another name to each record whose name is taken in the archive
// by something else, and tells which records are there already.
func (b *Book) apart(moving []moved, done func(there map[string]bool, err error)) {
	var names []string
	for _, m := range moving {
		first := m.records[0]
		names = append(names, first.Name, other(first))
	}
	b.device.Archive.Get(names, func(found []port.Record, err error) {
		held, there := map[string][]byte{}, map[string]bool{}
		for _, r := range found {
			held[r.Name], there[r.Name] = r.Value, true
		}
		for i := range moving {
			first := &moving[i].records[0]
			for range 2 { // a name that ends in the hash of what it holds is not taken by something else
				value, taken := held[first.Name]
				if taken && !alike(value, first.Value) {
					first.Name = other(*first)
					continue
				}
				if taken {
					first.Value = value // as it stands there
				}
				held[first.Name] = first.Value
				break
			}
		}
		done(there, err)
	})
}

// other is the name of a record whose own is taken. That of a take goes by what
// was played, so that it gets the same one each time.
func other(r port.Record) string {
	what := string(r.Value)
	if record, err := ReadRecord(r.Value); err == nil {
		take, _ := grade.WriteTake(record.Take) // what was read can be written
		what = Stamp(record.At) + string(take)
	} else if d, err := readHeard(r.Value); err == nil {
		what = raw(d)
	}
	return r.Name + "-" + Hash(what)[:8]
}

// alike reports whether two records are of the same take, or the same bytes.
func alike(a, b []byte) bool {
	if bytes.Equal(a, b) || sameHeard(a, b) {
		return true
	}
	ra, errA := ReadRecord(a)
	rb, errB := ReadRecord(b)
	return errA == nil && errB == nil && ra.same(rb)
}

var errUnlike = errors.New("the browser gives back other records than it was given; use another browser, and save a backup here first")

// move writes records, reads them again, and deletes those that came back.
func (b *Book) move(moving []moved, done func(error)) {
	var records []port.Record
	var names []string
	for _, m := range moving {
		records = append(records, m.records...)
		names = append(names, m.records[0].Name)
	}
	b.device.Archive.Put(records, func(err error) {
		if err != nil {
			done(err)
			return
		}
		b.device.Archive.Get(names, func(there []port.Record, err error) {
			held := map[string][]byte{}
			for _, r := range there {
				held[r.Name] = r.Value
			}
			for _, m := range moving {
				switch value, ok := held[m.records[0].Name]; {
				case err != nil:
				case !ok || !bytes.Equal(value, m.records[0].Value):
					err = errUnlike
				default:
					err = b.device.Store.Delete(m.from)
				}
			}
			done(err)
		})
	})
}
