package app

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/drill"
)

// Booked is how much of the book of takes is there.
type Booked uint8

// The states of the book. In each of them State.Book holds what is there.
const (
	BookLoading Booked = iota // more comes
	BookReady
	BookFailed // it cannot be read; the quiet line says why
)

// Messages of the book.
type (
	// Read is what the book tells of itself.
	Read struct{ News logbook.News }
	// TakeKept is a take, or an answer, that is on the device; Left is how many are
	// not.
	TakeKept struct{ Left int }
	// TakeLost is a take that is not on the device, and why. It may be kept later.
	TakeLost struct {
		Why    string
		Left   int  // takes and answers that are only on this page
		Answer bool // to a listening question
	}
	// Deleted is the end of deleting everything; Why is "" where all is gone.
	Deleted struct{ Why string }
)

func (Read) msg()     {}
func (TakeKept) msg() {}
func (TakeLost) msg() {}
func (Deleted) msg()  {}

// Effects on the book.
type (
	// KeepTake puts a take into the book.
	KeepTake struct{ Play logbook.Play }
	// Rebook puts a new entry in the place of that of a take.
	Rebook struct{ Entry logbook.Entry }
	// SaveLost hands the takes that could not be stored to the player.
	SaveLost struct{}
	// DeleteAll deletes every record of this device.
	DeleteAll struct{}
	// Persist asks the browser not to clear the records by itself.
	Persist struct{}
)

func (KeepTake) effect()  {}
func (Rebook) effect()    {}
func (SaveLost) effect()  {}
func (DeleteAll) effect() {}
func (Persist) effect()   {}

// booked puts an entry into the book, in the place of the one that its take
// had.
func booked(s State, e logbook.Entry) State {
	s.Book = logbook.With(s.Book, e)
	return counted(s)
}

// counted counts the takes, and those since midnight where the player is.
func counted(s State) State {
	y, m, d := s.Now.Date()
	midnight := time.Date(y, m, d, 0, 0, 0, 0, s.Now.Location())
	s.Takes, s.Today = len(s.Book), 0
	for i := len(s.Book) - 1; i >= 0 && !s.Book[i].At.Before(midnight); i-- {
		s.Today++
	}
	return s
}

// record is what is stored of a verdict's take.
func (v Verdict) record(s State, text string) logbook.Record {
	marks := s.Settings.passing()
	r := logbook.Record{
		At: v.At, Title: v.Step.Title, Known: v.Take.Known,
		Marks: &marks, Pedals: s.Settings.pedals(), Take: v.Take.Take,
	}
	if text != "" {
		r.Text = logbook.Hash(text)
	}
	return r
}

// named gives the take of a verdict its name, and the effect that keeps it.
func named(s State, v *Verdict) (Effect, error) {
	text, err := logbook.TextOf(s.entry().Climb)
	if err != nil { // no climb written by hand; the take is kept all the same
		text = ""
	}
	v.Step = s.step()
	v.Record = v.record(s, text)
	stored, err := v.Record.Write()
	if err != nil {
		return nil, err
	}
	v.Name = logbook.NameOf(v.At, stored)
	return KeepTake{logbook.Play{Record: stored, Text: text, Entry: v.entry(), Open: v.Open}}, nil
}

// read takes over what the book tells.
func read(s State, n logbook.News) (State, []Effect) {
	s.Book, s.BookRead, s.BookOf = n.Entries, n.Read, n.Of
	s.Booked = map[logbook.Stage]Booked{logbook.Loading: BookLoading, logbook.Ready: BookReady, logbook.Failed: BookFailed}[n.Stage]
	s = counted(s)
	for _, said := range append(bookWords(n), heardWords(n.Heard)...) {
		s.Lesser = say(s.Lesser, said)
	}
	s, asked := earsRead(s, n)
	if s.Phase == Playing {
		return s, append(asked, Same{})
	}
	s, effects := repaced(s)
	return s, append(effects, asked...)
}

const unreadFact = "The takes on this device cannot be read:"

// bookWords are what is said of news.
func bookWords(n logbook.News) []Notice {
	var all []Notice
	if n.Stage == logbook.Failed {
		all = append(all, Notice{Fact: unreadFact, Mend: sentence(n.Failed.Error()) + " They are left as they are."})
	}
	if n.Unmoved != nil {
		all = append(all, Notice{Fact: "Earlier takes could not be moved to where new ones are kept:", Mend: sentence(n.Unmoved.Error()) + " They are left as they are."})
	}
	if n.Unread > 0 {
		all = append(all, Notice{Fact: capital(countWord(n.Unread, "take")) + " could not be read.", Mend: "What was stored is kept, and goes into a backup."})
	}
	if n.Newer > 0 {
		all = append(all, Notice{Fact: capital(countWord(n.Newer, "take")) + " of a newer version:", Mend: "load the page again to get that version."})
	}
	return all
}

// heardWords are what is said of answers.
func heardWords(n logbook.HeardNews) []Notice {
	var all []Notice
	if n.Failed != nil {
		all = append(all, Notice{Fact: "Your answers on this device cannot be read:", Mend: sentence(n.Failed.Error()) + " They are left as they are."})
	}
	if n.Unread > 0 {
		all = append(all, Notice{Fact: capital(countWord(n.Unread, "answer")) + " could not be read.", Mend: "What was stored is kept, and goes into a backup."})
	}
	if n.Newer > 0 {
		all = append(all, Notice{Fact: capital(countWord(n.Newer, "answer")) + " of a newer version:", Mend: "load the page again to get that version."})
	}
	return all
}

