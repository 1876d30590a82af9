package app

import (
	"slices"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/app/shelf"
	"stampmill/app/transport"
	"stampmill/exercises"
	"stampmill/exercises/grade"
)

// A Program runs the state: it hands what happens to [Update], does the
// effects through its ports, and lets the page be drawn again. There is one,
// used from one goroutine at a time, the one of the page.
type Program struct {
	ports     Ports
	transport *transport.Transport
	now       func() time.Time

	state    State
	picture  Picture
	shelf    shelf.Shelf
	book     *logbook.Book
	transfer func()            // stops the large file that is being written or read; nil for none
	base     map[string]string // text of each exercise of the shelf as last seen here
	put      map[string]func() // ends the wait of work that was put off
	after    []func()          // done when the page was drawn

	waiting []Msg
	busy    bool
	used    bool // the press being handled meant something

	page   *app.Context // of the page that is mounted
	focus  string       // element that gets the keyboard when the page was drawn
	unroll func()       // ends the calls for each picture
	score  score
	begun  Reached
	own    map[string]ownClimb // exercises of the shelf that were read for listening, by id
	poses  int                 // turn of the question that is being made
}

// A score is what the playhead needs of what plays.
type score struct {
	base   float64   // quarter notes of the step where what plays begins
	starts []float64 // bars of the step
	beats  []float64
	shown  bool // the strip shows what plays
}

// New makes the program: it reads what is stored and listens to the ports.
func New(ports Ports) *Program {
	p := &Program{ports: ports, now: time.Now, unroll: func() {}, shelf: shelf.New(ports.Store), base: map[string]string{}, put: map[string]func(){}}
	p.state = p.restored(first(exercises.Library()))
	p.transport = transport.New(ports.Audio, ports.Clock, transport.Settings{Rate: p.state.Settings.Rate, Seed: bankSeed})
	p.transport.OnEvent(p.heard)
	ports.Inputs.OnPress(p.press)
	p.listenToWriting()
	ports.Screen.OnSize(func(w, h int) { p.Dispatch(Sized{w, h}) })
	ports.Network.OnOnline(func(online bool) { p.Dispatch(Wired{online}) })
	ports.Screen.Theme(p.state.Settings.Theme)
	p.do(balance(p.state))
	if plan, err := plan(p.state, ForTake); err == nil {
		p.do(Prepare{plan})
	}
	p.picture = draw(p.state)
	ports.Screen.OnLeave(func() { p.Dispatch(Left{}) })
	p.openBook()
	return p
}

// bankSeed makes the sounds the same on every visit; any number would do.
const bankSeed = 1

// restored is the state with what is stored on this device.
func (p *Program) restored(s State) State {
	s.Width, s.Height = p.ports.Screen.Size()
	s.Calm, s.Offline = p.ports.Screen.Calm(), !p.ports.Network.Online()
	if stored, ok := p.ports.Store.Get(settingsName); ok {
		var bad string
		s.Settings, bad = readSettings(stored)
		if bad != "" {
			p.setAside(settingsName, stored)
			s.Lesser = say(s.Lesser, Notice{Fact: "Some settings could not be read:", Mend: bad + ". They are as at the start."})
		}
	}
	if stored, ok := p.ports.Store.Get(doneName); ok {
		var all bool
		if s.Done, all = readDone(stored); !all {
			p.setAside(doneName, stored)
			s.Lesser = say(s.Lesser, Notice{Fact: "Some passed steps could not be read.", Mend: "The takes are safe."})
		}
	}
	lesser := s.Lesser
	climb, step := s.Settings.Climb, s.Settings.Step
	if id, ok := own(climb); ok { // one that is gone or broken gives way to the first climb
		if text, err := p.shelf.Read(id); err == nil {
			s, _ = withOwn(s, id, text)
		}
	}
	for i, e := range s.Library {
		if e.Name == climb {
			s = s.on(i, step-1)
		}
	}
	s.Lesser = lesser
	return s
}

// setAside keeps a record that could not be read, for people who can.
func (p *Program) setAside(name, stored string) { _ = p.ports.Store.Put(unreadPrefix+name, stored) }

// Dispatch hands what happened to [Update] and does what comes of it. What
// happens meanwhile waits its turn.
func (p *Program) Dispatch(m Msg) {
	p.waiting = append(p.waiting, m)
	if p.busy {
		return
	}
	p.busy = true
	changed := false
	for len(p.waiting) > 0 {
		m := p.waiting[0]
		p.waiting = p.waiting[1:]
		var effects []Effect
		p.state.Now = p.now()
		p.state, effects = Update(p.state, m)
		if !slices.Contains(effects, Effect(Same{})) {
			changed = true
			p.redraw()
		}
		for _, e := range effects {
			p.do(e)
		}
	}
	p.busy = false
	if changed || p.focus != "" || len(p.after) > 0 {
		p.show()
	}
}

