package logbook

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"sort"
	"strings"

	"stampmill/app/port"
	"stampmill/exercises/ear"
)

// HeardPrefix begins the names of the records of answered listening questions,
// which sort by time. A record is an [ear.Done] as JSON; its Text is the [Hash]
// of a text that lies beside it, as with takes.
const HeardPrefix = "heard/"

// A Heard is an answered listening question as it is handed over to be kept.
type Heard struct {
	Done ear.Done
	Text string // of the climb it was made from, as [TextOf] writes it; "" where there is none
}

// record is an answer as it is stored.
func record(d ear.Done) (port.Record, error) {
	value, err := json.Marshal(d)
	return port.Record{Name: heardName(d), Value: value}, err
}

// heardName names the record of an answer by the moment and by what was
// answered, so that it keeps its name however it is marked.
func heardName(d ear.Done) string { return HeardPrefix + Stamp(d.At) + "-" + Hash(raw(d))[:8] }

// raw is what happened, without what follows from it.
func raw(d ear.Done) string {
	d.Tried, d.By, d.At = ear.Tried{}, 0, d.At.UTC()
	text, _ := json.Marshal(d) // of one that was read or made: can be written
	return string(text)
}

// readHeard reads a stored answer. The error is ErrNewer or wraps errBrokenHeard.
func readHeard(value []byte) (ear.Done, error) {
	d, err := ear.ReadDone(value)
	if err == nil && (d.At.IsZero() || d.Text != "" && !isHash(d.Text)) {
		err = errors.New("no time, or no name of a text")
	}
	if err == nil {
		return d, nil
	}
	var v struct {
		Version int `json:"heard"`
	}
	if json.Unmarshal(value, &v) == nil && v.Version > ear.DoneVersion {
		return ear.Done{}, ErrNewer
	}
	return ear.Done{}, fmt.Errorf("%w (%v)", errBrokenHeard, err)
}

var errBrokenHeard = errors.New("this answer cannot be read; it is kept as it is, and goes into a backup")

// sameHeard reports whether two records are of the same answer, whatever it was
// marked.
func sameHeard(a, b []byte) bool {
	x, errX := readHeard(a)
	y, errY := readHeard(b)
	return errX == nil && errY == nil && raw(x) == raw(y)
}

// HeardNews is what a book tells of the answered listening questions.
type HeardNews struct {
	All    []ear.Done // in order of time; never changed afterwards
	Read   bool       // all that are on the device are there
	Failed error      // why they cannot be read
	Unread int        // records that were found broken now and put aside
	Newer  int        // records of a newer version, which are left alone
}

// answers are the answered questions of a book.
type answers struct {
	all   []answer
	busy  bool // they are being read
	again bool // something changed meanwhile
}

// An answer is a stored one under its name.
type answer struct {
	name string
	done ear.Done
}

// KeepHeard puts an answer into the book at once and stores it, as [Book.Keep]
// does with a take.
func (b *Book) KeepHeard(h Heard, done func(error)) {
	r, err := record(h.Done)
	if err != nil {
		done(err)
		return
	}
	records := []port.Record{r}
	if h.Text != "" {
		records = append(records, port.Record{Name: TextPrefix + Hash(h.Text), Value: []byte(h.Text)})
	}
	b.putHeard([]answer{{r.Name, h.Done}})
	b.say()
	b.keep(kept{name: r.Name, records: records, done: done})
}

// putHeard takes answers over, in the place of those of the same names.
func (b *Book) putHeard(more []answer) {
	if n := len(b.heard.all); len(more) == 1 && (n == 0 || earlier(b.heard.all[n-1], more[0])) { // the usual case: the answer just given
		b.heard.all = append(b.heard.all, more[0])
		b.news.Heard.All = append(b.news.Heard.All, more[0].done) // who has seen the shorter book sees no more of it
		return
	}
	names := make(map[string]bool, len(more))
	for _, a := range more {
		names[a.name] = true
	}
	all := make([]answer, 0, len(b.heard.all)+len(more))
	for _, a := range b.heard.all {
		if !names[a.name] {
			all = append(all, a)
		}
	}
	b.setHeard(append(all, more...))
}

// setHeard sets the answers, in order of time.
func (b *Book) setHeard(all []answer) {
	sort.SliceStable(all, func(i, j int) bool { return earlier(all[i], all[j]) })
	b.heard.all = all
	b.news.Heard.All = make([]ear.Done, len(all))
	for i, a := range all {
		b.news.Heard.All[i] = a.done
	}
}

// earlier orders answers by time, then by name.
func earlier(x, y answer) bool {
	c := x.done.At.Compare(y.done.At)
	return c < 0 || c == 0 && x.name < y.name
}

// readAnswers holds the book against the names of the answers on the device,
// and reads those it does not have.
func (b *Book) readAnswers() {
	if b.heard.busy {
		b.heard.again = true
		return
	}
	b.heard.busy = true
	turn := b.turn
	b.device.Archive.Names(HeardPrefix, func(names []string, err error) {
		if turn != b.turn {
			return
		}
		if err != nil {
			b.answersFailed(err)
			return
		}
		b.withoutGone(names)
		known := map[string]bool{}
		for _, a := range b.heard.all {
			known[a.name] = true
		}
		b.news.Heard.Newer = 0
		missing := slices.DeleteFunc(names, func(n string) bool { return known[n] })
		b.readNext(missing, nil)
	})
}