// lost says that a take, or an answer, is only on this page.
func lost(s State, m TakeLost) (State, []Effect) {
	what := "take"
	if m.Answer {
		what = "answer"
	}
	these := "this " + what
	if m.Left > 1 {
		these = fmt.Sprintf("these %d %ss", m.Left, what)
	}
	s.Notice = Notice{Fact: lostFact, Mend: m.Why + " It is tried again with the next take; this page alone has it until then.", Act: saveLost, Label: "Save " + these}
	if m.Why == roomWhy {
		s.Notice.Fact = noRoomFact
		s.Notice.Mend = "Save it as a file, and a backup in Setup; then delete everything there. Until then nothing new is kept."
	}
	if m.Answer {
		s.Notice.Fact, s.Notice.Mend = strings.Replace(s.Notice.Fact, "take", what, 1), strings.Replace(s.Notice.Mend, "next take", "next one", 1)
	}
	return s, nil
}

// unstored reports whether it is said that a take is only on this page.
func (s State) unstored() bool { return s.Notice.Act == saveLost }

const (
	saveLost   = "save-lost"
	lostFact   = "This take is not stored."
	noRoomFact = "This device has no room for the take."
)

// found is told when a take is stored: one that was said not to be is safe now.
func found(s State, m TakeKept) (State, []Effect) {
	var effects []Effect
	if m.Left == 0 && s.unstored() {
		s.Notice = Notice{}
	}
	if !s.Settings.Asked { // once, and only when there is something to lose
		s, effects = with(s, func(x *Settings) { x.Asked = true })
		effects = append(effects, Persist{})
	}
	return s, effects
}

// deleteAll asks for everything on this device to be forgotten.
func deleteAll(s State, _ Acted) (State, []Effect) {
	s.Setup.Deleting = false
	return s, []Effect{Halt{}, Held{false}, DeleteAll{}}
}

// deleted is the state after everything was deleted, or could not be.
func deleted(s State, m Deleted) (State, []Effect) {
	if m.Why != "" {
		s.Notice = Notice{Fact: "Not everything was deleted.", Mend: m.Why}
		return s, []Effect{Focus{"title"}}
	}
	fresh := first(s.builtIn())
	fresh.Page, fresh.Width, fresh.Height, fresh.Calm, fresh.Offline, fresh.Now = s.Page, s.Width, s.Height, s.Calm, s.Offline, s.Now
	fresh.Booked = BookReady
	fresh.Notice = Notice{Fact: "Everything was deleted.", Mend: "This page is as on the first visit."}
	return fresh, []Effect{Look{""}, balance(fresh), Focus{"title"}}
}

// openBook makes the book of this device; what it says comes as messages.
func (p *Program) openBook() {
	device := logbook.Device{Archive: p.ports.Archive, Store: p.ports.Store, Clock: p.ports.Clock, Busy: func() bool { return p.state.Phase != Idle }}
	p.book = logbook.New(device, p.climbText, func(n logbook.News) { p.Dispatch(Read{n}) })
	p.ports.Clock.Yield(p.book.Load) // the page comes first
}

// climbText is the text of an exercise as it is now, for takes that were stored
// without the text they were played from.
func (p *Program) climbText(exercise string) (string, bool) {
	if id, ok := own(exercise); ok {
		text, err := p.shelf.Read(id)
		climb, problems := drill.Parse(fileOf(text), []byte(asField(text)), change.Catalogue())
		if err != nil || len(problems) > 0 {
			return "", false
		}
		text, err = logbook.TextOf(climb)
		return text, err == nil
	}
	climb, err := exercises.Open(exercise)
	if err != nil {
		return "", false
	}
	text, err := logbook.TextOf(climb)
	return text, err == nil
}

// answerAfter is how many ms a browser may take to store a take before that is
// said: our choice, far longer than it takes.
const answerAfter = 10_000

// keepTake stores a take.
func (p *Program) keepTake(play logbook.Play) {
	p.stored(false, func(done func(error)) { p.book.Keep(play, done) })
}

// keepHeard stores an answer.
func (p *Program) keepHeard(h logbook.Heard) {
	p.stored(true, func(done func(error)) { p.book.KeepHeard(h, done) })
}

// stored tells what becomes of a take or an answer; that the browser does not
// say so is told as a failure.
func (p *Program) stored(heard bool, keep func(done func(error))) {
	left := func() int { return len(p.book.Unkept()) }
	told := false
	keep(func(err error) {
		told = true
		if err != nil {
			p.Dispatch(TakeLost{lostWhy(err), left(), heard})
			return
		}
		p.Dispatch(TakeKept{left()})
	})
	if !told {
		p.ports.Clock.After(answerAfter, func() {
			if !told {
				p.Dispatch(TakeLost{"The browser has not answered yet.", left(), heard})
			}
		})
	}
}

const roomWhy = "There is no room."

func lostWhy(err error) string {
	if errors.Is(err, port.ErrNoRoom) {
		return roomWhy
	}
	return sentence(err.Error())
}

// deleteEverything deletes all records.
func (p *Program) deleteEverything() {
	p.stopTransfer()
	p.book.Clear(func(err error) {
		m := Deleted{}
		if err != nil {
			m.Why = sentence(err.Error())
		}
		p.base = map[string]string{}
		p.Dispatch(m)
	})
}

// saveLost hands the takes that are only on this page to the player, as a
// backup that can be read again.
func (p *Program) saveLost() {
	p.ports.Files.Save("stampmill-takes.json", backupMime, logbook.BackupOf(p.now(), p.book.Unkept()))
}