// redraw makes the picture anew where it changed.
func (p *Program) redraw() {
	p.picture = redraw(p.picture, p.state)
	if p.state.Phase == Idle {
		p.unroll()
		p.unroll = func() {}
	}
}

// show lets the mounted page be drawn; the keyboard moves after that.
func (p *Program) show() {
	if p.page == nil {
		return
	}
	p.page.Dispatch(func(ctx app.Context) {
		ctx.Defer(func(app.Context) {
			p.drawn()
		})
	})
}

// drawn does what waited for the page to be drawn.
func (p *Program) drawn() {
	for _, f := range p.after {
		f()
	}
	p.after = nil
	if p.focus != "" {
		p.ports.Screen.Focus(p.focus)
		p.focus = ""
	}
}

// press is called for each key and finger; it reports whether the press meant
// something here.
func (p *Program) press(press Press) bool {
	p.used = false
	p.Dispatch(Pressed{press, p.transport.Place(press.At), p.now()})
	return p.used
}

// act is called for each control that was worked.
func (p *Program) act(name, arg, value string) {
	now := p.ports.Clock.Now()
	p.Dispatch(Acted{name, arg, value, p.transport.Place(now), now, p.now()})
}

// heard turns the events of the transport into messages.
func (p *Program) heard(e transport.Event) {
	switch e.Kind {
	case transport.Progressed, transport.Ready:
		p.Dispatch(Made{p.transport.Making()})
	case transport.Started:
		p.Dispatch(Began{p.transport.Rate()})
	case transport.Ended:
		p.Dispatch(Ended{p.now()})
	case transport.Stopped:
		if e.Notice != transport.ByPlayer { // the state knows of that already
			p.Dispatch(Halted{e.Notice, p.now()})
		}
	case transport.Noticed:
		p.Dispatch(Said{e.Notice, p.transport.Late()})
	}
}

// do does one effect.
func (p *Program) do(e Effect) {
	switch e := e.(type) {
	case Play:
		p.play(e)
	case Prepare:
		p.transport.Prefetch(e.Plan)
	case Halt:
		p.transport.Stop()
	case Retempo:
		if err := p.transport.SetTempo(e.BPM); err != nil {
			p.Dispatch(Unplayable{err.Error()})
		}
	case Balance:
		p.balance(e)
	case Show:
		p.mark(e)
	case Clear:
		p.ports.Screen.Clear("strip-live")
	case Light:
		p.light(e)
	case Keep:
		p.keep(e.Name, e.Value)
	case Own:
		stored, _ := p.ports.Store.Get(doneName)
		if done, _ := readDone(stored); done[e.Step] < e.Tempo {
			p.keep(doneName, done.with(e.Step, e.Tempo).write())
		}
	case Seek:
		p.ports.Clock.Yield(func() { p.seek(e) })
	case KeepTake:
		p.keepTake(e.Play)
	case Pose:
		p.pose(e)
	case KeepHeard:
		p.keepHeard(e.Heard)
	case SaveAnswers:
		p.send("Writing the table", e.Name, "text/csv;charset=utf-8", p.book.Answers)
	case Rebook:
		p.book.Revise(e.Entry)
	case SaveLost:
		p.saveLost()
	case DeleteAll:
		p.deleteEverything()
	case Persist:
		p.ports.Archive.Persist(func(bool) {})
	case Offer:
		p.ports.Files.Save(e.Name, "application/json", e.Content)
	case SaveFile:
		p.ports.Files.Save(e.Name, e.Mime, e.Content)
	case SaveTake:
		p.saveTake(e.Name)
	case Print:
		p.ports.Screen.Print()
	case Backup:
		p.saveBackup(e.Name)
	case OpenBackup:
		p.openBackup()
	case SaveHits:
		p.saveHits(e.Name)
	case StopTransfer:
		p.stopTransfer()
	case Focus:
		p.focus = e.ID
	case Look:
		p.ports.Screen.Theme(e.Theme)
	case Go:
		p.open(e.Path)
	case Used:
		p.used = true
	default:
		p.doWriting(e)
	}
}

