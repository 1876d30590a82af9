package app

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"stampmill/app/draft"
	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// Work that waits for a pause in writing, in ms; our choice: short enough to
// follow the hand, long enough not to stand in its way.
const (
	offersAfter  = 120
	measureAfter = 250
	offersSlice  = 1500 // strokes times changes tried at a time, so that a slice stays under 50 ms
)

// The works that are put off.
const (
	tryOffers  = "offers"
	measureAll = "measure"
)

// wentToWrite prepares the page: the exercise in hand, or the latest.
func wentToWrite(s State) (State, []Effect) {
	s.Write.Refused, s.Write.Menu, s.Write.Deleting, s.Write.Link = "", false, false, ""
	s.Loop, s.Turned, s.Verdict = Range{}, nil, nil
	switch {
	case s.Write.ID != "":
		return followed(s), []Effect{s.fill(), Later{tryOffers, 0}, Later{measureAll, measureAfter}}
	case len(s.Write.Shelf) > 0:
		return s, []Effect{Fetch{ID: s.Write.Shelf[0].ID}}
	}
	return s, nil
}

// leftWrite puts the climb of the other pages back.
func leftWrite(s State) State {
	s.Write.Trying = ""
	notice, lesser := s.Notice, s.Lesser
	s = s.on(s.Climb, s.Step)
	s.Notice, s.Lesser = notice, lesser
	return s
}

// fill is the text field as the draft has it.
func (s State) fill() Effect {
	d := s.Write.Draft
	at := d.Caret().Units(d.Text())
	return Fill{textField, d.Text(), at, at}
}

// taken is an exercise that came off the shelf.
func taken(s State, m Taken) (State, []Effect) {
	if m.Practise {
		return practiseOwn(s, m)
	}
	text := strings.ReplaceAll(m.Text, "\r\n", "\n") // as text fields have it
	s.Write.ID, s.Write.Draft = m.ID, draft.New(fileOf(text), text, change.Catalogue()).Saved()
	s.Write.Refused, s.Write.Deleting, s.Write.Link, s.Write.Unkept = "", false, "", false
	s.Write.Chosen, s.Write.Trying = "", ""
	s.Bar = 1
	s = anew(s)
	effects := []Effect{s.fill(), Later{tryOffers, 0}, Later{measureAll, measureAfter}}
	if s.Phase != Idle && s.Page == writePath {
		s.Phase, s.Pass = Idle, -1
		effects = append(effects, Halt{})
	}
	return s, effects
}

// fileOf is the name of an exercise in problems and of its file.
func fileOf(text string) string {
	title := titleOf(text)
	clean := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		case r == ' ' || r == '-' || r == '_':
			return '-'
		}
		return -1
	}, title)
	if clean = strings.Trim(clean, "-"); clean == "" {
		clean = "exercise"
	}
	return clean + ".drill"
}

// titleOf returns the title that a text gives itself, whatever else is wrong
// with it.
func titleOf(text string) string {
	for line := range strings.Lines(text) {
		key, value, ok := strings.Cut(line, ":")
		if ok && strings.EqualFold(strings.TrimSpace(key), "title") {
			return strings.TrimSpace(value)
		}
	}
	return ""
}

// practiseOwn opens an own exercise on the Practise page.
func practiseOwn(s State, m Taken) (State, []Effect) {
	climb, problems := drill.Parse(fileOf(m.Text), []byte(m.Text), change.Catalogue())
	if len(problems) > 0 {
		s.Notice = Notice{Fact: "This exercise cannot be practised yet.", Mend: problems[0].Error()}
		return s, nil
	}
	entry := exercises.Entry{Name: m.ID, Climb: climb}
	library := slices.Clone(s.Library)
	at := slices.IndexFunc(library, func(e exercises.Entry) bool { return e.Name == m.ID })
	if at < 0 {
		at = len(library)
		library = append(library, entry)
	}
	library[at] = entry
	s.Library = library
	s.Write.Trying = ""
	s, effects := toStep(s, at, min(m.Step, len(climb.Steps)-1))
	return s, append(effects, Go{"/practise/"})
}

// anew is the state after the draft changed in any way.
func anew(s State) State {
	s.Write.Edits++
	s.Write.Offers, s.Write.rest, s.Write.begun, s.Write.Measured = nil, nil, false, false
	s.Write.Clashes, s.Write.ClashLines = nil, nil
	return followed(s)
}

// followed lets the strip show the bar of the cursor, and the tempo be that of
// the step.
func followed(s State) State {
	s.Tempo = goal(s.step())
	if c := s.Write.Draft.Cursor(); c.Voice.Valid() && (s.Phase == Idle || s.Page != writePath) {
		s.Bar = s.Write.Draft.Passage().Place(c.At).Bar
	}
	return s
}

