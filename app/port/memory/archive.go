package memory

import (
	"slices"
	"sort"
	"strings"

	"stampmill/app/port"
)

// Archive keeps records in a map. Windows that share the map by [Archive.Window]
// share the archive.
type Archive struct {
	Kept map[string][]byte
	// Room is how many bytes names and values may have together; 0 is no limit.
	Room int
	// Fault, where it is set, is asked before each call does anything: with an
	// error the call fails with that and does nothing. The call is the name of the
	// method, such as "Put".
	Fault func(call string) error
	// Slow keeps every answer, and what the call does, until [Archive.Answer].
	Slow bool
	// Asked is how often the browser was asked to keep the records for good;
	// Granted is its answer.
	Asked   int
	Granted bool

	waiting []func()
	change  func(names []string)
	windows *[]*Archive // all that share the map
}

// NewArchive returns an empty archive.
func NewArchive() *Archive {
	a := &Archive{Kept: map[string][]byte{}}
	a.windows = &[]*Archive{a}
	return a
}

// Window returns the archive as another window sees it.
func (a *Archive) Window() *Archive {
	b := &Archive{Kept: a.Kept, windows: a.windows}
	*a.windows = append(*a.windows, b)
	return b
}

// do runs a call, now or when it is answered.
func (a *Archive) do(call string, f func(fault error)) {
	run := func() {
		var fault error
		if a.Fault != nil {
			fault = a.Fault(call)
		}
		f(fault)
	}
	if a.Slow {
		a.waiting = append(a.waiting, run)
		return
	}
	run()
}

// Answer lets the first waiting call happen; false when none waits.
func (a *Archive) Answer() bool {
	if len(a.waiting) == 0 {
		return false
	}
	first := a.waiting[0]
	a.waiting = a.waiting[1:]
	first()
	return true
}

// Put writes records.
func (a *Archive) Put(records []port.Record, done func(error)) {
	own := make([]port.Record, len(records))
	for i, r := range records {
		own[i] = port.Record{Name: r.Name, Value: append([]byte{}, r.Value...)}
	}
	a.do("Put", func(fault error) {
		if fault == nil && a.Room > 0 && a.with(own) > a.Room {
			fault = port.ErrNoRoom
		}
		if fault != nil {
			done(fault)
			return
		}
		names := make([]string, len(own))
		for i, r := range own {
			a.Kept[r.Name], names[i] = r.Value, r.Name
		}
		done(nil)
		a.tell(names)
	})
}

// with is how many bytes there are when records were put.
func (a *Archive) with(records []port.Record) int {
	n := 0
	put := map[string]bool{}
	for _, r := range records {
		n += len(r.Name) + len(r.Value)
		put[r.Name] = true
	}
	for name, value := range a.Kept {
		if !put[name] {
			n += len(name) + len(value)
		}
	}
	return n
}

// tell tells the other windows.
func (a *Archive) tell(names []string) {
	for _, w := range *a.windows {
		if w != a && w.change != nil {
			w.change(names)
		}
	}
}

// Get gives records.
func (a *Archive) Get(names []string, f func([]port.Record, error)) {
	names = slices.Clone(names)
	a.do("Get", func(fault error) {
		if fault != nil {
			f(nil, fault)
			return
		}
		f(a.records(names), nil)
	})
}

func (a *Archive) records(names []string) []port.Record {
	var all []port.Record
	for _, name := range names {
		if value, ok := a.Kept[name]; ok {
			all = append(all, port.Record{Name: name, Value: slices.Clone(value)})
		}
	}
	return all
}

// Range gives records in order of names.
func (a *Archive) Range(prefix, after string, most int, f func([]port.Record, error)) {
	a.do("Range", func(fault error) {
		if fault != nil {
			f(nil, fault)
			return
		}
		names := a.names(prefix)
		names = names[sort.Search(len(names), func(i int) bool { return names[i] > after }):]
		f(a.records(names[:min(len(names), most)]), nil)
	})
}

// Names gives names in order.
func (a *Archive) Names(prefix string, f func([]string, error)) {
	a.do("Names", func(fault error) {
		if fault != nil {
			f(nil, fault)
			return
		}
		f(a.names(prefix), nil)
	})
}

func (a *Archive) names(prefix string) []string {
	var names []string
	for name := range a.Kept {
		if strings.HasPrefix(name, prefix) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// Delete removes records.
func (a *Archive) Delete(names []string, done func(error)) {
	names = slices.Clone(names)
	a.do("Delete", func(fault error) {
		if fault == nil {
			for _, name := range names {
				delete(a.Kept, name)
			}
		}
		done(fault)
		if fault == nil {
			a.tell(names)
		}
	})
}

// Clear removes every record.
func (a *Archive) Clear(done func(error)) {
	a.do("Clear", func(fault error) {
		if fault == nil {
			clear(a.Kept)
		}
		done(fault)
		if fault == nil {
			a.tell(nil)
		}
	})
}

// OnChange sets the function told of what other windows do.
func (a *Archive) OnChange(f func(names []string)) { a.change = f }

// Persist answers as it is told to.
func (a *Archive) Persist(f func(granted bool)) {
	a.Asked++
	f(a.Granted)
}
