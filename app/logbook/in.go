package logbook

import (
	"errors"
	"io"
	"strings"

	"stampmill/app/port"
)

// A Report says what came of reading a backup.
type Report struct {
	Takes, Here     int      // takes that came in, and that were there already
	Answers, Known  int      // answered listening questions, likewise
	Others, Present int      // other records of the player, likewise
	Newer           int      // records of a newer version, left out
	Broken          int      // records that cannot be read, left out
	Names           []string // of the first broken ones
	Stopped         bool
}

// count counts a take or an answer that was there already or comes in.
func (r *Report) count(name string, there bool) {
	take, heard := strings.HasPrefix(name, TakePrefix), isHeard(name)
	switch {
	case take && there:
		r.Here++
	case take:
		r.Takes++
	case heard && there:
		r.Known++
	case heard:
		r.Answers++
	}
}

// An Outcome says what became of a record that is none of the book's.
type Outcome uint8

// The outcomes.
const (
	Added   Outcome = iota // it came in
	Present                // the same is there
	Broken                 // it cannot be read
	Newer                  // a newer version wrote it
	Unused                 // it is not for this device, as settings where there are some
)

// longestName is the most bytes of a record's name; our choice.
const longestName = 200

// named is how many broken records a report names; our choice.
const named = 3

func (r *Report) add(o Outcome, name string) {
	switch o {
	case Added:
		r.Others++
	case Present:
		r.Present++
	case Newer:
		r.Newer++
	case Broken:
		r.Broken++
		if len(r.Names) < named {
			r.Names = append(r.Names, name)
		}
	}
}

// ReadBackup takes the records of a backup into the device: those that are
// there already are left alone, and a name that holds something else keeps it
// while what comes in gets another one. Other is given the records of the small
// store and says what became of each; an error of it ends the reading.
//
// The file is looked through first: one that is not good to its end changes
// nothing, and done is told why. A broken record in a good file is left out and
// counted. Stop ends it after the takes that are being written; done is told.
func (b *Book) ReadBackup(file []byte, other func(name string, value []byte) (Outcome, error), progress func(share float64), done func(Report, error)) (stop func()) {
	in := &incoming{book: b, other: other, progress: progress, done: done, texts: map[string][]byte{}, climbs: climbs{ask: b.climb, known: map[string]climb{}}, turn: b.turn}
	in.reader = newBackupReader(file)
	b.device.sliced(in.look, func() { in.looked(file) })
	return func() { in.report.Stopped = true }
}

// incoming is a backup that is being read.
type incoming struct {
	book     *Book
	reader   *backupReader
	other    func(name string, value []byte) (Outcome, error)
	progress func(share float64)
	done     func(Report, error)
	texts    map[string][]byte // by their names
	climbs   climbs
	report   Report
	failed   error
	ended    bool
	turn     int
	moving   []moved // takes that come next
	said     float64 // ms
}

// look goes through the file without changing anything.
func (in *incoming) look() (done bool) {
	if in.report.Stopped {
		return true
	}
	name, value, err := in.reader.next()
	switch {
	case err == io.EOF:
		return true
	case err != nil:
		in.failed = err
		return true
	case strings.HasPrefix(name, TextPrefix) && isText(name, value):
		in.texts[name] = append([]byte{}, value...)
	}
	in.tell(0)
	return false
}

// tell tells the progress now and then: half for each pass.
func (in *incoming) tell(half float64) {
	if now := in.book.device.Clock.Now(); now-in.said >= tellEvery {
		in.said = now
		in.progress(half + in.reader.share()/2)
	}
}

// tellEvery is how often progress is told, in ms; our choice.
const tellEvery = 200

func (in *incoming) looked(file []byte) {
	if in.failed != nil || in.report.Stopped {
		in.done(in.report, in.failed)
		return
	}
	in.reader = newBackupReader(file)
	in.next()
}

