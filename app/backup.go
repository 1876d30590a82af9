package app

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/app/shelf"
)

// A Transfer is a large file that is being written or read.
type Transfer struct {
	What  string  // what is said of it; "" for none
	Share float64 // 0 to 1
}

// Messages of files with many takes.
type (
	// Transferred is how far a file is; the zero value is its end.
	Transferred struct{ Transfer }
	// Restored is what came of reading a backup. Settings and Done are what is
	// stored now; Why is "" where the file was read to its end.
	Restored struct {
		Report   logbook.Report
		Why      string
		Settings *Settings // nil where they did not come in
		Done     Done      // nil where none came in
	}
	// Unsaved is a file that could not be made, and why.
	Unsaved struct{ Why string }
)

func (Transferred) msg() {}
func (Restored) msg()    {}
func (Unsaved) msg()     {}

// Effects of files with many takes.
type (
	// Backup hands every record to the player as one file.
	Backup struct{ Name string }
	// OpenBackup lets the player choose a backup, and reads it.
	OpenBackup struct{}
	// SaveHits hands every hit of every take to the player as a table.
	SaveHits struct{ Name string }
	// StopTransfer stops the file that is being written or read.
	StopTransfer struct{}
)

func (Backup) effect()       {}
func (OpenBackup) effect()   {}
func (SaveHits) effect()     {}
func (StopTransfer) effect() {}

const (
	setupPath  = "/setup/"
	backupMime = "application/json"
	hitsName   = "takes.csv"
)

// backupName names a backup by the day.
func backupName(s State) string { return "stampmill-backup-" + s.Now.Format("2006-01-02") + ".json" }

func init() {
	for name, effect := range map[string]func(State) Effect{
		"backup":    func(s State) Effect { return Backup{backupName(s)} },
		"restore":   func(State) Effect { return OpenBackup{} },
		"hits":      func(State) Effect { return SaveHits{hitsName} },
		"stop-file": func(State) Effect { return StopTransfer{} },
		saveLost:    func(State) Effect { return SaveLost{} },
	} {
		acts[name] = func(s State, _ Acted) (State, []Effect) { return s, []Effect{effect(s)} }
	}
}

// transferred is the state while a file is written or read.
func transferred(s State, m Transferred) (State, []Effect) {
	was, is := s.Transfer.What != "", m.What != ""
	s.Transfer = m.Transfer
	switch {
	case s.Phase == Playing || !was && !is:
		return s, []Effect{Same{}}
	case s.Page != setupPath || was == is:
		return s, nil
	case is: // the button that had the keyboard is gone
		return s, []Effect{Focus{"stop-file"}}
	}
	return s, []Effect{Focus{"backup"}}
}

func unsaved(s State, m Unsaved) (State, []Effect) {
	s.Notice = Notice{Fact: "The file was not saved.", Mend: m.Why}
	return s, nil
}

// restored takes over what came with a backup, and says it.
func restored(s State, m Restored) (State, []Effect) {
	s.Notice = Notice{Fact: "The backup was read.", Mend: reportWords(m.Report)}
	var effects []Effect
	if m.Why != "" {
		s.Notice = Notice{Fact: "The backup was not read.", Mend: m.Why}
		if m.Report.Takes+m.Report.Answers+m.Report.Others > 0 {
			s.Notice = Notice{Fact: "The backup was not read to its end.", Mend: m.Why + " " + cameWords(m.Report)}
		}
	}
	if m.Settings != nil {
		climb, step := s.Settings.Climb, s.Settings.Step
		s.Settings = *m.Settings
		s.Settings.Climb, s.Settings.Step = climb, step // this page stays where it is
		effects = append(effects, Look{s.Settings.Theme}, balance(s))
	}
	if m.Done != nil {
		s.Done = m.Done
	}
	return s, effects
}

// reportWords say what came of a backup that was read.
func reportWords(r logbook.Report) string {
	words := []string{cameWords(r)}
	if r.Stopped {
		words = []string{"You stopped it.", cameWords(r), "Read it again for the rest."}
	}
	if r.Newer > 0 {
		words = append(words, leftOut(r.Newer, "of a newer version")+"; load the page again to get that version.")
	}
	switch {
	case r.Broken > len(r.Names):
		words = append(words, leftOut(r.Broken, "that could not be read")+", among them "+listWords(r.Names)+".")
	case r.Broken > 0:
		words = append(words, leftOut(r.Broken, "that could not be read")+": "+listWords(r.Names)+".")
	}
	return strings.Join(words, " ")
}

// leftOut says that some records did not come in.
func leftOut(n int, why string) string {
	were := "were"
	if n == 1 {
		were = "was"
	}
	return fmt.Sprintf("%s %s %s left out", capital(countWord(n, "record")), why, were)
}

func listWords(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}