func (p *Program) keep(name, value string) {
	if p.ports.Store.Put(name, value) != nil {
		p.Dispatch(Full{name})
	}
}

// saveTake hands out a take as it is stored.
func (p *Program) saveTake(name string) {
	p.ports.Archive.Get([]string{name}, func(records []port.Record, err error) {
		if err != nil || len(records) == 0 {
			p.Dispatch(Unsaved{"This take could not be read."})
			return
		}
		r, err := logbook.ReadRecord(records[0].Value)
		if err != nil {
			p.Dispatch(Unsaved{sentence(err.Error())})
			return
		}
		file, _ := grade.WriteTake(r.Take) // what was read can be written
		p.ports.Files.Save(logbook.Stamp(r.At)+"-"+fileName(r.Take), "application/json", file)
	})
}

func (p *Program) play(e Play) {
	if err := p.transport.Load(e.Plan); err != nil {
		p.Dispatch(Unplayable{err.Error()})
		return
	}
	p.Dispatch(Made{p.transport.Making()})
	p.score, p.begun = scoreOf(p.state), Reached{Pass: -1}
	p.unroll()
	p.unroll = p.ports.Clock.Frames(p.frame)
	p.transport.Start()
}

func scoreOf(s State) score {
	sc := score{shown: s.Aim != ForDelay}
	p := s.written()
	if s.Aim.forListening() {
		sound, _ := s.heardNow()
		p = sound.Passage
	}
	for _, at := range p.Starts() {
		sc.starts = append(sc.starts, at.Float())
	}
	for _, b := range p.Beats() {
		sc.beats = append(sc.beats, b.At.Float())
	}
	if first, _ := s.bars(); first <= len(sc.starts) && !s.Aim.forListening() {
		sc.base = sc.starts[first-1]
	}
	return sc
}

// frame moves the playhead, and tells when the sound comes to another bar.
func (p *Program) frame() {
	at := p.transport.Where()
	if !at.OK || !p.score.shown {
		return
	}
	place := p.score.base + max(at.Quarters, 0)
	if p.state.Aim.forListening() {
		p.listenFrame(at.Pass, place)
		return
	}
	reached := Reached{at.Pass, last(p.score.starts[:len(p.score.starts)-1], place) + 1}
	if reached != p.begun {
		p.begun = reached
		p.Dispatch(reached)
	}
	place = p.stepped(place)
	p.ports.Screen.Attr("strip-playhead", "transform", p.picture.Layout.HeadTransform(place))
}

// stepped is the place of the playhead: with reduced motion it steps from beat
// to beat.
func (p *Program) stepped(place float64) float64 {
	if p.state.Calm && len(p.score.beats) > 0 {
		return p.score.beats[max(last(p.score.beats, place), 0)]
	}
	return place
}

// last returns the index of the last place that is not after at, or -1.
func last(places []float64, at float64) int {
	i := -1
	for i+1 < len(places) && places[i+1] <= at {
		i++
	}
	return i
}

// mark draws a hit in the strip, outside the tree.
func (p *Program) mark(e Show) {
	l := p.picture.Layout
	if x, y := l.HitAt(e.At); x >= l.LabelWidth && x <= l.Width {
		p.ports.Screen.Mark("strip-live", "strip-hit", x, y)
	}
	if !e.Lean {
		return
	}
	if x, y := l.LeanAt(e.Written, e.Late); x >= l.LabelWidth && x <= l.Width {
		p.ports.Screen.Mark("strip-live", "strip-dot", x, y)
	}
}

func (p *Program) light(e Light) {
	lit := ""
	if e.On {
		lit = "true"
	}
	p.ports.Screen.Attr("area-"+e.Area, "data-lit", lit)
}

func (p *Program) balance(e Balance) {
	silent := map[string]bool{}
	for _, v := range e.Silent {
		silent[v.String()] = true
	}
	for v, gain := range e.Levels {
		p.transport.Mute(v, silent[v.String()])
		p.transport.Level(v, gain)
	}
	p.transport.Master(e.Master)
}

// open goes to a page of the site.
func (p *Program) open(path string) {
	if p.page == nil || p.state.Page == path {
		return
	}
	p.page.Dispatch(func(ctx app.Context) { ctx.Navigate(href(path)) })
}

// field is what a text field shows after it was changed: the value that holds.
func (p *Program) field(act, arg string) (string, bool) {
	switch act {
	case "tempo":
		return strconv.Itoa(p.state.Tempo), true
	case "delay":
		return delayField(p.state, arg), true
	}
	return writeField(p.state, act, arg)
}