// next takes the next records in.
func (in *incoming) next() {
	in.moving = nil
	in.book.device.sliced(in.gather, func() {
		if in.failed != nil || in.turn != in.book.turn {
			in.end()
			return
		}
		in.store(func() {
			if in.ended || in.failed != nil || in.report.Stopped {
				in.end()
				return
			}
			in.book.device.Clock.Yield(in.next)
		})
	})
}

var errDeleted = errors.New("everything was deleted meanwhile; read the backup again")

func (in *incoming) end() {
	if in.turn != in.book.turn && in.failed == nil {
		in.failed = errDeleted
	}
	for _, e := range in.book.entries {
		if e.Unread != "" { // its text may have come
			delete(in.book.made, e.Name)
		}
	}
	in.book.review()
	in.book.readAnswers()
	in.done(in.report, in.failed)
}

// gather reads records until there are takes for one writing.
func (in *incoming) gather() (done bool) {
	if in.report.Stopped || len(in.moving) >= batch {
		return true
	}
	name, value, err := in.reader.next()
	if err != nil {
		in.ended = true // known to be good
		return true
	}
	in.tell(0.5)
	switch {
	case len(name) > longestName:
		in.report.add(Broken, name[:longestName])
	case strings.HasPrefix(name, TakePrefix):
		in.take(name, value)
	case isHeard(name):
		in.answer(name, value)
	case strings.HasPrefix(name, TextPrefix):
		if !isText(name, value) {
			in.report.add(Broken, name)
		} // else it comes with its takes and answers
	case strings.HasPrefix(name, EntriesPrefix):
	case strings.HasPrefix(name, UnreadPrefix):
		in.moving = append(in.moving, moved{records: []port.Record{{Name: plain(name), Value: append([]byte{}, value...)}}})
	default:
		outcome, err := in.other(name, value)
		in.report.add(outcome, name)
		in.failed = err
		return err != nil
	}
	return false
}

// take makes a take ready to be written, with its text.
func (in *incoming) take(name string, value []byte) {
	r, err := ReadRecord(value)
	if in.refused(name, err) {
		return
	}
	// A take of the first version has a text only now.
	in.move(in.climbs.current(plain(name), r), r.Text)
}

// refused reports whether a record could not be read, and counts it.
func (in *incoming) refused(name string, err error) bool {
	switch {
	case err == ErrNewer:
		in.report.add(Newer, name)
	case err != nil:
		in.report.add(Broken, name)
	}
	return err != nil
}

// answer makes an answer ready to be written, with its text.
func (in *incoming) answer(name string, value []byte) {
	d, err := readHeard(value)
	if in.refused(name, err) {
		return
	}
	in.move([]port.Record{{Name: plain(name), Value: append([]byte{}, value...)}}, d.Text)
}

// move adds the text of that hash to records, and makes them ready.
func (in *incoming) move(records []port.Record, hash string) {
	if text, ok := in.texts[TextPrefix+hash]; ok && hash != "" {
		records = append(records, port.Record{Name: TextPrefix + hash, Value: text})
	}
	in.moving = append(in.moving, moved{records: records})
}

// store writes the takes that are not there yet.
func (in *incoming) store(then func()) {
	moving := in.moving
	if len(moving) == 0 {
		then()
		return
	}
	in.book.apart(moving, func(there map[string]bool, err error) {
		if err == nil && in.turn != in.book.turn {
			err = errDeleted
		}
		if err != nil {
			in.failed = err
			then()
			return
		}
		var records []port.Record
		report := in.report
		for _, m := range moving {
			name := m.records[0].Name
			report.count(name, there[name])
			if there[name] {
				records = append(records, m.records[1:]...) // the text may be wanting
				continue
			}
			records = append(records, m.records...)
			there[name] = true // should the file hold it twice
		}
		in.book.device.Archive.Put(records, func(err error) {
			in.failed = err
			if err == nil {
				report.Stopped = in.report.Stopped // it may have been meanwhile
				in.report = report
			}
			then()
		})
	})
}