// cameWords say what came in.
func cameWords(r logbook.Report) string {
	var words []string
	switch {
	case r.Takes+r.Here+r.Answers+r.Known+r.Others+r.Present == 0:
		return "Nothing came in."
	case r.Takes+r.Answers+r.Others == 0:
		words = append(words, "Nothing new came in.")
		if r.Here > 0 {
			words = append(words, capital(wereHere(r.Here))+".")
		}
	case r.Takes+r.Here > 0:
		words = append(words, fmt.Sprintf("%s came in, %s.", capital(countWord(r.Takes, "take")), strings.Replace(wereHere(r.Here), " takes", "", 1)))
	}
	if r.Answers > 0 {
		words = append(words, capital(countWord(r.Answers, "answer"))+" came in.")
	}
	if r.Others > 0 {
		words = append(words, capital(countWord(r.Others, "other record"))+" came in: exercises, passed steps or settings.")
	}
	return strings.Join(words, " ")
}

// wereHere says how many takes were on the device before: "three takes were here
// already".
func wereHere(n int) string {
	switch {
	case n == 0:
		return "none were here already"
	case n == 1:
		return "one was here already"
	}
	return countWord(n, "take") + " were here already"
}

// dataBox is what is kept here, and how it goes out, in, and away.
func dataBox(s State) app.UI {
	body := []app.UI{app.Elem("p").Class("second").Text(keptWords(s))}
	switch {
	case s.Transfer.What != "":
		body = append(body, transferring(s)...)
	default:
		body = append(body,
			button("backup", "").ID("backup").Class("wide").Text("Save a backup"),
			button("restore", "").Class("wide").Text("Read a backup"),
			app.Elem("p").Class("second").Text("Reading adds what is not here yet, and changes nothing that is. A backup can also be dropped on any page."),
		)
		if s.Takes > 0 {
			body = append(body, button("hits", "").Class("wide").Text("Save every hit as a table"))
		}
		if len(s.Listen.All) > 0 {
			body = append(body, button("answers", "").Class("wide").Text("Save every answer as a table"))
		}
	}
	return section("data", "Your data", append(body, deleting(s)...)...)
}

func keptWords(s State) string {
	switch {
	case s.Booked == BookFailed:
		return "The takes on this device cannot be read now."
	case s.Booked == BookLoading && s.takesHere() == 0:
		return "Takes are kept only in this browser. They are being read."
	case s.takesHere()+len(s.Listen.All) == 0:
		return "No take yet. Takes are kept only in this browser; if you clear it, they are gone."
	}
	return capital(keptHere(s)) + ", only in this browser. If you clear it, they are gone."
}

// keptHere are the takes and the answers of this device, in words.
func keptHere(s State) string {
	takes, answers := countWord(s.takesHere(), "take"), countWord(len(s.Listen.All), "answer")
	switch {
	case len(s.Listen.All) == 0:
		return takes
	case s.takesHere() == 0:
		return answers
	}
	return takes + " and " + answers
}

// takesHere is how many takes are on the device, those that are still to be
// read too.
func (s State) takesHere() int {
	if s.Booked == BookLoading {
		return max(s.Takes, s.BookOf)
	}
	return s.Takes
}

// deletedTakes are the takes and answers that deleting everything deletes, in
// words.
func deletedTakes(s State) string {
	if s.Booked == BookFailed || s.Booked == BookLoading && s.takesHere() == 0 {
		return "every take and every answer"
	}
	words := countWord(s.takesHere(), "take")
	if n := len(s.Listen.All); n > 0 {
		words += ", " + countWord(n, "answer")
	}
	return words
}

// transferring is how far a file is, with a way to stop it.
func transferring(s State) []app.UI {
	return []app.UI{
		app.Elem("div").Class("making").Body(
			app.Elem("p").Text(fmt.Sprintf("%s, %.0f %%.", s.Transfer.What, 100*s.Transfer.Share)),
			app.Elem("progress").Aria("label", s.Transfer.What).Attr("max", 100).Attr("value", int(100*s.Transfer.Share)),
		),
		button("stop-file", "").ID("stop-file").Class("wide").Text("Stop"),
	}
}

func deleting(s State) []app.UI {
	if !s.Setup.Deleting {
		return []app.UI{
			button("delete", "").ID("delete").Class("wide", "danger").Text("Delete everything…"),
			app.Elem("p").Class("second").Text("Deleting asks once more and names what goes."),
		}
	}
	return []app.UI{
		app.Elem("p").Class("fact").ID("delete-what").Body(app.Elem("strong").Text("This deletes "+deletedTakes(s)+", your exercises, the passed steps, the keys, the delay and every setting"), app.Text(" from this device. It cannot be undone.")),
		button("delete-no", "").ID("delete-no").Class("wide").Text("Keep everything"),
		button("delete-yes", "").Class("wide", "danger").Aria("describedby", "delete-what").Text("Delete everything now"),
	}
}