// edited takes over what an edit made of the draft, or says why it was not
// made. Its text is on the shelf before anything else happens.
func edited(s State, d draft.Draft, err error) (State, []Effect) {
	if err != nil {
		s.Write.Refused = sentence(err.Error())
		return s, nil
	}
	before := s.Write.Draft.Text()
	s.Write.Draft, s.Write.Refused, s.Write.Link = d, "", ""
	s = anew(s)
	effects := []Effect{s.fill(), Later{tryOffers, offersAfter}, Later{measureAll, measureAfter}}
	if d.Text() != before {
		effects = append([]Effect{Shelve{s.Write.ID, d.Text()}}, effects...)
	}
	return s, effects
}

// sentence makes a refusal, "what; what to do", two sentences.
func sentence(refusal string) string {
	what, do, two := strings.Cut(refusal, "; ")
	if !two {
		return capital(what) + "."
	}
	return capital(what) + ". " + capital(do) + "."
}

// typedText is the text field after the player changed it.
func typedText(s State, m Typed) (State, []Effect) {
	if m.Field != textField || s.Write.ID == "" {
		return s, []Effect{Same{}}
	}
	at := time.Duration(m.At * float64(time.Millisecond))
	d := s.Write.Draft.SetText(m.Value, draft.CaretOfUnits(m.Value, m.To), at)
	s, effects := edited(s, d, nil)
	return s, slices.DeleteFunc(effects, func(e Effect) bool { _, fill := e.(Fill); return fill })
}

// caretted is a caret that moved in the text field.
func caretted(s State, m Caretted) (State, []Effect) {
	if m.Field != textField || s.Write.ID == "" {
		return s, []Effect{Same{}}
	}
	d := s.Write.Draft
	moved := d.SetCaret(draft.CaretOfUnits(d.Text(), m.To))
	if moved.Caret() == d.Caret() {
		return s, []Effect{Same{}}
	}
	s.Write.Draft = moved
	return anew(s), []Effect{Later{tryOffers, offersAfter}, Later{measureAll, measureAfter}}
}

// pointed is a pointer on the strip: a press goes to a cell, a drag selects.
func pointed(s State, m Pointed) (State, []Effect) {
	if !s.writing() || m.On != "strip" {
		return s, []Effect{Same{}}
	}
	extend := m.Shift
	switch m.Stage {
	case portBegan:
		s.Write.Drawing = true
	case portMoved:
		if !s.Write.Drawing {
			return s, []Effect{Same{}}
		}
		extend = true
	default:
		s.Write.Drawing = false
		return s, []Effect{Same{}}
	}
	layout := s.writeSheet().Layout()
	cell, ok := layout.CellAt(s.Write.Draft.Passage(), m.X*layout.Width, m.Y*layout.Height)
	if !ok {
		return s, []Effect{Same{}}
	}
	d := s.Write.Draft.Put(cell.Voice, cell.At, extend)
	if m.Stage == portMoved && d.Cursor() == s.Write.Draft.Cursor() {
		return s, []Effect{Same{}}
	}
	s, effects := edited(s, d, nil)
	effects = append(effects, Used{})
	if m.Stage == portBegan {
		effects = append(effects, Focus{"write-strip"})
	}
	return s, effects
}

// due does work that was put off.
func due(s State, m Due) (State, []Effect) {
	switch {
	case !s.writing():
		return s, []Effect{Same{}}
	case m.Work == measureAll:
		return measuredDraft(s), nil
	case m.Work == tryOffers:
		return tried(s)
	}
	return s, []Effect{Same{}}
}

func measuredDraft(s State) State {
	d := s.Write.Draft.Settled()
	s.Write.Draft, s.Write.Measured = d, true
	s.Write.Rating = d.Rating(s.Settings.pedals())
	s.Write.Clashes, s.Write.ClashLines = d.Unplayable(s.Settings.pedals())
	return anewDrawing(s)
}

// tried tries some more changes on the selection, and asks to go on.
func tried(s State) (State, []Effect) {
	w, p := &s.Write, s.Write.Draft.Passage()
	if !w.begun && w.Draft.Current().Good {
		w.rest, w.Offers, w.begun = change.Offers(p, w.Draft.Scope()), nil, true
	}
	if len(w.rest) == 0 {
		return s, nil
	}
	n := min(max(1, offersSlice/max(strokes(p), 1)), len(w.rest))
	w.Offers = slices.Clip(w.Offers)
	for _, ways := range w.rest[:n] {
		w.Offers = append(w.Offers, change.Try(p, ways))
	}
	w.rest = w.rest[n:]
	return s, []Effect{Later{tryOffers, 0}}
}