func (b *Book) answersFailed(err error) {
	b.heard.busy = false
	b.news.Heard.Failed = err
	b.say()
}

// withoutGone takes the answers out that another window deleted.
func (b *Book) withoutGone(names []string) {
	here := map[string]bool{}
	for _, n := range names {
		here[n] = true
	}
	left := slices.DeleteFunc(slices.Clone(b.heard.all), func(a answer) bool { return !here[a.name] && !b.isWaiting(a.name) })
	if len(left) != len(b.heard.all) {
		b.setHeard(left)
	}
}

// heardBatch is how many answers are read at a time: some 300 bytes each.
const heardBatch = 200

// readNext reads the answers of the names that are left, the newest first, so
// that what counts most is there first.
func (b *Book) readNext(names []string, read []answer) {
	if len(names) == 0 {
		b.allRead(read)
		return
	}
	n, turn := max(0, len(names)-heardBatch), b.turn
	b.device.Archive.Get(names[n:], func(records []port.Record, err error) {
		switch {
		case turn != b.turn:
		case err != nil:
			b.answersFailed(err)
		default:
			b.readRecords(records, func(more []answer) { b.readNext(names[:n], append(read, more...)) })
		}
	})
}

// readRecords reads records in slices, puts the broken ones aside, and hands on
// the others.
func (b *Book) readRecords(records []port.Record, then func([]answer)) {
	var read []answer
	var broken []port.Record
	turn := b.turn
	b.device.sliced(func() bool {
		if len(records) == 0 || turn != b.turn {
			return true
		}
		r := records[0]
		records = records[1:]
		switch d, err := readHeard(r.Value); {
		case err == nil:
			read = append(read, answer{r.Name, d})
		case err == ErrNewer:
			b.news.Heard.Newer++
		default:
			broken = append(broken, r)
		}
		return false
	}, func() {
		if turn != b.turn {
			return
		}
		b.putAside(broken, func(n int) {
			b.news.Heard.Unread += n
			then(read)
		})
	})
}

// allRead takes the answers that were read over, and marks again what is old.
func (b *Book) allRead(read []answer) {
	if len(read) > 0 {
		b.putHeard(read)
	}
	news := &b.news.Heard
	tell := len(read) > 0 || news.Read || news.Failed != nil || news.Unread+news.Newer > 0 // else the takes, which are read behind them, tell it
	again := b.heard.again
	b.heard.busy, b.heard.again = false, false
	news.Read, news.Failed = true, nil
	if tell {
		b.sayHeard()
	}
	if again {
		b.readAnswers()
		return
	}
	b.markAgain()
}

// sayHeard tells the news; what was found broken is said once.
func (b *Book) sayHeard() {
	b.say()
	b.news.Heard.Unread = 0
}

// markAgain marks the answers anew that an older marker marked, in slices, the
// newest first. What was answered stays as it is. One whose question is made in
// another way today keeps its mark.
func (b *Book) markAgain() {
	var old []answer
	for i := len(b.heard.all) - 1; i >= 0; i-- {
		if a := b.heard.all[i]; a.done.By < ear.Marker && !b.isWaiting(a.name) {
			old = append(old, a)
		}
	}
	b.markNext(old, shelfOfTexts{b: b, steps: newSteps()})
}

func (b *Book) markNext(old []answer, texts shelfOfTexts) {
	if len(old) == 0 {
		return
	}
	now, old := old[:min(heardBatch, len(old))], old[min(heardBatch, len(old)):]
	var records []port.Record
	for _, a := range now {
		if r, err := record(a.done); err == nil {
			records = append(records, r)
		}
	}
	turn := b.turn
	texts.with(records, func(err error) {
		if err != nil || turn != b.turn {
			return // at the next visit
		}
		var marked []answer
		b.device.sliced(func() bool {
			if len(now) == 0 || turn != b.turn {
				return true
			}
			marked = append(marked, answer{now[0].name, texts.marked(now[0].done)})
			now = now[1:]
			return false
		}, func() {
			if turn == b.turn {
				b.remark(marked, func() { b.markNext(old, texts) })
			}
		})
	})
}

// marked is an answer as it is marked today.
func (x shelfOfTexts) marked(d ear.Done) ear.Done {
	for _, s := range x.steps[d.Text] {
		if s.Title == d.Step {
			d, _ = d.Again(ear.Source{Climb: d.Climb, Title: s.Title, Passage: s.Passage})
		}
	}
	d.By = ear.Marker // also where it holds as it was: it is not tried at each visit
	return d
}

// remark stores answers with their new marks. What cannot be stored is marked
// again at the next visit.
func (b *Book) remark(marked []answer, then func()) {
	var still []answer // another window may have deleted some
	for _, a := range marked {
		if slices.ContainsFunc(b.heard.all, func(x answer) bool { return x.name == a.name }) {
			still = append(still, a)
		}
	}
	b.putHeard(still)
	b.say()
	var records []port.Record
	for _, a := range still {
		if r, err := record(a.done); err == nil {
			records = append(records, port.Record{Name: a.name, Value: r.Value})
		}
	}
	b.device.Archive.Put(records, func(error) { b.device.Clock.Yield(then) })
}

// isHeard reports whether a name is that of an answer.
func isHeard(name string) bool { return strings.HasPrefix(name, HeardPrefix) }