// begin stops the file that is under way, and begins another one.
func (p *Program) begin(what string) {
	p.stopTransfer()
	p.Dispatch(Transferred{Transfer{What: what}})
}

func (p *Program) stopTransfer() {
	if p.transfer != nil {
		p.transfer()
		p.transfer = nil
	}
	p.Dispatch(Transferred{})
}

// along tells how far a file is.
func (p *Program) along(what string) func(share float64) {
	return func(share float64) { p.Dispatch(Transferred{Transfer{what, share}}) }
}

// send writes a large file by a function of the book.
func (p *Program) send(what, name, mime string, write func(to logbook.Sink, progress func(float64), done func(error)) (stop func())) {
	p.begin(what)
	out := p.ports.Files.Begin(name, mime)
	ended := false
	stop := write(out, p.along(what), func(err error) {
		ended, p.transfer = true, nil
		p.Dispatch(Transferred{})
		if err != nil {
			p.Dispatch(Unsaved{sentence(err.Error())})
			return
		}
		out.Close()
	})
	if !ended {
		p.transfer = stop
	}
}

func (p *Program) saveBackup(name string) {
	p.send("Saving the backup", name, backupMime, func(to logbook.Sink, progress func(float64), done func(error)) func() {
		return p.book.Backup(to, p.now(), progress, done)
	})
}

func (p *Program) saveHits(name string) {
	p.send("Writing the table", name, "text/csv;charset=utf-8", p.book.Hits)
}

// openBackup lets the player choose a backup.
func (p *Program) openBackup() {
	p.ports.Files.Open([]string{".json", "application/json"}, logbook.MaxBackup, func(name string, content []byte, err error) {
		if err != nil {
			p.Dispatch(Restored{Why: sentence(err.Error())})
			return
		}
		p.readBackup(content)
	})
}

// readBackup takes a backup in.
func (p *Program) readBackup(file []byte) {
	const what = "Reading the backup"
	p.begin(what)
	in := &restoring{program: p}
	ended := false
	stop := p.book.ReadBackup(file, in.record, p.along(what), func(r logbook.Report, err error) {
		ended, p.transfer = true, nil
		p.Dispatch(Transferred{})
		m := Restored{Report: r, Settings: in.settings, Done: in.done}
		if err != nil {
			m.Why = sentence(err.Error())
		}
		p.Dispatch(m)
		p.Dispatch(Shelved{Items: p.shelf.List()})
	})
	if !ended {
		p.transfer = stop
	}
}

// restoring takes in the records of a backup that are none of the book's.
type restoring struct {
	program  *Program
	settings *Settings
	done     Done
}

// record takes one in and says what became of it.
func (in *restoring) record(name string, value []byte) (logbook.Outcome, error) {
	store, stored := in.program.ports.Store, string(value)
	switch {
	case name == settingsName:
		if _, ok := store.Get(name); ok {
			return logbook.Unused, nil // those of this device hold
		}
		settings, bad := readSettings(stored)
		if bad != "" {
			return logbook.Broken, nil
		}
		in.settings = &settings
		return logbook.Added, store.Put(name, stored)
	case name == doneName:
		return in.passed(stored)
	case strings.HasPrefix(name, shelf.Prefix):
		came, err := in.program.shelf.Merge(strings.TrimPrefix(name, shelf.Prefix), stored)
		switch {
		case err == shelf.ErrBroken:
			return logbook.Broken, nil
		case err == shelf.ErrNewer:
			return logbook.Newer, nil
		case came:
			return logbook.Added, err
		}
		return logbook.Present, err
	}
	return logbook.Unused, nil
}

// passed joins the passed steps: of each the higher tempo holds.
func (in *restoring) passed(stored string) (logbook.Outcome, error) {
	theirs, all := readDone(stored)
	if !all && len(theirs) == 0 {
		return logbook.Broken, nil
	}
	here, _ := in.program.ports.Store.Get(doneName)
	ours, _ := readDone(here)
	both := ours
	for step, tempo := range theirs {
		if both[step] < tempo {
			both = both.with(step, tempo)
		}
	}
	if both.write() == ours.write() {
		return logbook.Present, nil
	}
	in.done = both
	return logbook.Added, in.program.ports.Store.Put(doneName, both.write())
}

// Files that come in by themselves: a backup wherever it is dropped, else an
// exercise.
func (p *Program) dropped(name string, content []byte, err error) {
	if err == nil && logbook.IsBackup(content) {
		if p.state.taking() {
			return // nothing happens under a take
		}
		p.readBackup(content)
		return
	}
	if err == nil && len(content) > mostText {
		content, err = nil, port.ErrTooLarge(name, mostText)
	}
	p.came(name, content, err)
}