func strokes(p passage.Passage) int {
	n := 0
	for _, l := range p.Lines {
		n += len(l.Strokes)
	}
	return n
}

// arrived is a text from a file or a link: a new exercise, never in place of
// another one.
func arrived(s State, m Arrived) (State, []Effect) {
	if m.Err != "" {
		what, do, _ := strings.Cut(m.Err, "; ")
		s.Notice = Notice{Fact: capital(what) + ".", Mend: sentence(do)}
		return s, nil
	}
	if !utf8.ValidString(m.Text) || strings.ContainsRune(m.Text, 0) {
		s.Notice = Notice{Fact: m.Name + " is no exercise text.", Mend: "Open a file that ends in .drill, or any plain text in UTF-8."}
		return s, nil
	}
	s.Notice = Notice{}
	effects := []Effect{Shelve{"", m.Text}}
	if s.Page != writePath {
		effects = append(effects, Go{writePath})
	}
	return s, effects
}

// copied tells what became of a link.
func copied(s State, m Copied) (State, []Effect) {
	s.Write.Link = ""
	if m.OK {
		s.Notice = Notice{Fact: "The link is copied.", Mend: "It holds the whole exercise; nothing is stored anywhere else."}
		return s, nil
	}
	s.Write.Link = m.Link
	return s, []Effect{Focus{"write-link"}}
}

// unkept is an exercise for which there was no room.
func unkept(s State, m Unkept) (State, []Effect) {
	s.Write.Unkept = true
	s.Notice = Notice{
		Fact: "This exercise is not kept on this device.", Mend: sentence(m.Why) + " It stays here until the page is closed.",
		Act: "write-save", Label: "Save it as a file",
	}
	return s, nil
}

// shelved is what the shelf holds now.
func shelved(s State, m Shelved) (State, []Effect) {
	s.Write.Shelf = m.Items
	if m.ID != "" && m.ID == s.Write.ID {
		s.Write.ID, s.Write.Unkept = m.Now, false
		if s.Notice.Act == "write-save" {
			s.Notice = Notice{}
		}
	}
	if m.Other != "" {
		s.Notice = Notice{Fact: "Another window wrote this exercise, too.", Mend: "What it wrote is kept beside yours, as a copy."}
	}
	if s.Page == writePath && s.Write.ID == "" && len(m.Items) > 0 {
		return s, []Effect{Fetch{ID: m.Items[0].ID}}
	}
	return s, nil
}

// heardBars are the bars that are heard on the Write page.
func (s State) heardBars() (first, last int) {
	bars := len(s.Write.Draft.Passage().Bars)
	first = min(max(s.Write.From, 1), max(bars, 1))
	last = min(max(s.Write.To, first), max(bars, 1))
	return first, last
}

// hearFrom hears from the bar of the cursor to the end, or the bars that are
// selected when there is more than a bar of them; round and round.
func hearFrom(s State, m Acted) (State, []Effect) {
	if s.Phase != Idle {
		return stopped(s, m)
	}
	if !s.writing() || len(s.Write.Draft.Passage().Bars) == 0 {
		return s, nil
	}
	p := s.Write.Draft.Passage()
	s.Write.Trying = ""
	s.Write.From, s.Write.To = barsOf(p, s.Write.Draft.Selection())
	if s.Write.From == s.Write.To {
		s.Write.To = len(p.Bars)
	}
	return start(s, ForHearing)
}

// hearChange hears the bars of the selection with a change that is not made
// yet; a second press stops.
func hearChange(s State, m Acted) (State, []Effect) {
	if !s.writing() {
		return s, nil
	}
	again := s.Phase != Idle && s.Write.Trying == m.Arg
	var effects []Effect
	if s.Phase != Idle {
		s, effects = stopped(s, m)
	}
	if again {
		return s, effects
	}
	s.Write.Chosen, s.Write.Trying = m.Arg, m.Arg
	s.Write.From, s.Write.To = barsOf(s.Write.Draft.Passage(), s.Write.Draft.Scope())
	s, more := start(s, ForHearing)
	return s, append(effects, more...)
}

// barsOf returns the first and last bar that a span touches.
func barsOf(p passage.Passage, span passage.Span) (first, last int) {
	first = p.Place(span.From).Bar
	last = first
	starts := p.Starts()
	for last < len(p.Bars) && starts[last].Less(span.To) {
		last++
	}
	return first, last
}
